package linnet.audio;

/** A chunk of a WAV file that is no sound, kept to be written on: {@code bext}, {@code cue } or {@code LIST}. The body is not copied. */
public record Chunk(String id, byte[] body) {}

package linnet.text;

/** A piece of text and where it stands. */
public record Word(String text, Span at) {}

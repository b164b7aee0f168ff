package linnet.audio;

import java.util.List;

/**
 * What a WAV file says of itself, checked against the bytes that are there.
 *
 * @param rate     samples per second
 * @param frames   length in samples per channel
 * @param soundAt  byte at which the first sample lies
 * @param chunks   the {@code bext}, {@code cue } and {@code LIST} (labels, info) chunks, in the order of the file
 * @param remarks  what is odd but harmless, one sentence part each: {@code its recorder did not close it, …}
 */
public record WavHeader(
        int rate, int channels, long frames, SampleFormat format, long soundAt, List<Chunk> chunks, List<String> remarks) {
    public WavHeader {
        chunks = List.copyOf(chunks);
        remarks = List.copyOf(remarks);
    }

    /** Bytes of one sample of every channel. */
    int frameBytes() {
        return channels * format.bytes();
    }
}

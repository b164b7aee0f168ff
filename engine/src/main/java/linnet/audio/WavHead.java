package linnet.audio;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.util.List;

/**
 * All of a print that stands before its sound. The length of a print is not known when its first byte is written, so sizes are filled in at the end;
 * a file that outgrew 4 GiB becomes RF64 (EBU Tech 3306) in the room kept for it.
 *
 * <p>Integers of 16 and 24 bits carry the plain PCM tag, the form that every reader knows: for mono and stereo with whole
 * bytes the extensible form would say nothing more.
 *
 * @param largestRiff bytes that a plain RIFF may hold
 */
record WavHead(Print print, long largestRiff) {
    /** A size of 32 bits that says "see ds64". */
    private static final int IN_DS64 = 0xFFFF_FFFF;
    private static final int DS64_BYTES = 28;
    /** Behind the RIFF head and the room for ds64. */
    private static final int FMT_AT = 12 + 8 + DS64_BYTES;
    /** Of a format chunk of floats, which have a fact chunk behind it. */
    private static final int FLOAT_FMT_BYTES = 8 + 18;

    /** Where the chunks begin that a take hands on, the broadcast extension first. */
    static int carriedAt(SampleFormat format) {
        return FMT_AT + fmtBytes(format);
    }

    /** Of the format chunk, and the fact chunk of floats behind it. */
    private static int fmtBytes(SampleFormat format) {
        return format.isFloat() ? FLOAT_FMT_BYTES + 12 : 8 + 16;
    }

    /** With the sizes still open. */
    ByteBuffer open() {
        SampleFormat format = print.format();
        int frameBytes = print.channels() * format.bytes();
        List<Chunk> before = Carried.before(print);
        int length = carriedAt(format) + 8;
        for (Chunk chunk : before) length += chunk(chunk).limit();
        ByteBuffer b = little(length);
        b.put(ascii("RIFF")).putInt(0).put(ascii("WAVE"));
        b.put(ascii("JUNK")).putInt(DS64_BYTES).position(FMT_AT);
        b.put(ascii("fmt ")).putInt(format.isFloat() ? 18 : 16);
        b.putShort((short) (format.isFloat() ? 3 : 1)).putShort((short) print.channels());
        b.putInt(print.rate()).putInt(print.rate() * frameBytes);
        b.putShort((short) frameBytes).putShort((short) format.bits());
        if (format.isFloat()) b.putShort((short) 0).put(ascii("fact")).putInt(4).putInt(0);
        for (Chunk chunk : before) b.put(chunk(chunk));
        b.put(ascii("data")).putInt(0);
        return b.flip();
    }

    /** Fills in the sizes; beyond the reach of 32 bits they go to a ds64 chunk in the place of JUNK. */
    void complete(FileChannel channel, long soundAt, long riffBytes, long soundBytes, long frames) throws IOException {
        boolean wide = riffBytes > largestRiff;
        if (wide) {
            ByteBuffer b = little(FMT_AT);
            b.put(ascii("RF64")).putInt(IN_DS64).put(ascii("WAVE")).put(ascii("ds64")).putInt(DS64_BYTES);
            b.putLong(riffBytes).putLong(soundBytes).putLong(frames).putInt(0);
            put(channel, b.flip(), 0);
        } else {
            put(channel, little(4).putInt((int) riffBytes).flip(), 4);
        }
        if (print.format().isFloat()) {
            put(channel, little(4).putInt(frames > 0xFFFF_FFFFL ? IN_DS64 : (int) frames).flip(), FMT_AT + FLOAT_FMT_BYTES + 8);
        }
        put(channel, little(4).putInt(wide ? IN_DS64 : (int) soundBytes).flip(), soundAt - 4);
    }

    /** As it lies in a file, with its pad byte. */
    static ByteBuffer chunk(Chunk chunk) {
        int length = chunk.body().length;
        ByteBuffer b = little(8 + length + length % 2);
        b.put(ascii(chunk.id())).putInt(length).put(chunk.body());
        return b.rewind();
    }

    static ByteBuffer little(int bytes) {
        return ByteBuffer.allocate(bytes).order(ByteOrder.LITTLE_ENDIAN);
    }

    private static byte[] ascii(String id) {
        return id.getBytes(StandardCharsets.ISO_8859_1);
    }

    /** Writes all of the buffer and returns how many bytes that were. */
    static int put(FileChannel channel, ByteBuffer bytes, long at) throws IOException {
        int length = bytes.remaining();
        while (bytes.hasRemaining()) at += channel.write(bytes, at);
        return length;
    }
}

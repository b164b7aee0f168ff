package linnet.audio;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;

/** Builds WAV bytes by hand, true or lying, so that the reader is not tested against our own writer. */
final class Riff {
    private final ByteArrayOutputStream bytes = new ByteArrayOutputStream();

    static Riff riff() {
        return start("RIFF");
    }

    static Riff start(String id) {
        Riff riff = new Riff();
        riff.raw(id.getBytes(StandardCharsets.ISO_8859_1)).raw(ints(-1)).raw("WAVE".getBytes(StandardCharsets.ISO_8859_1));
        return riff;
    }

    Riff chunk(String id, byte[] body) {
        return chunk(id, body.length, body);
    }

    /** A chunk whose size is a claim. */
    Riff chunk(String id, int claimed, byte[] body) {
        raw(id.getBytes(StandardCharsets.ISO_8859_1)).raw(ints(claimed)).raw(body);
        return body.length % 2 == 1 ? raw(new byte[1]) : this;
    }

    Riff raw(byte[] more) {
        bytes.writeBytes(more);
        return this;
    }

    /** PCM of the usual block align. */
    Riff pcm(int channels, int rate, int bits) {
        return chunk("fmt ", fmt(1, channels, rate, channels * ((bits + 7) / 8), bits));
    }

    /** The bytes, with a true RIFF size where the file is RIFF. */
    byte[] bytes() {
        byte[] all = bytes.toByteArray();
        ByteBuffer b = ByteBuffer.wrap(all).order(ByteOrder.LITTLE_ENDIAN);
        if (all[0] == 'R' && all[2] == 'F') b.putInt(4, all.length - 8);
        return all;
    }

    static byte[] fmt(int tag, int channels, int rate, int align, int bits) {
        return little(16).putShort((short) tag).putShort((short) channels).putInt(rate).putInt(rate * align)
                .putShort((short) align).putShort((short) bits).array();
    }

    /** The extensible form: the GUID is the tag and the fixed bytes of the standard ones. */
    static byte[] extensible(int tag, int channels, int rate, int align, int bits, int valid) {
        byte[] guid = {0, 0, 0, 0, 0x10, 0, (byte) 0x80, 0, 0, (byte) 0xAA, 0, 0x38, (byte) 0x9B, 0x71};
        return little(40).put(fmt(0xFFFE, channels, rate, align, bits)).putShort((short) 22).putShort((short) valid)
                .putInt(channels == 1 ? 4 : 3).putShort((short) tag).put(guid).array();
    }

    static byte[] ds64(long riffBytes, long soundBytes, long frames) {
        return little(28).putLong(riffBytes).putLong(soundBytes).putLong(frames).putInt(0).array();
    }

    static byte[] ints(int... values) {
        ByteBuffer b = little(4 * values.length);
        for (int v : values) b.putInt(v);
        return b.array();
    }

    static byte[] shorts(int... values) {
        ByteBuffer b = little(2 * values.length);
        for (int v : values) b.putShort((short) v);
        return b.array();
    }

    static byte[] floats(float... values) {
        ByteBuffer b = little(4 * values.length);
        for (float v : values) b.putFloat(v);
        return b.array();
    }

    static ByteBuffer little(int length) {
        return ByteBuffer.allocate(length).order(ByteOrder.LITTLE_ENDIAN);
    }
}

package linnet.audio;

import java.nio.ByteBuffer;

/**
 * How a sample is stored. Integers of b bits are divided by 2^(b-1), so full scale is 1.0 and every integer survives the
 * way there and back. All are little-endian; 8 bits are unsigned with an offset of 128, as WAV has it.
 */
public enum SampleFormat {
    INT_8(8, "8-bit"),
    INT_16(16, "16-bit"),
    INT_24(24, "24-bit"),
    INT_32(32, "32-bit"),
    FLOAT_32(32, "32-bit float"),
    FLOAT_64(64, "64-bit float");

    /** Bytes that must be readable before the first sample: 24 bits are taken as the top of the int that starts one earlier. */
    static final int LEAD = 1;

    private final int bits;
    private final String words;

    SampleFormat(int bits, String words) {
        this.bits = bits;
        this.words = words;
    }

    public int bits() {
        return bits;
    }

    public int bytes() {
        return bits / 8;
    }

    public boolean isFloat() {
        return this == FLOAT_32 || this == FLOAT_64;
    }

    /** Whether a sound that reaches so far cannot be held: integers hold what touches full scale, but for one step. */
    public boolean clips(double peakDbfs) {
        return !isFloat() && peakDbfs > 0;
    }

    /** As it stands in a sentence: {@code 24-bit}, {@code 32-bit float}. */
    @Override
    public String toString() {
        return words;
    }

    /**
     * Decodes n samples of one channel: the first at byte {@code at}, each next one {@code stride} bytes on, into
     * {@code x[first …]}. The buffer is little-endian and has {@link #LEAD} bytes before the first sample.
     */
    void decode(ByteBuffer bytes, int at, int stride, double[] x, int first, int n) {
        switch (this) {
            case INT_8 -> decode8(bytes, at, stride, x, first, first + n);
            case INT_16 -> decode16(bytes, at, stride, x, first, first + n);
            case INT_24 -> decode24(bytes, at, stride, x, first, first + n);
            case INT_32 -> decode32(bytes, at, stride, x, first, first + n);
            case FLOAT_32 -> decodeFloat(bytes, at, stride, x, first, first + n);
            case FLOAT_64 -> decodeDouble(bytes, at, stride, x, first, first + n);
        }
    }

    private static void decode8(ByteBuffer bytes, int at, int stride, double[] x, int from, int to) {
        for (int i = from, p = at; i < to; i++, p += stride) x[i] = ((bytes.get(p) & 0xFF) - 128) * 0x1p-7;
    }

    private static void decode16(ByteBuffer bytes, int at, int stride, double[] x, int from, int to) {
        for (int i = from, p = at; i < to; i++, p += stride) x[i] = bytes.getShort(p) * 0x1p-15;
    }

    private static void decode24(ByteBuffer bytes, int at, int stride, double[] x, int from, int to) {
        if (stride == 3) {
            int whole = (to - from) & -8;
            decodeEights(bytes, at, x, from, from + whole);
            at += 3 * whole;
            from += whole;
        }
        for (int i = from, p = at - LEAD; i < to; i++, p += stride) x[i] = (bytes.getInt(p) >> 8) * 0x1p-23;
    }

    /** Eight samples of 24 bits, one after another, are three numbers of 64. */
    private static void decodeEights(ByteBuffer bytes, int at, double[] x, int from, int to) {
        for (int i = from, p = at; i < to; i += 8, p += 24) {
            long a = bytes.getLong(p), b = bytes.getLong(p + 8), c = bytes.getLong(p + 16);
            x[i] = (a << 40 >> 40) * 0x1p-23;
            x[i + 1] = (a << 16 >> 40) * 0x1p-23;
            x[i + 2] = (b << 56 >> 40 | a >>> 48) * 0x1p-23;
            x[i + 3] = (b << 32 >> 40) * 0x1p-23;
            x[i + 4] = (b << 8 >> 40) * 0x1p-23;
            x[i + 5] = (c << 48 >> 40 | b >>> 56) * 0x1p-23;
            x[i + 6] = (c << 24 >> 40) * 0x1p-23;
            x[i + 7] = (c >> 40) * 0x1p-23;
        }
    }

    private static void decode32(ByteBuffer bytes, int at, int stride, double[] x, int from, int to) {
        for (int i = from, p = at; i < to; i++, p += stride) x[i] = bytes.getInt(p) * 0x1p-31;
    }

    private static void decodeFloat(ByteBuffer bytes, int at, int stride, double[] x, int from, int to) {
        for (int i = from, p = at; i < to; i++, p += stride) x[i] = bytes.getFloat(p);
    }

    private static void decodeDouble(ByteBuffer bytes, int at, int stride, double[] x, int from, int to) {
        for (int i = from, p = at; i < to; i++, p += stride) x[i] = bytes.getDouble(p);
    }
}

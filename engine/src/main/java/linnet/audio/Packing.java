package linnet.audio;

import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;

/** Samples cut to the word length of a print, as its bytes. */
final class Packing {
    private static final VarHandle EIGHT_BYTES = MethodHandles.byteArrayViewVarHandle(long[].class, ByteOrder.LITTLE_ENDIAN);
    /** Bytes by which eight are more than a frame of two times 24 bits: so many behind the last frame may be written too. */
    static final int BEYOND = 2;

    private final Print print;
    private final int frameBytes;
    private final int[][] integers;

    /** @param most frames at a time */
    Packing(Print print, int most) {
        this.print = print;
        this.frameBytes = print.channels() * print.format().bytes();
        this.integers = new int[print.channels()][most];
    }

    /**
     * Packs n samples of each channel, interleaved.
     *
     * @param frame of the whole print at which they begin
     * @param to    a little-endian buffer over an array
     * @param into  the byte of it for the first
     */
    void pack(double[][] samples, int n, long frame, ByteBuffer to, int into) {
        int bits = print.format().bits();
        boolean pair = print.format() == SampleFormat.INT_24 && print.channels() == 2;
        for (int c = 0; c < print.channels(); c++) {
            if (!print.format().isFloat()) print.dither().cut(samples[c], n, c, frame, bits, integers[c]);
            int at = into + c * bits / 8;
            switch (print.format()) {
                case INT_16 -> pack16(integers[c], n, to.array(), at, frameBytes);
                case INT_24 -> {
                    if (!pair) pack24(integers[c], n, to.array(), at, frameBytes);
                }
                default -> packFloat(samples[c], n, to, at, frameBytes);
            }
        }
        if (pair) pair24(integers[0], integers[1], n, to.array(), into);
    }

    private static void pack16(int[] x, int n, byte[] to, int at, int stride) {
        for (int i = 0, p = at; i < n; i++, p += stride) {
            to[p] = (byte) x[i];
            to[p + 1] = (byte) (x[i] >> 8);
        }
    }

    private static void pack24(int[] x, int n, byte[] to, int at, int stride) {
        for (int i = 0, p = at; i < n; i++, p += stride) {
            to[p] = (byte) x[i];
            to[p + 1] = (byte) (x[i] >> 8);
            to[p + 2] = (byte) (x[i] >> 16);
        }
    }

    /** Both sides at once; the two bytes too many of each frame are those the next begins with. */
    private static void pair24(int[] left, int[] right, int n, byte[] to, int at) {
        for (int i = 0, p = at; i < n; i++, p += 6) EIGHT_BYTES.set(to, p, left[i] & 0xFF_FFFFL | (long) right[i] << 24);
    }

    private static void packFloat(double[] x, int n, ByteBuffer to, int at, int stride) {
        for (int i = 0, p = at; i < n; i++, p += stride) to.putFloat(p, (float) x[i]);
    }
}

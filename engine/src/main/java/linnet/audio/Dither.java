package linnet.audio;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import linnet.digest.Sha256;

/**
 * The one cut of word length, at the integer write. Triangular dither of two units' width makes the error free of the
 * signal in mean and in variance (Lipshitz, Wannamaker, Vanderkooy, JAES 40(5), 1992): silence becomes an even noise of
 * -96.3 dBFS at 16 bits and -144.5 dBFS at 24.
 *
 * <p>The noise is a hash of seed, channel and frame rather than a running generator, so a part of a print has the bits it
 * has in the whole, and blocks may be cut anywhere. Give each print its own seed: equal dither in stems that are summed
 * would add up in step.
 */
public final class Dither {
    /** The odd increment and the mixing of SplitMix64 (Steele, Lea, Flood, OOPSLA 2014; Stafford's variant 13). */
    private static final long STEP = 0x9E37_79B9_7F4A_7C15L;
    private static final long MASK = 0xFFFF_FFFFL;

    private final boolean on;
    private final long seed;

    private Dither(boolean on, long seed) {
        this.on = on;
        this.seed = seed;
    }

    /** Triangular (TPDF) dither, white, independent in each channel. */
    public static Dither triangular(long seed) {
        return new Dither(true, seed);
    }

    /** The same, for a print of that: whatever is called otherwise has another, in step with no other (SHA-256, its first eight bytes). */
    public static Dither triangular(String of) {
        return triangular(ByteBuffer.wrap(Sha256.open().digest(of.getBytes(StandardCharsets.UTF_8))).getLong());
    }

    /** Plain rounding: only for a sound that lies on the integers already, which then passes bit for bit. */
    public static Dither none() {
        return new Dither(false, 0);
    }

    /**
     * Rounds n samples (full scale 1.0) to integers of {@code bits}, those beyond full scale to the outermost ones.
     *
     * @param frame place of {@code x[0]} in the print, in samples
     */
    public void cut(double[] x, int n, int channel, long frame, int bits, int[] into) {
        double scale = 1L << bits - 1;
        if (on) dithered(x, n, mix(seed + (channel + 1) * STEP), frame, scale, into);
        else rounded(x, n, scale, into);
    }

    private static void dithered(double[] x, int n, long key, long frame, double scale, int[] into) {
        for (int i = 0; i < n; i++) {
            long random = mix(key + (frame + i) * STEP);
            double triangle = ((random >>> 32) - (random & MASK)) * 0x1p-32;
            into[i] = clamped(Math.rint(x[i] * scale + triangle), scale);
        }
    }

    private static void rounded(double[] x, int n, double scale, int[] into) {
        for (int i = 0; i < n; i++) {
            into[i] = clamped(Math.rint(x[i] * scale), scale);
        }
    }

    private static int clamped(double v, double scale) {
        return (int) (v >= scale ? scale - 1 : v < -scale ? -scale : v);
    }

    private static long mix(long z) {
        z = (z ^ z >>> 30) * 0xBF58_476D_1CE4_E5B9L;
        z = (z ^ z >>> 27) * 0x94D0_49BB_1331_11EBL;
        return z ^ z >>> 31;
    }
}

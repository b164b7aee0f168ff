package linnet.dsp.repair;

import java.util.function.IntToLongFunction;

/**
 * Samples that take the place of a sound's own.
 *
 * @param from first sample replaced
 * @param samples per channel, all of the same length
 */
public record Patch(long from, double[][] samples) {
    /** The sample after the last. */
    public long to() {
        return from + samples[0].length;
    }

    /**
     * Puts patches over a stretch of sound; what no patch covers stays as it is, to the bit. For any threads at once, and with the samples as given: those of
     * {@link Patches}, which takes less memory, come back from a tape as floats.
     *
     * @param patches in order of time, none meeting another
     * @param at the sample of the sound that {@code x[c][0]} is
     */
    public static void over(Patch[] patches, long at, double[][] x, int n) {
        for (int i = firstEndingAfter(at, patches.length, k -> patches[k].to()); i < patches.length && patches[i].from < at + n; i++) {
            Patch p = patches[i];
            long from = Math.max(at, p.from), to = Math.min(at + n, p.to());
            for (int c = 0; c < p.samples.length; c++) {
                System.arraycopy(p.samples[c], (int) (from - p.from), x[c], (int) (from - at), (int) (to - from));
            }
        }
    }

    /** @param to the sample after the last of each, in order of time */
    static int firstEndingAfter(long at, int count, IntToLongFunction to) {
        int low = 0, high = count;
        while (low < high) {
            int middle = (low + high) >>> 1;
            if (to.applyAsLong(middle) > at) high = middle;
            else low = middle + 1;
        }
        return low;
    }
}

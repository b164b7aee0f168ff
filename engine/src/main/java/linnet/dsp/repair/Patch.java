package linnet.dsp.repair;

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
     * Puts patches over a stretch of sound; what no patch covers stays as it is, to the bit.
     *
     * @param patches in order of time, none meeting another
     * @param at the sample of the sound that {@code x[c][0]} is
     */
    public static void over(Patch[] patches, long at, double[][] x, int n) {
        for (int i = firstEndingAfter(patches, at); i < patches.length && patches[i].from < at + n; i++) {
            Patch p = patches[i];
            long from = Math.max(at, p.from), to = Math.min(at + n, p.to());
            for (int c = 0; c < p.samples.length; c++) {
                System.arraycopy(p.samples[c], (int) (from - p.from), x[c], (int) (from - at), (int) (to - from));
            }
        }
    }

    private static int firstEndingAfter(Patch[] patches, long at) {
        int low = 0, high = patches.length;
        while (low < high) {
            int middle = (low + high) >>> 1;
            if (patches[middle].to() > at) high = middle;
            else low = middle + 1;
        }
        return low;
    }
}

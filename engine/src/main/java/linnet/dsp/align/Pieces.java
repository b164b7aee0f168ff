package linnet.dsp.align;

import java.util.Arrays;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;

/**
 * A sound in pieces that are moved in time by whole samples, each crossfaded into the next. Between the crossfades every sample has the
 * bits it had. A crossfade keeps the level of what it joins, from pieces that have nothing in common to such as are alike. Not for several
 * threads at once.
 */
public final class Pieces implements Sound {
    private final Sound sound;
    private final long frames;
    /** Per piece: the middle of the crossfade it begins with, the width of that, where it comes from, how much later it is than there. */
    private final long[] at, shift;
    private final int[] width;
    private final Sound[] source;
    private final double[] alike;
    private final double[][] left, right;
    private int longest;

    /** Puts pieces after each other; the first begins with the sound, where it was. */
    public static final class Builder {
        private final Sound sound;
        private long[] at = {Long.MIN_VALUE / 4}, shift = {0};
        private int[] width = {0};
        private Sound[] source;
        private double[] alike = {0};

        public Builder(Sound sound) {
            this.sound = sound;
            source = new Sound[] {sound};
        }

        /** How much later than in the sound the last piece is. */
        public long shift() {
            return shift[shift.length - 1];
        }

        /** The first sample that the crossfade of another piece may touch. */
        public long end() {
            int last = at.length - 1;
            return at[last] + width[last] - width[last] / 2;
        }

        /**
         * Goes over to another place of the sound.
         *
         * @param at sample of the result in the middle of the crossfade
         * @param width samples of the crossfade, which may not reach into the one before
         * @param shift samples by which the result is later than the sound from there on
         * @param alike correlation of what is joined, from 0 to 1
         */
        public Builder join(long at, int width, long shift, double alike) {
            return join(at, width, sound, shift, alike);
        }

        /** Goes over to another sound. */
        public Builder join(long at, int width, Sound source, long shift, double alike) {
            if (at - width / 2 < end()) throw new IllegalArgumentException("crossfades meet at " + at);
            int n = this.at.length;
            this.at = Arrays.copyOf(this.at, n + 1);
            this.width = Arrays.copyOf(this.width, n + 1);
            this.source = Arrays.copyOf(this.source, n + 1);
            this.shift = Arrays.copyOf(this.shift, n + 1);
            this.alike = Arrays.copyOf(this.alike, n + 1);
            this.at[n] = at;
            this.width[n] = width;
            this.source[n] = source;
            this.shift[n] = shift;
            this.alike[n] = Math.max(0, Math.min(1, alike));
            return this;
        }

        public Pieces build() {
            return new Pieces(this);
        }
    }

    private Pieces(Builder b) {
        sound = b.sound;
        at = b.at;
        width = b.width;
        source = b.source;
        shift = b.shift;
        alike = b.alike;
        frames = sound.frames() + Math.max(0, b.shift());
        for (int w : width) longest = Math.max(longest, w);
        left = new double[sound.channels()][longest];
        right = new double[sound.channels()][longest];
    }

    @Override
    public double rate() {
        return sound.rate();
    }

    @Override
    public int channels() {
        return sound.channels();
    }

    @Override
    public long frames() {
        return frames;
    }

    /** How many pieces there are. */
    public int count() {
        return at.length;
    }

    /** Where a sample of the sound is now: in the first piece that has it or what comes after it. */
    public long place(long sample) {
        int k = 0;
        while (k + 1 < at.length && (source[k] != sound || sample >= at[k + 1] - shift[k])) k++;
        return source[k] != sound ? at[k] : Math.max(sample + shift[k], k == 0 ? Long.MIN_VALUE : at[k]);
    }

    @Override
    public void read(long from, double[][] into, int n) {
        int k = piece(from);
        for (long t = from; t < from + n; ) {
            long begins = at[k] + width[k] - width[k] / 2, ends = k + 1 < at.length ? at[k + 1] - width[k + 1] / 2 : Long.MAX_VALUE;
            if (t < begins) {
                int m = (int) (Math.min(begins, from + n) - t);
                cross(k, t, into, (int) (t - from), m);
                t += m;
            } else if (t < ends) {
                int m = (int) (Math.min(ends, from + n) - t);
                copy(k, t, into, (int) (t - from), m);
                t += m;
            } else {
                k++;
            }
        }
    }

    /** The piece whose crossfade began last. */
    private int piece(long sample) {
        int low = 0, high = at.length;
        while (high - low > 1) {
            int middle = (low + high) >>> 1;
            if (at[middle] - width[middle] / 2 <= sample) low = middle;
            else high = middle;
        }
        return low;
    }

    private void copy(int k, long t, double[][] into, int to, int n) {
        Sound part = new Excerpt(source[k], t - shift[k], n);
        if (to == 0) {
            part.read(0, into, n);
            return;
        }
        double[][] x = new double[into.length][n];
        part.read(0, x, n);
        for (int c = 0; c < channels(); c++) System.arraycopy(x[c], 0, into[c], to, n);
    }

    private void cross(int k, long t, double[][] into, int to, int n) {
        new Excerpt(source[k - 1], t - shift[k - 1], n).read(0, left, n);
        new Excerpt(source[k], t - shift[k], n).read(0, right, n);
        long begin = at[k] - width[k] / 2;
        for (int i = 0; i < n; i++) {
            // As a Crossfade, even in level by the correlation, over a raised cosine instead of its angle: the gains are within 0.09 of its own. One law would
            // do for both, but other samples for every part that was tidied before.
            double in = 0.5 - 0.5 * StrictMath.cos(Math.PI * (t + i - begin + 0.5) / width[k]), out = 1 - in;
            double level = 1 / Math.sqrt(in * in + out * out + 2 * alike[k] * in * out);
            for (int c = 0; c < channels(); c++) into[c][to + i] = level * (out * left[c][i] + in * right[c][i]);
        }
    }
}

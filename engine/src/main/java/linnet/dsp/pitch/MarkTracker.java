package linnet.dsp.pitch;

import java.util.Arrays;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Cascade;

/**
 * Marks the periods of a voice. Each mark lies where the sound around it looks most like the sound around the mark before, one
 * period of the {@link PitchTrack} on, give or take an eighth: the maximum of the normalised correlation over two periods,
 * first of what lies below 3 kHz, then of the whole, between the samples by a parabola. So a mark keeps its point of the wave,
 * and cannot leap by half a period. Where the formants move, that point would wander: each mark is therefore drawn a
 * little to where the energy of the period is, its centre on the circle that the period is, which lies just behind the closing
 * of the cords. Channels are heard as their mean, above 60 Hz.
 *
 * <p>Where two periods are not alike, or of very different length, as in creak and at the edge of the voice, the run ends.
 * The limits are judged on voices, not taken from a paper.
 */
final class MarkTracker {
    /** How far the track may be off, as a share of the period, and what that costs against a perfect match. */
    private static final double RANGE = 0.125, OFF = 0.1;
    private static final double ALIKE = 0.6, PULL = 0.05;
    /** Fewest marks worth keeping. */
    private static final int FEWEST = 5;
    private static final double LOWEST = 50, RUMBLE = 60, STRETCH_S = 2, SETTLE_S = 0.05;
    private static final int BLOCK = 480;

    private final Sound sound;
    private final PitchTrack pitch;
    private final int factor, margin, settle;
    private final double[][] read;
    /** What is heard of the sound from {@link #start} on, and the same at every {@link #factor}th sample. */
    private final double[] full, slow;
    private final double[] block = new double[BLOCK];
    private long start = Long.MAX_VALUE;
    private final double[] likeness;
    private double alike;

    MarkTracker(Sound sound, PitchTrack pitch) {
        this.sound = new Excerpt(sound, 0, sound.frames());
        this.pitch = pitch;
        double rate = sound.rate();
        factor = Math.max(1, (int) Math.round(rate / 12000));
        margin = (int) Math.ceil(3 * rate / LOWEST) / BLOCK * BLOCK + BLOCK;
        settle = (int) Math.ceil(SETTLE_S * rate);
        int length = ((int) Math.ceil(STRETCH_S * rate) / BLOCK + 1) * BLOCK + settle + 2 * margin;
        read = new double[sound.channels()][BLOCK];
        full = new double[length];
        slow = new double[length / factor + 2];
        likeness = new double[(int) Math.ceil(2 * RANGE * rate / LOWEST) + 16];
    }

    /** Marks the voice between two samples, in as many runs as it takes. */
    void follow(long from, long to, PitchMarks marks) {
        double at = from;
        while (at < to) {
            at = seed(at);
            int count = 0;
            while (at < to) {
                double period = period(at);
                if (at + period >= to) {
                    if (count > 0) marks.add(at);
                    marks.end(FEWEST);
                    return;
                }
                double next = next(at, period);
                if (next < 0) break;
                marks.add(at);
                count++;
                at = next;
            }
            if (count > 0 && at < to) marks.add(at);
            marks.end(FEWEST);
            at += period(at) / 2;
        }
    }

    /** The period at a place, in samples: on a straight line between the frames of the track that have one. */
    private double period(double at) {
        double place = at / pitch.hop() - 0.5;
        int f = (int) Math.floor(place);
        double a = hz(f, f + 1), b = hz(f + 1, f);
        return sound.rate() / (a + (place - f) * (b - a));
    }

    private double hz(int frame, int other) {
        if (pitch.voiced(frame)) return pitch.hz()[frame];
        if (pitch.voiced(other)) return pitch.hz()[other];
        for (int d = 1; d < pitch.frames(); d++) {
            if (pitch.voiced(frame - d)) return pitch.hz()[frame - d];
            if (pitch.voiced(frame + d)) return pitch.hz()[frame + d];
        }
        throw new IllegalStateException("nothing has a pitch");
    }

    /** The place of most energy in the first period from a place on. */
    private double seed(double at) {
        hear(at);
        double period = period(at) / factor;
        int first = (int) Math.round((at - start) / factor), n = (int) Math.round(period), width = Math.max(1, n / 8);
        double sum = 0, best = -1;
        int where = first;
        for (int i = first - width; i < first + n; i++) {
            sum += change(i + width) - change(i - width - 1);
            if (i >= first && sum > best) {
                best = sum;
                where = i;
            }
        }
        return Math.max(at, start + (double) where * factor);
    }

    private double change(int i) {
        double d = slow[i] - slow[i - 1];
        return d * d;
    }

    /** The mark after this one, or less than 0 where there is none to be sure of. */
    private double next(double at, double period) {
        hear(at);
        double coarse = best(slow, (at - start) / factor, period / factor, RANGE * period / factor, OFF);
        if (alike < ALIKE) return -1;
        double fine = best(full, at - start, coarse * factor, factor + 1, 0);
        double next = at + fine;
        return Math.max(at + (1 - 1.5 * RANGE) * period, next + PULL * offCentre(next, fine));
    }

    /** The lag near {@code lag}, in samples of {@code x}, at which two periods around a place are most like what follows. */
    private double best(double[] x, double place, double lag, double range, double off) {
        int centre = (int) Math.round(place), side = (int) Math.round(lag);
        int low = (int) Math.floor(lag - range) - 1, n = (int) Math.ceil(lag + range) + 2 - low;
        double own = 1e-30;
        for (int i = centre - side; i < centre + side; i++) own += x[i] * x[i];
        int best = 1;
        for (int k = 0; k < n; k++) {
            int d = low + k;
            double both = 0, other = 1e-30;
            for (int i = centre - side; i < centre + side; i++) {
                double v = x[i + d];
                both += x[i] * v;
                other += v * v;
            }
            double astray = (d - lag) / range;
            likeness[k] = both / Math.sqrt(own * other) - off * astray * astray;
            if (k > 0 && k < n - 1 && likeness[k] > likeness[best]) best = k;
        }
        double a = likeness[best - 1], b = likeness[best], c = likeness[best + 1];
        double bow = a - 2 * b + c;
        double shift = bow < 0 ? Math.max(-0.5, Math.min(0.5, (a - c) / (2 * bow))) : 0;
        alike = b;
        return low + best + shift;
    }

    /** How far behind a mark the energy of its period lies, in samples; less where it is spread over the period. */
    private double offCentre(double at, double period) {
        double turn = 2 * Math.PI * factor / period;
        int centre = (int) Math.round((at - start) / factor), side = (int) Math.round(0.5 * period / factor);
        double re = StrictMath.cos(turn), im = StrictMath.sin(turn);
        double c = StrictMath.cos(-turn * side), s = StrictMath.sin(-turn * side);
        double all = 1e-30, across = 0;
        for (int i = centre - side; i < centre + side; i++) {
            double e = change(i);
            all += e;
            across += e * s;
            double t = c * re - s * im;
            s = c * im + s * re;
            c = t;
        }
        return across / all * period / (2 * Math.PI);
    }

    /** Makes sure that what lies around a place is heard. */
    private void hear(double at) {
        if (at >= start + settle + margin && at + margin < start + full.length) return;
        start = (long) Math.floor(at) - settle - margin;
        start -= Math.floorMod(start, (long) factor);
        Cascade rumble = new Cascade(Biquad.highPass(sound.rate(), RUMBLE, Biquad.BUTTERWORTH));
        Decimator decimator = new Decimator(factor, BLOCK);
        int held = 0;
        for (int i = 0; i < full.length; i += BLOCK) {
            int n = Math.min(BLOCK, full.length - i);
            sound.read(start + i, read, n);
            for (int k = 0; k < n; k++) {
                double sum = 0;
                for (double[] channel : read) sum += channel[k];
                block[k] = sum / read.length;
            }
            rumble.process(block, n);
            System.arraycopy(block, 0, full, i, n);
            held += decimator.decimate(block, n, slow, held);
        }
        Arrays.fill(slow, held, slow.length, 0);
    }
}

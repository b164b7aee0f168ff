package linnet.step.builtin;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import linnet.dsp.Decibels;
import linnet.dsp.Samples;
import linnet.dsp.filter.Biquad;
import linnet.hear.Ear;
import linnet.hear.Sung;

/** Clicks of known shape, laid on a voice at known places. */
final class MouthClicks {
    enum Place { VOWEL, CONSONANT, PAUSE }

    /**
     * @param over level of its peak in dB over the peak of what the voice has above 1 kHz within 10 ms, or over 24 dB below the sung level if
     *     that is more
     * @param added its samples
     */
    record Laid(Place place, double over, int at, double[] added) {
        int end() {
            return at + added.length;
        }

        double energy() {
            double sum = 0;
            for (double v : added) sum += v * v;
            return sum;
        }
    }

    private static final double QUIETEST = -24, APART = 0.15, LEAST_ROOM = 0.1;

    private final Samples take;
    private final double[] x, high;
    private final Ear ear;
    private final Sung sung;
    private final double voice;
    private final SplittableRandom random;

    private MouthClicks(Samples take, long seed) {
        this.take = take;
        x = take.data()[0];
        ear = new Ear(take);
        sung = ear.sung().value().orElseThrow();
        voice = Decibels.gain(ear.voice().value().orElseThrow());
        random = new SplittableRandom(seed);
        high = x.clone();
        Biquad filter = Biquad.highPass(take.rate(), 1000, Biquad.BUTTERWORTH);
        double s1 = 0, s2 = 0;
        for (int i = 0; i < high.length; i++) {
            double y = filter.b0() * x[i] + s1;
            s1 = filter.b1() * x[i] + s2 - filter.a1() * y;
            s2 = filter.b2() * x[i] - filter.a2() * y;
            high[i] = y;
        }
    }

    /** Half of them in vowels, a sixth in consonants, a third in pauses and breaths; lengths from 0.5 to 5 ms, even in their logarithm. */
    static List<Laid> on(Samples take, int count, double[] levels, long seed) {
        MouthClicks clicks = new MouthClicks(take, seed);
        List<Laid> laid = new ArrayList<>();
        for (int tries = 0; laid.size() < count && tries < 200_000; tries++) clicks.tryOne(laid, levels);
        return laid;
    }

    private void tryOne(List<Laid> laid, double[] levels) {
        Place wanted = switch (laid.size() % 6) {
            case 0, 2, 4 -> Place.VOWEL;
            case 1 -> Place.CONSONANT;
            default -> Place.PAUSE;
        };
        // A take of one long vowel has nothing else.
        if (sung.count() > 0.9 * sung.frames()) wanted = Place.VOWEL;
        double rate = take.rate();
        int at = random.nextInt((int) (LEAST_ROOM * rate), x.length - (int) (LEAST_ROOM * rate));
        if (place(at) != wanted || laid.stream().anyMatch(o -> Math.abs(o.at - at) < APART * rate)) return;
        double over = levels[random.nextInt(levels.length)];
        double[] added = shape(0.0005 * StrictMath.pow(10, random.nextDouble()), random.nextInt(4));
        double gain = Math.max(peak(at), voice * Decibels.gain(QUIETEST)) * Decibels.gain(over);
        for (int i = 0; i < added.length; i++) added[i] *= gain;
        laid.add(new Laid(wanted, over, at, added));
    }

    private Place place(int at) {
        int hop = ear.pitch().hop(), f = at / hop, voiced = 0;
        boolean near = false;
        for (int i = f - 3; i <= f + 3; i++) if (ear.pitch().voiced(i)) voiced++;
        for (int i = f - 10; i <= f + 10; i++) near |= sung.frame(i);
        if (voiced == 7) return Place.VOWEL;
        double around = rms(at - 2 * hop, at + 2 * hop);
        if (voiced == 0 && !near && around < 0.1 * voice) return Place.PAUSE;
        return near && !ear.pitch().voiced(f) && !ear.pitch().voiced(f + 1) && around > 0.02 * voice ? Place.CONSONANT : null;
    }

    private double rms(int from, int to) {
        double sum = 0;
        for (int i = from; i < to; i++) sum += x[i] * x[i];
        return Math.sqrt(sum / (to - from));
    }

    private double peak(int at) {
        int near = (int) (0.01 * take.rate());
        double peak = 0;
        for (int i = at - near; i < at + near; i++) peak = Math.max(peak, Math.abs(high[i]));
        return peak;
    }

    /** Two rings, one ring, hiss in a band, or a ring struck twice; peak 1. */
    private double[] shape(double seconds, int kind) {
        double rate = take.rate();
        double[] c = new double[Math.max(4, (int) Math.round(seconds * rate))];
        double low = random.nextDouble(1500, 3500), high = random.nextDouble(4000, 7500), middle = random.nextDouble(2000, 6000);
        double radius = StrictMath.exp(-Math.PI * 2500 / rate), turn = 2 * Math.PI * middle / rate, y1 = 0, y2 = 0, peak = 0;
        for (int i = 0; i < c.length; i++) {
            double t = i / rate, end = ease((seconds - t) / (0.2 * seconds)), dying = StrictMath.exp(-4 * t / seconds);
            double ring = StrictMath.sin(2 * Math.PI * middle * t);
            if (kind == 0) c[i] = (StrictMath.sin(2 * Math.PI * low * t) + 0.7 * StrictMath.sin(2 * Math.PI * high * t)) * dying * end;
            if (kind == 1) c[i] = ring * dying * end * Math.min(1, t / 0.0001);
            if (kind == 2) {
                double y = random.nextGaussian() + 2 * radius * StrictMath.cos(turn) * y1 - radius * radius * y2;
                y2 = y1;
                y1 = y;
                c[i] = (y1 - y2) * dying * end;
            }
            if (kind == 3) {
                double again = t - 0.45 * seconds;
                c[i] = ring * (StrictMath.exp(-10 * t / seconds) + (again > 0 ? 0.7 * StrictMath.exp(-8 * again / seconds) : 0)) * end;
            }
            peak = Math.max(peak, Math.abs(c[i]));
        }
        for (int i = 0; i < c.length; i++) c[i] /= peak;
        return c;
    }

    private static double ease(double t) {
        double held = Math.max(0, Math.min(1, t));
        return held * held * (3 - 2 * held);
    }
}

package linnet.hear;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import linnet.dsp.Approximation;

/**
 * The long-term spectral envelope of a voice, read only where the voice has harmonics. A plain average spectrum of a song
 * peaks at the notes that are sung often; here each harmonic says how strong the voice is at its frequency, and what matters is the
 * mean of what they say, not how many spoke. Gaps between them (a held note leaves some) are bridged straight in dB per
 * octave, so that a tilted spectrum shows no steps.
 */
final class Envelope {
    private static final double LOWEST = 150, HIGHEST = 7000;
    private static final int PER_OCTAVE = 24;
    private static final int BINS = (int) Math.ceil(PER_OCTAVE * log2(HIGHEST / LOWEST));
    /**
     * Where resonances are looked for: the zones of mud, box and nose, where standing cuts are common practice. Higher, near 3 kHz, the
     * voice's own ring stands out most of all, and is what carries it.
     */
    private static final double FROM = 200, TO = 2000;
    /** In octaves. Rooms and microphones ring in a narrow place whatever is sung; formants move with the vowels and come out broad. */
    private static final double WIDEST = 0.4;
    /** Half width of the fine smoothing, in bins: a sixth of an octave between the points of half weight. */
    private static final int FINE = 4;
    /** Half width of the smoothing that resonances stand out from: an octave between the points of half weight. */
    private static final int COARSE = 24;
    private static final double LEAST_HEIGHT = 1;
    private static final int LEAST_READINGS = 3;
    private static final double LEAST_FRAMES = 0.005;

    /** Power, that is: 10 log10 2. */
    private static final double DB_PER_OCTAVE = 10 * StrictMath.log10(2);

    private final double binHz, highest;
    private final double[] sum = new double[BINS];
    private final int[] readings = new int[BINS];
    private int frames;

    /** @param binHz from one bin of the spectra to the next */
    Envelope(double binHz, int bins) {
        this.binHz = binHz;
        highest = Math.min(HIGHEST, (bins - 3) * binHz);
    }

    /** Reads the harmonics of that pitch from a power spectrum. */
    void add(double[] power, double pitch) {
        double total = 0;
        for (int k = (int) (LOWEST / binHz); k * binHz < highest; k++) total += power[k];
        if (total <= 0) return;
        frames++;
        // A pitch a little wrong is far wrong at a high harmonic: the peak is looked for within a quarter of the spacing.
        int reach = Math.max(1, (int) (pitch / 4 / binHz));
        for (int h = (int) Math.ceil(LOWEST / pitch); h * pitch < highest - pitch / 4; h++) {
            int centre = (int) Math.round(h * pitch / binHz), peak = centre;
            for (int k = centre - reach; k <= centre + reach; k++) if (power[k] > power[peak]) peak = k;
            double strength = power[peak - 1] + power[peak] + power[peak + 1];
            int bin = (int) Math.floor(PER_OCTAVE * Approximation.log2(h * pitch / LOWEST));
            if (strength <= 0 || bin < 0 || bin >= BINS) continue;
            sum[bin] += DB_PER_OCTAVE * Approximation.log2(strength / total);
            readings[bin]++;
        }
    }

    int frames() {
        return frames;
    }

    /**
     * What stands out by 1 dB or more in a narrow place, highest first; the smaller of two that no dip to half its height divides is
     * left out.
     */
    List<Resonance> resonances() {
        double[] db = bridged();
        if (db.length == 0) return List.of();
        double[] fine = smoothed(db, FINE), coarse = smoothed(db, COARSE);
        double[] height = new double[BINS];
        for (int i = 0; i < BINS; i++) height[i] = fine[i] - coarse[i];
        List<Resonance> found = new ArrayList<>();
        for (int i = 1; i < BINS - 1; i++) {
            if (height[i] < LEAST_HEIGHT || height[i] < height[i - 1] || height[i] <= height[i + 1]) continue;
            double a = height[i - 1], b = height[i], c = height[i + 1];
            double shift = (a - c) / (2 * (a - 2 * b + c));
            double hz = hz(i + shift), top = b - (a - c) * shift / 4;
            if (hz < FROM || hz > TO || !standsAlone(height, i)) continue;
            double width = width(height, i, top);
            if (width <= WIDEST) found.add(new Resonance(hz, width, top));
        }
        found.sort(Comparator.comparingDouble(Resonance::height).reversed());
        return found;
    }

    private static boolean standsAlone(double[] height, int peak) {
        for (int step = -1; step <= 1; step += 2) {
            for (int i = peak; i >= 0 && i < BINS && height[i] > height[peak] / 2; i += step) {
                if (height[i] > height[peak]) return false;
            }
        }
        return true;
    }

    /** Mean dB per bin; bins that too few harmonics met lie on the line between their neighbours. Empty if none is met. */
    private double[] bridged() {
        double[] db = new double[BINS];
        int last = -1;
        for (int i = 0; i < BINS; i++) {
            if (readings[i] < Math.max(LEAST_READINGS, LEAST_FRAMES * frames)) continue;
            db[i] = sum[i] / readings[i];
            for (int k = last + 1; k < i; k++) {
                db[k] = last < 0 ? db[i] : db[last] + (db[i] - db[last]) * (k - last) / (i - last);
            }
            last = i;
        }
        if (last < 0) return new double[0];
        for (int k = last + 1; k < BINS; k++) db[k] = db[last];
        return db;
    }

    /** A straight line fitted around each bin under a Hann window: near an end, a mean would lean towards the middle. */
    private static double[] smoothed(double[] db, int half) {
        double[] smooth = new double[db.length];
        for (int i = 0; i < db.length; i++) {
            double w0 = 0, w1 = 0, w2 = 0, y0 = 0, y1 = 0;
            for (int d = -half + 1; d < half; d++) {
                if (i + d < 0 || i + d >= db.length) continue;
                double w = 1 + StrictMath.cos(Math.PI * d / half);
                w0 += w;
                w1 += w * d;
                w2 += w * d * d;
                y0 += w * db[i + d];
                y1 += w * d * db[i + d];
            }
            smooth[i] = (w2 * y0 - w1 * y1) / (w0 * w2 - w1 * w1);
        }
        return smooth;
    }

    /** Octaves between the points of half height. */
    private static double width(double[] height, int peak, double top) {
        double low = peak, high = peak;
        for (int i = peak; i > 0 && low == peak; i--) {
            if (height[i - 1] < top / 2) low = i - (height[i] - top / 2) / (height[i] - height[i - 1]);
        }
        for (int i = peak; i < BINS - 1 && high == peak; i++) {
            if (height[i + 1] < top / 2) high = i + (height[i] - top / 2) / (height[i] - height[i + 1]);
        }
        return (high - low) / PER_OCTAVE;
    }

    private static double hz(double bin) {
        return LOWEST * StrictMath.pow(2, (bin + 0.5) / PER_OCTAVE);
    }

    private static double log2(double x) {
        return StrictMath.log(x) / StrictMath.log(2);
    }
}

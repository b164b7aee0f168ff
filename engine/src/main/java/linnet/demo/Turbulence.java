package linnet.demo;

import static java.lang.StrictMath.PI;
import static java.lang.StrictMath.exp;
import static java.lang.StrictMath.sin;
import static linnet.demo.Track.ease;
import static linnet.dsp.Decibels.gain;

import java.util.List;
import java.util.function.DoubleUnaryOperator;

/** All that is no voice: hiss of the fricatives, bursts, breaths, clicks of the mouth, pops of air on the microphone. */
final class Turbulence {
    private static final List<Phone.Band> INTAKE =
            List.of(new Phone.Band(1000, 900, -3), new Phone.Band(1900, 900, 0), new Phone.Band(3300, 1500, -3),
                    new Phone.Band(6500, 4000, -6));

    private final double rate;
    private final double[] out;

    Turbulence(double rate, double[] out) {
        this.rate = rate;
        this.out = out;
    }

    /** A fricative or a burst at {@code db}, RMS; it swells for a fricative and dies away for a burst. */
    void consonant(Truth.Sound s, double scale, double db, Noise noise) {
        double length = s.end() - s.start();
        if (s.part() == Truth.Part.BURST) {
            // The ring of the burst outlasts the release: it fades into the breath behind it.
            noise(s.start(), s.end() + 0.02, List.of(s.phone().bands()), scale, db,
                    t -> ease(t / 0.0008) * exp(-t / (0.5 * length)), noise);
        } else {
            double edge = Math.min(0.035, 0.4 * length);
            noise(s.start() - 0.01, s.end() + 0.01, List.of(s.phone().bands()), scale, db,
                    t -> ease(t / edge) * ease((length + 0.02 - t) / edge), noise);
        }
    }

    /** Air drawn in: rising, then cut off as the voice sets in. */
    void breath(Truth.Event e, double scale, Noise noise) {
        double length = e.end() - e.start();
        noise(e.start(), e.end(), INTAKE, scale, e.db(),
                t -> ease(t / (0.65 * length)) * ease((length - t) / (0.25 * length)), noise);
    }

    /** Wet lips and tongue: two short rings. */
    void click(Truth.Event e, Noise noise) {
        double length = e.end() - e.start();
        double f1 = noise.between(1500, 3500);
        double f2 = noise.between(4000, 7500);
        ring(e, t -> (sin(2 * PI * f1 * t) + 0.7 * sin(2 * PI * f2 * t)) * exp(-4 * t / length) * ease((length - t) / (0.2 * length)));
    }

    /** A puff of air on the diaphragm. */
    void pop(Truth.Event e, Noise noise) {
        double length = e.end() - e.start();
        double hz = noise.between(28, 48);
        ring(e, t -> sin(2 * PI * hz * t * (1 - 0.3 * t / length)) * ease(t / 0.006) * exp(-3.5 * t / length)
                * ease((length - t) / (0.4 * length)));
    }

    /** A shape laid on with its peak at the level of the event. */
    private void ring(Truth.Event e, DoubleUnaryOperator shape) {
        int from = (int) StrictMath.ceil(e.start() * rate);
        double[] x = new double[Math.max(1, (int) ((e.end() - e.start()) * rate))];
        double peak = 0;
        for (int i = 0; i < x.length; i++) {
            x[i] = shape.applyAsDouble((from + i) / rate - e.start());
            peak = Math.max(peak, Math.abs(x[i]));
        }
        add(x, from, gain(e.db()) / peak);
    }

    /** White noise through bands side by side, with its RMS over the span at {@code db}. */
    private void noise(double start, double end, List<Phone.Band> bands, double scale, double db, DoubleUnaryOperator shape, Noise noise) {
        int from = (int) StrictMath.ceil(start * rate);
        double[] x = new double[Math.max(1, (int) ((end - start) * rate))];
        double[] sum = new double[x.length];
        for (Phone.Band b : bands) {
            Resonator r = new Resonator(rate, Math.min(b.hz() * scale, 0.42 * rate), b.bandwidthHz() * scale);
            // A resonator passes the lows as well; the difference of the noise takes them away.
            double before = 0;
            for (int i = 0; i < x.length; i++) {
                double white = noise.next();
                x[i] = white - before;
                before = white;
            }
            r.resonate(x, 0, x.length);
            double power = 0;
            for (double v : x) power += v * v;
            double g = gain(b.db()) / Math.sqrt(power / x.length + 1e-30);
            for (int i = 0; i < x.length; i++) sum[i] += g * x[i];
        }
        double power = 0;
        for (int i = 0; i < sum.length; i++) {
            sum[i] *= shape.applyAsDouble((from + i) / rate - start);
            power += sum[i] * sum[i];
        }
        add(sum, from, gain(db) / Math.sqrt(power / sum.length + 1e-30));
    }

    private void add(double[] x, int from, double g) {
        for (int i = Math.max(0, -from); i < x.length && from + i < out.length; i++) out[from + i] += g * x[i];
    }
}

package linnet.dsp.dynamics;

import linnet.dsp.Approximation;
import linnet.dsp.Cell;
import linnet.dsp.filter.Biquad;

/** The level that a detector hears: of the louder of the channels, above a frequency, by held peaks or as RMS; in dB. */
final class Key {
    /** Averaging time of the RMS: a period of a low voice. */
    private static final double RMS_MS = 10;

    /** Null where all of the key is heard. */
    private final HighPass leftPass, rightPass;
    /** Null for the RMS. */
    private final HeldPeak peak;
    private final double pole;
    private double mean;
    private final double[] heard = new double[Cell.LENGTH];
    private final double[] right = new double[Cell.LENGTH];
    private final double[] scratch = new double[Cell.LENGTH];

    Key(double rate, Compression law) {
        leftPass = law.keyHighPassHz() > 0 ? new HighPass(rate, law.keyHighPassHz()) : null;
        rightPass = law.keyHighPassHz() > 0 ? new HighPass(rate, law.keyHighPassHz()) : null;
        peak = law.level() == Compression.Level.PEAK ? new HeldPeak(rate, law.holdMs()) : null;
        pole = Ballistics.pole(RMS_MS, rate);
    }

    /** Fills {@code db}, another array. */
    void process(double[] x, double[] db, int n) {
        if (leftPass != null) {
            leftPass.process(x, heard, n);
            x = heard;
        }
        detect(x, db, n);
    }

    /** Of both channels, linked. */
    void process(double[] l, double[] r, double[] db, int n) {
        if (leftPass != null) {
            leftPass.process(l, heard, n);
            rightPass.process(r, right, n);
            l = heard;
            r = right;
        }
        for (int i = 0; i < n; i++) heard[i] = Math.max(Math.abs(l[i]), Math.abs(r[i]));
        detect(heard, db, n);
    }

    private void detect(double[] x, double[] db, int n) {
        if (peak != null) {
            peak.process(x, db, n);
            return;
        }
        mean = meanSquare(x, db, n, pole, mean);
        Approximation.decibels(db, db, scratch, n);
        for (int i = 0; i < n; i++) db[i] *= 0.5; // they are of a square
    }

    void settle() {
        if (leftPass != null) {
            leftPass.settle();
            rightPass.settle();
        }
        mean = Cell.settled(mean);
    }

    /** Whether silence is all it hears and remembers; at the border of a cell. */
    boolean rests() {
        return mean == 0 && (peak == null || peak.rests()) && (leftPass == null || leftPass.rests() && rightPass.rests());
    }

    private static double meanSquare(double[] x, double[] squares, int n, double a, double m) {
        double b = 1 - a;
        for (int i = 0; i < n; i++) {
            m = a * m + b * (x[i] * x[i]);
            squares[i] = m;
        }
        return m;
    }

    /**
     * 12 dB/oct, Butterworth, in direct form I. Numerator and denominator {@code 1 + a1/z + a2/z²} are both multiplied by {@code 1 - a1/z + a2/z²}:
     * of the denominator that leaves {@code 1 + (2 a2 - a1²)/z² + a2²/z⁴}, so that a sample waits for the one before the last instead of
     * the last, and the filter takes half the time. What is added has its zeros inside the unit circle, as far in as the poles.
     *
     * <p>Source: K. Parhi, D. Messerschmitt, "Pipeline interleaving and parallelism in recursive digital filters", IEEE Transactions on
     * Acoustics, Speech and Signal Processing 37 (1989), scattered look-ahead; title and year from memory.
     */
    private static final class HighPass {
        private final double gain, a1, a2;
        private double x1, dx1, ddx1, ddx2, y1, y2, y3, y4; // states: the input, its differences and theirs; y before the gain

        HighPass(double rate, double hz) {
            Biquad design = Biquad.highPass(rate, hz, Biquad.BUTTERWORTH);
            gain = design.b0();
            a1 = design.a1();
            a2 = design.a2();
        }

        void process(double[] x, double[] out, int n) {
            double g = gain, b1 = a1, b2 = a2, c2 = 2 * a2 - a1 * a1, c4 = a2 * a2;
            double v1 = x1, d1 = dx1, e1 = ddx1, e2 = ddx2, s1 = y1, s2 = y2, s3 = y3, s4 = y4;
            for (int i = 0; i < n; i++) {
                double v = x[i], d = v - v1, e = d - d1, y = (((e - b1 * e1) + b2 * e2) - c4 * s4) - c2 * s2;
                v1 = v;
                d1 = d;
                e2 = e1;
                e1 = e;
                s4 = s3;
                s3 = s2;
                s2 = s1;
                s1 = y;
                out[i] = g * y;
            }
            x1 = v1;
            dx1 = d1;
            ddx1 = e1;
            ddx2 = e2;
            y1 = s1;
            y2 = s2;
            y3 = s3;
            y4 = s4;
        }

        void settle() {
            x1 = Cell.settled(x1);
            dx1 = Cell.settled(dx1);
            ddx1 = Cell.settled(ddx1);
            ddx2 = Cell.settled(ddx2);
            y1 = Cell.settled(y1);
            y2 = Cell.settled(y2);
            y3 = Cell.settled(y3);
            y4 = Cell.settled(y4);
        }

        boolean rests() {
            return x1 == 0 && dx1 == 0 && ddx1 == 0 && ddx2 == 0 && y1 == 0 && y2 == 0 && y3 == 0 && y4 == 0;
        }
    }
}

package linnet.dsp.dynamics;

import linnet.dsp.Approximation;
import linnet.dsp.Cell;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Cascade;

/** The level that a detector hears: of the louder of the channels, above a frequency, by held peaks or as RMS; in dB. */
final class Key {
    /** Averaging time of the RMS: a period of a low voice. */
    private static final double RMS_MS = 10;

    private final Cascade highPass;
    /** Null for the RMS. */
    private final HeldPeak peak;
    private final double pole;
    private double mean;
    private final double[] heard = new double[Cell.LENGTH];
    private final double[] right = new double[Cell.LENGTH];
    private final double[] scratch = new double[Cell.LENGTH];

    Key(double rate, Compression law) {
        highPass = law.keyHighPassHz() > 0 ? new Cascade(Biquad.highPass(rate, law.keyHighPassHz(), Biquad.BUTTERWORTH)) : null;
        peak = law.level() == Compression.Level.PEAK ? new HeldPeak(law.holdMs() * 1e-3 * rate) : null;
        pole = Ballistics.pole(RMS_MS, rate);
    }

    /** Fills {@code db}, another array. */
    void process(double[] x, double[] db, int n) {
        if (highPass != null) {
            System.arraycopy(x, 0, heard, 0, n);
            highPass.process(heard, n);
            x = heard;
        }
        detect(x, db, n);
    }

    /** Of both channels, linked. */
    void process(double[] l, double[] r, double[] db, int n) {
        if (highPass != null) {
            System.arraycopy(l, 0, heard, 0, n);
            System.arraycopy(r, 0, right, 0, n);
            highPass.process(heard, right, n);
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
        if (highPass != null) highPass.settle();
        mean = Cell.settled(mean);
    }

    private static double meanSquare(double[] x, double[] squares, int n, double a, double m) {
        double b = 1 - a;
        for (int i = 0; i < n; i++) {
            m = a * m + b * (x[i] * x[i]);
            squares[i] = m;
        }
        return m;
    }
}

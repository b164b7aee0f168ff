package linnet.dsp.dynamics;

import linnet.dsp.Cell;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Cascade;

/** What a detector hears: the louder of the channels, above a frequency, as held peaks or as RMS. */
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

    Key(double rate, Compression law) {
        highPass = law.keyHighPassHz() > 0 ? new Cascade(Biquad.highPass(rate, law.keyHighPassHz(), Biquad.BUTTERWORTH)) : null;
        peak = law.level() == Compression.Level.PEAK ? new HeldPeak(law.holdMs() * 1e-3 * rate) : null;
        pole = Ballistics.pole(RMS_MS, rate);
    }

    /** Fills {@code key} with magnitudes, or with mean squares if it {@link #isSquare()}. */
    void process(double[] x, double[] key, int n) {
        if (highPass != null) {
            System.arraycopy(x, 0, heard, 0, n);
            highPass.process(heard, n);
            x = heard;
        }
        detect(x, key, n);
    }

    /** Of both channels, linked. */
    void process(double[] l, double[] r, double[] key, int n) {
        if (highPass != null) {
            System.arraycopy(l, 0, heard, 0, n);
            System.arraycopy(r, 0, right, 0, n);
            highPass.process(heard, right, n);
            l = heard;
            r = right;
        }
        for (int i = 0; i < n; i++) heard[i] = Math.max(Math.abs(l[i]), Math.abs(r[i]));
        detect(heard, key, n);
    }

    private void detect(double[] x, double[] key, int n) {
        if (peak != null) peak.process(x, key, n);
        else mean = meanSquare(x, key, n, pole, mean);
    }

    /** True if it gives squares, whose decibels count half. */
    boolean isSquare() {
        return peak == null;
    }

    void settle() {
        if (highPass != null) highPass.settle();
        mean = Cell.settled(mean);
    }

    private static double meanSquare(double[] x, double[] key, int n, double a, double m) {
        double b = 1 - a;
        for (int i = 0; i < n; i++) {
            m = a * m + b * (x[i] * x[i]);
            key[i] = m;
        }
        return m;
    }
}

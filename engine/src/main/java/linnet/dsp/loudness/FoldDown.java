package linnet.dsp.loudness;

import java.util.Arrays;
import linnet.dsp.Decibels;
import linnet.dsp.spectral.Fft;

/**
 * What a stereo sound loses when both sides are added up for one loudspeaker, band by band: the power of the mean of both sides against the mean of their
 * powers. Sides that are alike lose nothing, sides that have nothing to do with each other 3.01 dB, a side alone 3.01 dB, and sides that are turned against
 * each other all.
 *
 * <p>Third octaves after IEC 61260-1 (base ten) from 100 Hz to 16 kHz, over Hann windows of 8192 samples, half overlapped. Only bands that matter count:
 * those within 30 dB of the loudest.
 */
public final class FoldDown {
    private static final int LENGTH = 8192, FIRST = -10, LAST = 12;
    private static final double MATTERS = 1e-3;

    private final double rate;
    private final Fft fft = new Fft(LENGTH);
    private final double[] window = new double[LENGTH], framed = new double[LENGTH];
    private final double[][] recent = new double[2][LENGTH], re = new double[2][LENGTH / 2 + 1], im = new double[2][LENGTH / 2 + 1];
    private final double[] sides = new double[LENGTH / 2 + 1], sum = new double[LENGTH / 2 + 1];
    private int filled;

    public FoldDown(double rate) {
        this.rate = rate;
        for (int i = 0; i < LENGTH; i++) window[i] = 0.5 - 0.5 * StrictMath.cos(2 * Math.PI * i / LENGTH);
    }

    /** Hears the next {@code n} samples of both sides. */
    public void add(double[][] x, int n) {
        for (int done = 0; done < n; ) {
            int m = Math.min(n - done, LENGTH - filled);
            for (int c = 0; c < 2; c++) System.arraycopy(x[c], done, recent[c], filled, m);
            filled += m;
            done += m;
            if (filled < LENGTH) return;
            hear();
            for (double[] side : recent) System.arraycopy(side, LENGTH / 2, side, 0, LENGTH / 2);
            filled = LENGTH / 2;
        }
    }

    private void hear() {
        for (int c = 0; c < 2; c++) {
            for (int i = 0; i < LENGTH; i++) framed[i] = window[i] * recent[c][i];
            fft.forward(framed, re[c], im[c]);
        }
        for (int k = 0; k < sum.length; k++) {
            double a = re[0][k], b = im[0][k], c = re[1][k], d = im[1][k];
            sides[k] += 0.5 * (a * a + b * b + c * c + d * d);
            sum[k] += 0.25 * ((a + c) * (a + c) + (b + d) * (b + d));
        }
    }

    /**
     * What one band loses.
     *
     * @param hz its centre
     * @param db 0 or more
     */
    public record Loss(double hz, double db) {}

    /** The band that loses most; 0 dB where nothing sounds. */
    public Loss worst() {
        double[] before = bands(sides), after = bands(sum);
        double loudest = Arrays.stream(before).max().orElse(0);
        Loss worst = new Loss(1000, 0);
        for (int b = 0; b < before.length; b++) {
            if (before[b] <= MATTERS * loudest) continue;
            double db = -Decibels.ofPower(Math.max(1e-12, after[b] / before[b]));
            if (db > worst.db) worst = new Loss(1000 * StrictMath.pow(10, (FIRST + b) / 10.0), db);
        }
        return worst;
    }

    private double[] bands(double[] power) {
        double[] bands = new double[LAST - FIRST + 1];
        double half = StrictMath.pow(10, 0.05);
        for (int b = 0; b < bands.length; b++) {
            double centre = 1000 * StrictMath.pow(10, (FIRST + b) / 10.0);
            int from = (int) Math.ceil(centre / half * LENGTH / rate), to = (int) Math.min(power.length, Math.ceil(centre * half * LENGTH / rate));
            for (int k = from; k < to; k++) bands[b] += power[k];
        }
        return bands;
    }
}

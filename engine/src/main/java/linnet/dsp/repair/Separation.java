package linnet.dsp.repair;

import java.util.Arrays;

/**
 * Parts a click from the voice under it. Both are taken for autoregressive processes: the voice for what it is beside the click, the
 * click for noise between 1 and 10 kHz under an envelope of its own. The most likely click is the one that makes the sum of both errors
 * least, each in its own measure; the envelope is read from it and it is solved again. Where the envelope goes to infinity this is
 * interpolation; where the click is weak, or out of its band, most of the take is kept. So it changes less than interpolation does,
 * and can be wide without harm. The theory of noise added to an autoregressive sound: S. Godsill, P. Rayner, "Digital Audio
 * Restoration", 1998; the click's own model is this house's.
 */
final class Separation {
    private static final int ORDER = 8, FREQUENCIES = 512;
    /** In Hz: common figures for mouth clicks. They may have a little outside. */
    private static final double LOW = 1000, HIGH = 10_000, OUTSIDE = 1e-4;
    /** Of the envelope, beside its peak. */
    private static final double LEAST = 0.02;
    private static final double SMOOTH_SECONDS = 0.0002;
    /** The first guess of the click's power beside all that stands there: it should not tie the first solution down. */
    private static final double LOOSE = 4;
    private static final double SILENT = 1e-30;

    private final double[] whitening = new double[ORDER + 1];
    private final int smooth;

    /** @param rate in Hz */
    Separation(double rate) {
        smooth = Math.max(2, (int) (SMOOTH_SECONDS * rate));
        double[] r = new double[ORDER + 1];
        for (int k = 0; k < FREQUENCIES; k++) {
            double share = (k + 0.5) / FREQUENCIES, hz = share * rate / 2;
            double low = hz / LOW, high = hz / HIGH;
            double density = low * low / (1 + low * low) / (1 + high * high * high * high) + OUTSIDE;
            for (int j = 0; j <= ORDER; j++) r[j] += density * StrictMath.cos(Math.PI * share * j);
        }
        Levinson.predict(r, whitening, new double[ORDER + 1]);
    }

    /**
     * The click in {@code x[from … to - 1]}.
     *
     * @param rounds how often it is solved, 1 or more
     * @return null where it cannot be told
     */
    double[] click(double[] x, int from, int to, Autoregression voice, int rounds) {
        Equations damage = voice.around(x, from, to, x.length);
        double[] click = Arrays.copyOfRange(x, from, to), envelope = new double[to - from];
        Arrays.fill(envelope, 1);
        double power = LOOSE * power(click, envelope);
        for (int round = 0; round < rounds; round++) {
            if (!(power > SILENT)) return null;
            Equations both = damage.copy();
            tie(both, envelope, voice.variance() / power);
            click = both.solved(0);
            if (click == null) return null;
            envelope = envelope(click);
            double peak = peak(envelope);
            for (int i = 0; i < envelope.length; i++) envelope[i] = peak > 0 ? Math.max(LEAST, envelope[i] / peak) : 1;
            power = power(click, envelope);
        }
        return click;
    }

    /** Adds the click's own error, with silence before and after. */
    private void tie(Equations equations, double[] envelope, double weight) {
        int m = envelope.length;
        for (int i = 0; i < m; i++) {
            for (int j = Math.max(0, i - ORDER); j <= i; j++) {
                double sum = 0;
                for (int k = 0; k + i - j <= ORDER; k++) sum += whitening[k] * whitening[k + i - j];
                equations.add(i, j, weight * sum / (envelope[i] * envelope[j]));
            }
        }
    }

    /** Mean square of the white noise that, coloured and under this envelope, is this click. */
    private double power(double[] click, double[] envelope) {
        double sum = 0;
        int m = click.length;
        for (int n = 0; n < m + ORDER; n++) {
            double white = 0;
            for (int i = Math.max(0, n - ORDER); i <= Math.min(m - 1, n); i++) white += whitening[n - i] * click[i] / envelope[i];
            sum += white * white;
        }
        return sum / m;
    }

    /** RMS over 0.4 ms around each sample. */
    double[] envelope(double[] click) {
        int m = click.length;
        double[] sum = new double[m + 1], envelope = new double[m];
        for (int i = 0; i < m; i++) sum[i + 1] = sum[i] + click[i] * click[i];
        for (int i = 0; i < m; i++) {
            int from = Math.max(0, i - smooth), to = Math.min(m, i + smooth + 1);
            envelope[i] = Math.sqrt(Math.max(0, sum[to] - sum[from]) / (to - from));
        }
        return envelope;
    }

    static double peak(double[] x) {
        double peak = 0;
        for (double v : x) peak = Math.max(peak, v);
        return peak;
    }
}

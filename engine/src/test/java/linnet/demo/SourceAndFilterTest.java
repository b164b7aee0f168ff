package linnet.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.spectral.Fft;
import org.apache.commons.math3.analysis.solvers.LaguerreSolver;
import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.api.Test;

/** The models against numbers worked out apart from this code, and a held vowel against its own formants. */
class SourceAndFilterTest {
    /** The equations of the LF model solved by a general root finder (scipy brentq), T0 = Ee = 1. */
    @Test
    void pulseSolvesTheModel() {
        Pulse usual = Pulse.of(0.41, 0.60, 0.03);
        assertEquals(33.333279, usual.eps(), 1e-6);
        assertEquals(1.742869, usual.a(), 1e-6);
        assertEquals(0.353772, usual.e0(), 1e-6);
        Pulse sharp = Pulse.of(0.40, 0.55, 0.01);
        assertEquals(100.0, sharp.eps(), 1e-6);
        assertEquals(3.647092, sharp.a(), 1e-6);
        assertEquals(0.145624, sharp.e0(), 1e-6);
        Pulse rd = Pulse.ofRd(1);
        assertEquals(0.4844, rd.tp(), 1e-4);
        assertEquals(0.6500, rd.te(), 1e-4);
        assertEquals(0.0380, rd.ta(), 1e-4);
    }

    /** Impulse response against the closed form of the recursion; unity at 0 Hz, 18.4468 dB at the peak. */
    @Test
    void resonatorHasItsGain() {
        Resonator r = new Resonator(48_000, 500, 60);
        double[] x = new double[48_000];
        x[0] = 1;
        r.resonate(x, 0, x.length);
        assertEquals(0.00428073135638363, x[0], 1e-15);
        assertEquals(0.00428073135638363 * 1.98789604893618, x[1], 1e-15);
        double sum = 0;
        double re = 0;
        double im = 0;
        for (int i = 0; i < x.length; i++) {
            sum += x[i];
            re += x[i] * Math.cos(2 * Math.PI * 500 * i / 48_000);
            im += x[i] * Math.sin(2 * Math.PI * 500 * i / 48_000);
        }
        assertEquals(1, sum, 1e-9);
        assertEquals(18.4468, 20 * Math.log10(Math.hypot(re, im)), 0.01);
    }

    @Test
    void antiresonatorUndoesTheResonator() {
        double[] x = new double[4000];
        for (int i = 0; i < x.length; i++) x[i] = Math.sin(0.3 * i * i);
        double[] y = x.clone();
        new Resonator(48_000, 900, 120).tune(1400, 80).resonate(y, 0, y.length);
        new Resonator(48_000, 900, 120).tune(1400, 80).antiresonate(y, 0, y.length);
        for (int i = 0; i < x.length; i++) assertEquals(x[i], y[i], 1e-9);
    }

    /**
     * Linear prediction on a held C2: autocorrelation method, order rate/1000 + 2 as is usual, so 14 at 12 kHz. A low note,
     * because harmonics far apart pull the estimate to themselves.
     */
    @Test
    void heldVowelHasItsFormants() {
        for (Phone vowel : List.of(Phone.A, Phone.EH, Phone.AE, Phone.UH)) {
            Singer singer = new Singer(0.1, 0, 5.6, 0, 0.004, 0.01, -20, 3);
            Score.Note note = new Score.Note(36, 6, List.of(), vowel, vowel, List.of(), 0, 0, false);
            Score score = new Score("one note", 120, 4, "A", 3, List.of(new Score.Phrase(2, "held", 0.4, "", List.of(note))));
            Performance p = Performance.sing(score, singer, Room.dry(), 48_000);
            List<Double> found = formants(p.samples(), (int) (2.2 * 48_000));
            for (int f = 0; f < 4; f++) {
                double hz = vowel.formant(f, singer.tract());
                double nearest = found.stream().min((a, b) -> Double.compare(Math.abs(a - hz), Math.abs(b - hz))).orElseThrow();
                assertEquals(hz, nearest, 0.05 * hz, vowel + " F" + (f + 1) + " of " + found);
            }
        }
    }

    private static List<Double> formants(double[] x, int from) {
        int order = 14;
        int count = 4800;
        double[] y = new double[count];
        double[] h = new double[129];
        for (int k = 0; k < h.length; k++) {
            double t = (k - 64) / 4.0;
            h[k] = (t == 0 ? 1 : Math.sin(0.95 * Math.PI * t) / (0.95 * Math.PI * t)) * (0.54 + 0.46 * Math.cos(Math.PI * (k - 64) / 64));
        }
        double before = 0;
        for (int i = 0; i < count; i++) {
            double sum = 0;
            for (int k = 0; k < h.length; k++) sum += h[k] * x[from + 4 * i + k];
            y[i] = (sum - 0.95 * before) * (0.54 - 0.46 * Math.cos(2 * Math.PI * i / (count - 1)));
            before = sum;
        }
        double[] r = new double[order + 1];
        for (int lag = 0; lag <= order; lag++) for (int i = lag; i < count; i++) r[lag] += y[i] * y[i - lag];
        double[] a = levinson(r);
        double[] ascending = new double[order + 1];
        for (int k = 0; k <= order; k++) ascending[order - k] = a[k];
        List<Double> found = new ArrayList<>();
        for (Complex z : new LaguerreSolver().solveAllComplex(ascending, 0.1)) {
            double bandwidth = -Math.log(z.abs()) * 12_000 / Math.PI;
            double hz = z.getArgument() * 12_000 / (2 * Math.PI);
            if (hz > 150 && bandwidth < 500) found.add(hz);
        }
        return found;
    }

    private static double[] levinson(double[] r) {
        int order = r.length - 1;
        double[] a = new double[order + 1];
        a[0] = 1;
        double error = r[0];
        for (int m = 1; m <= order; m++) {
            double k = r[m];
            for (int i = 1; i < m; i++) k += a[i] * r[m - i];
            k = -k / error;
            double[] next = a.clone();
            for (int i = 1; i <= m; i++) next[i] = a[i] + k * a[m - i];
            a = next;
            error *= 1 - k * k;
        }
        return a;
    }

    /**
     * What folds back would lie between the harmonics. On a steady 1001.3 Hz without jitter there is less than -75 dB of it,
     * summed over the whole band.
     */
    @Test
    void sourceDoesNotAlias() {
        Singer even = new Singer(0.5, 0, 5, 0, 0, 0, -400, 1);
        Score.Note note = new Score.Note(69, 8, List.of(), Phone.A, Phone.A, List.of(), 0, 0, false);
        Score score = new Score("one note", 120, 4, "A", 3, List.of(new Score.Phrase(0, "held", 0.8, "", List.of(note))));
        Articulation mouth = new Articulation(score, new Diction(score, even), even, score.seconds());
        Track f0 = new Track(score.seconds());
        f0.set(0, 10, 1001.3);
        mouth.voice.set(0, 10, 1);
        mouth.rd.set(0, 10, 0.6);
        double[] x = Larynx.sound(48_000, 96_000, f0, mouth, even, new double[10]);
        int n = 32_768;
        double all = 0;
        double[] rest = new double[n];
        for (int i = 0; i < n; i++) {
            double turn = 2 * Math.PI * i / n;
            double window = 0.35875 - 0.48829 * Math.cos(turn) + 0.14128 * Math.cos(2 * turn) - 0.01168 * Math.cos(3 * turn);
            rest[i] = x[20_000 + i] * window;
        }
        double between = 0;
        Fft fft = new Fft(n);
        double[] re = new double[fft.bins()];
        double[] im = new double[fft.bins()];
        fft.forward(rest, re, im);
        for (int k = 10; k < 22_000.0 / 48_000 * n; k++) {
            double power = re[k] * re[k] + im[k] * im[k];
            double harmonic = k * 48_000.0 / n / 1001.3;
            all += power;
            if (Math.abs(harmonic - Math.rint(harmonic)) * 1001.3 > 10) between += power;
        }
        double db = 10 * Math.log10(between / all);
        assertTrue(db < -75, "between the harmonics: " + db + " dB");
    }
}

package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ResynthesisTest {
    private static final double RATE = 48000;

    @ParameterizedTest
    @ValueSource(doubles = {-700, -200, -100, 100, 200, 700})
    void singsAtTheWantedPitch(double cents) {
        for (double[][] voice : new double[][][] {Vowel.LOW, Vowel.HIGH}) {
            double hz = voice == Vowel.LOW ? 110 : 262;
            for (int v = 0; v < 5; v++) {
                double[] x = new Vowel(RATE, voice[v]).sing(0.6, t -> hz);
                double[] y = shifted(x, cents);
                assertEquals(x.length, y.length);
                PitchTrack after = track(y);
                for (int f = 6; f < 54; f++) assertEquals(cents, cents(after.hz()[f], hz), 3, hz + " Hz, vowel " + v + ", frame " + f);
                assertEquals(cents, cents(steady(y, hz * ratio(cents)), hz), 3, hz + " Hz, vowel " + v);
            }
        }
    }

    /** Noise, vowel, noise: what is no voice keeps its bits, and so does the rest of the take if nothing is bent. */
    @Test
    void leavesWhatHasNoPitchAndWhatIsNotBent() {
        double[] x = line();
        PitchTrack pitch = track(x);
        double[] y = render(new Resynthesis(new Samples(RATE, x), pitch, s -> ratio(150), 1), x.length, 480);
        int bent = 0;
        for (int i = 0; i < x.length; i++) {
            if (!pitch.voiced(i / pitch.hop())) assertEquals(x[i], y[i], 0, "sample " + i);
            else if (x[i] != y[i]) bent++;
        }
        assertTrue(bent > 0.9 * RATE * 0.6, bent + " samples bent");
        assertArrayEquals(x, render(new Resynthesis(new Samples(RATE, x), pitch, s -> 1, 1), x.length, 480));
    }

    /** Bent in the middle only: from one mark after the passage on, everything is as it was. */
    @Test
    void returnsToTheSoundInPhase() {
        double[] x = new Vowel(RATE, Vowel.HIGH[0]).sing(1, t -> 233);
        int from = 20_000, to = 29_000;
        double[] y = render(new Resynthesis(new Samples(RATE, x), track(x), s -> s >= from && s < to ? ratio(60) : 1, 1), x.length, 480);
        int period = (int) (RATE / 233) + 1;
        for (int i = 0; i < x.length; i++) if (i < from - period || i >= to + period) assertEquals(x[i], y[i], 0, "sample " + i);
        PitchTrack after = track(y);
        // The last 0.12 s give or take what is left of a period.
        for (int f = from / 480 + 3; f < (to - 5760) / 480 - 3; f++) assertEquals(60, cents(after.hz()[f], 233), 4, "frame " + f);
        for (int f = 5; f < 95; f++) assertEquals(30, cents(after.hz()[f], 233), 80, "frame " + f);
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 7, 64, 479, 4800})
    void givesTheSameBitsHoweverItIsCut(int cut) {
        double[] x = line();
        PitchTrack pitch = track(x);
        for (double formants : new double[] {1, 1.12}) {
            Bend bend = s -> s % 20_000 < 3000 ? 1 : ratio(80);
            double[] whole = render(new Resynthesis(new Samples(RATE, x), pitch, bend, formants), x.length, x.length);
            Resynthesis pieces = new Resynthesis(new Samples(RATE, x), pitch, bend, formants);
            assertArrayEquals(whole, render(pieces, x.length, cut));
            double[][] again = new double[1][500];
            pieces.read(30_000, again, 500);
            assertArrayEquals(Arrays.copyOfRange(whole, 30_000, 30_500), again[0]);
        }
    }

    @Test
    void bothChannelsMoveAlike() {
        double[] x = line(), quiet = new double[x.length];
        for (int i = 0; i < x.length; i++) quiet[i] = 0.25 * x[i];
        PitchTrack pitch = track(x);
        Resynthesis stereo = new Resynthesis(new Samples(RATE, x, quiet), pitch, s -> ratio(-90), 1);
        double[][] y = new double[2][x.length];
        stereo.read(0, y, x.length);
        for (int i = 0; i < x.length; i++) assertEquals(0.25 * y[0][i], y[1][i], 1e-12);
    }

    /** Noise 0.3 s, a vowel 0.7 s with a vibrato, noise 0.3 s. */
    static double[] line() {
        double[] vowel = new Vowel(RATE, Vowel.LOW[0]).sing(0.7, t -> 147 * ratio(50 * Math.sin(2 * Math.PI * 5.5 * t)));
        double[] x = new double[(int) (1.3 * RATE)];
        Random random = new Random(1);
        for (int i = 0; i < x.length; i++) x[i] = 0.02 * random.nextGaussian();
        int at = (int) (0.3 * RATE);
        for (int i = 0; i < vowel.length; i++) x[at + i] += vowel[i] * Math.min(1, Math.min(i, vowel.length - i) / 960.0);
        return x;
    }

    static double[] shifted(double[] x, double cents) {
        return render(new Resynthesis(new Samples(RATE, x), track(x), s -> ratio(cents), 1), x.length, 480);
    }

    static double[] render(Resynthesis r, int length, int cut) {
        double[] y = new double[length];
        double[][] block = new double[1][cut];
        for (int at = 0; at < length; at += cut) {
            int n = Math.min(cut, length - at);
            r.read(at, block, n);
            System.arraycopy(block[0], 0, y, at, n);
        }
        return y;
    }

    static PitchTrack track(double[] x) {
        PitchTracker tracker = new PitchTracker(RATE, f -> true);
        tracker.add(x, x.length);
        return tracker.finish();
    }

    /** The pitch of the middle 0.3 s: the lag near fifteen periods at which it is most like itself. */
    static double steady(double[] y, double near) {
        int from = (int) (0.15 * RATE), n = (int) (0.15 * RATE);
        double best = 0, at = 0, periods = 15;
        double[] like = new double[(int) (0.04 * periods * RATE / near) + 3];
        int low = (int) (0.98 * periods * RATE / near);
        for (int k = 0; k < like.length; k++) {
            double both = 0, own = 0, other = 0;
            for (int i = from; i < from + n; i++) {
                both += y[i] * y[i + low + k];
                own += y[i] * y[i];
                other += y[i + low + k] * y[i + low + k];
            }
            like[k] = both / Math.sqrt(own * other);
            if (k > 1 && like[k - 1] > best && like[k - 1] > like[k] && like[k - 1] > like[k - 2]) {
                best = like[k - 1];
                double a = like[k - 2], b = like[k - 1], c = like[k];
                at = low + k - 1 + (a - c) / (2 * (a - 2 * b + c));
            }
        }
        return periods * RATE / at;
    }

    static double ratio(double cents) {
        return Math.pow(2, cents / 1200);
    }

    static double cents(double hz, double reference) {
        return 1200 * Math.log(hz / reference) / Math.log(2);
    }
}

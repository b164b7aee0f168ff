package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import linnet.dsp.Samples;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Cascade;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class MarkTrackerTest {
    /** The marks as the class says them, with the whole sound at hand: mean of the channels above 60 Hz, and that below 3 kHz at a lower rate. */
    private static final class Plain {
        static final int BEFORE = 24_000;
        final double rate;
        final int factor;
        final double[] full, slow;
        final PitchTrack pitch;
        double alike;

        Plain(double rate, double[][] x, PitchTrack pitch) {
            this.rate = rate;
            this.pitch = pitch;
            factor = Math.max(1, (int) Math.round(rate / 12000));
            full = new double[x[0].length + 2 * BEFORE];
            for (double[] channel : x) for (int i = 0; i < channel.length; i++) full[BEFORE + i] += channel[i] / x.length;
            new Cascade(Biquad.highPass(rate, 60, Math.sqrt(0.5))).process(full, full.length);
            slow = new double[full.length / factor + 100];
            new Decimator(factor, full.length).decimate(full, full.length, slow, 0);
        }

        double period(double at) {
            double place = at / pitch.hop() - 0.5;
            int f = (int) Math.floor(place);
            double a = heard(f, f + 1), b = heard(f + 1, f);
            return rate / (a + (place - f) * (b - a));
        }

        double heard(int frame, int other) {
            if (pitch.voiced(frame)) return pitch.hz()[frame];
            if (pitch.voiced(other)) return pitch.hz()[other];
            int best = -1;
            for (int f = pitch.frames() - 1; f >= 0; f--) if (pitch.voiced(f) && (best < 0 || Math.abs(f - frame) <= Math.abs(best - frame))) best = f;
            return pitch.hz()[best];
        }

        double change(int i) {
            return Math.pow(slow[i] - slow[i - 1], 2);
        }

        double seed(double at) {
            int first = (int) Math.round((BEFORE + at) / factor), n = (int) Math.round(period(at) / factor), width = Math.max(1, n / 8);
            double best = -1;
            int where = first;
            for (int i = first; i < first + n; i++) {
                double sum = 0;
                for (int k = i - width; k <= i + width; k++) sum += change(k);
                if (sum > best * (1 + 1e-9)) {
                    best = sum;
                    where = i;
                }
            }
            return Math.max(at, (double) where * factor - BEFORE);
        }

        double next(double at, double period) {
            double coarse = lag(slow, (BEFORE + at) / factor, period / factor, period / factor / 8, 0.1);
            if (alike < 0.6) return -1;
            double fine = lag(full, BEFORE + at, coarse * factor, factor + 1, 0), next = at + fine;
            int centre = (int) Math.round((BEFORE + next) / factor), side = (int) Math.round(fine / factor / 2);
            double all = 0, across = 0;
            for (int k = -side; k < side; k++) {
                all += change(centre + k);
                across += change(centre + k) * Math.sin(2 * Math.PI * k * factor / fine);
            }
            return Math.max(at + 0.8125 * period, next + 0.05 * across / all * fine / (2 * Math.PI));
        }

        double lag(double[] x, double place, double lag, double range, double off) {
            int centre = (int) Math.round(place), side = (int) Math.round(lag);
            int low = (int) Math.floor(lag - range) - 1, high = (int) Math.ceil(lag + range) + 1;
            double[] like = new double[high - low + 1];
            int best = 1;
            for (int d = low; d <= high; d++) {
                double both = 0, own = 0, other = 0;
                for (int i = centre - side; i < centre + side; i++) {
                    both += x[i] * x[i + d];
                    own += x[i] * x[i];
                    other += x[i + d] * x[i + d];
                }
                like[d - low] = both / Math.sqrt(own * other) - off * Math.pow((d - lag) / range, 2);
                if (d > low && d < high && like[d - low] > like[best]) best = d - low;
            }
            double a = like[best - 1], b = like[best], c = like[best + 1];
            alike = b;
            return low + best + (a - 2 * b + c < 0 ? Math.max(-0.5, Math.min(0.5, (a - c) / (2 * (a - 2 * b + c)))) : 0);
        }

        List<double[]> follow(long from, long to) {
            List<double[]> runs = new ArrayList<>();
            double at = from;
            while (at < to) {
                at = seed(at);
                List<Double> run = new ArrayList<>();
                boolean over = false;
                while (at < to) {
                    double period = period(at);
                    over = at + period >= to;
                    double next = over ? -1 : next(at, period);
                    if (next < 0) break;
                    run.add(at);
                    at = next;
                }
                if (!run.isEmpty() && at < to) run.add(at);
                if (run.size() >= 5) runs.add(run.stream().mapToDouble(v -> v).toArray());
                if (over) break;
                at += period(at) / 2;
            }
            return runs;
        }
    }

    /** A voice of pulses with a vibrato, hoarse for a while in its middle. */
    private static double[] voice(double rate, double hz, double seconds) {
        double[] x = new double[(int) (seconds * rate)];
        Random random = new Random(3);
        double turn = 0;
        for (int i = 0; i < x.length; i++) {
            double t = i / rate;
            turn += hz(hz, t) / rate;
            for (int h = 1; h < 9; h++) x[i] += Math.sin(2 * Math.PI * h * turn + h * h * (1 + t)) / h;
            if (t > 0.1 && t < 0.14) x[i] = 2 * random.nextGaussian();
            x[i] += 0.02 * random.nextGaussian();
        }
        return x;
    }

    private static double hz(double hz, double t) {
        return hz * (1 + 0.03 * Math.sin(2 * Math.PI * 6 * t));
    }

    private static PitchTrack track(double rate, double hz, double seconds, int... silent) {
        int hop = (int) Math.round(rate / 100);
        float[] track = new float[(int) (100 * seconds)];
        for (int f = 0; f < track.length; f++) track[f] = (float) hz(hz, (f + 0.5) / 100);
        for (int f : silent) track[f] = 0;
        return new PitchTrack(hop, track);
    }

    @ParameterizedTest
    @CsvSource({"12000, 150, 1", "24000, 220, 2", "44100, 330, 1", "16000, 90, 1"})
    void marksAreThoseOfTheirFormula(double rate, double hz, int channels) {
        double[][] x = new double[channels][];
        for (int c = 0; c < channels; c++) x[c] = voice(rate, hz * (1 + 1e-9 * c), 0.25);
        if (channels == 2) for (int i = 0; i < x[1].length; i++) x[1][i] = 0.5 * x[1][i] + 0.1 * Math.sin(i);
        PitchTrack track = track(rate, hz, 0.25, 0, 1, 5, 18, 23, 24);
        long from = (long) (0.012 * rate), to = (long) (0.24 * rate);
        PitchMarks marks = new PitchMarks();
        new MarkTracker(new Samples(rate, x), track).follow(from, to, marks);
        List<double[]> expected = new Plain(rate, x, track).follow(from, to);
        assertEquals(expected.size(), marks.runs());
        assertTrue(expected.size() > 1, "the hoarse part ends a run");
        for (int r = 0; r < expected.size(); r++) assertArrayEquals(expected.get(r), marks.run(r), 1e-6, "run " + r);
    }

    /** A stretch longer than what is heard at once, and a second voice asked for before the first: a mark a period, on the pulse. */
    @Test
    void aLongVoiceIsHeardInStretches() {
        double rate = 8000, period = 80;
        double[] x = new double[40_000];
        for (int i = 0; i < x.length; i++) for (int h = 1; h < 12; h++) x[i] += Math.cos(2 * Math.PI * h * (i - 20) / period);
        float[] hz = new float[500];
        Arrays.fill(hz, 100);
        MarkTracker tracker = new MarkTracker(new Samples(rate, x), new PitchTrack(80, hz));
        for (int again = 0; again < 2; again++) {
            PitchMarks marks = new PitchMarks();
            tracker.follow(again == 0 ? 200 : 0, 39_900, marks);
            assertEquals(1, marks.runs());
            double[] at = marks.run(0);
            assertEquals(39_900 / period, at.length, 4);
            for (double mark : Arrays.copyOfRange(at, 100, at.length - 3)) assertEquals(at[200] % period, mark % period, 0.05);
        }
    }

    /** The lowest voice, for longer than is heard at once: where it is heard anew the rumble below 60 Hz has settled, and three periods lie on either side. */
    @Test
    void aLowVoiceIsTheSameWhereItIsHeardAnew() {
        double rate = 8000, hz = 51, seconds = 4.6;
        double[][] x = {new double[(int) (seconds * rate)]};
        for (int i = 0; i < x[0].length; i++) for (int h = 1; h < 30; h++) x[0][i] += Math.sin(2 * Math.PI * h * hz * i / rate + h * h * 0.2) / h;
        float[] track = new float[(int) (100 * seconds)];
        Arrays.fill(track, (float) hz);
        PitchTrack pitch = new PitchTrack(80, track);
        PitchMarks marks = new PitchMarks();
        new MarkTracker(new Samples(rate, x), pitch).follow(0, x[0].length, marks);
        List<double[]> expected = new Plain(rate, x, pitch).follow(0, x[0].length);
        assertEquals(expected.size(), marks.runs());
        for (int r = 0; r < expected.size(); r++) assertArrayEquals(expected.get(r), marks.run(r), 1e-3, "run " + r);
    }

    @Test
    void withoutAPitchThereIsNoPeriod() {
        MarkTracker tracker = new MarkTracker(new Samples(8000, new double[8000]), new PitchTrack(80, new float[100]));
        assertThrows(IllegalStateException.class, () -> tracker.follow(0, 4000, new PitchMarks()));
    }
}

package linnet.demo;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import linnet.demo.Truth.Event;
import linnet.demo.Truth.Line;
import linnet.demo.Truth.Note;
import linnet.demo.Truth.Part;
import linnet.demo.Truth.Sound;
import linnet.dsp.spectral.Fft;
import org.junit.jupiter.api.Test;

/** The take against its truth, measured by means that share nothing with the singer. */
class PerformanceTest {
    private static final double RATE = 48_000;
    private static final Performance HIGH = Performance.sing(SevenLanterns.lead(), Singer.high(), RATE);
    private static final Performance LOW = Performance.sing(SevenLanterns.lead(), Singer.low(), RATE);

    /** Autocorrelation over six periods or more, its peak by a parabola: exact to less than a cent on a steady tone. */
    @Test
    void sungPitchIsTheTruth() {
        for (Performance p : List.of(HIGH, LOW)) {
            List<Double> off = new ArrayList<>();
            for (Sound s : p.truth().sounds()) {
                if (s.part() != Part.VOWEL) continue;
                for (double t = s.start() + 0.1; t < s.end() - 0.06; t += 0.03) {
                    double truth = p.truth().pitchAt(t);
                    if (Math.abs(1200 * log2(p.truth().pitchAt(t + 0.015) / p.truth().pitchAt(t - 0.015))) > 4) continue;
                    double cents = 1200 * log2(autocorrelation(p.samples(), t, truth) / truth);
                    off.add(Math.abs(cents));
                }
            }
            double[] sorted = off.stream().mapToDouble(Double::doubleValue).sorted().toArray();
            assertTrue(sorted.length > 150, "steady places: " + sorted.length);
            assertTrue(sorted[(int) (0.95 * sorted.length)] < 5, "95 % within " + sorted[(int) (0.95 * sorted.length)] + " cents");
        }
    }

    /** Mistuning is what the score asks for: the mean over a vowel, against equal temperament at A4 = 440 Hz. */
    @Test
    void notesLieWhereTheScorePutsThem() {
        for (Note n : HIGH.truth().notes()) {
            if (n.end() - n.start() < 0.5) continue;
            double sum = 0;
            int count = 0;
            for (double t = n.start() + 0.22; t < n.end() - 0.09; t += Truth.PITCH_STEP, count++) {
                sum += 1200 * log2(HIGH.truth().pitchAt(t) / 440) + 100 * (69 - n.midi());
            }
            assertEquals(n.cents(), sum / count, 12, "key " + n.midi() + " at " + n.start());
        }
    }

    @Test
    void levelsAreThoseOfARealTake() {
        for (Performance p : List.of(HIGH, LOW)) {
            // A low voice has higher peaks for its level: there the ceiling binds first.
            double sung = rms(p, p.truth().notes());
            assertTrue(sung < -17.5 && sung > (p == HIGH ? -18.5 : -21), "sung " + sung);
            double peak = Arrays.stream(p.samples()).map(Math::abs).max().orElseThrow();
            assertTrue(db(peak) < -3 && db(peak) > -6, "peak " + db(peak));
            double verse = mean(p, "verse");
            double chorus = mean(p, "chorus");
            assertTrue(chorus - verse > 10 && chorus - verse < 15, "verse " + verse + ", chorus " + chorus);
            Line last = p.truth().lines().get(p.truth().lines().size() - 1);
            assertEquals(-62, db(rms(p.samples(), last.end() + 0.8, last.end() + 2)), 1);
        }
    }

    @Test
    void phrasesAreABeatApart() {
        List<Line> lines = HIGH.truth().lines();
        assertEquals(8, lines.size());
        for (int i = 1; i < lines.size(); i++) assertTrue(lines.get(i).start() - lines.get(i - 1).end() >= 0.6);
    }

    @Test
    void breathsAreWhereAndAsLoudAsTheTruthSays() {
        assertEquals(8, HIGH.truth().breaths().size());
        double[] x = highs(HIGH.samples());
        for (Event e : HIGH.truth().breaths()) {
            assertEquals(e.db(), db(rms(x, e.start(), e.end())), 1.5, "breath at " + e.start());
            double before = db(rms(x, e.start() - 0.05, e.start()));
            double after = db(rms(x, e.end() + 0.002, e.end() + 0.01));
            assertTrue(e.db() > before + 8 && e.db() > after + 8, "breath at " + e.start() + ": " + before + ", " + after);
        }
    }

    /** A click is short: within its span the highs stand above those just before and after it. */
    @Test
    void clicksAreWhereTheTruthSays() {
        double[] x = highs(HIGH.samples());
        int quiet = 0;
        for (Event e : HIGH.truth().clicks()) {
            assertTrue(e.end() - e.start() >= 0.0005 && e.end() - e.start() <= 0.005);
            boolean betweenLines = HIGH.truth().lines().stream().noneMatch(l -> e.start() > l.start() - 0.012 && e.start() < l.end() + 0.012);
            if (!betweenLines) continue;
            quiet++;
            double before = rms(x, e.start() - 0.008, e.start() - 0.0005);
            double after = rms(x, e.end() + 0.0005, e.end() + 0.008);
            assertTrue(db(rms(x, e.start(), e.end()) / Math.max(before, after)) > 6, "click at " + e.start());
        }
        assertTrue(quiet >= 8);
    }

    /** Below 60 Hz there is no voice: what is there comes from the pops. */
    @Test
    void popsAreWhereTheTruthSays() {
        double[] x = lows(HIGH.samples());
        assertTrue(HIGH.truth().pops().size() >= 6);
        for (Event e : HIGH.truth().pops()) {
            double pop = rms(x, e.start(), e.start() + 0.05);
            double before = rms(x, e.start() - 0.12, e.start() - 0.02);
            assertTrue(db(pop / before) > 10, "pop at " + e.start() + ": " + db(pop / before) + " dB");
        }
    }

    /** Above 5 kHz an s is far louder than the vowel beside it; in the closure of a p, t or k there is next to nothing. */
    @Test
    void consonantsAreWhereTheTruthSays() {
        double[] x = hiss(HIGH.samples());
        List<Sound> sounds = HIGH.truth().sounds();
        int sibilants = 0;
        int closures = 0;
        for (int i = 1; i < sounds.size(); i++) {
            Sound s = sounds.get(i);
            Note n = HIGH.truth().notes().get(s.note());
            double here = db(rms(x, s.start() + 0.2 * (s.end() - s.start()), s.end() - 0.2 * (s.end() - s.start())));
            double vowel = db(rms(x, n.start() + 0.03, n.end() - 0.03));
            if (s.phone() == Phone.S) {
                sibilants++;
                assertTrue(here > vowel + 6, "s at " + s.start() + ": " + here + ", vowel " + vowel);
            }
            boolean unhurried = s.end() - s.start() > 0.05 && sounds.get(i - 1).part() != Part.BURST;
            if (s.part() == Part.CLOSURE && !s.phone().voiced && unhurried) {
                closures++;
                double middle = rms(HIGH.samples(), s.end() - 0.02, s.end() - 0.005);
                double sung = rms(HIGH.samples(), n.start(), n.end());
                assertTrue(db(middle / sung) < -15, s.phone() + " at " + s.start() + ": " + db(middle / sung));
            }
        }
        assertTrue(sibilants >= 8 && closures >= 5, sibilants + " s, " + closures + " closures");
    }

    /** The same take with and without the ring: the spectra differ by its gain at its centre, and by nothing far off. */
    @Test
    void theRoomRingsWhereItSays() {
        Room r = Room.bedroom();
        Room plain = new Room(r.noiseDb(), r.humHz(), r.resonanceHz(), 0, r.resonanceQ(), r.proximityDb(), r.sungDb());
        double[] with = spectrum(HIGH.samples());
        double[] without = spectrum(Performance.sing(SevenLanterns.lead(), Singer.high(), plain, RATE).samples());
        double hz = r.resonanceHz();
        double far = difference(with, without, 300, 500);
        assertEquals(r.resonanceDb(), difference(with, without, hz - 5, hz + 5) - far, 0.4);
        assertEquals(0, difference(with, without, 4000, 9000) - far, 0.4);
        double around = 0.5 * (level(with, 0.8 * hz, 0.9 * hz) + level(with, 1.12 * hz, 1.25 * hz));
        double ring = level(with, 0.93 * hz, 1.07 * hz);
        assertTrue(ring > around + 3, "ring " + ring + ", around " + around);
    }

    @Test
    void sameBitsEveryTimeAndAnotherSeedIsAnotherTake() throws Exception {
        assertEquals(sha(HIGH), sha(Performance.sing(SevenLanterns.lead(), Singer.high(), RATE)));
        assertNotEquals(sha(HIGH), sha(Performance.sing(SevenLanterns.lead(), Singer.high().seed(7), RATE)));
    }

    @Test
    void anotherRateIsTheSamePerformance() {
        Performance other = Performance.sing(SevenLanterns.lead(), Singer.high(), 44_100);
        assertEquals(HIGH.truth().sounds(), other.truth().sounds());
        assertArrayEquals(HIGH.truth().pitch(), other.truth().pitch());
        assertEquals(mean(HIGH, "verse"), mean(other, "verse"), 0.5);
    }

    private static double autocorrelation(double[] x, double at, double near) {
        int window = (int) (Math.max(0.03, 6 / near) * RATE);
        int from = (int) (at * RATE) - window;
        int low = (int) (RATE / near * 0.93);
        int high = (int) (RATE / near * 1.07) + 2;
        double[] r = new double[high + 2];
        int best = low;
        for (int lag = low - 1; lag <= high + 1; lag++) {
            double xy = 0;
            double xx = 0;
            double yy = 0;
            // Both halves move apart from the middle, so that the estimate belongs to one moment.
            for (int i = 0; i < window; i++) {
                double a = x[from + window / 2 + i - lag / 2];
                double b = x[from + window / 2 + i - lag / 2 + lag];
                xy += a * b;
                xx += a * a;
                yy += b * b;
            }
            r[lag] = xy / Math.sqrt(xx * yy);
            if (lag >= low && lag <= high && r[lag] > r[best]) best = lag;
        }
        double a = r[best - 1];
        double b = r[best];
        double c = r[best + 1];
        return RATE / (best + 0.5 * (a - c) / (a - 2 * b + c));
    }

    /** Mean power spectrum: Hann windows of 16384, half overlapping. */
    private static double[] spectrum(double[] x) {
        int size = 16_384;
        Fft fft = new Fft(size);
        double[] power = new double[size / 2];
        for (int from = 0; from + size <= x.length; from += size / 2) {
            double[] cut = new double[size];
            for (int i = 0; i < size; i++) cut[i] = x[from + i] * (0.5 - 0.5 * Math.cos(2 * Math.PI * i / size));
            double[] re = new double[fft.bins()];
            double[] im = new double[fft.bins()];
            fft.forward(cut, re, im);
            for (int k = 0; k < power.length; k++) power[k] += re[k] * re[k] + im[k] * im[k];
        }
        return power;
    }

    private static double level(double[] power, double fromHz, double toHz) {
        double sum = 0;
        for (int k = (int) (fromHz / RATE * 16_384); k <= toHz / RATE * 16_384; k++) sum += power[k];
        return 10 * Math.log10(sum / ((toHz - fromHz) / RATE * 16_384 + 1));
    }

    private static double difference(double[] a, double[] b, double fromHz, double toHz) {
        return level(a, fromHz, toHz) - level(b, fromHz, toHz);
    }

    /** Three one-pole high-passes at 5 kHz. */
    private static double[] hiss(double[] x) {
        double[] y = x.clone();
        double c = 1 - Math.exp(-2 * Math.PI * 5000 / RATE);
        for (int pass = 0; pass < 3; pass++) {
            double low = 0;
            for (int i = 0; i < y.length; i++) {
                low += c * (y[i] - low);
                y[i] -= low;
            }
        }
        return y;
    }

    /** What is left above a one-pole low-pass at 400 Hz: rid of rumble and hum. */
    private static double[] highs(double[] x) {
        double[] y = new double[x.length];
        double low = 0;
        for (int i = 0; i < x.length; i++) {
            low += 0.05 * (x[i] - low);
            y[i] = x[i] - low;
        }
        return y;
    }

    /** Four one-pole low-passes at 60 Hz. */
    private static double[] lows(double[] x) {
        double[] y = x.clone();
        double c = 1 - Math.exp(-2 * Math.PI * 60 / RATE);
        for (int pass = 0; pass < 4; pass++) {
            double low = 0;
            for (int i = 0; i < y.length; i++) y[i] = low += c * (y[i] - low);
        }
        return y;
    }

    private static double mean(Performance p, String section) {
        return p.truth().lines().stream().filter(l -> l.section().equals(section)).mapToDouble(Line::db).average().orElseThrow();
    }

    private static double rms(Performance p, List<Note> notes) {
        double sum = 0;
        double seconds = 0;
        for (Note n : notes) {
            double r = rms(p.samples(), n.start(), n.end());
            sum += r * r * (n.end() - n.start());
            seconds += n.end() - n.start();
        }
        return db(Math.sqrt(sum / seconds));
    }

    private static double rms(double[] x, double start, double end) {
        double sum = 0;
        int from = (int) (start * RATE);
        int to = Math.max(from + 1, (int) (end * RATE));
        for (int i = from; i < to; i++) sum += x[i] * x[i];
        return Math.sqrt(sum / (to - from));
    }

    private static double db(double gain) {
        return 20 * Math.log10(gain);
    }

    private static double log2(double x) {
        return Math.log(x) / Math.log(2);
    }

    private static String sha(Performance p) throws Exception {
        ByteBuffer bytes = ByteBuffer.allocate(8 * p.samples().length);
        bytes.asDoubleBuffer().put(p.samples());
        return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes.array()));
    }
}

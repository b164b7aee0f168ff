package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import linnet.Rig;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.Score;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.demo.Truth;
import linnet.dsp.Samples;
import linnet.dsp.pitch.Correction;
import linnet.dsp.pitch.Semitones;
import linnet.dsp.pitch.Unvoiced;
import linnet.hear.Ear;
import linnet.hear.Tuning;
import linnet.hear.Wanted;
import linnet.setting.Key;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * What {@code tune} does to a voice whose pitch is known each millisecond, measured by no tracker: the pitch after it is the pitch that was
 * sung, times the ratio that the step asks for. That this is what sounds is then measured on the print by autocorrelation.
 */
class TuneTruthTest {
    private static final double RATE = 48_000, MS = 1000;
    /** In seconds, how the demo sings: a scoop dies away so, a glide takes so long to either side, a vibrato lets go before the end. */
    private static final double SCOOP = 0.065, GLIDE = 0.055, LEADS = 0.033, FALL = 0.09, LETS_GO = 0.1;
    /** In cents: the deepest scoop besides one that is written, and what is left of it when a note is held. */
    private static final double UNWRITTEN = 32, SCOOPED = 5;
    private static final double HAS_VIBRATO = 0.4;

    /** The part of a note after its scoop and before the next glide or the fall, in ms: cents off the written note, before and after. */
    private record Part(Truth.Note note, int from, double[] was, double[] is) {
        double mean(double[] cents, double hz) {
            int cycle = note.end() - note.start() >= HAS_VIBRATO ? (int) Math.round(MS / hz) : 1, n = cents.length - cycle + 1;
            if (n < 1) return Arrays.stream(cents).average().orElseThrow();
            double sum = 0;
            for (int i = 0; i < n; i++) for (int k = 0; k < cycle; k++) sum += cents[i + k] / cycle;
            return sum / n;
        }

        /** First and last ms of its vibrato: from when it has begun to when it lets go. */
        int[] vibrato() {
            double length = note.end() - note.start(), begins = note.start() + Math.min(0.3, 0.35 * length);
            return new int[] {Math.max(0, (int) (MS * begins) - from), Math.min(was.length, (int) (MS * (note.end() - LETS_GO)) - from)};
        }
    }

    private static Score transposed(int up) {
        Score song = SevenLanterns.lead();
        double[] off = {35, -28, 20, -42, 8, -18, 44, -33, 26, -12};
        int k = 0;
        List<Score.Phrase> moved = new ArrayList<>();
        for (Score.Phrase p : song.phrases()) {
            List<Score.Note> notes = new ArrayList<>();
            for (Score.Note n : p.notes()) {
                notes.add(new Score.Note(n.midi() + up, n.beats(), n.onset(), n.vowel(), n.glide(), n.coda(), off[k++ % off.length], n.scoopCents(), n.held()));
            }
            moved.add(new Score.Phrase(p.beat(), p.section(), p.effort(), p.words(), notes));
        }
        return new Score(song.title(), song.beatsPerMinute(), song.beatsPerBar(), song.key(), song.bars(), moved);
    }

    private static Part part(Truth truth, int k, Correction correction) {
        Truth.Note n = truth.notes().get(k);
        Score.Note written = truth.score().phrases().stream().flatMap(p -> p.notes().stream()).skip(k).findFirst().orElseThrow();
        double from = n.start() + SCOOP * Math.log((written.scoopCents() + UNWRITTEN) / SCOOPED), to = n.end();
        for (Truth.Line l : truth.lines()) if (n.start() >= l.start() && n.start() < l.end()) to = Math.min(to, l.end() - FALL);
        if (k + 1 < truth.notes().size()) to = Math.min(to, Math.max(truth.notes().get(k + 1).start() - LEADS, n.end() - GLIDE) - GLIDE);
        int first = (int) Math.ceil(MS * from), length = Math.max(0, (int) (MS * to) - first);
        double[] was = new double[length], is = new double[length];
        for (int i = 0; i < length; i++) {
            double t = (first + i) / MS;
            was[i] = 100 * (Semitones.of(truth.pitchAt(t)) - n.midi());
            is[i] = was[i] + 1200 * Math.log(correction.ratio(Math.round(t * RATE))) / Math.log(2);
        }
        return new Part(n, first, was, is);
    }

    /** Rate in Hz and extent in cents of the growing sine that with a straight line lies nearest to the pitch. */
    private static double[] vibrato(double[] cents, int[] span) {
        int n = span[1] - span[0];
        double[] y = Arrays.copyOfRange(cents, span[0], span[1]), best = {0, 0};
        double least = Double.POSITIVE_INFINITY;
        for (double hz = 4.5; hz <= 8.5; hz += 0.01) {
            double[][] rows = new double[n][];
            for (int i = 0; i < n; i++) {
                double u = 2.0 * i / n - 1, s = Math.sin(2 * Math.PI * hz * i / MS), c = Math.cos(2 * Math.PI * hz * i / MS);
                rows[i] = new double[] {1, u, s, c, u * s, u * c};
            }
            RealMatrix m = new Array2DRowRealMatrix(rows, false);
            double[] w = new LUDecomposition(m.transpose().multiply(m)).getSolver().solve(new ArrayRealVector(m.preMultiply(y))).toArray();
            double error = 0, power = 0;
            for (int i = 0; i < n; i++) {
                double swing = 0;
                for (int j = 2; j < 6; j++) swing += w[j] * rows[i][j];
                error += Math.pow(y[i] - w[0] - w[1] * rows[i][1] - swing, 2);
                power += swing * swing;
            }
            if (error < least) {
                least = error;
                best = new double[] {hz, Math.sqrt(2 * power / n)};
            }
        }
        return best;
    }

    /** How many cents a sound is off a pitch around a time: where 25 ms of it are most like what comes some whole periods later. */
    private static double off(double[] x, double seconds, double hz) {
        int periods = Math.max(1, (int) Math.round(0.012 * hz)), n = (int) (0.025 * RATE);
        double wanted = periods * RATE / hz;
        int low = (int) (0.97 * wanted), high = (int) Math.ceil(1.03 * wanted), best = low + 1;
        double[] like = new double[high + 1];
        for (int lag = low; lag <= high; lag++) {
            int at = (int) Math.round(seconds * RATE - (lag + n) / 2.0);
            double both = 0, early = 0, late = 0;
            for (int i = at; i < at + n; i++) {
                both += x[i] * x[i + lag];
                early += x[i] * x[i];
                late += x[i + lag] * x[i + lag];
            }
            like[lag] = both / Math.sqrt(early * late);
            if (lag > low && lag < high && like[lag] > like[best]) best = lag;
        }
        double a = like[best - 1], b = like[best], c = like[best + 1];
        return 1200 * Math.log(wanted / (best + (a - c) / (2 * (a - 2 * b + c)))) / Math.log(2);
    }

    /**
     * Full amount, the song's key, each note sung up to 44 cents off: all 278 notes whose vowel lasts 0.25 s or more and that the step decides
     * on come within 5 cents. By other seeds of the singers 287 of 291 do, and those in which scoop and vibrato leave no steady part within 8.3.
     * Of 237 briefer ones all but two come within 20 cents: two syllables on one written note, sung a good half semitone apart, are two notes.
     */
    @ParameterizedTest
    @CsvSource({"D major, 0, high", "C major, -2, high", "F major, 3, high", "A major, -5, high", "G major, 5, high",
        "D major, 0, low", "C major, -2, low", "F major, 3, low", "A major, -5, low", "G major, 5, low"})
    void everyNoteOfTheSongComesToItsTarget(String key, int up, String who) {
        Singer singer = who.equals("high") ? Singer.high() : Singer.low();
        Performance song = Performance.sing(transposed(up), singer, Room.bedroom(), RATE);
        Samples take = new Samples(RATE, song.samples());
        Ear ear = new Ear(take);
        List<Wanted> wanted = new Tuning(440, Key.FORM.read(key).orElseThrow().notes()).wanted(ear.arrivingNotes(), ear.sound().rate());
        Correction correction = new Correction(ear.arrivingPitch(), 0.08 * RATE, Tune.pulls(wanted, ear, 1, 0, 0));
        double[] print = Rig.usual().exact().render("- tune: { key: " + key + ", amount: 100 %, ignore: 0 cents }", take).mono();

        int notes = 0, near = 0, left = 0, swings = 0, kept = 0, octaves = 0, brief = 0, astray = 0;
        double worst = 0;
        List<Double> unlike = new ArrayList<>();
        StringBuilder told = new StringBuilder();
        for (int k = 0; k < song.truth().notes().size(); k++) {
            Truth.Note n = song.truth().notes().get(k);
            Part part = part(song.truth(), k, correction);
            for (double cents : part.is) if (Math.abs(cents) > 600) octaves++;
            double middle = RATE * (part.from + part.was.length / 2.0) / MS;
            Wanted w = wanted.stream().filter(q -> q.note().from() <= middle && q.note().to() > middle).findFirst().orElse(null);
            if (n.end() - n.start() < 0.25) {
                if (w == null || w.pitch().isEmpty() || part.is.length < 5) continue;
                brief++;
                double mean = part.mean(part.is, singer.vibratoHz());
                if (Math.abs(mean) > 20) astray++;
                if (Math.abs(mean) > 20) {
                    told.append(String.format(Locale.ROOT, "%n  %.2f s: %.2f s long, now at %.1f cents", n.start(), n.end() - n.start(), mean));
                }
                continue;
            }
            if (w == null || w.pitch().isEmpty()) {
                left++;
                told.append(String.format(Locale.ROOT, "%n  %.2f s: left, %s", n.start(), w == null ? "not found" : w.why()));
                continue;
            }
            assertEquals(n.midi(), w.pitch().getAsDouble(), 1e-6, "at " + n.start());
            int[] span = part.vibrato();
            double hz = singer.vibratoHz();
            if (n.end() - n.start() >= HAS_VIBRATO && span[1] - span[0] > 250) {
                double[] was = vibrato(part.was, span), is = vibrato(part.is, span);
                hz = was[0];
                swings++;
                if (Math.abs(is[0] / was[0] - 1) <= 0.02 && Math.abs(is[1] / was[1] - 1) <= 0.1) kept++;
                else told.append(String.format(Locale.ROOT, "%n  %.2f s: vibrato of %.2f Hz, %.1f cents is now %.2f Hz, %.1f cents", n.start(), was[0], was[1],
                        is[0], is[1]));
            }
            double before = part.mean(part.was, hz), mean = part.mean(part.is, hz);
            notes++;
            worst = Math.max(worst, Math.abs(mean));
            if (Math.abs(mean) <= 5) near++;
            else told.append(String.format(Locale.ROOT, "%n  %.2f s: sung at %.1f, heard at %.1f, now at %.1f cents", n.start(), before,
                    100 * (w.note().pitch() - n.midi()), mean));
            List<Double> apart = new ArrayList<>();
            for (int i = 0; i < part.is.length; i += 5) {
                double t = (part.from + i) / MS;
                apart.add(off(print, t, Semitones.hz(n.midi() + part.is[i] / 100)) - off(song.samples(), t, song.truth().pitchAt(t)));
            }
            apart.sort(null);
            unlike.add(Math.abs(apart.get(apart.size() / 2)));
        }
        // The same meter on the take, which is off where the mouth moves, is taken off it.
        unlike.sort(null);
        String what = String.format(Locale.ROOT,
                "%s, %s: %d of %d notes within 5 cents, the worst %.1f; %d of %d brief ones astray; %d of %d vibratos; %d left; print off by %.2f, nine in "
                + "ten %.2f, at most %.2f%s",
                key, who, near, notes, worst, astray, brief, kept, swings, left, unlike.get(unlike.size() / 2), unlike.get(unlike.size() * 9 / 10),
                        unlike.get(unlike.size() - 1), told);
        assertEquals(0, octaves, what);
        assertTrue(notes >= 26 && near == notes, what);
        assertTrue(brief >= 20 && astray <= 1, what);
        assertTrue(unlike.get(unlike.size() - 1) <= 1, what);
        assertTrue(swings >= 13 && kept == swings, what);

        assertEquals(take.frames(), print.length);
        Unvoiced.assertKept(take.data()[0], print, ear.pitch(), take.rate());
    }
}

package linnet.demo;

import static java.lang.StrictMath.PI;
import static java.lang.StrictMath.cos;
import static java.lang.StrictMath.exp;
import static java.lang.StrictMath.sin;
import static linnet.dsp.Decibels.gain;

import java.util.List;
import linnet.dsp.Approximation;

/** What is played under the song: plucked chords, bass and brushes, in stereo and in the song's own time. */
final class Bed {
    private static final double PEAK_DB = -7;
    /** How far above the bend the highest peak comes, as a plain gain: plucks are rounded, as in any bounce that singers get. */
    private static final double DRIVE = 2.5;
    /** One chord a bar from bar 2, verse and chorus in turn; bar 1 is the count-in, the last bar rings out. The first tone is the bass's. */
    private static final List<String> CHORDS = List.of(
            "D A D F#", "G B D G", "B A D F#", "G B D G", "D A D F#", "E B E G", "G B D G", "A A C# E",
            "D A D F#", "A A C# E", "B A D F#", "G B D G", "D A D F#", "A A C# E", "B A D F#", "D A D F#");
    private static final String LAST = "D A D F#";
    /** Which tone of the chord is plucked on each half beat; 0 rests. */
    private static final int[] VERSE = {1, 0, 2, 3, 0, 2, 3, 2};
    private static final int[] CHORUS = {1, 2, 3, 2, 1, 3, 2, 3};

    private final double rate;
    private final double halfBeat;
    private final double[] left;
    private final double[] right;
    private final Noise noise = new Noise(0, "bed");

    private Bed(Score score, double rate) {
        this.rate = rate;
        halfBeat = score.secondsPerBeat() / 2;
        int frames = (int) Math.round(score.seconds() * rate);
        left = new double[frames];
        right = new double[frames];
    }

    /** Left and right, as long as the score. */
    static double[][] play(Score score, double rate) {
        Bed bed = new Bed(score, rate);
        double bar = 2 * score.beatsPerBar() * bed.halfBeat;
        for (int beat = 0; beat < score.beatsPerBar(); beat++) bed.brush(2 * beat * bed.halfBeat, 0.05, -20, 0);
        for (int i = 1; i < score.bars() - 1; i++) {
            int turn = (i - 1) % CHORDS.size();
            bed.bar(i * bar, CHORDS.get(turn).split(" "), turn >= CHORDS.size() / 2, false);
        }
        bed.bar((score.bars() - 1) * bar, LAST.split(" "), true, true);
        return bed.even();
    }

    private void bar(double at, String[] chord, boolean loud, boolean last) {
        double db = loud ? -12 : -16;
        if (last) {
            for (int t = 1; t <= 3; t++) pluck(at + 0.02 * t, hz(chord[t], 3), db, 0.3 * (t - 2));
            bass(at, hz(chord[0], 2), 3 * halfBeat, db - 5);
            return;
        }
        int[] pattern = loud ? CHORUS : VERSE;
        for (int h = 0; h < pattern.length; h++) {
            double when = at + h * halfBeat + 0.004 * noise.next();
            double accent = (h % 4 == 0 ? 1.5 : 0) + noise.next();
            if (pattern[h] > 0) pluck(when, hz(chord[pattern[h]], pattern[h] == 1 ? 3 : 4), db + accent, h % 2 == 0 ? -0.45 : 0.45);
            if (loud) brush(when, 0.035, -33 + accent, 0.5);
            if (h % 4 == 2) brush(when, 0.16, loud ? -20 : -26, -0.15);
        }
        bass(at, hz(chord[0], 2), 3 * halfBeat, db - 4);
        bass(at + 4 * halfBeat, hz(chord[0], 2), 3 * halfBeat, db - 6);
    }

    private static double hz(String tone, int octave) {
        return 440 * StrictMath.pow(2, (Score.midi(tone + octave) - 69) / 12.0);
    }

    /** A string after K. Karplus, A. Strong, tuned by an all-pass (D. Jaffe, J. Smith; both CMJ 7(2), 1983). */
    private void pluck(double at, double hz, double db, double pan) {
        double period = rate / hz;
        int whole = (int) (period - 0.8);
        double part = period - 0.5 - whole;
        double c = (1 - part) / (1 + part);
        double keep = StrictMath.pow(10, -3 / (1.9 * hz));
        double[] x = new double[(int) (2.2 * rate)];
        // A soft finger: the noise that fills the string is rounded twice.
        double s1 = 0;
        double s2 = 0;
        for (int i = 0; i < whole; i++) {
            s1 += 0.35 * (noise.next() - s1);
            s2 += 0.35 * (s1 - s2);
            x[i] = s2 * sin(PI * i / whole);
        }
        balance(x, whole);
        double before = 0;
        double passed = 0;
        for (int i = whole + 1; i < x.length; i++) {
            double mean = 0.5 * (x[i - whole] + x[i - whole - 1]);
            passed = c * mean + before - c * passed;
            before = mean;
            x[i] += keep * passed;
        }
        for (int i = 0; i < x.length; i++) x[i] *= 1 - Track.ease((i / rate - 1.4) / 0.8);
        add(x, at, 2.5 * gain(db), pan);
    }

    /** Takes the mean out of what fills a string, without a step at its ends: a string that is tied at both does not move as a whole, and its loop would. */
    private static void balance(double[] x, int whole) {
        double sum = 0;
        double all = 0;
        for (int i = 0; i < whole; i++) {
            sum += x[i];
            all += sin(PI * i / whole);
        }
        for (int i = 0; i < whole; i++) x[i] -= sum / all * sin(PI * i / whole);
    }

    private void bass(double at, double hz, double seconds, double db) {
        double[] x = new double[(int) (seconds * rate)];
        for (int i = 0; i < x.length; i++) {
            double t = i / rate;
            double turn = 2 * PI * hz * t;
            double tone = sin(turn) + 0.45 * exp(-4 * t) * sin(2 * turn) + 0.2 * exp(-9 * t) * sin(3 * turn);
            x[i] = tone * exp(-1.2 * t) * Track.ease(t / 0.012) * Track.ease((seconds - t) / 0.06);
        }
        add(x, at, gain(db), 0);
    }

    private void brush(double at, double seconds, double db, double pan) {
        double[] x = new double[(int) (4 * seconds * rate)];
        for (int i = 0; i < x.length; i++) {
            double t = i / rate;
            x[i] = noise.next() * Track.ease(t / 0.008) * exp(-t / (0.5 * seconds)) * Track.ease((4 * seconds - t) / seconds);
        }
        Resonator wires = new Resonator(rate, 5200, 5000);
        wires.resonate(x, 0, x.length);
        add(x, at, gain(db), pan);
    }

    /** {@code pan} from -1, left, to 1, at equal power. */
    private void add(double[] x, double at, double g, double pan) {
        double angle = PI / 4 * (1 + pan);
        double l = g * cos(angle);
        double r = g * sin(angle);
        int from = Math.max(0, (int) Math.round(at * rate));
        for (int i = 0; i < x.length && from + i < left.length; i++) {
            left[from + i] += l * x[i];
            right[from + i] += r * x[i];
        }
    }

    private double[][] even() {
        double peak = 0;
        for (int i = 0; i < left.length; i++) peak = Math.max(peak, Math.max(Math.abs(left[i]), Math.abs(right[i])));
        double g = gain(PEAK_DB) / Approximation.tanh(DRIVE);
        for (double[] side : List.of(left, right)) {
            for (int i = 0; i < side.length; i++) side[i] = g * Approximation.tanh(DRIVE / peak * side[i]);
        }
        return new double[][] {left, right};
    }
}

package linnet.hear;

import linnet.dsp.Sound;
import linnet.dsp.pitch.PitchTrack;

/**
 * Tells notes that were tracked an octave too high. Where the second harmonic of a high voice lies on a formant and the first below it,
 * half a period repeats itself nearly as well as a whole one; but then something sounds half way between the harmonics that were
 * heard, and in a note at its own pitch next to nothing does.
 */
final class OctaveDoubt {
    /** In Hz: below this the room rumbles where half of the pitch would be. */
    private static final double LOWEST = 300;
    /** Power between the harmonics beside power on them: -25 dB. The notes of real singers have -30 dB and less. */
    private static final double DOUBTFUL = 0.003;
    /** Periods of the pitch in a window: what lies half way is then past the side lobes that count. */
    private static final int PERIODS = 16;
    private static final int STEP = 5;

    private final Sound sound;
    private final PitchTrack track;

    OctaveDoubt(Sound sound, PitchTrack track) {
        this.sound = sound;
        this.track = track;
    }

    boolean isDoubtful(Note note) {
        return between(note) > DOUBTFUL;
    }

    /** Power at 1/2 and 3/2 of the pitch beside that at the pitch and twice the pitch, over the note. */
    double between(Note note) {
        double off = 0, on = 0;
        int hop = track.hop();
        for (int f = (int) (note.from() / hop) + 2; f < note.to() / hop - 2; f += STEP) {
            if (!track.voiced(f) || track.hz()[f] < LOWEST) continue;
            double hz = track.hz()[f];
            int n = (int) (PERIODS * sound.rate() / hz);
            long from = (long) f * hop + hop / 2 - n / 2;
            if (from < 0 || from + n > sound.frames()) continue;
            double[][] x = new double[sound.channels()][n];
            sound.read(from, x, n);
            double[] mono = Passes.mono(x, n);
            for (int i = 0; i < n; i++) mono[i] *= 0.5 - 0.5 * StrictMath.cos(2 * Math.PI * (i + 0.5) / n);
            double cycle = hz / sound.rate();
            off += power(mono, cycle / 2) + power(mono, 1.5 * cycle);
            on += power(mono, cycle) + power(mono, 2 * cycle);
        }
        return on > 0 ? off / on : 0;
    }

    /** Of one frequency, in cycles per sample (G. Goertzel, 1958). */
    private static double power(double[] x, double cycles) {
        double turn = 2 * StrictMath.cos(2 * Math.PI * cycles), s1 = 0, s2 = 0;
        for (double v : x) {
            double s = v + turn * s1 - s2;
            s2 = s1;
            s1 = s;
        }
        return s1 * s1 + s2 * s2 - turn * s1 * s2;
    }
}

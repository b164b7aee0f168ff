package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import linnet.hear.Wanted.Why;
import org.junit.jupiter.api.Test;

class TuningTest {
    private static final double RATE = 48_000;
    /** C, D, E, F, G, A, B. */
    private static final int C_MAJOR = 0b101010110101;
    /** E, F#, G#, A, B, C#, D#. */
    private static final int E_MAJOR = 0b101101011010;

    private static Note note(int k, double pitch, double sure) {
        return new Note(48_000L * k, 48_000L * k + 24_000, pitch, 0, 0, 0, 0, sure, Optional.empty());
    }

    private static Notes notes(double... pitches) {
        List<Note> all = new ArrayList<>();
        for (double p : pitches) all.add(note(all.size(), p, 0.9));
        return new Notes(all);
    }

    private static List<Wanted> wanted(int allowed, double... pitches) {
        return new Tuning(440, allowed).wanted(notes(pitches), RATE);
    }

    private static double target(Wanted w) {
        assertEquals(Why.NEAREST, w.why());
        return w.pitch().getAsDouble();
    }

    @Test
    void takesTheNearestAllowedNote() {
        List<Wanted> w = wanted(C_MAJOR, 60.2, 61.7, 64.4, 64.8, 71.3);
        double[] expected = {60, 62, 64, 65, 71};
        for (int k = 0; k < expected.length; k++) assertEquals(expected[k], target(w.get(k)), 1e-6, "note " + k);
        assertEquals(30, w.get(1).cents(), 0.01);
    }

    /** F sung in D major, or a pitch half way between two semitones: who sings it may mean it. */
    @Test
    void leavesWhatLiesBetweenTwoNotes() {
        for (double p : new double[] {61.0, 61.05, 64.5, 64.55, 66.07}) {
            Wanted w = wanted(C_MAJOR, p).get(0);
            assertEquals(Why.BETWEEN, w.why(), "" + p);
            assertTrue(w.pitch().isEmpty());
            assertEquals(0, w.cents());
        }
    }

    /** Alone 64.55 is undecided; among notes that are all a third of a semitone flat it is an F, among sharp ones an E. */
    @Test
    void hearsANoteAsItsNeighboursAreSung() {
        assertEquals(Why.BETWEEN, wanted(C_MAJOR, 64.52).get(0).why());
        assertEquals(65, target(wanted(C_MAJOR, 59.7, 61.68, 66.7, 64.52, 68.72, 66.7).get(3)), 1e-6);
        assertEquals(64, target(wanted(C_MAJOR, 60.3, 62.32, 67.3, 64.52, 69.28, 67.3).get(3)), 1e-6);
    }

    /** A singer who sinks by 30 cents over a song still means the notes of the song. */
    @Test
    void followsASingerWhoSinks() {
        double[] melody = {60, 64, 65, 67, 65, 64, 62, 60, 65, 64, 65, 67, 69, 65, 64, 60};
        double[] sung = melody.clone();
        for (int k = 0; k < sung.length; k++) sung[k] -= 0.55 * k / sung.length;
        List<Wanted> w = wanted(C_MAJOR, sung);
        for (int k = 0; k < melody.length; k++) assertEquals(melody[k], target(w.get(k)), 1e-6, "note " + k);
    }

    @Test
    void aPitchThatComesAgainIsTheSameNoteAgain() {
        assertEquals(64, target(wanted(C_MAJOR, 64.32, 64.54).get(1)), 1e-6);
        assertEquals(65, target(wanted(C_MAJOR, 64.68, 64.46).get(1)), 1e-6);
    }

    /** G#3 sung 55 cents too high after an A3 sung 17 too low, in E major: what lies a quarter of a semitone away is no pitch that comes again. */
    @Test
    void aPitchNearbyIsNotTheSameNoteAgain() {
        assertEquals(Why.BETWEEN, wanted(E_MAJOR, 56.83, 56.55).get(1).why());
        assertEquals(Why.BETWEEN, wanted(E_MAJOR, 56.55, 56.83).get(0).why());
    }

    @Test
    void leavesWhatIsNotSure() {
        Wanted w = new Tuning(440, C_MAJOR).wanted(new Notes(List.of(note(0, 60.2, 0.3))), RATE).get(0);
        assertEquals(Why.UNSURE, w.why());
        assertTrue(w.pitch().isEmpty());
    }

    /** Under 150 ms, not sure, and on one breath with others. */
    @Test
    void whatIsTooShortToBeSureOfGoesWithItsNeighbours() {
        Note before = new Note(0, 24_000, 60.2, 0, 0, 0, 0, 0.9, Optional.empty()), brief = new Note(24_000, 31_200, 62.4, 0, 0, 0, 0, 0.3, Optional.empty());
        assertEquals(Why.CARRIED, second(before, brief));
        assertEquals(Why.UNSURE, second(before, brief.between(24_000, 31_201)));
        assertEquals(Why.UNSURE, second(before, brief.between(24_001, 31_201)));
        assertEquals(Why.NEAREST, second(before, brief.certain()));
        assertEquals(Why.TOLD, second(before, brief.aimed(Note.Target.leave())));
        assertEquals(Why.CARRIED, second(before, brief.certain().aimed(Note.Target.withNeighbours())));
    }

    /**
     * A C5 that is slid down to, brief and followed by a consonant: it stays, and is not taken along from C5 to B4 by the note before it, nor by another brief
     * one between them.
     */
    @Test
    void whatHasOneNeighbourIsNotTakenAwayFromItsNote() {
        Note before = new Note(0, 24_000, 72.73, 0, 0, 0, 0, 0.9, Optional.empty()), brief = new Note(24_000, 27_840, 71.7, 0, 0, 0, 0, 0.4, Optional.empty());
        assertEquals(List.of(Why.NEAREST, Why.UNSURE), wantedInF(before, brief));
        Note other = new Note(27_840, 31_680, 71.8, 0, 0, 0, 0, 0.4, Optional.empty());
        assertEquals(List.of(Why.NEAREST, Why.UNSURE, Why.UNSURE), wantedInF(before, brief, other));
        assertEquals(List.of(Why.UNSURE, Why.NEAREST), wantedInF(brief, new Note(27_840, 51_840, 72.73, 0, 0, 0, 0, 0.9, Optional.empty())));
        // Between two notes it leads from one to the other; and it goes with one that brings it nearer, or if somebody says so.
        assertEquals(List.of(Why.NEAREST, Why.CARRIED, Why.NEAREST),
                wantedInF(before, brief, new Note(27_840, 51_840, 72.1, 0, 0, 0, 0, 0.9, Optional.empty())));
        assertEquals(List.of(Why.NEAREST, Why.CARRIED), wantedInF(new Note(0, 24_000, 69.7, 0, 0, 0, 0, 0.9, Optional.empty()), brief));
        assertEquals(List.of(Why.NEAREST, Why.CARRIED), wantedInF(before, brief.aimed(Note.Target.withNeighbours())));
    }

    private static List<Why> wantedInF(Note... notes) {
        int fMajor = 0b011010110101;
        return new Tuning(440, fMajor).wanted(new Notes(List.of(notes)), RATE).stream().map(Wanted::why).toList();
    }

    private static Why second(Note first, Note second) {
        return new Tuning(440, C_MAJOR).wanted(new Notes(List.of(first, second)), RATE).get(1).why();
    }

    @Test
    void aToldTargetCountsMoreThanAnything() {
        Note unsure = note(0, 60.2, 0.1);
        List<Wanted> w = new Tuning(440, C_MAJOR).wanted(new Notes(List.of(
                unsure.aimed(Note.Target.at(61.2)), note(1, 62.3, 0.9).aimed(Note.Target.leave()), note(2, 62.3, 0.9))), RATE);
        assertEquals(List.of(Why.TOLD, Why.TOLD, Why.NEAREST), w.stream().map(Wanted::why).toList());
        assertEquals(61.2, w.get(0).pitch().getAsDouble());
        assertTrue(w.get(1).pitch().isEmpty());
    }

    @Test
    void doesNotMoveAVoiceFurtherThanTwoSemitones() {
        int onlyC = 1;
        assertEquals(Why.FAR, wanted(onlyC, 62.3).get(0).why());
        assertEquals(60, target(wanted(onlyC, 61.9).get(0)), 1e-6);
        assertEquals(Why.FAR, wanted(onlyC, 65).get(0).why());
    }

    /** With an A of 443 Hz all targets lie 12 cents higher. */
    @Test
    void theReferenceMovesEveryTarget() {
        Wanted w = new Tuning(443, C_MAJOR).wanted(notes(60.2), RATE).get(0);
        assertEquals(60.11763810036, target(w), 1e-6);
    }

    /** A thousand melodies in every scale: no target is further than half the widest gap, so none is an octave off. */
    @Test
    void neverAnOctaveOff() {
        Random random = new Random(3);
        for (int melody = 0; melody < 1000; melody++) {
            int allowed = 1 + random.nextInt(0xfff), widest = widestGap(allowed);
            double[] sung = random.doubles(20, 36, 84).toArray();
            for (Wanted w : new Tuning(415 + random.nextInt(52), allowed).wanted(notes(sung), RATE)) {
                if (w.pitch().isEmpty()) continue;
                assertTrue(Math.abs(w.cents()) <= Math.min(200, 100 * widest / 2.0 + 35 + 15) + 1e-6, w + " in " + Integer.toBinaryString(allowed));
            }
        }
    }

    private static int widestGap(int allowed) {
        int widest = 0;
        for (int n = 0; n < 12; n++) {
            if ((allowed >> n & 1) == 0) continue;
            int gap = 1;
            while ((allowed >> (n + gap) % 12 & 1) == 0) gap++;
            widest = Math.max(widest, gap);
        }
        return widest;
    }

    @Test
    void someNoteMustBeAllowed() {
        assertThrows(IllegalArgumentException.class, () -> new Tuning(440, 0));
    }
}

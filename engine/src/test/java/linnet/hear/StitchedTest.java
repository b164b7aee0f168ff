package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class StitchedTest {
    private static Mark mark(Mark.Kind kind, long from, long to) {
        return new Mark(kind, from, to, 1, false);
    }

    /** Each take counts where it is used; a line that goes on over the border is one line, and two that only meet a join apart are two. */
    @Test
    void marksAreThoseOfTheStretches() {
        Marks one = new Marks(List.of(mark(Mark.Kind.PHRASE, 0, 120), mark(Mark.Kind.VOWEL, 10, 10), mark(Mark.Kind.VOWEL, 110, 110),
                mark(Mark.Kind.BREATH, 90, 95)));
        Marks two = new Marks(List.of(mark(Mark.Kind.PHRASE, 80, 200), mark(Mark.Kind.VOWEL, 100, 100), mark(Mark.Kind.BREATH, 40, 60),
                mark(Mark.Kind.SIBILANT, 190, 220)));
        assertEquals(List.of(mark(Mark.Kind.PHRASE, 0, 200), mark(Mark.Kind.VOWEL, 10, 10), mark(Mark.Kind.BREATH, 90, 95), mark(Mark.Kind.VOWEL, 100, 100),
                mark(Mark.Kind.SIBILANT, 190, 210)),
                Stitched.marks(List.of(new Stitched.Stretch<>(one, Long.MIN_VALUE, 100), new Stitched.Stretch<>(two, 100, 210))).all());
    }

    @Test
    void aNoteIsAsLongAsWhatIsLeftOfIt() {
        Note note = new Note(50, 150, 69, 0, 0, 0, 0, 1, Optional.empty());
        Notes notes = Stitched.notes(List.of(new Stitched.Stretch<>(new Notes(List.of(note)), 0, 100),
                new Stitched.Stretch<>(new Notes(List.of(note.between(90, 95), note.between(120, 180))), 100, 170)));
        assertEquals(List.of(note.between(50, 100), note.between(120, 170)), notes.all());
    }
}

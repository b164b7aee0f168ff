package linnet.tidy;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.HashSet;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;
import org.junit.jupiter.api.Test;

class AimsTest {
    private static Aims aims(double timing, double reach, double stretch, boolean breaths, double consonants, boolean ends, Aims.Level level) {
        return new Aims(OptionalDouble.of(timing), reach, stretch, breaths, OptionalDouble.of(consonants), ends, level);
    }

    /** What was made for one aim would else be taken for another. */
    @Test
    void itsWordsTellEachAimApart() {
        Aims.Level as = new Aims.Level.Lead(2);
        List<Aims> other = List.of(aims(0.02, 0.5, 0.1, true, 6, true, as), aims(0.01, 0.4, 0.1, true, 6, true, as), aims(0.01, 0.5, 0.2, true, 6, true, as),
                aims(0.01, 0.5, 0.1, false, 6, true, as), aims(0.01, 0.5, 0.1, true, 7, true, as), aims(0.01, 0.5, 0.1, true, 6, false, as),
                aims(0.01, 0.5, 0.1, true, 6, true, new Aims.Level.Left()));
        assertEquals(Aims.class.getRecordComponents().length, other.size(), "one that differs in each");
        Set<String> words = new HashSet<>();
        for (Aims a : other) words.add(a.toString());
        words.add(aims(0.01, 0.5, 0.1, true, 6, true, as).toString());
        words.add(aims(0.01, 0.5, 0.1, true, 6, true, new Aims.Level.Lead(3)).toString());
        words.add(aims(0.01, 0.5, 0.1, true, 6, true, new Aims.Level.At(2)).toString());
        words.add(aims(0.01, 0.5, 0.1, true, 6, true, new Aims.Level.At(3)).toString());
        assertEquals(other.size() + 4, words.size());
    }
}

package linnet.text;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import org.junit.jupiter.api.Test;

class NearestTest {
    @Test
    void ofWordsEquallyFarTheOneThatHasMostOfTheLettersIsMeant() {
        assertEquals("; did you mean 'to'?", Nearest.hint("ot", List.of("at", "out", "to")), "two letters in the wrong order are the same letters");
        assertEquals("; did you mean 'mute'?", Nearest.hint("mut", List.of("cut", "mute")), "a letter that was forgotten leaves the others");
        assertEquals("; did you mean 'pan'?", Nearest.hint("an", List.of("at", "pan")));
        assertEquals("; did you mean 'ms'?", Nearest.hint("ns", List.of("s", "ms")), "of as many letters");
    }

    @Test
    void twoThatAreEquallyNearAreBothTold() {
        assertEquals("; did you mean 'date' or 'rate'?", Nearest.hint("sate", List.of("rate", "song", "date")));
        assertEquals("; did you mean 'A major'?", Nearest.hint("H major", List.of("A major", "B major", "C major")), "more are no help");
    }

    @Test
    void aWordOfOneOtherLetterIsNotNear() {
        assertEquals("", Nearest.hint("x", List.of("s", "q")));
    }

    @Test
    void ofSeveralWordsTheOneThatIsNotKnownIsMended() {
        List<String> words = List.of("chorus 1", "bar", "beat");
        assertEquals("; did you mean 'chorus 1 bar 3'?", Nearest.hint("chorus 1 car 3", words, t -> t.equals("chorus 1 bar 3")));
        assertEquals("; did you mean '20ms'?", Nearest.hint("20ns", List.of("ms"), t -> true), "a unit may stand against its number");
        assertEquals("", Nearest.hint("chorus 1 car 3", words, t -> false), "what could not be read either is no help");
        assertEquals("", Nearest.hint("chorvs 1 car 3", words, t -> true), "a line with two slips was hardly meant to be any of these");
        assertEquals("", Nearest.hint("bar 3", words, t -> true), "what is known is no slip");
    }
}

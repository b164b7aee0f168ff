package linnet.setting;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.HashSet;
import java.util.List;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Keys and names of notes as every primer has them. */
class KeyTest {
    @ParameterizedTest
    @CsvSource({
        "C major, C D E F G A B", "G major, G A B C D E F#", "D major, D E F# G A B C#", "F major, F G A Bb C D E", "Eb major, Eb F G Ab Bb C D",
        "A minor, A B C D E F G", "D minor, D E F G A Bb C", "F# minor, F# G# A B C# D E", "A harmonic minor, A B C D E F G#",
        "D dorian, D E F G A B C", "E phrygian, E F G A B C D", "F lydian, F G A B C D E", "G mixolydian, G A B C D E F",
        "C major pentatonic, C D E G A", "A minor pentatonic, A C D E G"})
    void aKeyHasItsNotes(String key, String notes) {
        int expected = 0;
        for (String name : notes.split(" ")) expected |= 1 << NoteName.anyOctave(name).getAsInt();
        assertEquals(expected, Key.FORM.read(key).orElseThrow().notes());
    }

    @ParameterizedTest
    @CsvSource({"C major, false", "G major, false", "F major, true", "D minor, true", "Bb dorian, true", "B minor, false", "G minor, true", "F# major, false",
            "Db major, true",
        "G dorian, true", "C mixolydian, true", "A phrygian, true", "D lydian, false"})
    void notesAreWrittenAsTheKeyHasThem(String key, boolean flats) {
        assertEquals(flats, Key.FORM.read(key).orElseThrow().flats());
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "G", "major", "H major", "G maj", "G major major", "G#b major", "Gmajor", "1 major"})
    void whatIsNoKeyIsNone(String text) {
        assertTrue(Key.FORM.read(text).isEmpty());
    }

    @Test
    void everyKeyReadsBack() {
        for (String key : Key.FORM.known()) {
            Key read = Key.FORM.read(key).orElseThrow();
            assertEquals(read, Key.FORM.read(Key.FORM.write(read)).orElseThrow(), key);
            assertTrue(key.matches(Key.FORM.pattern()), key);
        }
        assertEquals(Key.FORM.read("f# minor"), Key.FORM.read("F♯  Minor"));
    }

    @ParameterizedTest
    @CsvSource({"A4, 69", "C4, 60", "B3, 59", "Cb4, 59", "B#3, 60", "F#4, 66", "Gb4, 66", "C0, 12", "B8, 119", "a2, 45"})
    void aNoteHasItsKey(String name, int key) {
        assertEquals(OptionalInt.of(key), NoteName.withOctave(name));
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "A", "4", "H4", "A9", "A44", "A-1", "A#b4", "Fis4"})
    void whatIsNoNoteIsNone(String name) {
        assertTrue(NoteName.withOctave(name).isEmpty());
    }

    @Test
    void everyNoteReadsBack() {
        for (int key = 12; key < 120; key++) {
            for (boolean flats : new boolean[] {false, true}) assertEquals(OptionalInt.of(key), NoteName.withOctave(NoteName.of(key, flats)));
        }
        for (String name : List.of("F#", "Bb", "C", "Cb")) assertTrue(NoteName.FORM.read(name).isPresent());
        assertEquals("Bb3", NoteName.of(58, true));
        assertEquals("A#3", NoteName.of(58, false));
    }

    /** What is proposed for a slip of the pen, and what editors take, are the names that can be read. */
    @Test
    void everyNameIsKnownOnce() {
        List<String> known = Key.FORM.known();
        assertEquals(17 * Key.Mode.values().length, known.size(), "twelve notes, five of them with two names");
        assertEquals(known.size(), new HashSet<>(known).size());
        for (String name : NoteName.FORM.examples()) assertTrue(name.matches(NoteName.FORM.pattern()), name);
    }
}

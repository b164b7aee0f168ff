package linnet.setting;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;

/** Names of notes: C, F#, Bb; with the octave F#4, where C4 is the middle C and A4 the note that is tuned to. */
public final class NoteName {
    private static final String LETTERS = "C D EF G A B";
    private static final String[] SHARP = {"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"};
    private static final String[] FLAT = {"C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"};
    static final String PATTERN = "[A-Ga-g]([#b♯♭])?";

    /** The name of a note in any octave, as a setting has it: 0 is C. */
    public static final Text.Form<Integer> FORM = new Text.Form<>() {
        @Override
        public String noun() {
            return "a note";
        }

        @Override
        public Optional<Integer> read(String text) {
            OptionalInt note = anyOctave(text);
            return note.isPresent() ? Optional.of(note.getAsInt()) : Optional.empty();
        }

        @Override
        public String write(Integer value) {
            return SHARP[value];
        }

        @Override
        public List<String> examples() {
            return List.of("F#", "Bb", "C", "D", "E", "G", "A", "B", "Cb");
        }

        @Override
        public List<String> known() {
            return List.of();
        }

        @Override
        public String pattern() {
            return PATTERN;
        }
    };

    private NoteName() {}

    /** Semitones above C, from 0 to 11; empty if it is no name of a note. */
    public static OptionalInt anyOctave(String text) {
        if (!text.matches(PATTERN)) return OptionalInt.empty();
        int note = LETTERS.indexOf(Character.toUpperCase(text.charAt(0)));
        if (text.length() == 2) note += text.charAt(1) == '#' || text.charAt(1) == '♯' ? 1 : -1;
        return OptionalInt.of(Math.floorMod(note, 12));
    }

    /** The number of a key on the keyboard, where A4 is 69; empty if it is no name of a note with its octave, from C0 to B8. */
    public static OptionalInt withOctave(String text) {
        if (text.length() < 2 || !Character.isDigit(text.charAt(text.length() - 1))) return OptionalInt.empty();
        String name = text.substring(0, text.length() - 1);
        int octave = text.charAt(text.length() - 1) - '0';
        if (octave > 8 || !name.matches(PATTERN)) return OptionalInt.empty();
        int note = LETTERS.indexOf(Character.toUpperCase(name.charAt(0)));
        // Cb4 lies below C4, and B#4 above B4: the octave belongs to the letter.
        if (name.length() == 2) note += name.charAt(1) == '#' || name.charAt(1) == '♯' ? 1 : -1;
        return OptionalInt.of(12 * (octave + 1) + note);
    }

    /** The name of a note with its octave. */
    public static String of(int key, boolean flats) {
        return (flats ? FLAT : SHARP)[Math.floorMod(key, 12)] + (Math.floorDiv(key, 12) - 1);
    }

    static String anyOctave(int note, boolean flats) {
        return (flats ? FLAT : SHARP)[note];
    }

    static List<String> all() {
        List<String> all = new ArrayList<>(List.of(SHARP));
        for (String name : FLAT) if (!all.contains(name)) all.add(name);
        return all;
    }
}

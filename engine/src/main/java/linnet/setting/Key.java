package linnet.setting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;

/**
 * A key, such as D major: the notes that belong to it.
 *
 * @param tonic semitones above C
 * @param flats whether its notes are written with flats
 */
public record Key(int tonic, Mode mode, boolean flats) {
    /** The notes of a scale in semitones over its first. */
    public enum Mode {
        MAJOR(0, 2, 4, 5, 7, 9, 11),
        /** The natural one. */
        MINOR(0, 2, 3, 5, 7, 8, 10),
        HARMONIC_MINOR(0, 2, 3, 5, 7, 8, 11),
        DORIAN(0, 2, 3, 5, 7, 9, 10),
        PHRYGIAN(0, 1, 3, 5, 7, 8, 10),
        LYDIAN(0, 2, 4, 6, 7, 9, 11),
        MIXOLYDIAN(0, 2, 4, 5, 7, 9, 10),
        MAJOR_PENTATONIC(0, 2, 4, 7, 9),
        MINOR_PENTATONIC(0, 3, 5, 7, 10);

        private final int[] steps;

        Mode(int... steps) {
            this.steps = steps;
        }

        String words() {
            return name().toLowerCase(Locale.ROOT).replace('_', ' ');
        }
    }

    private static final Pattern CHORD = Pattern.compile("(?<tonic>" + NoteName.PATTERN + ")\\s*(?<third>m|min|maj)\\.?");

    public static final Text.Form<Key> FORM = new Text.Form<>() {
        @Override
        public String noun() {
            return "a key";
        }

        @Override
        public Optional<Key> read(String text) {
            return Key.read(text);
        }

        @Override
        public String write(Key value) {
            return value.words();
        }

        @Override
        public List<String> examples() {
            return List.of("G major", "D minor", "F# major", "Bb dorian", "A harmonic minor", "C minor pentatonic");
        }

        @Override
        public List<String> known() {
            List<String> known = new ArrayList<>();
            for (String tonic : NoteName.all()) for (Mode mode : Mode.values()) known.add(tonic + " " + mode.words());
            return known;
        }

        /** A chord: {@code Am}, {@code Bb maj}. */
        @Override
        public Optional<String> meant(String text) {
            Matcher chord = CHORD.matcher(text);
            return chord.matches() ? read(chord.group("tonic") + (chord.group("third").equals("maj") ? " major" : " minor")).map(this::write)
                    : Optional.empty();
        }

        @Override
        public String pattern() {
            return NoteName.PATTERN + " +(" + Arrays.stream(Mode.values()).map(Mode::words).collect(Collectors.joining("|")) + ")";
        }
    };

    private static Optional<Key> read(String text) {
        String[] words = text.split("\\s+", 2);
        OptionalInt tonic = NoteName.anyOctave(words[0]);
        if (tonic.isEmpty() || words.length < 2) return Optional.empty();
        String rest = words[1].replaceAll("\\s+", " ").toLowerCase(Locale.ROOT);
        for (Mode mode : Mode.values()) {
            if (mode.words().equals(rest)) return Optional.of(new Key(tonic.getAsInt(), mode, isFlat(words[0], tonic.getAsInt(), mode)));
        }
        return Optional.empty();
    }

    /** The key as it is usually written. */
    public static Key of(int tonic, Mode mode) {
        return new Key(tonic, mode, hasFlats(tonic, mode));
    }

    /** Named with a flat, or, without any sign, of a scale whose signature has flats: F major, D minor. */
    private static boolean isFlat(String name, int tonic, Mode mode) {
        return name.length() == 2 ? name.charAt(1) == 'b' || name.charAt(1) == '♭' : hasFlats(tonic, mode);
    }

    private static boolean hasFlats(int tonic, Mode mode) {
        // The major scale with the same signature begins so many semitones above the tonic.
        int above = switch (mode) {
            case MAJOR, MAJOR_PENTATONIC -> 0;
            case MINOR, HARMONIC_MINOR, MINOR_PENTATONIC -> 3;
            case DORIAN -> 10;
            case PHRYGIAN -> 8;
            case LYDIAN -> 7;
            case MIXOLYDIAN -> 5;
        };
        int major = (tonic + above) % 12;
        return major == 5 || major == 10 || major == 3 || major == 8 || major == 1;
    }

    /** Bit k for the note k semitones above C. */
    public int notes() {
        int notes = 0;
        for (int step : mode.steps) notes |= 1 << (tonic + step) % 12;
        return notes;
    }

    public String words() {
        return NoteName.anyOctave(tonic, flats) + " " + mode.words();
    }
}

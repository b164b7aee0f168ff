package linnet.song;

import java.util.List;
import linnet.text.Word;

/** A change of what a part sings, before its chain; fades lie inside what is changed, and what is beside it passes to the bit. */
public sealed interface Edit {
    /** Silences some stretches. */
    record Mute(List<Place.Range> where, double fade) implements Edit {}

    /**
     * Silences what is marked in some stretches.
     *
     * @param kind of marks
     * @param what the words of the text, to tell how many there were
     */
    record Marked(Kind kind, List<Place.Range> where, double fade, Word what) implements Edit {}

    /** Silences all but some stretches; the fades lie outside them. */
    record Only(List<Place.Range> where, double fade) implements Edit {}

    /** Fades in or out over a stretch. */
    record Fade(Place.Range where, boolean in) implements Edit {}

    /**
     * Takes a stretch out and closes the gap: what follows comes earlier.
     *
     * @param fade seconds; 0 for what is usual for what lies there
     * @param exact whether it is cut there and nowhere near
     * @param what the words of the text, to tell what became of it
     */
    record Close(Place.Range where, double fade, boolean exact, Word what) implements Edit {}

    /** Marks that can be silenced. */
    enum Kind {
        BREATHS("breaths", "breath"), SIBILANTS("sibilants", "sibilant"), STOPS("stops", "stop"), PLOSIVES("plosives", "plosive"), PHRASES("phrases", "phrase");

        private final String many, mark;

        Kind(String many, String mark) {
            this.many = many;
            this.mark = mark;
        }

        /** As an edit has it. */
        public String many() {
            return many;
        }

        /** As a list of marks has it. */
        public String mark() {
            return mark;
        }
    }
}

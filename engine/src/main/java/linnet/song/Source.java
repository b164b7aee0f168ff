package linnet.song;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import linnet.text.Word;

/** Where what a part sings comes from. */
public sealed interface Source {
    /** The sound files it is made of, in the order of the text. */
    List<Take> takes();

    /**
     * A sound file.
     *
     * @param named where the text names it
     */
    record Take(Word named, Path path) {}

    /**
     * A take, or a span of it.
     *
     * @param at second of the song at which the span begins
     * @param from second of the file from which it is used
     * @param to second of the file up to which it is used; infinite where it is used to its end
     * @param ends where the text names the span; empty where all of it is used
     * @param placed whether the text says where it begins
     */
    record Clip(Take take, double at, double from, double to, Optional<Word> ends, boolean placed) implements Source {
        @Override
        public List<Take> takes() {
            return List.of(take);
        }
    }

    /** What another part sings, as it leaves its chain. */
    record Print(Word part) implements Source {
        @Override
        public List<Take> takes() {
            return List.of();
        }
    }

    /**
     * One of them, edited.
     *
     * @param later seconds by which all of it is nudged
     * @param edits in the order in which they are made: each meets what the one before has left
     */
    record Edited(Source of, double later, List<Edit> edits) implements Source {
        @Override
        public List<Take> takes() {
            return of.takes();
        }
    }

    /** What it is before it is edited. */
    default Source unedited() {
        return this instanceof Edited e ? e.of : this;
    }

    /** Ranges of several takes, one after the other. */
    record Comp(List<Range> ranges) implements Source {
        @Override
        public List<Take> takes() {
            return ranges.stream().map(Range::take).toList();
        }
    }

    /**
     * A range of a comp.
     *
     * @param at second of the song at which the take, not the range, begins
     * @param where the place from which it is used
     * @param from that place, in seconds of the song
     * @param to second up to which it is used; infinite where the next range or the end of the take ends it
     * @param until the place up to which it is used; empty where the text names none
     * @param fade seconds over which it takes the place of what is before it; 0 for what is usual for what lies there
     * @param exact whether it begins and ends where the text says, and nowhere near it
     * @param placed whether the text says where the take begins
     * @param into dB by which the take is louder here, before it is joined
     */
    record Range(Take take, double at, Word where, double from, double to, Optional<Word> until, double fade, boolean exact, boolean placed, double into) {
        /** By so many dB a take can be louder, or softer, in a range. */
        public static final double MOST_INTO = 60;
    }
}

package linnet.song;

import java.nio.file.Path;
import java.util.List;
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
     */
    record Clip(Take take, double at, double from, double to) implements Source {
        @Override
        public List<Take> takes() {
            return List.of(take);
        }
    }
}

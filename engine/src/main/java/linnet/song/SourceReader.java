package linnet.song;

import java.util.List;
import java.util.Optional;
import linnet.text.Word;

/** Reads where what a part sings comes from. */
final class SourceReader {
    private final Reading text;
    private final Place place;

    SourceReader(Reading text, Place place) {
        this.text = text;
        this.place = place;
    }

    /** @param name of the part */
    Optional<Source> read(Word name, Fields f) {
        if (f.get("comp").isPresent()) return comp(name, f);
        Optional<Source.Take> take = take(f);
        if (f.get("take").isEmpty()) text.problems().report(name.at(), "'" + name.text() + "' needs its 'take:', a sound file, or 'comp:', ranges of several");
        double at = f.word("at").map(w -> place.point(w).orElse(0)).orElse(0.0);
        return take.map(t -> new Source.Clip(t, at, 0, Double.POSITIVE_INFINITY));
    }

    private Optional<Source> comp(Word name, Fields f) {
        for (String other : List.of("take", "at")) {
            if (f.get(other).isPresent()) text.problems().report(f.get(other).get().at(), "'" + name.text() + "' has a comp: '" + other + "' belongs into its ranges");
        }
        return new CompReader(text, place).read(f.get("comp").get());
    }

    private Optional<Source.Take> take(Fields f) {
        return f.word("take").flatMap(w -> text.beside(w).map(p -> new Source.Take(w, p)));
    }
}

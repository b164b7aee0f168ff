package linnet.song;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.setting.Unit;
import linnet.text.Nearest;
import linnet.text.Word;

/** Reads where what a part sings comes from. */
final class SourceReader {
    /** In seconds: its fades find room in it. */
    private static final double SHORTEST = 0.02;

    private final Reading text;
    private final Place place;
    private final EditReader edits;

    /** What a part says of what it sings. */
    static Shape declare(Shape part) {
        Form time = Form.either(new Form.Bare(0, Double.POSITIVE_INFINITY), Form.words("\\d{1,3}:\\d{1,2}([.]\\d{1,9})?|[0-9.]+ *(s|ms)?", "12.5 s", "1:02.5"));
        return part.key("take", "The sound file, relative to the song.", new Form.Line())
                .key("comp", "In place of 'take': ranges of several takes, joined where it is heard least.", CompReader.COMP)
                .key("from", "In place of 'take': another part, as it leaves its chain. Beside 'take': from when on the file is used.", new Form.Line())
                .key("to", "With 'take': until when the file is used.", time)
                .key("at", "With 'take': where in the song it begins; its start where it is not given.", Place.POINT)
                .key("nudge", "Earlier or later by a length.", EditReader.NUDGE)
                .key("only", "Stretches that are left; all else is silence.", Form.some(Place.STRETCH))
                .key("edits", "What is muted, cut and faded, one after the other, before the chain.", EditReader.EDITS)
                .need(Shape.How.ANY, "take", "comp", "from").without("comp", "take", "from", "to", "at").with("to", "take").with("at", "take");
    }

    SourceReader(Reading text, Place place) {
        this.text = text;
        this.place = place;
        edits = new EditReader(text, place);
    }

    /** @param name of the part */
    Optional<Source> read(Word name, Fields f) {
        Optional<Source> source = f.get("comp").isPresent() ? comp(name, f) : f.get("take").isEmpty() && f.get("from").isPresent() ? print(f) : clip(name, f);
        double later = edits.nudge(f);
        List<Edit> made = edits.read(f);
        return source.map(s -> later == 0 && made.isEmpty() ? s : new Source.Edited(s, later, made));
    }

    private Optional<Source> comp(Word name, Fields f) {
        refuse(f, "'" + name.text() + "' has a comp: '%s' belongs into its ranges", "take", "at", "from", "to");
        return new CompReader(text, place).read(f.get("comp").get());
    }

    private Optional<Source> print(Fields f) {
        refuse(f, "what is made of another part begins and ends with it; 'nudge', 'only' and 'edits' change that, not '%s'", "at", "to");
        return f.word("from").map(Source.Print::new);
    }

    private void refuse(Fields f, String message, String... keys) {
        for (String key : keys) f.get(key).ifPresent(t -> text.problems().report(t.at(), message.formatted(key)));
    }

    private Optional<Source> clip(Word name, Fields f) {
        Optional<Source.Take> take = f.word("take").flatMap(w -> text.beside(w).map(p -> new Source.Take(w, p)));
        if (f.lacks("take") && !f.isMeant("comp") && !f.isMeant("from")) {
            text.problems().report(name.at(), "'" + name.text() + "' needs its 'take:', a sound file, or 'comp:', ranges of several, or 'from:', another part");
        }
        double from = f.word("from").map(this::time).orElse(0.0), to = f.word("to").map(this::time).orElse(Double.POSITIVE_INFINITY);
        if (to < from + SHORTEST) text.problems().report(f.get("to").get().at(), "the span of the take ends before it has begun: 20 ms are the least");
        // What is cut off at the beginning does not move the rest.
        double at = f.word("at").map(w -> place.point(w).orElse(0)).orElse(from);
        return take.map(t -> new Source.Clip(t, at, from, to, f.word("to").or(() -> f.word("from")), f.get("at").isPresent()));
    }

    /** A time in a sound file, in seconds. */
    private double time(Word word) {
        OptionalDouble seconds = Place.seconds(word.text().strip());
        if (seconds.isEmpty() || seconds.getAsDouble() < 0) {
            text.problems().report(word.at(), "beside 'take' this is a time in the file, such as '12.5 s' or 1:02.5"
                    + Nearest.hint(word.text().strip(), Unit.SECONDS.suffixes(), t -> Place.seconds(t).isPresent()));
        }
        return seconds.orElse(0);
    }
}

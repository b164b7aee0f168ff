package linnet.song;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.setting.Fixed;
import linnet.setting.Settings;
import linnet.setting.Unit;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Reads which take is used from where on. */
final class CompReader {
    private static final Settings SETTINGS = new Settings();
    /** 4 ms are the least that no click is heard of. */
    static final Fixed FADE = SETTINGS.fixed("fade", Unit.MS).range(4, 500).otherwise("12 ms to 30 ms, by what lies there")
            .doc("How long one take takes to give way to the next.");
    static final Fixed INTO = SETTINGS.fixed("into", Unit.DB).range(-Source.Range.MOST_INTO, Source.Range.MOST_INTO).usual("0 dB")
            .doc("How much louder its take is in this range, before it is joined and goes into the chain.");
    /** Two fades of the usual length find room in it, in seconds. */
    private static final double SHORTEST = 0.06;
    private static final int MOST = 1000;
    private static final Shape RANGE = new Shape("a range of a comp")
            .key("take", "The sound file, relative to the song.", new Form.Line())
            .key("from", "From where on it is used: until the next range begins, the take ends, or 'to'.", Place.POINT)
            .key("to", "The place where it ends, if not where the next range begins.", Place.POINT)
            .key("at", "Where in the song the take begins; its start where it is not given.", Place.POINT)
            .number(FADE)
            .number(INTO)
            .key("exact", "'yes' keeps the place; else a join goes to the nearest pause, breath or consonant.", Form.yes())
            .need(Shape.How.ALL, "take", "from");
    static final Form COMP = new Form.Rows(new Form.Table(RANGE), false, 1);

    private final Reading text;
    private final Place place;

    CompReader(Reading text, Place place) {
        this.text = text;
        this.place = place;
    }

    Optional<Source> read(Tree tree) {
        if (!(tree instanceof Tree.Rows rows) || rows.rows().isEmpty()) {
            text.problems().report(tree.at(), "a comp is a list of ranges, such as - { take: lead-1.wav, from: verse 1 }");
            return Optional.empty();
        }
        if (rows.rows().size() > MOST) text.problems().report(tree.at(), "a comp has " + MOST + " ranges at most");
        List<Source.Range> ranges = new ArrayList<>();
        for (Tree row : rows.rows()) {
            range(row).ifPresent(r -> {
                if (!ranges.isEmpty()) follow(ranges.get(ranges.size() - 1), r);
                ranges.add(r);
            });
        }
        return ranges.isEmpty() ? Optional.empty() : Optional.of(new Source.Comp(ranges));
    }

    private Optional<Source.Range> range(Tree row) {
        Fields f = text.fields(RANGE, row);
        for (String needed : List.of("take", "from")) {
            if (f.lacks(needed)) text.problems().report(row.at(), "a range of a comp needs '" + needed + "', as in { take: lead-1.wav, from: verse 1 }");
        }
        Optional<Source.Take> take = f.word("take").flatMap(w -> text.beside(w).map(p -> new Source.Take(w, p)));
        Optional<Word> where = f.word("from");
        OptionalDouble from = where.map(place::point).orElse(OptionalDouble.empty());
        double to = f.word("to").map(w -> place.point(w).orElse(Double.POSITIVE_INFINITY)).orElse(Double.POSITIVE_INFINITY);
        double at = f.word("at").map(w -> place.point(w).orElse(0)).orElse(0.0);
        double fade = f.get("fade").isPresent() ? f.number(FADE) / 1000 : 0;
        boolean exact = text.yes(f, "exact");
        if (take.isEmpty() || from.isEmpty()) return Optional.empty();
        if (to < from.getAsDouble() + SHORTEST) {
            text.problems().report(f.get("to").orElse(row).at(), "this range ends before it has begun: 60 ms are the least");
        }
        return Optional.of(new Source.Range(take.get(), at, where.get(), from.getAsDouble(), to, f.word("to"), fade, exact, f.get("at").isPresent(),
                f.number(INTO)));
    }

    private void follow(Source.Range before, Source.Range range) {
        if (range.from() < before.from() + SHORTEST) {
            text.problems().report(range.where().at(), "\"" + range.where().text() + "\" does not come after \"" + before.where().text()
                    + "\": ranges stand in the order of the song, 60 ms apart at least");
        } else if (before.to() < Double.POSITIVE_INFINITY && range.from() < before.to()) {
            text.problems().report(range.where().at(), "this range begins before the one above ends; leave out its 'to:' where one is to follow the other");
        }
    }
}

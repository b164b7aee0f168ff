package linnet.song;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.setting.Fixed;
import linnet.setting.Settings;
import linnet.setting.Unit;
import linnet.yaml.Tree;

/** Reads the throws of a song. */
final class ThrowReader {
    private static final Settings SETTINGS = new Settings();
    private static final Fixed IN = SETTINGS.fixed("in", Unit.MS).range(5, 1000).usual("10 ms").doc("How long a thrown word takes to come in.");
    private static final Fixed OUT = SETTINGS.fixed("out", Unit.MS).range(5, 5000).usual("80 ms").doc("How long it takes to go, after its length.");

    private final Reading text;
    private final Place place;

    ThrowReader(Reading text, Place place) {
        this.text = text;
        this.place = place;
    }

    List<Song.Throw> read(Fields top) {
        Optional<Tree> tree = top.get("throws");
        if (tree.isEmpty()) return List.of();
        if (!(tree.get() instanceof Tree.Rows rows)) {
            text.problems().report(tree.get().at(), "throws are a list: one '- ' before each");
            return List.of();
        }
        List<Song.Throw> read = new ArrayList<>();
        for (Tree row : rows.rows()) aThrow(row).ifPresent(read::add);
        return read;
    }

    private Optional<Song.Throw> aThrow(Tree row) {
        Fields f = text.fields("a throw", row, "part", "word", "length", "to", "level", "in", "out", "stop");
        for (String needed : List.of("part", "word", "length", "to")) {
            if (f.get(needed).isEmpty()) text.problems().report(row.at(), "a throw needs '" + needed + "', as in { part: lead, word: chorus bar 2 beat 3, length: 2 beats, to: far }");
        }
        if (!f.has("part", "word", "length", "to")) return Optional.empty();
        OptionalDouble from = f.word("word").map(place::point).orElse(OptionalDouble.empty());
        if (from.isEmpty()) return Optional.empty();
        OptionalDouble length = place.length(f.word("length").orElseThrow(), from.getAsDouble());
        double until = from.getAsDouble() + length.orElse(0);
        double stop = f.word("stop").map(w -> place.after(w, until)).orElse(Double.POSITIVE_INFINITY);
        return Optional.of(new Song.Throw(f.word("part").orElseThrow(), from.getAsDouble(), length.orElse(0), f.word("to").orElseThrow(), f.number(Faders.LEVEL), f.number(IN) / 1000,
                f.number(OUT) / 1000, stop));
    }
}

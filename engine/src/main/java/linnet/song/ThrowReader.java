package linnet.song;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.DoubleUnaryOperator;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.setting.Fixed;
import linnet.setting.Settings;
import linnet.setting.Unit;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Reads the throws of a song. */
final class ThrowReader {
    private static final Settings SETTINGS = new Settings();
    private static final Fixed IN = SETTINGS.fixed("in", Unit.MS).range(5, 1000).usual("10 ms")
            .doc("How long a thrown word takes to come in: all of its length at most.");
    private static final Fixed OUT = SETTINGS.fixed("out", Unit.MS).range(5, 5000).usual("80 ms").doc("How long it takes to go, after its length.");

    private static final double SHORTEST_SECONDS = 0.005;
    private static final Pattern VOWEL = Pattern.compile("vowel (\\d{1,5})(?: of (.+))?");
    private static final String NEXT_PHRASE = "next phrase";
    private static final Shape THROW = new Shape("a throw")
            .key("part", "Who sings the word.", new Form.Line())
            .key("word", "Where the word begins: a place, which is moved to the start of a vowel within 150 ms, or 'vowel 12' of the marks of the part.",
                    Form.words("", "chorus bar 2 beat 3", "vowel 12"))
            .key("length", "How much of it is thrown.", Place.LENGTH_FORM)
            .key("to", "The return that takes it.", new Form.Line())
            .number(Faders.LEVEL)
            .number(IN)
            .number(OUT)
            .key("stop", "Where or after how long what the return makes of it gives way; it rings on where this is not given.",
                    Form.words("", NEXT_PHRASE, "2 bars", "350 ms", "chorus 2"))
            .key("exact", "'yes' keeps the place of the word as it is.", Form.yes())
            .need(Shape.How.ALL, "part", "word", "length", "to");
    static final Form THROWS = new Form.Rows(new Form.Table(THROW), false, 0);

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
        Fields f = text.fields(THROW, row);
        for (String needed : List.of("part", "word", "length", "to")) {
            if (f.lacks(needed)) {
                text.problems().report(row.at(), "a throw needs '" + needed + "', as in { part: lead, word: chorus bar 2 beat 3, length: 2 beats, to: far }");
            }
        }
        if (!f.has("part", "word", "length", "to")) return Optional.empty();
        Word part = f.word("part").orElseThrow(), word = f.word("word").orElseThrow(), length = f.word("length").orElseThrow();
        int vowel = vowel(word, part);
        // Which vowel that is, is known once the part is heard.
        OptionalDouble from = vowel > 0 ? OptionalDouble.of(0)
                : place.point(word, new Place.Also(List.of("vowel", "of", part.text()), t -> VOWEL.matcher(t).matches()));
        if (from.isEmpty() || vowel < 0) return Optional.empty();
        Optional<Word> stop = f.word("stop");
        boolean nextPhrase = stop.filter(w -> w.text().strip().equals(NEXT_PHRASE)).isPresent();
        DoubleUnaryOperator lasts = at -> place.length(length, at).orElse(0),
                ends = until -> nextPhrase || stop.isEmpty() ? Double.POSITIVE_INFINITY
                : place.after(stop.get(), until, new Place.Also(List.of(NEXT_PHRASE), NEXT_PHRASE::equals));
        double seconds = lasts.applyAsDouble(from.getAsDouble());
        // What is no length at all is told already.
        if (seconds < SHORTEST_SECONDS && place.isLength(length)) {
            text.problems().report(length.at(), "a thrown word lasts 5 ms or more: a shorter one is a click");
        }
        Song.Aim aim = new Song.Aim(word, stop, vowel, text.yes(f, "exact"), nextPhrase, lasts, ends);
        return Optional.of(new Song.Throw(part, from.getAsDouble(), seconds, f.word("to").orElseThrow(), f.number(Faders.LEVEL), f.number(IN) / 1000,
                f.number(OUT) / 1000, ends.applyAsDouble(from.getAsDouble() + seconds), aim));
    }

    /** Which vowel of its part a word is; 0 where it is a place, -1 where it is neither. */
    private int vowel(Word word, Word part) {
        Matcher m = VOWEL.matcher(word.text().strip());
        if (!m.matches()) return 0;
        if (m.group(2) != null && !m.group(2).equals(part.text())) {
            text.problems().report(word.at(), "this throws a word of '" + part.text() + "', not of '" + m.group(2) + "'");
        }
        if (Integer.parseInt(m.group(1)) > 0) return Integer.parseInt(m.group(1));
        text.problems().report(word.at(), "vowels count from 1");
        return -1;
    }

}

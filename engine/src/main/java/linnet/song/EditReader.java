package linnet.song;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import linnet.setting.Fixed;
import linnet.setting.Settings;
import linnet.setting.Unit;
import linnet.text.Nearest;
import linnet.text.Word;
import linnet.tidy.Aims;
import linnet.yaml.Tree;

/** Reads what is muted, cut, faded and nudged in a part. */
final class EditReader {
    private static final Settings SETTINGS = new Settings();
    /** Usual is common practice; 4 ms are the least that no click is heard of. */
    private static final Fixed FADE = SETTINGS.fixed("fade", Unit.MS).range(4, 5000).usual("8 ms")
            .doc("How long it takes to go and to come back, inside what is muted.");
    private static final List<String> KINDS = List.of("mute", "cut", "fade in", "fade out");
    private static final String MARKS = Arrays.stream(Edit.Kind.values()).map(Edit.Kind::many).collect(Collectors.joining("|"));
    private static final Pattern MARKED = Pattern.compile("(" + MARKS + ")( +in +.+)?");
    private static final List<String> MARK_WORDS = Stream.concat(Arrays.stream(Edit.Kind.values()).map(Edit.Kind::many), Stream.of("in")).toList();
    private static final Shape EDIT = new Shape("an edit")
            .key("mute", "Silence in a stretch, or in marks of one; nothing moves.",
                    Form.some(Form.words("(?!.* in ).*|(" + MARKS + ") +in +.+", "verse bar 2 to verse bar 3", "breaths", "breaths in verse")))
            .key("cut", "As 'mute'; with 'close: yes' the stretch is taken out and what follows comes earlier.", Form.some(Place.STRETCH))
            .key("fade in", "Fades in over a stretch.", Form.some(Place.STRETCH))
            .key("fade out", "Fades out over a stretch.", Form.some(Place.STRETCH))
            .number(FADE)
            .key("close", "With 'cut': 'yes' closes the gap.", Form.yes())
            .key("exact", "With 'close': 'yes' keeps the place; else the join goes to the nearest pause, breath or consonant.", Form.yes())
            .need(Shape.How.ONE, "mute", "cut", "fade in", "fade out").with("close", "cut").with("exact", "close").without("fade", "fade in", "fade out");
    static final Form EDITS = new Form.Rows(new Form.Table(EDIT), false, 0);
    private static final String NUDGES = "(" + Place.LENGTHS + ") (earlier|later)";
    static final Form NUDGE = Form.words(NUDGES, "20 ms earlier", "1/32 later");
    /** In seconds. */
    private static final double SHORTEST = 0.02;
    /** Less than a sample at any rate: what places far from the start lose to rounding. */
    private static final double ROUNDING = 1e-6;
    private static final int MOST = 1000;

    private final Reading text;
    private final Place place;

    EditReader(Reading text, Place place) {
        this.text = text;
        this.place = place;
    }

    /** What {@code only} and then {@code edits} say. */
    List<Edit> read(Fields part) {
        List<Edit> edits = new ArrayList<>();
        List<Place.Range> only = part.words("only").stream().flatMap(w -> place.ranges(w).stream()).toList();
        if (!only.isEmpty()) edits.add(new Edit.Only(only, FADE.usual().map(v -> ((linnet.setting.Value.Amount) v).value()).orElseThrow() / 1000));
        Optional<Tree> tree = part.get("edits");
        if (tree.isEmpty()) return edits;
        if (!(tree.get() instanceof Tree.Rows rows)) {
            text.problems().report(tree.get().at(), "edits are a list: one '- ' before each, such as - { mute: verse bar 2 to verse bar 3 }");
            return edits;
        }
        if (rows.rows().size() > MOST) text.problems().report(tree.get().at(), "a part has " + MOST + " edits at most");
        for (Tree row : rows.rows()) edit(row, edits);
        return edits;
    }

    private void edit(Tree row, List<Edit> into) {
        Fields f = text.fields(EDIT, row);
        List<String> kinds = KINDS.stream().filter(k -> f.get(k).isPresent()).toList();
        if (kinds.size() != 1) {
            // A wrong word was told already.
            if (kinds.isEmpty() && !EDIT.names().containsAll(f.table().entries().keySet())) return;
            text.problems().report(row.at(),
                    "an edit is one of 'mute', 'cut', 'fade in' or 'fade out', with a stretch of the song: { mute: verse bar 2 to verse bar 3 }");
            return;
        }
        String kind = kinds.get(0);
        boolean close = text.yes(f, "close"), exact = text.yes(f, "exact");
        if (f.get("close").isPresent() && !kind.equals("cut")) text.problems().report(f.get("close").get().at(), "only a 'cut' can close the gap");
        if (f.get("exact").isPresent() && !close) {
            text.problems().report(f.get("exact").get().at(), "'exact' goes with a cut that closes the gap; all else is where the text says");
        }
        if (kind.startsWith("fade ")) {
            if (f.get("fade").isPresent()) text.problems().report(f.get("fade").get().at(), "a '" + kind + "' is as long as its stretch");
            for (Word w : f.words(kind)) stretches(w).forEach(r -> into.add(new Edit.Fade(r, kind.equals("fade in"))));
            return;
        }
        double fade = f.number(FADE) / 1000;
        for (Word w : f.words(kind)) {
            if (close) closed(w).forEach(r -> into.add(new Edit.Close(r, f.get("fade").isPresent() ? fade : 0, exact, w)));
            else mute(w, fade, into);
        }
    }

    private void mute(Word what, double fade, List<Edit> into) {
        String[] words = what.text().strip().split("\\s+in\\s+", 2);
        Optional<Edit.Kind> kind = Arrays.stream(Edit.Kind.values()).filter(k -> k.many().equals(words[0])).findFirst();
        if (kind.isPresent()) {
            List<Place.Range> where = words.length == 1 ? List.of(new Place.Range(0, Double.POSITIVE_INFINITY)) : place.ranges(new Word(words[1], what.at()));
            into.add(new Edit.Marked(kind.get(), where, fade, what));
        } else if (words.length == 2) {
            List<String> kinds = Arrays.stream(Edit.Kind.values()).map(Edit.Kind::many).toList();
            text.problems().report(what.at(), "no marks are called '" + words[0] + "'" + Nearest.hint(words[0], kinds) + " (there are " + kinds.stream()
                    .collect(Collectors.joining(", ")) + ")");
        } else {
            List<Place.Range> where = stretches(what, new Place.Also(MARK_WORDS, t -> MARKED.matcher(t).matches()));
            if (!where.isEmpty()) into.add(new Edit.Mute(where, fade));
        }
    }

    /** What is taken out so that the rest comes earlier. */
    private List<Place.Range> closed(Word what) {
        String words = what.text().strip().replaceAll("\\s+", " ");
        boolean marks = Arrays.stream(Edit.Kind.values()).anyMatch(k -> words.equals(k.many()) || words.startsWith(k.many() + " in "));
        if (!marks || place.isStretch(what)) return stretches(what);
        text.problems().report(what.at(), "only a stretch can be closed, not marks: the rest of the part would come earlier with each of them; say { mute: "
                + words + " }, or cut each by its place");
        return List.of();
    }

    private List<Place.Range> stretches(Word word) {
        return stretches(word, Place.Also.NOTHING);
    }

    private List<Place.Range> stretches(Word word, Place.Also also) {
        List<Place.Range> ranges = place.ranges(word, also);
        for (Place.Range r : ranges) {
            if (r.to() - r.from() < SHORTEST - ROUNDING) text.problems().report(word.at(), "this lasts less than 20 ms: no fade finds room in it");
        }
        return ranges;
    }

    /** {@code 20 ms earlier} or {@code 1/32 later}, in seconds, later above 0. */
    double nudge(Fields part) {
        Optional<Word> word = part.word("nudge");
        if (word.isEmpty()) return 0;
        String words = word.get().text().strip();
        double sign = words.endsWith(" later") ? 1 : words.endsWith(" earlier") ? -1 : 0;
        if (sign == 0) {
            text.problems().report(word.get().at(), "a nudge is a length and a direction, such as '20 ms earlier' or '1/32 later'"
                    + Nearest.hint(words, place.lengths("earlier", "later"), t -> t.matches(NUDGES)));
            return 0;
        }
        OptionalDouble length = place.length(new Word(words.substring(0, words.lastIndexOf(' ')), word.get().at()), 0);
        if (length.orElse(0) > Aims.FARTHEST_NUDGE) {
            text.problems().report(word.get().at(), "a nudge is " + Unit.SECONDS.format(Aims.FARTHEST_NUDGE) + " at most; 'at' puts a take anywhere");
        }
        return sign * length.orElse(0);
    }
}

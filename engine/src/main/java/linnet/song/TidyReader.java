package linnet.song;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.setting.Fixed;
import linnet.setting.Settings;
import linnet.setting.Unit;
import linnet.setting.YesNo;
import linnet.text.Nearest;
import linnet.text.Word;
import linnet.tidy.Aims;
import linnet.yaml.Tree;

/**
 * Reads how parts are tidied against another. What a group says holds for its members; a part may say some of it otherwise, or {@code tidy: no}. Usual values
 * are common practice.
 */
final class TidyReader {
    private static final String LEAVE = "leave", REMOVE = "remove", SOFTEN = "soften", WITH_LEAD = "with lead";
    private static final Settings SETTINGS = new Settings();
    private static final Fixed TIMING = SETTINGS.fixed("timing", Unit.MS).range(5, 100).usual("12 ms").words(LEAVE)
            .doc("How far from the lead it may be sung; what is nearer stays as it is.");
    private static final Fixed REACH = SETTINGS.fixed("reach", Unit.MS).range(50, 2000).usual("500 ms")
            .doc("How far a phrase is moved at most; what lies farther off is left alone.");
    private static final Fixed STRETCH = SETTINGS.fixed("stretch", Unit.PERCENT).range(2, 100 * Aims.LARGEST_STRETCH).usual("10 %")
            .doc("How much longer or shorter vowels may be made; consonants never are.");
    private static final Fixed CONSONANTS = SETTINGS.fixed("consonants", Unit.DB).range(3, 40).usual("15 dB").words(SOFTEN, LEAVE)
            .doc("How much quieter a hard consonant is made where the lead says it too.");
    private static final Fixed LEVEL = SETTINGS.fixed("level", Unit.DBFS).range(-40, -6).otherwise(WITH_LEAD).words(WITH_LEAD, LEAVE)
            .doc("RMS of what is sung in each phrase.");
    private static final Fixed OTHER_WORDS = SETTINGS.fixed("other words", Unit.DB).range(0, 12).usual("3 dB")
            .doc("How far the level of a line whose words are not the lead's goes from what most lines are moved by; with 'level: with lead'.");
    private static final Shape TIDY = new Shape("tidy")
            .key("like", "The part that it follows, which follows nobody itself.", new Form.Line())
            .number(TIMING)
            .number(REACH)
            .number(STRETCH)
            .key("breaths", "Whether breaths are taken out; usual: " + REMOVE + ".", Form.oneOf(REMOVE, LEAVE))
            .number(CONSONANTS)
            .key("ends", "Whether what outlasts the lead fades with it; usual: " + WITH_LEAD + ".", Form.oneOf(WITH_LEAD, LEAVE))
            .number(LEVEL)
            .number(OTHER_WORDS)
            .key("except", "Stretches whose lines are left alone, with the breath before them.", Form.some(Place.STRETCH));
    static final Form FORM = Form.either(new Form.Table(TIDY), Form.oneOf("no"));

    private final Reading text;
    private final Place place;
    private final Map<String, Tree> ofParts = new HashMap<>(), ofGroups = new HashMap<>();

    TidyReader(Reading text, Place place) {
        this.text = text;
        this.place = place;
    }

    void part(Word name, Tree tree) {
        ofParts.put(name.text(), tree);
    }

    void group(List<Word> members, Tree tree) {
        for (Word m : members) ofGroups.putIfAbsent(m.text(), tree);
    }

    /** The part with what was said of it and of its group. */
    Song.Part tidied(Song.Part part) {
        Tree own = ofParts.get(part.name().text()), groups = ofGroups.get(part.name().text());
        if (isNo(own) || own == null && (groups == null || isNo(groups))) return part;
        Tree all = merged(isNo(groups) ? null : groups, own);
        if (all instanceof Tree.Leaf leaf) {
            text.problems().report(all.at(), "tidy wants its settings in braces, such as { like: lead }, or is no"
                    + Nearest.hint(leaf.word().text(), List.of("no")));
            return part;
        }
        Fields f = text.fields(TIDY, all);
        Optional<Word> like = f.word("like");
        if (like.isEmpty()) {
            if (!f.isMeant("like")) text.problems().report(all.at(), "tidy needs to know whom '" + part.name().text() + "' follows, as in { like: lead }");
            return part;
        }
        // Of a group that the lead is in, it is the one that the others follow.
        if (own == null && like.get().text().equals(part.name().text())) return part;
        List<Place.Range> except = new ArrayList<>();
        for (Word w : f.words("except")) except.addAll(place.ranges(w));
        Aims aims = new Aims(number(f, TIMING, "", 1e-3), f.number(REACH) / 1000, f.number(STRETCH) / 100, chosen(f, "breaths", REMOVE),
                number(f, CONSONANTS, SOFTEN, 1), chosen(f, "ends", WITH_LEAD), level(f));
        return part.with(new Song.Tidy(like.get(), aims, except));
    }

    private static boolean isNo(Tree tree) {
        return tree instanceof Tree.Leaf leaf && YesNo.read(leaf.word().text()).equals(Optional.of(false));
    }

    /** Every entry of the part, and those of the group that it does not have. */
    private static Tree merged(Tree group, Tree part) {
        if (!(group instanceof Tree.Table g) || !(part instanceof Tree.Table p)) return part == null ? group : part;
        Map<String, Tree.Entry> all = new LinkedHashMap<>(g.entries());
        all.putAll(p.entries());
        return new Tree.Table(p.at(), all);
    }

    /** A number, or a word for the usual one; empty where it is left alone. */
    private OptionalDouble number(Fields f, Fixed setting, String usual, double unit) {
        Optional<String> word = f.get(setting.name()).map(t -> t instanceof Tree.Leaf leaf ? leaf.word().text() : "");
        if (word.filter(LEAVE::equals).isPresent()) return OptionalDouble.empty();
        if (word.isEmpty() || word.get().equals(usual)) return OptionalDouble.of(((linnet.setting.Value.Amount) setting.usual().orElseThrow()).value() * unit);
        return OptionalDouble.of(f.number(setting) * unit);
    }

    /** Whether what is usual is wanted. */
    private boolean chosen(Fields f, String name, String usual) {
        Optional<Word> word = f.word(name);
        if (word.isPresent() && !word.get().text().equals(usual) && !word.get().text().equals(LEAVE)) {
            text.problems().report(word.get().at(),
                    "'" + name + "' is '" + usual + "' or '" + LEAVE + "'" + Nearest.hint(word.get().text(), List.of(usual, LEAVE)));
        }
        return word.isEmpty() || word.get().text().equals(usual);
    }

    private Aims.Level level(Fields f) {
        Optional<String> word = f.get("level").map(t -> t instanceof Tree.Leaf leaf ? leaf.word().text() : "");
        if (word.isEmpty() || word.get().equals(WITH_LEAD)) return new Aims.Level.Lead(f.number(OTHER_WORDS));
        return word.get().equals(LEAVE) ? new Aims.Level.Left() : new Aims.Level.At(f.number(LEVEL));
    }
}

package linnet.song;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.setting.Fixed;
import linnet.setting.Quantity;
import linnet.setting.Settings;
import linnet.setting.Unit;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.step.Step;
import linnet.text.Nearest;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Reads what a song wants by ear: {@code plate: 10 LU under}, {@code balance}, {@code duck}, {@code loudness} of the mix. */
final class WishReader {
    private static final Settings SETTINGS = new Settings();
    private static final Fixed BY = SETTINGS.fixed("by", Unit.DB).range(0.5, 24).usual("4 dB").doc("How far it gives way.");
    private static final Fixed ATTACK = SETTINGS.fixed("attack", Unit.MS).range(2, 500).usual("10 ms").doc("Time to 63 % of the way down.");
    private static final Fixed RELEASE = SETTINGS.fixed("release", Unit.MS).range(20, 3000).usual("250 ms").doc("Time to 63 % of the way back.");
    private static final Fixed CEILING = SETTINGS.fixed("ceiling", Unit.DBTP).range(-24, 0).usual("-1 dBTP").doc("The highest true peak of the mix.");

    private static final Pattern WET = Pattern.compile("(\\d{1,2}(?:\\.\\d{1,3})?) LU (under|over)");
    private static final Pattern BALANCE = Pattern.compile("(\\d{1,2}(?:\\.\\d{1,3})?) LU (under|over) (.+)");
    /** As it is written by who thinks of a level: the number is right, its unit is not. */
    private static final Pattern WET_LEVEL = Pattern.compile("(?i)(\\d{1,2}(?:\\.\\d{1,3})?) ?(?:dB|LUFS|LU)? (under|over)"),
            BALANCE_LEVEL = Pattern.compile("(?i)(\\d{1,2}(?:\\.\\d{1,3})?) ?(?:dB|LUFS|LU)? (under|over) (.+)"),
            LUFS_LEVEL = Pattern.compile("(?i)(-\\d{1,2}(?:\\.\\d{1,3})?) ?(?:dB|dBFS|LUFS|LU)?");
    private static final Pattern LUFS = Pattern.compile("(-\\d{1,2}(?:\\.\\d{1,3})?) LUFS");
    private static final Shape DUCK = new Shape("duck")
            .key("from", "The part or group that it makes room for.", new Form.Line())
            .number(BY).number(ATTACK).number(RELEASE)
            .need(Shape.How.ALL, "from");
    static final Shape MIX = new Shape("mix")
            .key("chain", "The chain of the mix: a file, or a list of steps.", new Form.Steps())
            .key("loudness", "How loud the mix is turned up behind its chain, into a limiter, from -40 LUFS to -5 LUFS. Loud prints harm ears and speakers "
                    + "alike: start low.", Form.words(LUFS.pattern(), "-14 LUFS"))
            .number(CEILING);
    static final Form DUCK_FORM = new Form.Table(DUCK), WET_FORM = Form.words(WET.pattern(), "10 LU under");
    static final Form BALANCES = new Form.Table(new Shape("balance")
            .others("", "How much louder than something else it is, by loudness where both sound: this finds its level.",
                    Form.words(BALANCE.pattern(), "1 LU over instrumental", "9 LU under lead")));
    private static final List<String> LU = List.of("LU", "under", "over");
    private static final double LOUDEST = -5, SOFTEST = -40;
    /** What the limiter is called that a wanted loudness puts at the end of the chain of the mix. */
    private static final String LIMIT = "ceiling";

    private final Reading text;
    private final List<Wishes.Wet> wet = new ArrayList<>();
    private final List<Wishes.Balance> balance = new ArrayList<>();
    private final List<Wishes.Duck> ducks = new ArrayList<>();
    private Optional<Wishes.Loud> loud = Optional.empty();
    /** What has a level of its own. */
    private final Set<String> levelled = new HashSet<>();

    WishReader(Reading text) {
        this.text = text;
    }

    Wishes wishes() {
        return new Wishes(wet, balance, ducks, loud);
    }

    /**
     * Whether a send is stated by loudness; it is then taken note of. One that was meant to be, with a slip in it, becomes a problem.
     *
     * @param all dB by which all sends of that sender are louder
     */
    boolean isWet(Word from, Word to, Tree value, double all) {
        if (!(value instanceof Tree.Leaf leaf)) return false;
        Matcher m = WET.matcher(plain(leaf.word()));
        if (!m.matches()) {
            Matcher level = WET_LEVEL.matcher(plain(leaf.word()));
            String hint = level.matches() ? "; say '" + level.group(1) + " LU " + level.group(2).toLowerCase(Locale.ROOT) + "'"
                    : Nearest.hint(plain(leaf.word()), LU, t -> WET.matcher(t).matches());
            if (!hint.isEmpty()) text.problems().report(leaf.at(), "a send is a level, or how loud what comes of it is, such as '10 LU under'" + hint);
            return !hint.isEmpty();
        }
        wet.add(new Wishes.Wet(from, to, lu(m) + all));
        return true;
    }

    private static String plain(Word word) {
        return word.text().strip().replaceAll("\\s+", " ").replace('\u2212', '-');
    }

    private static double lu(Matcher m) {
        return Double.parseDouble(m.group(1)) * (m.group(2).equals("over") ? 1 : -1);
    }

    /** What any part, group or return can say of this. */
    void strip(Word name, Fields f) {
        if (f.get("level").isPresent()) levelled.add(name.text());
        Optional<Tree> duck = f.get("duck");
        if (duck.isEmpty()) return;
        Fields d = text.fields(DUCK, duck.get());
        Optional<Word> from = d.word("from");
        if (d.lacks("from")) text.problems().report(duck.get().at(), "duck needs 'from', what it makes room for, as in { from: lead, by: 4 dB }");
        if (from.isPresent()) ducks.add(new Wishes.Duck(name, from.get(), d.number(BY), d.number(ATTACK) / 1000, d.number(RELEASE) / 1000));
    }

    /** {@code balance: { lead: 1 LU over instrumental }}. */
    void balance(Fields top, Strips strips) {
        List<String> balanced = new ArrayList<>(strips.voices());
        balanced.addAll(LU);
        for (Tree.Entry e : text.entries(top, "balance")) {
            Matcher m = BALANCE.matcher(e.value() instanceof Tree.Leaf leaf ? plain(leaf.word()) : "");
            if (m.matches()) balance.add(new Wishes.Balance(e.key(), lu(m), new Word(m.group(3), e.value().at())));
            else text.problems()
                    .report(e.value().at(), "a balance is a distance and what it is measured from, such as '1 LU over instrumental' or '9 LU under lead'"
                            + (e.value() instanceof Tree.Leaf leaf ? distance(plain(leaf.word()), balanced) : ""));
        }
    }

    private static String distance(String said, List<String> balanced) {
        Matcher level = BALANCE_LEVEL.matcher(said);
        return level.matches() ? "; say '" + level.group(1) + " LU " + level.group(2).toLowerCase(Locale.ROOT) + " " + level.group(3) + "'"
                : Nearest.hint(said, balanced, t -> BALANCE.matcher(t).matches());
    }

    /** The chain of the mix, with what a wanted loudness adds to it. */
    Chain mix(Fields mix, Chain chain) {
        Optional<Word> wanted = mix.word("loudness");
        if (wanted.isEmpty() && mix.get("ceiling").isEmpty()) return chain;
        double ceiling = mix.number(CEILING);
        List<Link> links = new ArrayList<>(chain.links());
        Word at = wanted.or(() -> mix.word("ceiling")).orElseThrow();
        if (wanted.isPresent()) {
            Matcher m = LUFS.matcher(plain(wanted.get()));
            double lufs = m.matches() ? Double.parseDouble(m.group(1)) : 0;
            Matcher level = LUFS_LEVEL.matcher(plain(wanted.get()));
            if (!m.matches() && level.matches()) text.problems().report(wanted.get().at(), "a loudness has its unit; say '" + level.group(1) + " LUFS'");
            else if (lufs < SOFTEST || lufs > LOUDEST) text.problems()
                    .report(wanted.get().at(), "the loudness of a mix is from -40 LUFS to -5 LUFS, such as '-14 LUFS'"
                            + Nearest.hint(plain(wanted.get()), List.of("LUFS"), t -> LUFS.matcher(t).matches()));
            loud = Optional.of(new Wishes.Loud(wanted.get(), lufs, ceiling));
            links.add(step("trim", Wishes.Loud.TRIM, "level", 0, at));
        }
        links.add(step("limit", LIMIT, "ceiling", ceiling, at));
        return chain.with(links);
    }

    private Link step(String word, String name, String setting, double value, Word at) {
        Step step = text.catalogue().find(word).orElseThrow();
        Values values = new Values(step.settings());
        values.put((Quantity) step.settings().named(setting).orElseThrow(), new Value.Amount(value));
        return new Link.Use(name, at.at(), Optional.empty(), step, values, OptionalDouble.empty(), Optional.empty());
    }

    /** Whether all that is named is there and can be measured; CrossReferences sees to the returns of sends. */
    void check(Strips strips) {
        Map<String, String> groupOf = new HashMap<>();
        strips.groups().forEach(g -> g.parts().forEach(p -> groupOf.put(p.text(), g.name().text())));
        Map<String, String> against = new HashMap<>();
        for (Wishes.Balance b : balance) {
            if (!isVoice(strips, b.what()) || !isVoice(strips, b.against())) continue;
            String what = b.what().text(), other = b.against().text();
            for (Word w : List.of(b.what(), b.against())) {
                if (groupOf.containsKey(w.text())) {
                    text.problems().report(w.at(),
                            "'" + w.text() + "' is in the group '" + groupOf.get(w.text()) + "': a balance is between what goes into the mix");
                }
            }
            if (levelled.contains(what)) text.problems().report(b.what().at(), "'" + what + "' has a level of its own; leave out one of them");
            against.put(what, other);
            String at = other;
            for (int k = 0; at != null && k <= balance.size(); k++, at = against.get(at)) {
                if (!at.equals(what)) continue;
                text.problems().report(b.what().at(), other.equals(what) ? "'" + what + "' cannot be measured against itself"
                        : "'" + what + "' and '" + other + "' are each stated against the other: one of them needs a level");
                break;
            }
        }
        for (Wishes.Duck d : ducks) {
            if (!isVoice(strips, d.from())) continue;
            boolean own = d.from().text().equals(d.what().text()) || d.what().text().equals(groupOf.get(d.from().text()));
            if (own) {
                text.problems().report(d.from().at(),
                        "'" + d.what().text() + "' cannot make room for " + (d.from().text().equals(d.what().text()) ? "itself" : "a part of its own"));
            }
        }
    }

    private boolean isVoice(Strips strips, Word name) {
        boolean there = strips.voices().contains(name.text());
        if (!there) {
            text.problems().report(name.at(), "'" + name.text() + "' is no part or group of this song, nor its instrumental"
                    + Nearest.hint(name.text(), strips.voices()));
        }
        return there;
    }
}

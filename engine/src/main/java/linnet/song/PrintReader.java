package linnet.song;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.UnaryOperator;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import linnet.setting.Unit;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.Span;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Reads which prints of a song are wanted. */
final class PrintReader {
    static final String MIX = "mix", VOCALS = "vocals", THROWS = "throws", STEMS = "stems";
    private static final String WITHOUT = "mix without ", BACKGROUND = "vocals without ", BUS = "bus", DRY = " dry", UNTUNED = " untuned", WET = " wet",
            WITHOUT_BUS = " without " + BUS;
    /** Before the name of a group: one print of each of its parts. */
    private static final String PARTS_OF = "parts of ";
    /** What can stand behind that name. */
    private static final List<String> ENDINGS = List.of(DRY, UNTUNED, WET, WITHOUT_BUS);
    private static final List<String> DEPTHS = List.of("16-bit", "24-bit", "float");
    /** What is said for some prints (common practice), in small letters and written together. */
    private static final Map<String, String> TRADE = Map.ofEntries(
            Map.entry("acappella", VOCALS), Map.entry("acapella", VOCALS), Map.entry("acappellas", VOCALS), Map.entry("vocalstem", VOCALS),
                    Map.entry("allvocals", VOCALS),
            Map.entry("tvmix", WITHOUT + "lead"), Map.entry("tvtrack", WITHOUT + "lead"), Map.entry("tv", WITHOUT + "lead"),
                    Map.entry("karaoke", WITHOUT + "lead"),
            Map.entry("instrumentalmix", WITHOUT + VOCALS), Map.entry("novocals", WITHOUT + VOCALS), Map.entry("backingtrack", WITHOUT + VOCALS),
            Map.entry("backgroundvocals", BACKGROUND + "lead"), Map.entry("backingvocals", BACKGROUND + "lead"), Map.entry("bgvs", BACKGROUND + "lead"),
            Map.entry("mainmix", MIX), Map.entry("fullmix", MIX), Map.entry("master", MIX), Map.entry("unmastered", WITHOUT + BUS),
                    Map.entry("unmasteredstems", STEMS + WITHOUT_BUS),
            Map.entry("vocalup", "lead up 1 dB"), Map.entry("vocaldown", "lead down 1 dB"));
    private static final Pattern TURNED = Pattern.compile("(.+) (up|down) (.+)");
    /** In dB; what is turned by more is another mix. */
    private static final double MOST = 12;
    private static final int MOST_NAMES = 12;

    private static final Shape PRINT = new Shape("a print")
            .key("print", "What is printed.", kinds())
            .key("name", "What its file is called.", new Form.Line())
            .key("from", "Where it begins, if not with the song.", Place.POINT)
            .key("to", "Where it ends, if not with the song: from a section (or the beginning) to a section takes in both.", Place.POINT)
            .key("depth", "How its samples are written.", new Form.Choice(DEPTHS))
            .need(Shape.How.ALL, "print");
    static final Form PRINTS = Form.some(Form.either(kinds(), new Form.Table(PRINT)));

    private final Reading text;
    private final Place place;
    private final List<String> parts, groups, returns, voices;
    private final Map<String, List<String>> members = new LinkedHashMap<>();
    private final boolean instrumental;
    private final Set<String> called = new HashSet<>();
    /** Of which there are stems already, with what is said of their stretch. */
    private final Set<String> stretches = new HashSet<>();

    /** Words that each song has, and those that go with a name. */
    private static Form kinds() {
        return Form.either(Form.oneOf(MIX, STEMS, VOCALS, SongReader.INSTRUMENTAL, THROWS, WITHOUT + BUS, STEMS + WITHOUT_BUS), new Form.Line());
    }

    PrintReader(Reading text, Place place, List<Song.Part> parts, Optional<Song.Part> instrumental, List<Song.Group> groups, List<Song.Return> returns) {
        this.text = text;
        this.place = place;
        this.parts = parts.stream().map(p -> p.name().text()).toList();
        this.groups = groups.stream().map(g -> g.name().text()).toList();
        this.returns = returns.stream().map(r -> r.name().text()).toList();
        this.instrumental = instrumental.isPresent();
        groups.forEach(g -> members.put(g.name().text(), g.parts().stream().map(Word::text).filter(this.parts::contains).distinct().toList()));
        Set<String> grouped = new HashSet<>();
        groups.forEach(g -> g.parts().forEach(p -> grouped.add(p.text())));
        voices = new ArrayList<>(this.parts.stream().filter(p -> !grouped.contains(p)).toList());
        voices.addAll(this.groups);
        voices.addAll(this.returns);
    }

    /** {@code [ mix, stems, lead dry, { print: mix, from: chorus, to: end, depth: 16-bit } ]}. */
    List<Song.Wanted> read(Fields top) {
        Optional<Tree> tree = top.get("prints");
        if (tree.isEmpty()) return List.of();
        List<Song.Wanted> wanted = new ArrayList<>();
        for (Tree row : tree.get() instanceof Tree.Rows rows ? rows.rows() : List.of(tree.get())) {
            if (row instanceof Tree.Leaf leaf) wanted(leaf.word(), wanted);
            else if (row instanceof Tree.Table) wanted(text.fields(PRINT, row), row, wanted);
            else text.problems().report(row.at(), "'prints' is a list of names");
        }
        return wanted;
    }

    private void wanted(Word word, List<Song.Wanted> to) {
        if (isOfStems(word)) {
            stretches.add(word.text());
            stems(word, s -> s, Optional.empty(), Optional.empty(), word.at(), to);
            return;
        }
        if (isOfParts(word)) {
            parts(word, p -> p, Optional.empty(), Optional.empty(), to);
            return;
        }
        content(word, text.problems()).ifPresent(c -> add(word, c, Optional.empty(), word, "", Optional.empty(), Optional.empty(), to));
    }

    /** Whether all stems are meant; a name of the song comes before that. */
    private boolean isOfStems(Word word) {
        return word.text().equals(STEMS) || word.text().equals(STEMS + WITHOUT_BUS) && !isStrip(word.text());
    }

    /**
     * All stems that are not printed already.
     *
     * @param called what a print is called: of a stretch, beside which a file of the whole may lie, with that
     * @param said where their depth stands
     */
    private void stems(Word word, UnaryOperator<String> called, Optional<Place.Range> range, Optional<Song.Depth> depth, Span said, List<Song.Wanted> to) {
        boolean bus = word.text().equals(STEMS);
        String all = called.apply(word.text());
        for (String stem : stems()) {
            Word print = new Word(bus ? stem : stem + WITHOUT_BUS, word.at());
            Song.Content.Strip content = new Song.Content.Strip(stem, bus);
            String name = called.apply(print.text());
            Optional<Song.Wanted> there = to.stream()
                    .filter(w -> Names.key(w.called()).equals(Names.key(name)) && w.content().equals(content) && w.range().equals(range)).findFirst();
            if (there.isPresent()) {
                to.set(to.indexOf(there.get()), there.get().oneOf(all));
                // It would be lost without a word.
                if (range.isPresent() && depth.isPresent() && !there.get().depth().equals(depth)) {
                    text.problems().report(said, "'" + name + "' is printed already, and this is not said of it: give it that depth there, or a 'name:'");
                }
            } else if (this.called.add(Names.key(name))) to.add(new Song.Wanted(print, content, name, range, depth).oneOf(all));
            else text.problems().report(word.at(), "'" + name + "' is the name of another print already; give that one another");
        }
    }

    /** Whether a print of each part of a group is meant; a name of the song comes before that. */
    private boolean isOfParts(Word word) {
        return word.text().startsWith(PARTS_OF) && content(word, new Problems()).isEmpty();
    }

    /**
     * One print of each part of a group, each called as it would be by itself.
     *
     * @param word such as {@code parts of backs dry}
     * @param called what a print is called that has no name of its own
     */
    private void parts(Word word, UnaryOperator<String> called, Optional<Place.Range> range, Optional<Song.Depth> depth, List<Song.Wanted> to) {
        String what = word.text().substring(PARTS_OF.length());
        String ending = groups.contains(what) ? "" : ENDINGS.stream().filter(what::endsWith).findFirst().orElse("");
        String group = before(what, ending);
        if (!groups.contains(group)) {
            List<String> words = groups.stream().flatMap(g -> Stream.concat(Stream.of(""), ENDINGS.stream()).map(e -> PARTS_OF + g + e)).toList();
            String hint = Nearest.hint(group, groups);
            text.problems().report(word.at(), CrossReferences.missing("group", group, hint.isEmpty() ? Nearest.hint(word.text(), words) : hint, groups));
            return;
        }
        if (to.size() + members.get(group).size() > Sizes.MOST_PRINTS) {
            text.problems().report(word.at(), "a song has " + Sizes.MOST_PRINTS + " prints at most, and with '" + word.text() + "' it has more");
            return;
        }
        for (String part : members.get(group)) {
            Word print = new Word(part + ending, word.at());
            String name = called.apply(print.text());
            if (!this.called.add(Names.key(name))) {
                text.problems().report(word.at(), "'" + name + "' is printed already, and '" + word.text() + "' has it too; take one of them out");
                return;
            }
            // In a list of prints that name means something else.
            if (!ending.isEmpty() && isStrip(print.text())) {
                text.problems().report(word.at(), "'" + word.text() + "' would print '" + print.text()
                        + "', and something else of this song is called so; give that another name");
                return;
            }
            to.add(new Song.Wanted(print, ofPart(part, ending), name, range, depth).oneOf(called.apply(word.text())));
        }
    }

    /** What a part is printed as, with one of the endings or none. */
    private static Song.Content ofPart(String part, String ending) {
        return switch (ending) {
            case DRY -> new Song.Content.Dry(part);
            case UNTUNED -> new Song.Content.Untuned(part);
            case WET -> new Song.Content.Wet(part);
            default -> new Song.Content.Strip(part, !ending.equals(WITHOUT_BUS));
        };
    }

    private List<String> stems() {
        List<String> stems = new ArrayList<>(voices);
        if (instrumental) stems.add(SongReader.INSTRUMENTAL);
        return stems;
    }

    private void wanted(Fields f, Tree row, List<Song.Wanted> to) {
        Optional<Word> print = f.word("print");
        if (print.isEmpty()) {
            if (f.lacks("print")) text.problems().report(row.at(), "a print with settings says which: { print: mix, … }");
            return;
        }
        Optional<Word> name = f.word("name");
        name.filter(n -> !Names.isFit(n.text())).ifPresent(n -> text.problems().report(n.at(), "this is no name for a file: " + Names.RULE));
        Optional<Place.Range> range = range(f);
        Optional<Song.Depth> depth = f.word("depth").flatMap(this::depth);
        boolean lost = range.isEmpty() && (f.get("from").isPresent() || f.get("to").isPresent());
        UnaryOperator<String> called = p -> range.map(r -> Place.named(p, r, f.word("from"), f.word("to"))).orElse(p);
        if (isOfStems(print.get())) {
            name.ifPresent(n -> text.problems().report(n.at(), "stems are as many prints as there are, each called as what is in it: they have no 'name'"));
            if (lost) return;
            // The second depth would be lost without a word.
            boolean again = !stretches.add(called.apply(print.get().text()));
            if (again) text.problems().report(print.get().at(), "these stems are printed already; say all of it in one place");
            else stems(print.get(), called, range, depth, f.word("depth").orElse(print.get()).at(), to);
            return;
        }
        if (isOfParts(print.get())) {
            name.ifPresent(n -> text.problems()
                    .report(n.at(), "the parts of a group are as many prints as there are, each called as what is in it: they have no 'name'"));
            if (lost) return;
            parts(print.get(), called, range, depth, to);
            return;
        }
        Optional<Song.Content> content = content(print.get(), text.problems());
        // A stretch that is none is told, and has no name.
        if (content.isEmpty() || lost) return;
        Word own = new Word(called.apply(print.get().text()), print.get().at());
        String rest = Stream.of("from", "to", "depth").filter(f::has).map(k -> ", " + k + ": " + f.word(k).orElseThrow().text()).collect(Collectors.joining());
        add(print.get(), content.get(), name, own, rest, range, depth, to);
    }

    /**
     * A print under the name that the text gives it, or its own.
     *
     * @param rest what its row says besides
     */
    private void add(Word print, Song.Content content, Optional<Word> name, Word own, String rest, Optional<Place.Range> range, Optional<Song.Depth> depth,
            List<Song.Wanted> to) {
        Word called = name.orElse(own);
        // Where capitals do not count in the names of files, one print would take the place of the other.
        if (!this.called.add(Names.key(called.text()))) {
            text.problems().report(called.at(), "'" + called.text() + "' is printed already; " + (name.isPresent() ? "give this one another 'name:'"
                    : "take one of them out, or give one a name, such as { print: " + print.text() + ", name: second " + print.text() + rest + " }"));
            return;
        }
        to.add(new Song.Wanted(print, content, own.text(), range, depth).named(called.text()));
    }

    private Optional<Place.Range> range(Fields f) {
        Optional<Word> from = f.word("from"), to = f.word("to");
        if (from.isEmpty() && to.isEmpty()) return Optional.empty();
        OptionalDouble begin = from.isPresent() ? place.point(from.get()) : OptionalDouble.of(0);
        OptionalDouble end = to.isPresent() ? place.until(from, to.get()) : OptionalDouble.of(Double.POSITIVE_INFINITY);
        if (begin.isEmpty() || end.isEmpty()) return Optional.empty();
        if (begin.getAsDouble() >= end.getAsDouble()) {
            text.problems().report(to.orElseGet(from::get).at(), "this print ends before it begins");
            return Optional.empty();
        }
        return Optional.of(new Place.Range(begin.getAsDouble(), end.getAsDouble()));
    }

    private Optional<Song.Depth> depth(Word word) {
        switch (word.text()) {
            case "16-bit":
                return Optional.of(Song.Depth.INT_16);
            case "24-bit":
                return Optional.of(Song.Depth.INT_24);
            case "float":
                return Optional.of(Song.Depth.FLOAT);
            default:
                text.problems().report(word.at(), "a depth is 16-bit, 24-bit or float" + Nearest.hint(word.text(), DEPTHS, DEPTHS::contains));
                return Optional.empty();
        }
    }

    /** A name of the song comes before what the words of a print could mean. */
    private Optional<Song.Content> content(Word word, Problems problems) {
        String name = word.text();
        if (isStrip(name)) return Optional.of(new Song.Content.Strip(name, true));
        if (name.equals(MIX)) return Optional.of(new Song.Content.Mix(true));
        if (name.endsWith(WITHOUT_BUS) && isStrip(before(name, WITHOUT_BUS))) return Optional.of(new Song.Content.Strip(before(name, WITHOUT_BUS), false));
        if (name.equals(VOCALS + WITHOUT_BUS) && !isStrip(BUS)) return Optional.of(new Song.Content.Vocals(false));
        if (name.equals(VOCALS)) return Optional.of(new Song.Content.Vocals(true));
        if (name.equals(THROWS)) return Optional.of(new Song.Content.Throws());
        if (name.equals(WITHOUT + BUS)) return Optional.of(new Song.Content.Mix(false));
        for (String whole : List.of(WITHOUT, BACKGROUND)) {
            if (!name.startsWith(whole)) continue;
            String left = name.substring(whole.length());
            return known(word, left, whole, problems) ? Optional.of(new Song.Content.Without(left, whole.equals(BACKGROUND))) : Optional.empty();
        }
        if (name.endsWith(DRY) && parts.contains(before(name, DRY))) return Optional.of(new Song.Content.Dry(before(name, DRY)));
        if (name.endsWith(UNTUNED) && parts.contains(before(name, UNTUNED))) return Optional.of(new Song.Content.Untuned(before(name, UNTUNED)));
        if (name.endsWith(WET) && (parts.contains(before(name, WET)) || groups.contains(before(name, WET)))) {
            return Optional.of(new Song.Content.Wet(before(name, WET)));
        }
        Matcher turned = TURNED.matcher(name);
        if (turned.matches() && (isStrip(turned.group(1)) || turned.group(1).equals(VOCALS))) return turned(word, turned, problems);
        known(word, name, "", problems);
        return Optional.empty();
    }

    /** What the trade calls otherwise: "; here that is 'vocals'" or nothing. */
    static String trade(String name) {
        String print = TRADE.get(name.toLowerCase(Locale.ROOT).replaceAll("[ _-]", ""));
        return print == null ? "" : "; here that is '" + print + "'" + (print.contains("lead") ? ", where the lead is called so" : "");
    }

    private static String before(String name, String ending) {
        return name.substring(0, name.length() - ending.length());
    }

    private Optional<Song.Content> turned(Word word, Matcher m, Problems problems) {
        OptionalDouble db = Unit.DB.parse(m.group(3));
        if (db.isEmpty() || !(db.getAsDouble() > 0 && db.getAsDouble() <= MOST)) {
            problems.report(word.at(), "'" + word.text() + "': by how much is a number of dB up to " + Unit.DB.format(MOST) + ", as in '" + m.group(1) + " "
                    + m.group(2) + " 1 dB'" + hint(word));
            return Optional.empty();
        }
        return Optional.of(new Song.Content.Turned(m.group(1), m.group(2).equals("up") ? db.getAsDouble() : -db.getAsDouble()));
    }

    private boolean isStrip(String name) {
        return parts.contains(name) || groups.contains(name) || returns.contains(name) || instrumental && name.equals(SongReader.INSTRUMENTAL);
    }

    /** The print that was probably meant: one of its words is none that a print could have. */
    private String hint(Word word) {
        List<String> words = new ArrayList<>(List.of(WITHOUT + BUS, STEMS, VOCALS, THROWS, DRY, UNTUNED, WET, "up", "down"));
        words.addAll(Unit.DB.suffixes());
        Stream.of(parts, groups, returns).forEach(words::addAll);
        if (instrumental) words.add(SongReader.INSTRUMENTAL);
        return Nearest.hint(word.text(), words, t -> isOfStems(new Word(t, word.at())) || content(new Word(t, word.at()), new Problems()).isPresent());
    }

    /** Whether something of the mix has that name; else that is a problem. */
    private boolean known(Word word, String name, String without, Problems problems) {
        boolean played = !without.equals(BACKGROUND);
        if (!without.isEmpty() && isStrip(name) && (played || !name.equals(SongReader.INSTRUMENTAL)) || without.equals(WITHOUT) && name.equals(VOCALS)) {
            return true;
        }
        List<String> names = new ArrayList<>(without.isEmpty() ? List.of(MIX, VOCALS) : played ? List.of(BUS, VOCALS) : List.of(BUS));
        names.addAll(parts);
        names.addAll(groups);
        names.addAll(returns);
        if (instrumental && played) names.add(SongReader.INSTRUMENTAL);
        String trade = trade(word.text()), hint = trade.isEmpty() ? hint(word) : trade;
        problems.report(word.at(), "this song has no print '" + word.text() + "'" + (hint.isEmpty() ? Nearest.hint(name, names) : hint) + " (it has "
                + String.join(", ", names.subList(0, Math.min(MOST_NAMES, names.size()))) + (names.size() > MOST_NAMES ? ", …" : "") + ")");
        return false;
    }
}

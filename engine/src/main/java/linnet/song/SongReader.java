package linnet.song;

import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.text.Normalizer;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.regex.Pattern;
import linnet.chain.Chain;
import linnet.chain.ChainReader;
import linnet.chain.Link;
import linnet.chain.SettingsReader;
import linnet.setting.Fixed;
import linnet.setting.Settings;
import linnet.setting.Unit;
import linnet.setting.Value;
import linnet.step.Catalogue;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Word;
import linnet.yaml.Tree;
import linnet.yaml.Yaml;

/** Reads a song file, and the chain files it names. */
public final class SongReader {
    private static final String INSTRUMENTAL = "instrumental";
    /** What may follow {@code prints} beside what has a name of its own. */
    static final List<String> SUMS = List.of("mix", "vocals");

    private static final String[] TOP = {"song", "about", "tempo", "metre", "pick-up", "rate", "sections", "parts", INSTRUMENTAL, "groups", "returns", "moves", "throws", "mix", "prints"};
    private static final Chain NONE = new Chain("", "", OptionalDouble.empty(), List.of());

    private static final Settings FADERS = new Settings();
    private static final Fixed LEVEL = FADERS.fixed("level", Unit.DB).range(-90, 24).usual("0 dB").doc("How loud it is in the sum, after its chain.");
    private static final Fixed PAN = FADERS.fixed("pan", Unit.PAN).range(-100, 100).usual("centre").doc("Its place between left and right, at constant power.");
    private static final Fixed INTO = FADERS.fixed("into", Unit.DB).range(-60, 60).usual("0 dB").doc("How loud the take goes into its chain.");
    private static final Fixed IN = FADERS.fixed("in", Unit.MS).range(5, 1000).usual("10 ms").doc("How long a thrown word takes to come in.");
    private static final Fixed OUT = FADERS.fixed("out", Unit.MS).range(5, 5000).usual("80 ms").doc("How long it takes to go, after its length.");
    private static final Fixed RATE = FADERS.fixed("rate", Unit.HZ).range(8000, 192_000).doc("Samples a second of all prints; takes of other rates are converted.");

    /** In seconds. */
    private static final double SHORTEST_RAMP = 0.005;
    /** What a file can be called everywhere, and nothing that leads into another folder. */
    private static final Pattern NAME = Pattern.compile("[^./\\\\:*?\"<>|\\p{Cntrl}\\p{Cf}\\s][^/\\\\:*?\"<>|\\p{Cntrl}\\p{Cf}]*");
    private static final int LONGEST_NAME = 60;

    private final Path file;
    private final Catalogue catalogue;
    private final Problems problems = new Problems();
    private final SettingsReader settings = new SettingsReader(problems);
    private final Set<String> names = new HashSet<>();
    private Place place;

    private SongReader(Path file, Catalogue catalogue) {
        this.file = file;
        this.catalogue = catalogue;
    }

    /**
     * Reads a song.
     *
     * @throws ProblemsException with everything that is wrong with it
     */
    public static Song read(Path file, Catalogue catalogue) throws ProblemsException {
        SongReader reader = new SongReader(file, catalogue);
        Optional<Tree> tree = Yaml.read("song file", file, file.toString(), reader.problems);
        reader.problems.check();
        Song song = reader.song(tree.orElseThrow());
        reader.problems.check();
        return song;
    }

    /** Whether a text means to be a song: it has a line that only songs have. What is no readable text is none. */
    public static boolean isSong(Path file) {
        return Yaml.hasKey(file, "song") || Yaml.hasKey(file, "parts");
    }

    private Song song(Tree tree) throws ProblemsException {
        if (!(tree instanceof Tree.Table)) {
            problems.report(tree.at(), "a song file begins with 'song:', 'tempo:', 'sections:' and 'parts:'");
            problems.check();
        }
        Fields top = new Fields("a song file", tree, problems, TOP);
        Timeline time = new TimelineReader(problems).read(top.table());
        place = new Place(time, problems);
        names.addAll(SUMS);
        names.add(INSTRUMENTAL);
        List<Song.Part> parts = new ArrayList<>();
        for (Tree.Entry e : entries(top, "parts")) part(e).ifPresent(parts::add);
        if (parts.isEmpty() && problems.isEmpty()) problems.report(tree.at(), "a song needs 'parts:', each with its take");
        Optional<Song.Part> instrumental = Optional.empty();
        Tree.Entry backing = top.table().entries().get(INSTRUMENTAL);
        if (backing != null) {
            names.remove(INSTRUMENTAL);
            instrumental = part(backing);
        }
        List<Song.Group> groups = new ArrayList<>();
        for (Tree.Entry e : entries(top, "groups")) groups.add(group(e));
        List<Song.Return> returns = new ArrayList<>();
        for (Tree.Entry e : entries(top, "returns")) returns.add(room(e));
        OptionalDouble rate = top.get("rate").isPresent() ? OptionalDouble.of(top.number(RATE)) : OptionalDouble.empty();
        Fields mix = top.get("mix").isPresent() ? new Fields("mix", top.get("mix").get(), problems, "chain") : null;
        Song song = new Song(top.word("song").map(Word::text).orElse(file.getFileName().toString()), time, rate, parts, instrumental, groups, returns,
                moves(top), thrown(top), mix == null ? NONE : chain(mix, "chain"), top.words("prints").stream().map(Song.Wanted::new).toList());
        new Joins(song, problems).check();
        return song;
    }

    private List<Tree.Entry> entries(Fields top, String name) {
        Optional<Tree> tree = top.get(name);
        if (tree.isEmpty()) return List.of();
        if (tree.get() instanceof Tree.Table table) return List.copyOf(table.entries().values());
        problems.report(tree.get().at(), name + " are names with their settings, one a line");
        return List.of();
    }

    private Word named(Tree.Entry e) {
        String name = e.key().text();
        if (name.isBlank() || name.length() > LONGEST_NAME || !NAME.matcher(name).matches()) {
            problems.report(e.key().at(), "a print takes its file name from this: 1 to " + LONGEST_NAME + " characters, no dot or space before it, and none of / \\ : * ? \" < > | in it");
            // Where capitals do not count in the names of files, one print would take the place of the other.
        } else if (!names.add(Normalizer.normalize(name, Normalizer.Form.NFC).toLowerCase(Locale.ROOT))) {
            problems.report(e.key().at(), "'" + name + "' is the name of something else already" + (name.equals(name.toLowerCase(Locale.ROOT)) ? "" : "; capitals make no difference"));
        }
        if (name.contains(" to ")) problems.report(e.key().at(), "'" + name + "' would read as a send in 'moves': no 'to' in a name");
        return e.key();
    }

    private Optional<Song.Part> part(Tree.Entry e) throws ProblemsException {
        Word name = named(e);
        Fields f = new Fields("a part", e.value(), problems, "take", "at", "into", "polarity", "chain", "level", "pan", "sends");
        Optional<Word> take = f.word("take");
        if (take.isEmpty()) problems.report(e.key().at(), "'" + name.text() + "' needs its 'take:', a sound file");
        double at = f.word("at").map(w -> place.point(w).orElse(0)).orElse(0.0);
        Optional<Word> polarity = f.word("polarity");
        boolean flipped = polarity.isPresent() && polarity.get().text().equals("flipped");
        if (polarity.isPresent() && !flipped && !polarity.get().text().equals("as it is")) problems.report(polarity.get().at(), "polarity is 'flipped' or 'as it is'");
        Chain chain = chain(f, "chain");
        Song.Fader fader = fader(f);
        List<Song.Send> sends = sends(f);
        Optional<Path> path = take.flatMap(this::beside);
        return path.map(p -> new Song.Part(name, p, take.get(), at, f.number(INTO), flipped, chain, fader, sends));
    }

    private Optional<Path> beside(Word word) {
        try {
            return Optional.of(file.toAbsolutePath().getParent().resolve(word.text()).normalize());
        } catch (InvalidPathException e) {
            problems.report(word.at(), "this is no path: " + e.getReason());
            return Optional.empty();
        }
    }

    private Song.Group group(Tree.Entry e) throws ProblemsException {
        Word name = named(e);
        Fields f = new Fields("a group", e.value(), problems, "parts", "each", "chain", "level", "pan", "sends");
        if (f.words("parts").isEmpty()) problems.report(e.key().at(), "'" + name.text() + "' needs its 'parts:', a list of names");
        return new Song.Group(name, f.words("parts"), chain(f, "each"), chain(f, "chain"), fader(f), sends(f));
    }

    private Song.Return room(Tree.Entry e) throws ProblemsException {
        Word name = named(e);
        Fields f = new Fields("a return", e.value(), problems, "chain", "level", "pan");
        if (f.get("chain").isEmpty()) problems.report(e.key().at(), "'" + name.text() + "' needs a 'chain:' with its echo or room");
        Chain chain = chain(f, "chain");
        Chain wet = new Chain(chain.title(), chain.about(), chain.tempo(), wet(chain.links()));
        return new Song.Return(name, wet, fader(f));
    }

    /** In a return an echo or a room is whole where the text gives no mix: what is dry comes from the part. */
    private static List<Link> wet(List<Link> links) {
        List<Link> wet = new ArrayList<>();
        for (Link link : links) {
            if (link instanceof Link.Use u) {
                wet.add(new Link.Use(u.name(), u.at(), u.mix().or(() -> Optional.of(new Value.Amount(100))), u.step(), u.values()));
            } else {
                Link.Parallel p = (Link.Parallel) link;
                wet.add(new Link.Parallel(p.name(), p.at(), p.mix(), p.branches().stream().map(b -> new Link.Branch(b.at(), b.level(), wet(b.links()))).toList()));
            }
        }
        return wet;
    }

    private Song.Fader fader(Fields f) {
        return new Song.Fader(f.number(LEVEL), f.number(PAN));
    }

    private Chain chain(Fields f, String name) throws ProblemsException {
        return f.get(name).isEmpty() ? NONE : ChainReader.read(f.get(name).get(), file, catalogue, problems);
    }

    /** A level for each return, {@code plate: -14 dB}, or {@code plate: { level: -14 dB, before: level }}. */
    private List<Song.Send> sends(Fields f) {
        Optional<Tree> tree = f.get("sends");
        if (tree.isEmpty()) return List.of();
        if (!(tree.get() instanceof Tree.Table table)) {
            problems.report(tree.get().at(), "sends are returns with a level, such as { plate: -14 dB }");
            return List.of();
        }
        List<Song.Send> sends = new ArrayList<>();
        for (Tree.Entry e : table.entries().values()) {
            if (e.value() instanceof Tree.Table) {
                Fields s = new Fields("a send", e.value(), problems, "level", "before");
                Optional<Word> before = s.word("before");
                before.filter(w -> !w.text().equals("level")).ifPresent(w -> problems.report(w.at(), "a send is taken 'before: level', or after it"));
                sends.add(new Song.Send(e.key(), s.number(LEVEL), before.isPresent()));
            } else {
                db(e.value()).ifPresent(db -> sends.add(new Song.Send(e.key(), db, false)));
            }
        }
        return sends;
    }

    private OptionalDouble db(Tree tree) {
        Optional<Value> value = settings.quantity(LEVEL, tree);
        return value.isPresent() ? OptionalDouble.of(((Value.Amount) value.get()).value()) : OptionalDouble.empty();
    }

    /** {@code chorus *: { ramp: 1 beat, lead: +1 dB, plate: +4 dB, lead to plate: -2 dB }}. */
    private List<Song.Move> moves(Fields top) {
        List<Song.Move> moves = new ArrayList<>();
        for (Tree.Entry e : entries(top, "moves")) {
            List<Place.Range> where = place.ranges(e.key());
            if (!(e.value() instanceof Tree.Table table)) {
                problems.report(e.value().at(), "a move names what moves and by how much, such as { plate: +4 dB }");
                continue;
            }
            Map<String, Tree.Entry> what = new LinkedHashMap<>(table.entries());
            Tree.Entry ramp = what.remove("ramp");
            double seconds = where.isEmpty() ? 0 : ramp(ramp, where.get(0).from());
            for (Tree.Entry m : what.values()) {
                String[] way = m.key().text().split(" to ", 2);
                Word to = way.length > 1 ? new Word(way[1].strip(), m.key().at()) : null;
                db(m.value()).ifPresent(db -> moves.add(new Song.Move(where, new Word(way[0].strip(), m.key().at()), to, db, seconds)));
            }
        }
        return moves;
    }

    private List<Song.Throw> thrown(Fields top) {
        Optional<Tree> tree = top.get("throws");
        if (tree.isEmpty()) return List.of();
        if (!(tree.get() instanceof Tree.Rows rows)) {
            problems.report(tree.get().at(), "throws are a list: one '- ' before each");
            return List.of();
        }
        List<Song.Throw> read = new ArrayList<>();
        for (Tree row : rows.rows()) aThrow(row).ifPresent(read::add);
        return read;
    }

    private Optional<Song.Throw> aThrow(Tree row) {
        Fields f = new Fields("a throw", row, problems, "part", "word", "length", "to", "level", "in", "out", "stop");
        for (String needed : List.of("part", "word", "length", "to")) {
            if (f.get(needed).isEmpty()) problems.report(row.at(), "a throw needs '" + needed + "', as in { part: lead, word: chorus bar 2 beat 3, length: 2 beats, to: far }");
        }
        if (!f.has("part", "word", "length", "to")) return Optional.empty();
        OptionalDouble from = f.word("word").map(place::point).orElse(OptionalDouble.empty());
        if (from.isEmpty()) return Optional.empty();
        OptionalDouble length = place.length(f.word("length").orElseThrow(), from.getAsDouble());
        double until = from.getAsDouble() + length.orElse(0);
        double stop = f.word("stop").map(w -> place.after(w, until)).orElse(Double.POSITIVE_INFINITY);
        return Optional.of(new Song.Throw(f.word("part").orElseThrow(), from.getAsDouble(), length.orElse(0), f.word("to").orElseThrow(), f.number(LEVEL), f.number(IN) / 1000,
                f.number(OUT) / 1000, stop));
    }

    /** 60 ms in a gap is common practice; a whole bar is a swell. */
    private double ramp(Tree.Entry entry, double from) {
        if (entry == null) return 0.06;
        if (!(entry.value() instanceof Tree.Leaf leaf)) {
            problems.report(entry.value().at(), "a ramp is a length such as '1 beat' or '60 ms'");
            return SHORTEST_RAMP;
        }
        double seconds = place.length(leaf.word(), from).orElse(SHORTEST_RAMP);
        if (seconds < SHORTEST_RAMP) problems.report(leaf.word().at(), "a ramp has 5 ms or more: a shorter one is a click");
        return Math.max(SHORTEST_RAMP, seconds);
    }
}

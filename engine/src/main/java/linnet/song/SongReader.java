package linnet.song;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Supplier;
import linnet.chain.Chain;
import linnet.setting.Fixed;
import linnet.setting.Settings;
import linnet.setting.Unit;
import linnet.step.Catalogue;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Word;
import linnet.yaml.Tree;
import linnet.yaml.Yaml;

/** Reads a song file, and the chain files it names. */
public final class SongReader {
    static final String INSTRUMENTAL = "instrumental";

    /** What a song may say, made when it is first asked for: a text can be read before. */
    private static final class Declared {
        static final Settings SETTINGS = new Settings();
        static final Fixed RATE = SETTINGS.fixed("rate", Unit.HZ).range(8000, 192_000).otherwise("that of the takes")
                .doc("Samples a second of all prints; takes of other rates are converted.");
        static final Shape SONG = song();

        private Declared() {}

        private static Shape song() {
            Shape top = CreditsReader.declare(new Shape("a song file").key("song", "What the song is called.", new Form.Line()));
            TimelineReader.declareSections(LabelReader.declareTonality(TimelineReader.declare(top)).number(RATE));
            StripReader.declareAll(top)
                    .key("moves", "What is other than in the base of the song, by stretches.", MoveReader.MOVES)
                    .key("throws", "Words that are sent to a return, of which the part itself knows nothing.", ThrowReader.THROWS)
                    .key("balance", "Levels stated against another, found by loudness.", WishReader.BALANCES)
                    .key("mix", "The chain of the sum, its loudness and its ceiling.", new Form.Table(WishReader.MIX))
                    .key("prints", "The files that are wanted: of the mix, of stems, of 'lead dry', 'lead untuned', 'lead wet', 'parts of doubles dry', "
                            + "'mix without lead', 'vocals without lead', 'lead up 1 dB'.", PrintReader.PRINTS);
            return LabelReader.declare(top).need(Shape.How.ALL, "tempo", "sections", "parts");
        }
    }

    /** Only songs have them. */
    private static final String[] KEYS = {"song", "parts"};

    private final Reading text;

    private SongReader(Reading text) {
        this.text = text;
    }

    /** What may stand in a song file. */
    public static Shape shape() {
        return Declared.SONG;
    }

    /** Reads a song whose sections are in its text. */
    public static Song read(Path file, Catalogue catalogue) throws ProblemsException {
        return read(file, catalogue, path -> {
            throw new IOException("no sound file can be read here");
        });
    }

    /**
     * Reads a song.
     *
     * @param guide reads the cues of a sound file, where sections come from one
     * @throws ProblemsException with everything that is wrong with it
     */
    public static Song read(Path file, Catalogue catalogue, Guide guide) throws ProblemsException {
        return read(file, () -> catalogue, guide);
    }

    /** The same, with steps that are asked for once the text is read as YAML: until then they may be in the making. */
    public static Song read(Path file, Supplier<Catalogue> catalogue, Guide guide) throws ProblemsException {
        Problems problems = new Problems();
        Optional<Tree> tree = Yaml.read("song file", file, file.toString(), problems);
        problems.check();
        Song song = new SongReader(new Reading(file, catalogue.get(), guide, problems)).song(tree.orElseThrow());
        problems.check();
        return song;
    }

    /** Whether a text means to be a song: it has a key that only songs have. What cannot be read is none. */
    public static boolean isSong(Path file) {
        return Yaml.hasKey(file, KEYS);
    }

    /** Whether a text can be read and means to be none. */
    public static boolean isNoSong(Path file) {
        return Yaml.lacksKey(file, KEYS);
    }

    /** Files have no other. */
    private double rate(Fields top) {
        double rate = top.number(Declared.RATE), whole = Math.rint(rate);
        // 16.1 kHz is none in the last bits.
        if (Math.abs(rate - whole) > 1e-6) text.problems().report(top.get("rate").orElseThrow().at(), "rate is a whole number of Hz, such as 44100 Hz");
        return whole;
    }

    private Song song(Tree tree) throws ProblemsException {
        Problems problems = text.problems();
        if (!(tree instanceof Tree.Table)) {
            problems.report(tree.at(), "a song file begins with 'song:', 'tempo:', 'sections:' and 'parts:'");
            problems.check();
        }
        Fields top = text.fields(Declared.SONG, tree);
        Sizes.check(top.table(), problems);
        Timeline time = new TimelineReader(text).read(top);
        Place place = new Place(time, problems);
        WishReader wishes = new WishReader(text);
        StripReader strips = new StripReader(text, place, new Names(problems), wishes);
        List<Song.Part> parts = new ArrayList<>();
        for (Tree.Entry e : text.entries(top, "parts")) strips.part(e).ifPresent(parts::add);
        if (parts.isEmpty() && problems.isEmpty()) problems.report(tree.at(), "a song needs 'parts:', each with its take");
        Optional<Song.Part> instrumental = Optional.empty();
        Tree.Entry backing = top.table().entries().get(INSTRUMENTAL);
        if (backing != null) instrumental = strips.instrumental(backing);
        List<Song.Group> groups = new ArrayList<>();
        for (Tree.Entry e : text.entries(top, "groups")) groups.add(strips.group(e));
        List<Song.Return> returns = new ArrayList<>();
        for (Tree.Entry e : text.entries(top, "returns")) returns.add(strips.aReturn(e));
        OptionalDouble rate = top.get("rate").isPresent() ? OptionalDouble.of(rate(top)) : OptionalDouble.empty();
        Strips base = new Strips(strips.dealt(parts, groups), instrumental, groups, returns, mix(top, wishes));
        Sizes.check(base.chains().values(), tree, problems);
        base = base.with(new LabelReader(text).tonality(top).in(base.chains()));
        MoveReader moves = new MoveReader(text, place, base);
        moves.read(top);
        wishes.balance(top, base);
        Strips moved = moves.moved();
        Song song = new Song(top.word("song").map(Word::text).orElse(text.file().getFileName().toString()), time, rate, moved.parts(), moved.instrumental(),
                moved.groups(), moved.returns(),
                moves.moves(), new ThrowReader(text, place).read(top), moved.mix(),
                        new PrintReader(text, place, moved.parts(), moved.instrumental(), moved.groups(), moved.returns()).read(top),
                new LabelReader(text).read(top), wishes.wishes(), Map.of(), base.chains());
        new CrossReferences(song, problems).check();
        wishes.check(moved);
        new LabelReader(text).check(top, song);
        return song;
    }

    private Chain mix(Fields top, WishReader wishes) throws ProblemsException {
        Optional<Tree> mix = top.get("mix");
        if (mix.isEmpty()) return Reading.NONE;
        Fields f = text.fields(WishReader.MIX, mix.get());
        return wishes.mix(f, text.chain(f, "chain"));
    }
}

package linnet.song;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.setting.Fixed;
import linnet.setting.Settings;
import linnet.setting.Unit;
import linnet.setting.Value;
import linnet.text.Nearest;
import linnet.text.ProblemsException;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Reads parts, groups and returns. */
final class StripReader {
    private static final Settings SETTINGS = new Settings();
    private static final Fixed INTO = SETTINGS.fixed("into", Unit.DB).range(-60, 60).usual("0 dB").doc("How loud the take goes into its chain.");

    private static final Fixed SPREAD = SETTINGS.fixed("spread", Unit.PERCENT).range(0, 100).otherwise("each where its own 'pan' says")
            .doc("How far the layers of a group are dealt to the left and to the right.");

    private static final String DUCK = "Gives way while something else sounds.";
    private static final Form NAMES = new Form.Rows(new Form.Line(), true, 1);
    private static final Shape PART = declare(new Shape("a part")).key("tidy", "Follows another part, or does not though its group does.", TidyReader.FORM)
            .key(EachReader.EACH, "Steps in place of those that its group has for each of its parts, or 'no' for none.", EachReader.FORM);
    private static final Shape BACKING = declare(new Shape("the instrumental"));
    private static final Shape GROUP = Faders.declareSends(Faders.declare(new Shape("a group")
            .key("parts", "The parts in it; a part has one group.", NAMES)
            .number(SPREAD)
            .key("tidy", "Every member follows another part.", TidyReader.FORM)
            .key(EachReader.EACH, "Steps for every one of its parts, after its own chain.", new Form.Steps())
            .key("chain", "The chain of their sum: a file, or a list of steps.", new Form.Steps())))
            .key("duck", DUCK, WishReader.DUCK_FORM).need(Shape.How.ALL, "parts");
    private static final Shape RETURN = Faders.declare(new Shape("a return")
            .key("chain", "Its room or echo: a file, or a list of steps; a step without 'mix' is fully wet.", new Form.Steps()))
            .key("duck", DUCK, WishReader.DUCK_FORM).need(Shape.How.ALL, "chain");

    private final Reading text;
    private final SourceReader sources;
    private final Names names;
    private final Faders faders;
    private final WishReader wishes;
    private final TidyReader tidy;
    private final EachReader each;
    private final Set<String> placed = new HashSet<>();

    private static Shape declare(Shape strip) {
        SourceReader.declare(strip).number(INTO)
                .key("polarity", "'flipped' turns it.", Form.oneOf("flipped", "as it is"))
                .key("chain", "What is done to it: a chain file, or a list of steps.", new Form.Steps());
        return Faders.declareSends(Faders.declare(strip)).key("duck", DUCK, WishReader.DUCK_FORM);
    }

    /** What a song says of its parts, groups and returns. */
    static Shape declareAll(Shape top) {
        return top.key("parts", "Each take with its chain, level, place and sends.", named("parts", "A part.", PART))
                .key(SongReader.INSTRUMENTAL, "What the voices sing to, read as a part is.", new Form.Table(BACKING))
                .key("groups", "Parts that are put together before the mix.", named("groups", "A group.", GROUP))
                .key("returns", "Rooms and echoes that are fed by sends.", named("returns", "A return.", RETURN));
    }

    private static Form named(String what, String doc, Shape one) {
        return new Form.Table(new Shape(what).others(Names.GIVEN, doc, new Form.Table(one)));
    }

    StripReader(Reading text, Place place, Names names, WishReader wishes) {
        this.text = text;
        sources = new SourceReader(text, place);
        this.names = names;
        faders = new Faders(text, wishes);
        this.wishes = wishes;
        tidy = new TidyReader(text, place);
        each = new EachReader(text);
    }

    Optional<Song.Part> part(Tree.Entry e) throws ProblemsException {
        names.give(e.key());
        if (e.value() instanceof Tree.Table part && part.entries().containsKey("pan")) placed.add(e.key().text());
        if (e.value() instanceof Tree.Table part && part.entries().containsKey("tidy")) tidy.part(e.key(), part.entries().get("tidy").value());
        return strip(e, PART);
    }

    /** The parts that were read, those of a group with a spread in the places they are dealt to, and each as it is to be tidied. */
    List<Song.Part> dealt(List<Song.Part> parts, List<Song.Group> groups) {
        each.check(parts, groups);
        Spread spread = new Spread(groups, placed);
        return parts.stream().map(spread::placed).map(tidy::tidied).toList();
    }

    /** Has its name by itself; else it is read as any part. */
    Optional<Song.Part> instrumental(Tree.Entry e) throws ProblemsException {
        return strip(e, BACKING);
    }

    private Optional<Song.Part> strip(Tree.Entry e, Shape shape) throws ProblemsException {
        Word name = e.key();
        Fields f = text.fields(shape, e.value());
        wishes.strip(name, f);
        Optional<Source> source = sources.read(name, f);
        Optional<Word> polarity = f.word("polarity");
        boolean flipped = polarity.isPresent() && polarity.get().text().equals("flipped");
        if (polarity.isPresent() && !flipped && !polarity.get().text().equals("as it is")) {
            text.problems().report(polarity.get().at(),
                    "polarity is 'flipped' or 'as it is'" + Nearest.hint(polarity.get().text(), List.of("flipped", "as it is")));
        }
        Chain chain = text.chain(f, "chain");
        Optional<Chain> own = shape == PART ? each.part(name, f) : Optional.empty();
        Song.Fader fader = faders.fader(f);
        List<Song.Send> sends = faders.sends(name, f);
        return source.map(s -> new Song.Part(name, s, f.number(INTO), flipped, chain, own, fader, sends, Optional.empty()));
    }

    Song.Group group(Tree.Entry e) throws ProblemsException {
        Word name = e.key();
        names.give(name);
        Fields f = text.fields(GROUP, e.value());
        wishes.strip(name, f);
        if (f.words("parts").isEmpty() && !f.isMeant("parts")) {
            text.problems().report(e.key().at(), "'" + name.text() + "' needs its 'parts:', a list of names");
        }
        f.get("tidy").ifPresent(t -> tidy.group(f.words("parts"), t));
        OptionalDouble spread = f.get("spread").isPresent() ? OptionalDouble.of(f.number(SPREAD)) : OptionalDouble.empty();
        return new Song.Group(name, f.words("parts"), each.group(name, f), text.chain(f, "chain"), faders.fader(f), faders.sends(name, f), spread);
    }

    Song.Return aReturn(Tree.Entry e) throws ProblemsException {
        Word name = e.key();
        names.give(name);
        Fields f = text.fields(RETURN, e.value());
        wishes.strip(name, f);
        if (f.lacks("chain")) text.problems().report(e.key().at(), "'" + name.text() + "' needs a 'chain:' with its echo or room");
        Chain chain = text.chain(f, "chain");
        Chain wet = new Chain(chain.title(), chain.about(), wet(chain.links()));
        return new Song.Return(name, wet, faders.fader(f));
    }

    /** In a return an echo or a room is whole where the text gives no mix: what is dry comes from the part. */
    private static List<Link> wet(List<Link> links) {
        List<Link> wet = new ArrayList<>();
        for (Link link : links) {
            if (link instanceof Link.Use u) {
                wet.add(u.with(u.mix().or(() -> Optional.of(new Value.Amount(100)))));
            } else {
                Link.Parallel p = (Link.Parallel) link;
                wet.add(new Link.Parallel(p.name(), p.at(), p.mix(), p.branches().stream().map(b -> new Link.Branch(b.at(), b.level(), wet(b.links())))
                        .toList()));
            }
        }
        return wet;
    }
}

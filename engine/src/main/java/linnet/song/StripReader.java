package linnet.song;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Stream;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.setting.Fixed;
import linnet.setting.Settings;
import linnet.setting.Unit;
import linnet.setting.Value;
import linnet.text.ProblemsException;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Reads parts, groups and returns. */
final class StripReader {
    private static final Settings SETTINGS = new Settings();
    private static final Fixed INTO = SETTINGS.fixed("into", Unit.DB).range(-60, 60).usual("0 dB").doc("How loud the take goes into its chain.");

    private static final Fixed SPREAD = SETTINGS.fixed("spread", Unit.PERCENT).range(0, 100).doc("How far the layers of a group are dealt to the left and to the right.");

    private final Reading text;
    private final SourceReader sources;
    private final Names names;
    private final Faders faders;
    private final WishReader wishes;
    private final TidyReader tidy;
    private final Set<String> placed = new HashSet<>();

    StripReader(Reading text, Place place, Names names, WishReader wishes) {
        this.text = text;
        sources = new SourceReader(text, place);
        this.names = names;
        faders = new Faders(text, wishes);
        this.wishes = wishes;
        tidy = new TidyReader(text, place);
    }

    Optional<Song.Part> part(Tree.Entry e) throws ProblemsException {
        names.give(e.key());
        if (e.value() instanceof Tree.Table part && part.entries().containsKey("pan")) placed.add(e.key().text());
        if (e.value() instanceof Tree.Table part && part.entries().containsKey("tidy")) tidy.part(e.key(), part.entries().get("tidy").value());
        return strip(e, "tidy");
    }

    /** The parts that were read, those of a group with a spread in the places they are dealt to, and each as it is to be tidied. */
    List<Song.Part> dealt(List<Song.Part> parts, List<Song.Group> groups) {
        Spread spread = new Spread(groups, placed);
        return parts.stream().map(spread::placed).map(tidy::tidied).toList();
    }

    /** Has its name by itself; else it is read as any part. */
    Optional<Song.Part> instrumental(Tree.Entry e) throws ProblemsException {
        return strip(e);
    }

    private Optional<Song.Part> strip(Tree.Entry e, String... more) throws ProblemsException {
        Word name = e.key();
        Fields f = text.fields("a part", e.value(), Stream.concat(Stream.of("take", "comp", "from", "to", "at", "nudge", "only", "edits", "into", "polarity", "chain", "level", "pan", "sends", "sends level", "duck"), Stream.of(more)).toArray(String[]::new));
        wishes.strip(name, f);
        Optional<Source> source = sources.read(name, f);
        Optional<Word> polarity = f.word("polarity");
        boolean flipped = polarity.isPresent() && polarity.get().text().equals("flipped");
        if (polarity.isPresent() && !flipped && !polarity.get().text().equals("as it is")) text.problems().report(polarity.get().at(), "polarity is 'flipped' or 'as it is'");
        Chain chain = text.chain(f, "chain");
        Song.Fader fader = faders.fader(f);
        List<Song.Send> sends = faders.sends(name, f);
        return source.map(s -> new Song.Part(name, s, f.number(INTO), flipped, chain, fader, sends, Optional.empty()));
    }

    Song.Group group(Tree.Entry e) throws ProblemsException {
        Word name = e.key();
        names.give(name);
        Fields f = text.fields("a group", e.value(), "parts", "spread", "tidy", "each", "chain", "level", "pan", "sends", "sends level", "duck");
        wishes.strip(name, f);
        if (f.words("parts").isEmpty()) text.problems().report(e.key().at(), "'" + name.text() + "' needs its 'parts:', a list of names");
        f.get("tidy").ifPresent(t -> tidy.group(f.words("parts"), t));
        OptionalDouble spread = f.get("spread").isPresent() ? OptionalDouble.of(f.number(SPREAD)) : OptionalDouble.empty();
        return new Song.Group(name, f.words("parts"), text.chain(f, "each"), text.chain(f, "chain"), faders.fader(f), faders.sends(name, f), spread);
    }

    Song.Return room(Tree.Entry e) throws ProblemsException {
        Word name = e.key();
        names.give(name);
        Fields f = text.fields("a return", e.value(), "chain", "level", "pan", "duck");
        wishes.strip(name, f);
        if (f.get("chain").isEmpty()) text.problems().report(e.key().at(), "'" + name.text() + "' needs a 'chain:' with its echo or room");
        Chain chain = text.chain(f, "chain");
        Chain wet = new Chain(chain.title(), chain.about(), chain.tempo(), wet(chain.links()));
        return new Song.Return(name, wet, faders.fader(f));
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
}

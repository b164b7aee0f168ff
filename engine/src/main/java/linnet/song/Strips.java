package linnet.song;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import linnet.chain.Chain;
import linnet.text.Word;

/** Everything in a song that moves can name: parts, groups, returns and what is behind them, each with its chain. */
record Strips(List<Song.Part> parts, Optional<Song.Part> instrumental, List<Song.Group> groups, List<Song.Return> returns, Chain mix) {
    static final String MIX = "mix";

    /** Chains by the words that name them: {@code lead}, {@code double each} where it is its own, {@code doubles}, {@code doubles each}, {@code mix}. */
    Map<String, Chain> chains() {
        Map<String, Chain> chains = new LinkedHashMap<>();
        takes().forEach(p -> {
            chains.put(p.name().text(), p.chain());
            p.each().ifPresent(own -> chains.put(each(p.name()), own));
        });
        for (Song.Group g : groups) {
            chains.put(g.name().text(), g.chain());
            chains.put(each(g.name()), g.each());
        }
        returns.forEach(r -> chains.put(r.name().text(), r.chain()));
        chains.put(MIX, mix);
        return chains;
    }

    private static String each(Word name) {
        return name.text() + " each";
    }

    private Stream<Song.Part> takes() {
        return Stream.concat(parts.stream(), instrumental.stream());
    }

    Optional<Song.Fader> fader(String name) {
        return Stream.of(takes().filter(p -> p.name().text().equals(name)).map(Song.Part::fader),
                groups.stream().filter(g -> g.name().text().equals(name)).map(Song.Group::fader),
                returns.stream().filter(r -> r.name().text().equals(name)).map(Song.Return::fader)).flatMap(s -> s).findFirst();
    }

    private Stream<Song.Send> sends(String name) {
        return Stream.concat(takes().filter(p -> p.name().text().equals(name)).flatMap(p -> p.sends().stream()),
                groups.stream().filter(g -> g.name().text().equals(name)).flatMap(g -> g.sends().stream()));
    }

    /** What sounds by itself: all but returns. */
    List<String> voices() {
        return Stream.concat(takes().map(p -> p.name().text()), groups.stream().map(g -> g.name().text())).toList();
    }

    /** All that has a fader. */
    List<String> names() {
        return Stream.of(parts.stream().map(Song.Part::name), groups.stream().map(Song.Group::name), returns.stream().map(Song.Return::name),
                instrumental.stream().map(Song.Part::name)).flatMap(s -> s).map(Word::text).toList();
    }

    /** Where something stands that moves. */
    OptionalDouble base(String name, Song.Fading of) {
        if (of instanceof Song.Fading.Send to) return sends(name).filter(s -> s.to().text().equals(to.to().text())).mapToDouble(Song.Send::level).findFirst();
        Optional<Song.Fader> fader = fader(name);
        if (fader.isEmpty()) return OptionalDouble.empty();
        return OptionalDouble.of(of == Song.Fading.Own.PAN ? fader.get().pan() : fader.get().level());
    }

    /** The same with other chains. */
    Strips with(Map<String, Chain> other) {
        return new Strips(parts.stream().map(p -> with(p, other)).toList(), instrumental.map(p -> with(p, other)),
                groups.stream().map(g -> new Song.Group(g.name(), g.parts(), other.get(each(g.name())), other.get(g.name().text()), g.fader(), g.sends(),
                        g.spread())).toList(),
                returns.stream().map(r -> new Song.Return(r.name(), other.get(r.name().text()), r.fader())).toList(), other.get(MIX));
    }

    private static Song.Part with(Song.Part part, Map<String, Chain> other) {
        return part.with(other.get(part.name().text()), part.each().map(own -> other.get(each(part.name()))));
    }
}

package linnet.song;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.DoubleStream;
import java.util.stream.Stream;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.setting.Quantity;
import linnet.setting.Value;
import linnet.text.Listed;

/**
 * Parts that their chain puts in a place and that have another behind it, of their own or from a group that deals them to both sides. That only balances
 * two sides that are uneven already: what the chain has put on the left is never on the right.
 */
public final class PannedTwice {
    private static final String PAN = "pan";
    /** In percent, to either side. */
    private static final double FARTHEST = 100;

    private PannedTwice() {}

    /** What one should know of it: a line for each group and each part in which it is so. */
    public static List<String> in(Song song) {
        return Stream.concat(song.groups().stream().flatMap(g -> told(song, g).stream()),
                Stream.concat(song.parts().stream(), song.instrumental().stream()).flatMap(p -> told(song, p).stream())).toList();
    }

    /** Whether it is so in that group. */
    public static boolean isIn(Song song, Song.Group group) {
        return told(song, group).isPresent();
    }

    /** A step that puts what goes through it to a side, and the chain it is in. */
    private record Placed(Link.Use pan, Chain chain) {}

    private static Optional<String> told(Song song, Song.Group group) {
        if (group.spread().isEmpty()) return Optional.empty();
        List<String> parts = new ArrayList<>();
        List<Song.Part> members = group.parts().stream().flatMap(n -> song.parts().stream().filter(p -> p.name().text().equals(n.text()))).toList();
        Optional<Placed> first = members.stream().allMatch(p -> p.each().isPresent()) ? Optional.empty() : pan(group.each());
        boolean each = first.isPresent(), chains = members.stream().anyMatch(p -> pan(p.chain()).isPresent());
        for (Song.Part part : members) {
            // Where chains of parts have one too, theirs are told first.
            Optional<Placed> pan = chains ? pan(part.chain()) : part.each().flatMap(PannedTwice::pan);
            if (pan.isPresent()) parts.add(part.name().text());
            first = first.or(() -> pan);
        }
        return first.map(pan -> {
            String of = each ? "in 'each'" : (chains ? "in the chain" + (parts.size() == 1 ? "" : "s") : "in 'each'") + " of " + Listed.of(parts);
            return group.name().text() + ": 'spread' deals to both sides what '" + pan.pan.name() + "' " + of + " has put in a place already; "
                    + remedy(pan, "", "");
        });
    }

    private static Optional<String> told(Song song, Song.Part part) {
        String name = part.name().text();
        Optional<Song.Group> group = song.groupOf(part);
        List<Song.Move> moves = song.moves().stream().filter(m -> m.isOf(name, Song.Fading.Own.PAN)).toList();
        double place = part.fader().pan();
        // Of a group that deals its parts it is told as a whole.
        if (place == 0 && moves.isEmpty() || group.filter(g -> g.spread().isPresent()).isPresent()) return Optional.empty();
        Optional<Placed> own = pan(part.chain()), any = own.or(() -> pan(song.each(part)));
        if (any.isEmpty()) return Optional.empty();
        double side = Math.signum(place(any.get().pan));
        boolean other = DoubleStream.concat(DoubleStream.of(place), moves.stream().mapToDouble(m -> place + m.by(place))).anyMatch(p -> p * side < 0);
        // In the same place, or all on one side, is where both say.
        if (!other && moves.isEmpty() && (place == place(any.get().pan) || Math.abs(place) == FARTHEST)) return Optional.empty();
        String step = "'" + any.get().pan.name() + "' in " + (own.isPresent() ? "its chain" : part.each().isPresent() ? "its 'each'"
                : "'each' of " + group.orElseThrow().name().text());
        return Optional.of(name + ": 'pan' of the part " + (other || !moves.isEmpty()
                ? "moves nothing that " + step + " has put in a place already" + (other ? ", and turns it down there" : "")
                : "comes on top of " + step + ", on the same side: it lies further out than the part says") + "; "
                + (own.isPresent() ? remedy(any.get(), "chain", "its chain") : remedy(any.get(), "each", "'each'")));
    }

    /** The first step that puts what goes through it to a side; one in a branch shapes a part of it only. */
    private static Optional<Placed> pan(Chain chain) {
        return chain.links().stream().filter(Link.Use.class::isInstance).map(Link.Use.class::cast).filter(u -> u.step().word().equals(PAN) && place(u) != 0)
                .findFirst().map(u -> new Placed(u, chain));
    }

    /** In percent to the right; it has no other setting. */
    private static double place(Link.Use pan) {
        return pan.values().settings().all().stream().filter(Quantity.class::isInstance).flatMap(s -> pan.values().get((Quantity) s).stream())
                .filter(Value.Amount.class::isInstance).mapToDouble(v -> ((Value.Amount) v).value()).findFirst().orElse(0);
    }

    /**
     * @param key which of the chains of the text it is in, where that is to be said; empty where it is known
     * @param called what that chain is called
     */
    private static String remedy(Placed placed, String key, String called) {
        String name = placed.pan.name();
        List<Link> all = all(placed.chain.links());
        // By a name that others have too, or that of a step that is off, it could not be switched.
        boolean alone = all.stream().filter(l -> l.name().equals(name)).count() == 1 && !placed.chain.off().contains(name);
        if (placed.pan.by().isEmpty() || !alone) return "take that step out";
        String off = "{ use: " + placed.pan.by().get() + ", with: { " + name + ": { on: no } } }";
        boolean whole = all.stream().allMatch(l -> l instanceof Link.Use u && u.by().equals(placed.pan.by()));
        return "switch that off, such as " + (key.isEmpty() ? off : whole ? key + ": [ " + off + " ]" : off + " in " + called) + ", or take the step out";
    }

    /** With those in branches. */
    private static List<Link> all(List<Link> links) {
        return links.stream().flatMap(l -> Stream.concat(Stream.of(l),
                l instanceof Link.Parallel p ? p.branches().stream().flatMap(b -> all(b.links()).stream()) : Stream.empty())).toList();
    }
}

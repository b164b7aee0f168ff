package linnet.song;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.setting.Quantity;
import linnet.setting.Value;
import linnet.text.Word;

/**
 * Parts that their chain puts in a place and that have another behind it, of their own or from a group that deals them to both sides. That only balances
 * two sides that are uneven already: what the chain has put on the left is never on the right.
 */
public final class PannedTwice {
    private static final String PAN = "pan";

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

    private static Optional<String> told(Song song, Song.Group group) {
        if (group.spread().isEmpty()) return Optional.empty();
        List<String> parts = new ArrayList<>();
        Optional<Link.Use> first = pan(group.each());
        boolean each = first.isPresent();
        for (Word name : group.parts()) {
            Optional<Link.Use> pan = song.parts().stream().filter(p -> p.name().text().equals(name.text())).findFirst().flatMap(p -> pan(p.chain()));
            if (pan.isPresent()) parts.add(name.text());
            first = first.or(() -> pan);
        }
        return first.map(pan -> {
            String of = each ? "in 'each'" : "in the chain" + (parts.size() == 1 ? " of " : "s of ") + list(parts);
            return group.name().text() + ": 'spread' deals to both sides what '" + pan.name() + "' " + of + " has put in a place already; "
                    + remedy(song, pan, "");
        });
    }

    private static Optional<String> told(Song song, Song.Part part) {
        String name = part.name().text();
        Optional<Song.Group> group = song.groups().stream().filter(g -> g.parts().stream().anyMatch(w -> w.text().equals(name))).findFirst();
        boolean moves = song.moves().stream().anyMatch(m -> m.isOf(name, Song.Fading.Own.PAN));
        // Of a group that deals its parts it is told as a whole.
        if (part.fader().pan() == 0 && !moves || group.filter(g -> g.spread().isPresent()).isPresent()) return Optional.empty();
        Optional<Link.Use> own = pan(part.chain()), each = group.flatMap(g -> pan(g.each()));
        return own.or(() -> each).filter(pan -> moves || !isAt(pan, part.fader().pan())).map(pan -> name + ": 'pan' of the part moves nothing that '"
                + pan.name() + "' in " + (own.isPresent() ? "its chain" : "'each' of " + group.orElseThrow().name().text())
                + " has put in a place already, and turns it down there; " + remedy(song, pan, own.isPresent() ? "chain" : "each"));
    }

    /** The first step that puts what goes through it to a side; one in a branch shapes a part of it only. */
    private static Optional<Link.Use> pan(Chain chain) {
        return chain.links().stream().filter(Link.Use.class::isInstance).map(Link.Use.class::cast).filter(u -> u.step().word().equals(PAN) && !isCentred(u))
                .findFirst();
    }

    private static boolean isCentred(Link.Use pan) {
        return isAt(pan, 0);
    }

    private static boolean isAt(Link.Use pan, double place) {
        return pan.values().settings().all().stream().filter(Quantity.class::isInstance)
                .allMatch(s -> pan.values().get((Quantity) s).filter(v -> !v.equals(new Value.Amount(place))).isEmpty());
    }

    /** @param chain which of the chains it is in, where that is to be said; empty where it is known */
    private static String remedy(Song song, Link.Use pan, String chain) {
        Path text = song.label().texts().keySet().iterator().next().toAbsolutePath().normalize(),
                file = Path.of(pan.at().source().name()).toAbsolutePath().normalize();
        if (file.equals(text)) return "take that step out";
        String off = "{ use: " + text.getParent().relativize(file).toString().replace('\\', '/') + ", with: { " + pan.name() + ": { on: no } } }";
        return "switch that off, such as " + (chain.isEmpty() ? off : chain + ": [ " + off + " ]") + ", or take the step out";
    }

    private static String list(List<String> names) {
        int last = names.size() - 1;
        return last == 0 ? names.get(0) : String.join(", ", names.subList(0, last)) + " and " + names.get(last);
    }
}

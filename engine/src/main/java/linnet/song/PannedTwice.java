package linnet.song;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.setting.Quantity;
import linnet.setting.Value;
import linnet.text.Word;

/**
 * Parts that their chain puts in a place, in groups that deal them to both sides. Their place in the group only balances two sides that are uneven
 * already: what the chain has put on the left is never on the right.
 */
public final class PannedTwice {
    private static final String PAN = "pan";

    private PannedTwice() {}

    /** What one should know of the groups of a song: a line for each in which it is so. */
    public static List<String> in(Song song) {
        return song.groups().stream().flatMap(g -> told(song, g).stream()).toList();
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
            return group.name().text() + ": 'spread' deals to both sides what '" + pan.name() + "' " + of + " has put in a place already; " + remedy(song, pan);
        });
    }

    /** The first step that puts what goes through it to a side; one in a branch shapes a part of it only. */
    private static Optional<Link.Use> pan(Chain chain) {
        return chain.links().stream().filter(Link.Use.class::isInstance).map(Link.Use.class::cast).filter(u -> u.step().word().equals(PAN) && !isCentred(u))
                .findFirst();
    }

    private static boolean isCentred(Link.Use pan) {
        return pan.values().settings().all().stream().filter(Quantity.class::isInstance)
                .allMatch(s -> pan.values().get((Quantity) s).filter(v -> !v.equals(new Value.Amount(0))).isEmpty());
    }

    private static String remedy(Song song, Link.Use pan) {
        Path text = song.label().texts().keySet().iterator().next().toAbsolutePath().normalize(),
                chain = Path.of(pan.at().source().name()).toAbsolutePath().normalize();
        if (chain.equals(text)) return "take that step out";
        return "switch that off, such as { use: " + text.getParent().relativize(chain).toString().replace('\\', '/') + ", with: { " + pan.name()
                + ": { on: no } } }, or take the step out";
    }

    private static String list(List<String> names) {
        int last = names.size() - 1;
        return last == 0 ? names.get(0) : String.join(", ", names.subList(0, last)) + " and " + names.get(last);
    }
}

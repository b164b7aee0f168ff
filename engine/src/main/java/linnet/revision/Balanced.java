package linnet.revision;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.song.Wishes;
import linnet.text.Listed;

/**
 * Who goes along when something gets louder or softer: what is balanced against it, and what is balanced against that. It follows from the texts alone, since a
 * balance is a distance at the base of the song: moves come on top, and nobody goes along with them.
 */
final class Balanced {
    /** Less is rounding. */
    private static final double SAME_DB = 1e-6;

    private final Song now;
    private final Map<String, Wishes.Balance> before;
    private final Map<String, Wishes.Balance> against = new LinkedHashMap<>();
    /** By how many dB the text itself sets each louder: its level, or its distance; not a number where it is known only once it is heard. */
    private final Map<String, Double> own = new HashMap<>();

    Balanced(Song was, Song now) {
        this.now = now;
        now.wishes().balance().forEach(b -> against.put(b.what().text(), b));
        before = was.wishes().balance().stream().collect(Collectors.toMap(b -> b.what().text(), b -> b, (a, b) -> b));
        Map<String, Double> then = faders(was);
        faders(now).forEach((name, level) -> {
            Wishes.Balance a = before.get(name), b = against.get(name);
            boolean same = a == null ? b == null && then.containsKey(name) : b != null && a.against().text().equals(b.against().text());
            own.put(name, !same ? Double.NaN : b == null ? level - then.get(name) : b.lu() - a.lu());
        });
    }

    private static Map<String, Double> faders(Song song) {
        Map<String, Double> faders = new LinkedHashMap<>();
        Stream.concat(song.parts().stream(), song.instrumental().stream()).forEach(p -> faders.put(p.name().text(), p.fader().level()));
        song.groups().forEach(g -> faders.put(g.name().text(), g.fader().level()));
        return faders;
    }

    private double own(String name) {
        return own.getOrDefault(name, 0.0);
    }

    /** With all that it is balanced against; what is in the text is no circle. */
    private double net(String name) {
        return own(name) + (against.containsKey(name) ? net(against.get(name).against().text()) : 0);
    }

    private static boolean isNothing(double db) {
        return Math.abs(db) < SAME_DB;
    }

    /** What is balanced against it, near or far, and stays at the distance it had. */
    private List<String> followers(String name) {
        if (isNothing(own(name)) || isNothing(net(name))) return List.of();
        return against.keySet().stream().filter(f -> follows(f, name)).toList();
    }

    private boolean follows(String follower, String name) {
        if (!against.containsKey(follower) || !isNothing(own(follower))) return false;
        String other = against.get(follower).against().text();
        return other.equals(name) || follows(other, name);
    }

    /**
     * What is to be said behind a level that is higher or lower in all of the song: who goes along with it, what is heard of that, and what to write if it was
     * meant alone.
     *
     * @param names what has that level
     */
    String along(List<String> names) {
        StringBuilder text = new StringBuilder();
        for (String name : names) {
            Optional<String> other = Optional.ofNullable(against.get(name)).map(b -> b.against().text())
                    .filter(o -> !isNothing(net(o)) && !Double.isNaN(net(name)));
            other.ifPresent(o -> text.append("; with ").append(o)
                    .append(isNothing(net(name)) ? " as loud as it was" : " " + Wording.level(net(name)) + " in all"));
            List<String> followers = followers(name);
            if (followers.isEmpty()) continue;
            text.append(", and ").append(Listed.of(followers)).append(" with ").append(names.size() == 1 ? "it" : name).append(" (balance)");
            heard(name, followers).ifPresent(text::append);
            alone(name).ifPresent(text::append);
        }
        return text.toString();
    }

    /**
     * Who goes along with what is not higher or lower alike in all of the song, as moves have it too; a distance that comes, goes or changes tells it itself.
     */
    List<Change> besides(List<String> told) {
        return own.keySet().stream().sorted().filter(n -> !told.contains(n) && !against.containsKey(n) && !before.containsKey(n) && !followers(n).isEmpty())
                .map(n -> new Change("", Listed.of(followers(n)), (Double.isNaN(net(n)) ? "go" : Wording.level(net(n)) + " in their base,") + " with " + n
                        + " (balance)")).toList();
    }

    /** What changes beside those that go along: with a loudness wished of the mix, all that does not. */
    private Optional<String> heard(String name, List<String> followers) {
        if (against.containsKey(name)) return Optional.empty();
        if (now.wishes().loud().isEmpty() || Double.isNaN(net(name))) return Optional.of("; nothing changes between them");
        String mix = "; the mix is brought to " + Unit.PLAIN.format(now.wishes().loud().get().lufs())
                + " LUFS all the same, so that nothing changes between them";
        List<String> rest = stems().stream().filter(s -> !s.equals(name) && !followers.contains(s) && isNothing(net(s))).toList();
        return Optional.of(rest.isEmpty() ? mix : mix + ", and " + Listed.of(rest) + (rest.size() == 1 ? " is " : " are ") + Wording.level(-net(name))
                + " beside them");
    }

    /** What goes into the mix by itself, returns aside. */
    private List<String> stems() {
        List<String> stems = new ArrayList<>(faders(now).keySet());
        now.groups().forEach(g -> g.parts().forEach(p -> stems.remove(p.text())));
        return stems;
    }

    /** How those that go along would stay where they are. */
    private Optional<String> alone(String name) {
        if (Double.isNaN(net(name))) return Optional.empty();
        List<String> distances = against.values().stream().filter(b -> b.against().text().equals(name) && isNothing(own(b.what().text())))
                .map(b -> "'" + b.what().text() + ": " + Unit.PLAIN.format(Math.abs(b.lu() - net(name))) + " LU "
                        + (b.lu() - net(name) < 0 ? "under " : "over ") + name + "'").toList();
        return Optional.of("; if " + name + " alone is meant, also write " + Listed.of(distances));
    }
}

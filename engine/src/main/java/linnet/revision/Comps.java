package linnet.revision;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.song.Source;
import linnet.text.Listed;

/**
 * Which take each part with a comp sings from, bar by bar. Compared so, a change is told by what is heard where, however many ranges the text makes of it. A
 * take, or a span of one, is told as a comp of one range where the other version has a comp.
 */
final class Comps {
    /** In seconds, and in bars: less is rounding. */
    private static final double SAME = 1e-6;
    private static final String FADE = "fade";
    /** Keys of a part that say which take sings where. */
    private static final Set<String> KEYS = Set.of("comp", "take", "at", "from", "to");

    /** What sings in a stretch. */
    private record Sung(Bars.Stretch where, Source.Range range) {}

    /**
     * Where one range meets what is before or behind it.
     *
     * @param before the take that sings up to there, and the one from there on; empty for silence
     * @param fade as it is written; empty where it is not
     */
    private record Join(String before, String after, String fade, boolean exact) {
        boolean isBetweenTakesOf(Join other) {
            return before.equals(other.before) && after.equals(other.after);
        }
    }

    private final Song song;
    private final Bars bars;
    /** By part; of parts that are made of another nothing. */
    private final Map<String, List<Sung>> sung = new LinkedHashMap<>();
    private final Set<String> comps = new LinkedHashSet<>();

    Comps(Song song) {
        this.song = song;
        bars = new Bars(song.time());
        Stream.concat(song.parts().stream(), song.instrumental().stream()).forEach(p -> {
            Source source = p.source().unedited();
            if (source instanceof Source.Comp comp) {
                comps.add(p.name().text());
                sung.put(p.name().text(), sung(comp.ranges()));
            } else if (source instanceof Source.Clip c) {
                sung.put(p.name().text(), sung(List.of(new Source.Range(c.take(), c.at() - c.from(), p.name(), c.at(), c.at() + c.to() - c.from(),
                        Optional.empty(), 0, false, c.placed(), 0))));
            }
        });
    }

    private List<Sung> sung(List<Source.Range> ranges) {
        List<Sung> all = new ArrayList<>();
        for (int i = 0; i < ranges.size(); i++) {
            // The last rings on where nothing ends it, however long the other version is.
            double next = i + 1 < ranges.size() ? ranges.get(i + 1).from() : Double.POSITIVE_INFINITY;
            all.add(new Sung(bars.of(ranges.get(i).from(), Math.min(ranges.get(i).to(), next)), ranges.get(i)));
        }
        return all;
    }

    /** Whether an entry of the text says nothing but what is compared here. */
    boolean isTold(List<String> path, Comps before) {
        boolean instrumental = !path.isEmpty() && path.get(0).equals("instrumental");
        if (path.size() != (instrumental ? 2 : 3) || !instrumental && !path.get(0).equals("parts")) return false;
        return KEYS.contains(path.get(path.size() - 1)) && isCompared(path.get(path.size() - 2), before);
    }

    private boolean isCompared(String part, Comps before) {
        return sung.containsKey(part) && before.sung.containsKey(part) && (comps.contains(part) || before.comps.contains(part));
    }

    /** What is sung by another take, or by one that lies elsewhere; then what is joined otherwise in the same place. */
    List<Change> since(Comps before) {
        List<Change> changes = new ArrayList<>();
        for (String part : sung.keySet()) {
            if (!isCompared(part, before)) continue;
            TreeSet<Double> corners = new TreeSet<>();
            bars.corners(corners);
            before.bars.corners(corners);
            sung.get(part).forEach(s -> s.where.corners(corners));
            before.sung.get(part).forEach(s -> s.where.corners(corners));
            bars.where(corners, at -> otherwise(before, before.at(part, at), at(part, at)))
                    .forEach((how, where) -> how.ifPresent(h -> changes.add(new Change(where, part, h))));
            if (isCutOff(part) != before.isCutOff(part)) {
                changes.add(new Change("end", part, isCutOff(part) ? "cut off, rang on" : "rings on, was cut off"));
            }
            joins(part, before, changes);
        }
        return changes;
    }

    private Optional<Source.Range> at(String part, double at) {
        return sung.get(part).stream().filter(s -> s.where.holds(at)).map(Sung::range).findFirst();
    }

    /** Whether it ends where the song does, and nothing of it rings on. */
    private boolean isCutOff(String part) {
        List<Sung> all = sung.get(part);
        return all.get(all.size() - 1).range.until().isPresent() && song.time().isEnd(all.get(all.size() - 1).range.to());
    }

    private Optional<String> otherwise(Comps before, Optional<Source.Range> was, Optional<Source.Range> now) {
        if (was.isEmpty() || now.isEmpty()) {
            return was.isEmpty() && now.isEmpty() ? Optional.empty()
                    : Optional.of(now.map(n -> "from " + words(n)).orElse("silent") + ", was " + was.map(before::words).orElse("silent"));
        }
        Source.Range a = was.get(), b = now.get();
        if (!a.take().named().text().equals(b.take().named().text())) return Optional.of("from " + words(b) + ", was " + before.words(a));
        // In seconds or in bars: to another tempo a place is another second, and none other.
        double later = b.at() - a.at();
        boolean isThere = Math.abs(later) < SAME || Math.abs(bars.of(b.at(), b.at()).from() - before.bars.of(a.at(), a.at()).from()) < SAME;
        List<String> how = new ArrayList<>();
        if (!isThere) how.add(Unit.SECONDS.format(Math.abs(later)) + (later > 0 ? " later" : " earlier"));
        if (Math.abs(b.into() - a.into()) > SAME) how.add(Wording.level(b.into() - a.into()) + " into the comp");
        return how.isEmpty() ? Optional.empty() : Optional.of(Wording.cut(b.take().named().text()) + " " + Listed.of(how));
    }

    private String words(Source.Range r) {
        String at = !r.placed() || Math.abs(r.at()) < SAME ? "" : " at " + (r.at() < 0 ? Unit.SECONDS.format(r.at()) : bars.place(r.at()));
        return Wording.cut(r.take().named().text()) + at + (r.into() == 0 ? "" : " with " + Unit.DB.format(r.into()) + " into the comp");
    }

    private void joins(String part, Comps before, List<Change> changes) {
        NavigableMap<Double, Join> now = joins(part);
        Map<Double, Join> was = then(before.joins(part), now);
        Map<String, List<String>> alike = new LinkedHashMap<>();
        now.forEach((at, join) -> {
            Optional<Join> then = Optional.ofNullable(was.get(at));
            String place = bars.words(at), fade = then.map(Join::fade).orElse("");
            if (!Wording.isSame(fade, join.fade)) {
                alike.computeIfAbsent(FADE + " " + (fade.isEmpty() ? "is new: " + join.fade
                        : join.fade.isEmpty() ? "is gone, was " + fade : Wording.of(FADE, fade, join.fade)), k -> new ArrayList<>()).add(place);
            }
            if (then.map(Join::exact).orElse(false) != join.exact) {
                alike.computeIfAbsent(then.isEmpty() ? "kept at its place" : join.exact ? "kept at its place, was moved to where it is heard least"
                        : "moved to where it is heard least, was kept at its place", k -> new ArrayList<>()).add(place);
            }
        });
        alike.forEach((how, where) -> changes.add(new Change(String.join(", ", where), "join of " + part, how)));
    }

    /** What each join was: the one in the same place, else of those that are in none the nearest between the same takes, each for one join only. */
    private static Map<Double, Join> then(NavigableMap<Double, Join> was, NavigableMap<Double, Join> now) {
        Map<Double, Join> then = new HashMap<>(was);
        then.keySet().retainAll(now.keySet());
        record Moved(double from, double to) {
            double by() {
                return Math.abs(to - from);
            }
        }

        List<Moved> moved = new ArrayList<>();
        was.forEach((from, a) -> now.forEach((to, b) -> {
            if (!now.containsKey(from) && !was.containsKey(to) && a.isBetweenTakesOf(b)) moved.add(new Moved(from, to));
        }));
        moved.sort(Comparator.comparingDouble(Moved::by));
        Set<Double> told = new HashSet<>();
        for (Moved m : moved) if (!then.containsKey(m.to) && told.add(m.from)) then.put(m.to, was.get(m.from));
        return then;
    }

    /** By where they are, counted in bars. */
    private NavigableMap<Double, Join> joins(String part) {
        NavigableMap<Double, Join> joins = new TreeMap<>();
        String before = "";
        double end = Double.NEGATIVE_INFINITY;
        for (Sung s : sung.get(part)) {
            String fade = s.range.fade() > 0 ? Unit.MS.format(1000 * s.range.fade()) : "", take = s.range.take().named().text();
            joins.put(s.where.from(), new Join(end < s.where.from() ? "" : before, take, fade, s.range.exact()));
            if (s.range.until().isPresent()) joins.put(s.where.to(), new Join(take, "", fade, s.range.exact()));
            before = take;
            end = s.where.to();
        }
        return joins;
    }
}

package linnet.revision;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.text.Listed;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Which parts are in which group, and where a spread puts them. A change of one line of a list is told by what it does to each of them. */
final class Layers {
    private static final String PARTS = "parts", GROUPS = "groups", SPREAD = "spread", PAN = "pan";
    /** What a group does to its parts, in the order in which it is done. */
    private static final List<String> TREATMENT = List.of("tidy", "each", SPREAD, "chain", "sends");
    /** In shares of the spread: less is rounding. */
    private static final double SAME = 1e-9;

    private final Tree text;
    /** With its place, in percent to the right. */
    private final Map<String, Double> parts = new LinkedHashMap<>();
    private final Map<String, Song.Group> groups = new LinkedHashMap<>();
    private final Map<String, String> groupOf = new HashMap<>();
    private final Set<String> placed = new HashSet<>();

    Layers(Tree text, Song song) {
        this.text = text;
        for (Song.Part p : song.parts()) {
            parts.put(p.name().text(), p.fader().pan());
            if (says(PARTS, p.name().text(), PAN)) placed.add(p.name().text());
        }
        for (Song.Group g : song.groups()) {
            groups.put(g.name().text(), g);
            for (Word part : g.parts()) groupOf.put(part.text(), g.name().text());
        }
    }

    /** Whether the text gives something of that name this key. */
    private boolean says(String kind, String name, String key) {
        return inside(text, kind).flatMap(all -> inside(all, name)).flatMap(one -> inside(one, key)).isPresent();
    }

    private static Optional<Tree> inside(Tree tree, String key) {
        return tree instanceof Tree.Table table ? Optional.ofNullable(table.entries().get(key)).map(Tree.Entry::value) : Optional.empty();
    }

    /** Whether an entry says nothing but that a part, which both versions have, is in a group or is not. */
    boolean isTold(List<String> path, Layers before) {
        return path.size() == 4 && path.get(0).equals(GROUPS) && path.get(2).equals(PARTS) && isJoined(path.get(3), before);
    }

    /** A group that is new or gone is told with all that is in it. */
    private boolean isJoined(String part, Layers before) {
        if (!parts.containsKey(part) || !before.parts.containsKey(part)) return false;
        Optional<String> was = Optional.ofNullable(before.groupOf.get(part)), is = Optional.ofNullable(groupOf.get(part));
        return !was.equals(is) && (was.isPresent() && groups.containsKey(was.get()) || is.isPresent() && before.groups.containsKey(is.get()));
    }

    /** Parts that are in another group, or in none: what is left out of its group goes into the mix as it was sung, and may be far too loud there. */
    List<Change> joined(Layers before) {
        List<Change> changes = new ArrayList<>();
        for (String part : parts.keySet()) {
            if (!isJoined(part, before)) continue;
            String was = before.groupOf.get(part), is = groupOf.get(part);
            changes.add(new Change("", part, is == null ? "is out of " + was + " and goes into the mix by itself" + before.treatment(was, part, ", without ")
                    : was == null ? "is in " + is + treatment(is, part, ", with ") + "; it went into the mix by itself" : "is in " + is + ", was in " + was));
        }
        return changes;
    }

    private String treatment(String group, String part, String before) {
        List<String> keys = TREATMENT.stream().filter(k -> says(GROUPS, group, k) && !(k.equals(SPREAD) && placed.contains(part))).toList();
        return keys.isEmpty() ? "" : before + Listed.of(keys) + " of " + group;
    }

    /**
     * Groups that deal their layers to other places. Who is there in both versions is counted, but for who has a place of its own; what another spread alone
     * makes of all of them is told as that.
     */
    List<Change> dealt(Layers before) {
        List<Change> changes = new ArrayList<>();
        groups.forEach((name, group) -> {
            double was = before.spread(name), is = spread(name), farthest = 0;
            if (was == 0 || is == 0) return;
            int elsewhere = 0, across = 0;
            for (Word word : group.parts()) {
                String part = word.text();
                if (!name.equals(before.groupOf.get(part)) || placed.contains(part) || before.placed.contains(part)) continue;
                double from = before.parts.get(part) / was, to = parts.get(part) / is;
                if (Math.abs(to - from) < SAME) continue;
                elsewhere++;
                if (from * to < 0) across++;
                farthest = Math.max(farthest, is * Math.abs(to - from));
            }
            if (elsewhere == 0) return;
            changes.add(new Change("", name, "dealt anew: " + elsewhere + (elsewhere == 1 ? " layer lies" : " layers lie") + " elsewhere, "
                    + (across > 0 ? across + " on the other side" : "by " + Unit.PERCENT.format(farthest, 1) + " at most")));
        });
        return changes;
    }

    /** How far out a group deals its layers, in percent; 0 where it does not, or is not there. */
    private double spread(String group) {
        return Optional.ofNullable(groups.get(group)).map(g -> g.spread().orElse(0)).orElse(0.0);
    }
}

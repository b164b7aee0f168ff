package linnet.song;

import java.util.Collection;
import java.util.List;
import java.util.Map;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.yaml.Tree;

/** How much a song may have of what each print goes through: more than any has, and so little that a text of a stranger is checked in seconds. */
final class Sizes {
    static final int MOST_PRINTS = 300;
    private static final Map<String, Integer> MOST = Map.of("parts", 300, "groups", 100, "returns", 30, "prints", MOST_PRINTS);
    private static final int MOST_STEPS = 5000;

    private Sizes() {}

    /** @throws ProblemsException before anything else is said of such a song: it would be said hundreds of times */
    static void check(Tree.Table song, Problems problems) throws ProblemsException {
        boolean many = false;
        for (String key : List.of("parts", "groups", "returns", "prints")) {
            Tree.Entry entry = song.entries().get(key);
            if (entry == null) continue;
            int there = entry.value() instanceof Tree.Table t ? t.entries().size() : entry.value() instanceof Tree.Rows r ? r.rows().size() : 0;
            if (there <= MOST.get(key)) continue;
            many = true;
            problems.report(entry.key().at(), "a song has " + MOST.get(key) + " " + key + " at most, not " + there);
        }
        if (many) problems.check();
    }

    static void check(Collection<Chain> chains, Tree song, Problems problems) throws ProblemsException {
        int steps = chains.stream().mapToInt(c -> steps(c.links())).sum();
        if (steps <= MOST_STEPS) return;
        problems.report(song.at(), "the chains of a song have " + MOST_STEPS + " steps at most, not " + steps);
        problems.check();
    }

    private static int steps(List<Link> links) {
        return links.stream().mapToInt(l -> l instanceof Link.Parallel p ? 1 + p.branches().stream().mapToInt(b -> steps(b.links())).sum() : 1).sum();
    }
}

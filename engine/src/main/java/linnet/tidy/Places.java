package linnet.tidy;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.align.Cepstra;
import linnet.hear.Ear;

/**
 * Which place of the lead each phrase of a part sings. A hook has the same words several times, and by what they say alone a phrase may be any of them. So all
 * phrases are decided together, by dynamic programming: in the order of the lead, none where another is, and of what is about as alike the
 * nearest, moved as its neighbours are. A singer is early or late by less than a line, and in one verse by much the same.
 */
final class Places {
    /** Prices beside unlikeness: of a second that a phrase lies off, of a second more or less than its neighbour, and what either comes to at most. */
    private static final double FAR = 0.3, DIFFER = 0.5, MOST_FAR = 0.3, MOST_DIFFER = 0.15;
    /** Price of a phrase that is left alone: more than any place may cost, so that one with a place of its own gets it. */
    private static final double ALONE = Match.UNLIKE + MOST_FAR + 2 * MOST_DIFFER;

    private final double rate;
    private final long later;
    private final List<Choice> choices = new ArrayList<>();

    /**
     * A phrase at a place.
     *
     * @param skipped phrases before it that have a place, chosen or not
     * @param before what is chosen before it; null where nothing is
     * @param cost of all so far
     */
    private record Choice(int phrase, Match match, int skipped, Choice before, double cost) {}

    private Places(double rate, long later) {
        this.rate = rate;
        this.later = later;
    }

    /**
     * Finds them.
     *
     * @param free which phrases are looked for
     * @param later samples by which all of the part is taken to lie later than the lead
     * @param reach seconds by which a phrase may be off beside that
     * @return for each phrase where it is, or why it is nowhere; null where it is not looked for
     */
    static Match[] of(List<Phrases.Phrase> phrases, boolean[] free, Ear ear, Cepstra cepstra, long later, Lead lead, double reach) {
        Match[] found = new Match[free.length];
        Places places = new Places(ear.sound().rate(), later);
        int had = 0;
        for (int p = 0; p < free.length; p++) {
            if (!free[p]) continue;
            List<Match> all = Match.all(phrases.get(p), ear, cepstra, later, lead, reach), open = all.stream().filter(m -> m.refused().isEmpty()).toList();
            found[p] = open.isEmpty() ? all.get(0) : open.get(0);
            if (!open.isEmpty()) places.add(p, open, had++);
        }
        boolean[] chosen = new boolean[free.length];
        for (Choice c = places.best(had); c != null; c = c.before) {
            found[c.phrase] = c.match;
            chosen[c.phrase] = true;
        }
        for (int p = 0; p < free.length; p++) if (free[p] && !chosen[p]) found[p].refuse("what the lead sings alike is another line's");
        return found;
    }

    private void add(int phrase, List<Match> matches, int had) {
        List<Choice> here = new ArrayList<>();
        for (Match m : matches) {
            Choice before = null;
            double least = ALONE * had;
            for (Choice c : choices) {
                if (!c.match.isBefore(m)) continue;
                double cost = c.cost + ALONE * (had - c.skipped - 1) + Math.min(MOST_DIFFER, DIFFER * Math.abs(m.late() - c.match.late()) / rate);
                if (cost < least) {
                    least = cost;
                    before = c;
                }
            }
            here.add(new Choice(phrase, m, had, before, least + m.unlikeness() + Math.min(MOST_FAR, FAR * Math.abs(m.late() - later) / rate)));
        }
        choices.addAll(here);
    }

    /** What the cheapest way ends with. */
    private Choice best(int had) {
        Choice best = null;
        double least = ALONE * had;
        for (Choice c : choices) {
            double cost = c.cost + ALONE * (had - c.skipped - 1);
            if (cost < least) {
                least = cost;
                best = c;
            }
        }
        return best;
    }
}

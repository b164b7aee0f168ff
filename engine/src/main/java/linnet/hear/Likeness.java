package linnet.hear;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/**
 * Carries what a person wrote into the list of one take over to another take of the same words. The marks of both are aligned in their order by
 * dynamic programming (after H. Sakoe, S. Chiba, IEEE TASSP 26(1), 1978): marks of a kind may be one, at a price that grows with how much
 * the lag changes from the pair before; others are skipped, at a price too. The prices are tried on doubles of one singer.
 */
public final class Likeness {
    /**
     * @param marks of the take, with what was carried over
     * @param pairs marks that both takes have
     * @param words that were carried over
     * @param kept marks and stretches that no repair touches, carried over
     * @param faint breaths and sibilants that only the other take shows clearly
     */
    public record Carried(Marks marks, int pairs, int words, int kept, int faint) {}

    /** Found alike in every take of a line; clicks are not, and phrases are too few. */
    private static final Set<Mark.Kind> ANCHORS = EnumSet.of(Mark.Kind.BREATH, Mark.Kind.SIBILANT, Mark.Kind.PLOSIVE, Mark.Kind.STOP, Mark.Kind.VOWEL);
    private static final double SKIP = 1, SECONDS = 0.1, WORST = 1.9, NEAR_SECONDS = 0.15, FAINT_SURE = 0.3;
    private static final long MOST_CELLS = 25_000_000;
    private static final byte NONE = 0, BOTH = 1, LEAD = 2, OWN = 3;

    private final List<Mark> lead, own;
    private final double rate;
    /** Places that are one, in samples of this take. */
    private final List<long[]> pairs = new ArrayList<>();

    private Likeness(Marks lead, Marks own, double rate) {
        this.lead = anchors(lead);
        this.own = anchors(own);
        this.rate = rate;
    }

    private static List<Mark> anchors(Marks marks) {
        return marks.all().stream().filter(m -> ANCHORS.contains(m.kind())).toList();
    }

    /**
     * @param lead marks of the other take, at this one's rate
     * @param take this take
     * @return empty where fewer than half of the marks of the shorter list are found in the other: these are not the same words
     */
    public static Optional<Carried> carry(Marks lead, Ear take) {
        Marks found = take.marks();
        Likeness likeness = new Likeness(lead, found, take.sound().rate());
        if ((long) likeness.lead.size() * likeness.own.size() > MOST_CELLS) return Optional.empty();
        likeness.align();
        if (likeness.pairs.isEmpty() || 2 * likeness.pairs.size() < Math.min(likeness.lead.size(), likeness.own.size())) return Optional.empty();
        return Optional.of(likeness.carry(lead, found, take));
    }

    private void align() {
        int n = lead.size(), m = own.size();
        byte[][] way = new byte[n + 1][m + 1];
        double[] cost = new double[m + 1], lag = new double[m + 1];
        for (int j = 0; j <= m; j++) {
            cost[j] = j * SKIP;
            lag[j] = Double.NaN;
            way[0][j] = j == 0 ? NONE : OWN;
        }
        for (int i = 1; i <= n; i++) {
            double[] next = new double[m + 1], nextLag = new double[m + 1];
            next[0] = i * SKIP;
            nextLag[0] = Double.NaN;
            way[i][0] = LEAD;
            for (int j = 1; j <= m; j++) {
                next[j] = cost[j] + SKIP;
                nextLag[j] = lag[j];
                way[i][j] = LEAD;
                if (next[j - 1] + SKIP < next[j]) {
                    next[j] = next[j - 1] + SKIP;
                    nextLag[j] = nextLag[j - 1];
                    way[i][j] = OWN;
                }
                double price = price(i - 1, j - 1, lag[j - 1]);
                if (cost[j - 1] + price < next[j]) {
                    next[j] = cost[j - 1] + price;
                    nextLag[j] = own.get(j - 1).from() - lead.get(i - 1).from();
                    way[i][j] = BOTH;
                }
            }
            cost = next;
            lag = nextLag;
        }
        for (int i = n, j = m; way[i][j] != NONE; ) {
            byte step = way[i][j];
            if (step != OWN) i--;
            if (step != LEAD) j--;
            if (step == BOTH) pairs.add(0, new long[] {lead.get(i).from(), own.get(j).from(), i, j});
        }
    }

    private double price(int i, int j, double lag) {
        if (lead.get(i).kind() != own.get(j).kind()) return Double.POSITIVE_INFINITY;
        if (Double.isNaN(lag)) return 0;
        double price = Math.abs(own.get(j).from() - lead.get(i).from() - lag) / (SECONDS * rate);
        return price < WORST ? price : Double.POSITIVE_INFINITY;
    }

    /** Where a place of the other take lies in this one. */
    private long place(long sample) {
        long[] before = pairs.get(0), after = pairs.get(pairs.size() - 1);
        if (sample <= before[0]) return sample + before[1] - before[0];
        if (sample >= after[0]) return sample + after[1] - after[0];
        for (int k = 1; k < pairs.size(); k++) {
            after = pairs.get(k);
            if (sample <= after[0]) {
                double share = after[0] == before[0] ? 0 : (double) (sample - before[0]) / (after[0] - before[0]);
                return before[1] + Math.round(share * (after[1] - before[1]));
            }
            before = after;
        }
        throw new IllegalStateException();
    }

    private Carried carry(Marks other, Marks found, Ear take) {
        List<Mark> all = new ArrayList<>(found.all());
        Faint weak = new Faint(take);
        int words = 0, kept = 0, faint = 0;
        for (Mark m : other.all()) {
            long frames = take.sound().frames(), from = Math.max(0, place(m.from())), to = Math.min(frames, place(m.to()));
            if (m.kind() == Mark.Kind.KEEP) {
                if (to <= from) continue;
                all.add(new Mark(m.kind(), from, to, 1, true, m.word()));
                kept++;
                continue;
            }
            int at = twin(m, from, all);
            if (at < 0 && weak.shows(m.kind(), from, to) && found.of(m.kind()).stream().noneMatch(f -> f.meets(from, to))) {
                all.add(new Mark(m.kind(), from, to, FAINT_SURE, false));
                at = all.size() - 1;
                faint++;
            }
            if (at < 0 || !m.kept() && m.word().isEmpty()) continue;
            Mark own = all.get(at);
            all.set(at, new Mark(own.kind(), own.from(), own.to(), own.confidence(), m.kept(), m.word()));
            if (m.kept()) kept++;
            if (!m.word().isEmpty()) words++;
        }
        return new Carried(new Marks(all), pairs.size(), words, kept, faint);
    }

    /** The place in the list of the mark that is the same; -1 if there is none. */
    private int twin(Mark m, long place, List<Mark> all) {
        int best = -1;
        for (int i = 0; i < all.size(); i++) {
            if (all.get(i).kind() != m.kind()) continue;
            double off = Math.abs(all.get(i).from() - place);
            if (off < NEAR_SECONDS * rate && (best < 0 || off < Math.abs(all.get(best).from() - place))) best = i;
        }
        return best;
    }

    /** What is too weak to be found without knowing of it. */
    private static final class Faint {
        private final Ear take;
        private final Strands strands;
        private final Strip hiss, mouth;
        private final double room;

        Faint(Ear take) {
            this.take = take;
            strands = take.passes().strands();
            hiss = strands.power(Strands.Band.HISS);
            mouth = strands.power(Strands.Band.MOUTH);
            Strip smooth = hiss.mean(10, 10);
            room = Quantiles.of(smooth::at, smooth.length(), NoiseFloor.QUIET, Levels.SILENCE);
        }

        /** Whether something of the kind is there. */
        boolean shows(Mark.Kind kind, long from, long to) {
            if (kind != Mark.Kind.BREATH && kind != Mark.Kind.SIBILANT || to <= from || !take.noise().known()) return false;
            double h = 0, o = 0;
            int first = strands.cell(from), last = Math.min(hiss.length(), strands.cell(to)), voiced = 0;
            for (int c = first; c < last; c++) {
                h += hiss.at(c);
                o += mouth.at(c);
                if (take.pitch().voiced(c / Hiss.CELLS)) voiced++;
            }
            int cells = last - first;
            return cells > 0 && 4 * voiced < cells && h > 2 * room * cells && (kind == Mark.Kind.BREATH || h > o);
        }
    }
}

package linnet.tidy;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.IntStream;
import linnet.dsp.Sound;

/**
 * Phrases of a part that are the lead's own recording, flown in for a double. Drawn onto the lead they would comb, and make no second voice: they are left
 * where they lie, and told.
 */
final class Copies {
    /** A copy is left off the lead by 20 to 30 ms; nearer it combs. Common practice. */
    private static final double COMBS_MS = 20, USUAL_MS = 25;
    private static final double AROUND_SECONDS = 0.05;

    private final List<Phrases.Phrase> phrases;
    private final double rate;
    /** Samples by which each lies later; not a number for one that is none. */
    private final double[] late;

    /** @param matches of the phrases; null for one that is not looked for */
    Copies(Sound part, List<Phrases.Phrase> phrases, Match[] matches, Lead lead) {
        this.phrases = phrases;
        rate = part.rate();
        late = new double[matches.length];
        Arrays.fill(late, Double.NaN);
        Recording own = new Recording(part);
        for (int p = 0; p < late.length; p++) {
            if (matches[p] == null || matches[p].refused().isPresent()) continue;
            late[p] = own.late(phrases.get(p).from(), phrases.get(p).to(), lead.recording(), matches[p].late(), AROUND_SECONDS * rate);
        }
    }

    /** Why a phrase is left where it lies; null for one that is no copy. */
    String held(int p) {
        return Double.isNaN(late[p]) ? null : "the lead's own recording, " + told(late[p]) + ", and not drawn onto it";
    }

    /** As they are told: by how much later they should lie. */
    Optional<Decision> decision() {
        int[] all = IntStream.range(0, late.length).filter(p -> !Double.isNaN(late[p])).toArray();
        if (all.length == 0) return Optional.empty();
        double[] lates = Arrays.stream(all).mapToDouble(p -> late[p]).sorted().toArray();
        double middle = lates[lates.length / 2], ms = 1000 * middle / rate;
        String why = all.length + " of " + late.length + (all.length == 1 ? " phrases is" : " phrases are") + " the lead's own recording, " + told(middle)
                + (Math.abs(ms) < COMBS_MS ? ": beside the lead it combs, and makes no second voice" : ": an echo of the lead, no second voice");
        return Optional.of(new Decision(Decision.What.COPY, phrases.get(all[0]).from(), phrases.get(all[all.length - 1]).to(),
                Math.abs(ms) < COMBS_MS ? USUAL_MS - ms : 0, false, why));
    }

    private String told(double late) {
        return String.format(Locale.ROOT, "%.0f ms %s", Math.abs(1000 * late / rate), late < 0 ? "early" : "late");
    }
}

package linnet.tidy;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalLong;
import linnet.dsp.align.Cepstra;
import linnet.dsp.align.Lags;
import linnet.hear.Ear;

/**
 * A part that lies earlier or later than its lead as a whole, by more than a phrase is moved: nobody moves it by himself, but it is told. It is looked
 * for only where several phrases were left alone. Both takes as a whole say where it may lie, clearly or not at all; that it does so is
 * told if its phrases are found there, as they will be once it is moved. A part with other words is found nowhere. What seems to be found of a part that lies
 * beyond reach is chance, and left alone. Within reach it is told too where most phrases that are found lie early or late alike and others are not found: those
 * are brought back, and the others would stay behind.
 *
 * @param late samples by which the part is later than the lead
 * @param now phrases that are found where it lies
 * @param then phrases that are found once it is moved; as many as now where they lie alike and no more are looked for
 * @param of so many that may be touched
 */
record Slip(long late, int now, int then, int of) {
    /**
     * So many times as alike as anywhere beyond the reach: doubles, slow ones too, were 1.6 times and more, strangers 1.25 at most, other words to the same
     * melody 1.6. Their lines decide.
     */
    private static final double CLEAR = 1.25;
    /** Phrases left alone for which it is worth a look, and found afterwards: so many, and this share of all. */
    private static final int LEAST = 2;
    private static final double SHARE = 1 / 3.0;
    /** A nudge is told in steps of this; a singer is no surer. */
    private static final double STEP_SECONDS = 0.01;
    /** Phrases that lie so near each other lie alike; what is no farther from the lead is the looseness of a singer. */
    private static final double ALIKE_SECONDS = 0.04, LOOSE_SECONDS = 0.1;

    /**
     * Looks for it.
     *
     * @param reach seconds by which a phrase is moved
     * @param matches of the phrases where the part lies; null for one that may not be touched. Those that can only be chance are refused
     */
    static Optional<Slip> find(Ear ear, List<Phrases.Phrase> phrases, Cepstra cepstra, Lead lead, double reach, Match[] matches) {
        int of = (int) Arrays.stream(matches).filter(Objects::nonNull).count();
        return elsewhere(ear, phrases, cepstra, lead, reach, matches, of).or(() -> alike(matches, of, ear.sound().rate()));
    }

    private static Optional<Slip> elsewhere(Ear ear, List<Phrases.Phrase> phrases, Cepstra cepstra, Lead lead, double reach, Match[] matches, int of) {
        int now = found(matches);
        if (of - now < LEAST) return Optional.empty();
        double rate = ear.sound().rate();
        Lags lags = new Lags(cepstra, lead.cepstra(), (long) (Aims.FARTHEST_NUDGE * rate));
        OptionalLong likeliest = lags.likeliest();
        if (likeliest.isEmpty() || lags.clearness((long) (reach * rate)) < CLEAR) return Optional.empty();
        boolean[] free = new boolean[matches.length];
        for (int p = 0; p < free.length; p++) free[p] = matches[p] != null;
        Match[] there = Places.of(phrases, free, ear, cepstra, likeliest.getAsLong(), lead, reach);
        double[] lates = Arrays.stream(there).filter(Objects::nonNull).flatMap(m -> m.anchors().stream()).filter(Match.Anchor::marked)
                .mapToDouble(Match.Anchor::late).sorted().toArray();
        if (lates.length == 0) return Optional.empty();
        long late = told(lates[lates.length / 2], rate);
        int then = found(Places.of(phrases, free, ear, cepstra, late, lead, reach));
        boolean beyond = Math.abs(late) > reach * rate;
        if (then < LEAST || then < SHARE * of || then < now + (beyond ? 1 : LEAST)) return Optional.empty();
        if (beyond) Arrays.stream(matches).filter(Objects::nonNull).forEach(m -> m.refuse("the take lies too far from the lead as a whole"));
        return Optional.of(new Slip(late, beyond ? 0 : now, then, of));
    }

    /** Where most of what is found lies early or late by the same, and something is not found. */
    private static Optional<Slip> alike(Match[] matches, int of, double rate) {
        double[] lates = Arrays.stream(matches).filter(m -> m != null && m.refused().isEmpty()).mapToDouble(Match::late).sorted().toArray();
        int from = 0, most = 0;
        for (int a = 0; a < lates.length; a++) {
            int b = a;
            while (b < lates.length && lates[b] - lates[a] <= ALIKE_SECONDS * rate) b++;
            if (b - a > most) {
                most = b - a;
                from = a;
            }
        }
        if (lates.length == of || most < LEAST || 2 * most <= lates.length) return Optional.empty();
        double late = lates[from + most / 2];
        return Math.abs(late) <= LOOSE_SECONDS * rate ? Optional.empty() : Optional.of(new Slip(told(late, rate), most, most, of));
    }

    private static long told(double late, double rate) {
        double step = STEP_SECONDS * rate;
        return Math.round(Math.round(late / step) * step);
    }

    private static int found(Match[] matches) {
        return (int) Arrays.stream(matches).filter(m -> m != null && m.refused().isEmpty()).count();
    }

    /** As it is told: by how much later the part should lie. */
    Decision decision(List<Phrases.Phrase> phrases, double rate) {
        String lies = String.format(Locale.ROOT, "the take lies %.2f s %s", Math.abs(late) / rate, late > 0 ? "late" : "early");
        String why = then == now ? String.format(Locale.ROOT, "%s, as %d of %d phrases do alike; what is left alone stays so unless it is moved as a whole",
                lies, then, of)
                : String.format(Locale.ROOT, "%s; moved as a whole, %d of %d phrases come within reach%s", lies, then, of, now > 0 ? " instead of " + now : "");
        return new Decision(Decision.What.TAKE, phrases.get(0).from(), phrases.get(phrases.size() - 1).to(), -1000 * late / rate, false, why);
    }
}

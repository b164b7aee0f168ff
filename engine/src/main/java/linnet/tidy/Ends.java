package linnet.tidy;

import java.util.List;
import java.util.Locale;
import linnet.dsp.repair.Removal;
import linnet.dsp.repair.Span;
import linnet.hear.Ear;
import linnet.tidy.Decision.What;

/** Fades what outlasts the lead. A fade is over where the lead is: it has fallen by 20 dB where the lead has; the room is heard after it. */
final class Ends {
    private static final double LATE_SECONDS = 0.01, FADE_SECONDS = 0.12, SHORTEST_SECONDS = 0.02, AFTER_SECONDS = 0.1, BESIDE_SECONDS = 0.03,
            WORD_SECONDS = 0.05;
    /** The share of a fade at equal power after which 20 dB are gone. */
    private static final double GONE = 0.936;

    private final Ear ear;
    private final List<Phrases.Phrase> phrases;
    private final Timing timing;
    private final Removal removal;
    private final List<Span> breathless;
    private final List<Decision> decisions;

    Ends(Ear ear, List<Phrases.Phrase> phrases, Timing timing, Removal removal, List<Span> breathless, List<Decision> decisions) {
        this.ear = ear;
        this.phrases = phrases;
        this.timing = timing;
        this.removal = removal;
        this.breathless = breathless;
        this.decisions = decisions;
    }

    /** @param overs gets where each phrase that is faded is lost in the room */
    void fade(List<Span> faded, long[] overs) {
        for (int p = 0; p < phrases.size(); p++) {
            if (timing.match(p) == null || timing.match(p).refused().isPresent()) continue;
            double lead = timing.leadEnd(p);
            long end = timing.end(p);
            if (lead < 0) {
                decisions.add(new Decision(What.END, end, end, 0, false, "the lead sings on"));
                continue;
            }
            double late = end + timing.shiftAtEnd(p) - lead, rate = ear.sound().rate(), ms = late / rate * 1000;
            if (late <= LATE_SECONDS * rate) {
                decisions.add(new Decision(What.END, end, end, ms, false,
                        late < -2 * LATE_SECONDS * rate ? String.format(Locale.ROOT, "it ends %.0f ms before the lead", -ms) : "it ends with the lead"));
                continue;
            }
            Span span = span(p, (long) lead - timing.shiftAtEnd(p));
            if (span == null || !removal.has(span)) {
                decisions.add(new Decision(What.END, end, end, ms, false, span == null ? "too little is left of its last word"
                        : "no room is heard that could be in its place"));
                continue;
            }
            faded.add(span);
            overs[p] = span.from() + span.fade();
            decisions.add(new Decision(What.END, span.from(), end, -ms, true, String.format(Locale.ROOT, "faded, %.0f ms before it was over", ms)));
        }
    }

    /** What is faded, if it is to be over at a sample; null where that is too little. */
    private Span span(int p, long over) {
        double rate = ear.sound().rate();
        long last = timing.lastWord(p) + (long) (WORD_SECONDS * rate), next = p + 1 < phrases.size() ? phrases.get(p + 1).from() : ear.sound().frames();
        long to = Math.min(next, Math.max(timing.end(p), phrases.get(p).to()) + (long) (AFTER_SECONDS * rate));
        for (Span b : breathless) if (b.from() < to + BESIDE_SECONDS * rate && b.to() > to && b.to() > over) to = b.to();
        for (var b : timing.keptBreaths()) if (b[0] > over && b[0] < to) to = b[0];
        to = Math.min(to, ear.sound().frames());
        long from = Math.max(last, over - (long) (GONE * FADE_SECONDS * rate));
        int fade = (int) Math.min(FADE_SECONDS * rate, Math.min((over - from) / GONE, (to - from) / 2.0));
        return fade < SHORTEST_SECONDS * rate ? null : new Span(from, to, fade);
    }
}

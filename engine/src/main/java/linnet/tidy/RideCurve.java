package linnet.tidy;

import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import linnet.dsp.GainCurve;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;

/**
 * The gain of a ride over time. A pause has the lower of 0 dB and the moves beside it, so that breaths and room never rise; one too short to be heard as
 * one, in which nobody breathes, has the lower of the moves. A ramp lies in
 * the pause, clear of the breath and, where there is room, clear of a consonant that the marks left out of its phrase; where there is none it is as
 * steep as it may be and takes the rest from the phrase.
 */
public final class RideCurve {
    /** 6 dB in 20 ms: a steeper ramp is heard as an edge. */
    private static final double STEEPEST_DB_PER_SECOND = 300;
    /** An unvoiced stop has about 60 ms of noise before the vowel (consonants in American English; from memory). */
    private static final double CONSONANT_SECONDS = 0.06;
    private static final Set<Mark.Kind> CONSONANTS = EnumSet.of(Mark.Kind.SIBILANT, Mark.Kind.PLOSIVE, Mark.Kind.STOP);

    private final Marks marks;
    private final List<long[]> breaths;
    private final double rate;
    private final long ramp, consonant;
    private final GainCurve.Builder curve = new GainCurve.Builder();
    private long last;

    /** @param ramp samples of a ramp where there is room for it */
    public RideCurve(Ear ear, List<Phrases.Phrase> phrases, double[] moves, int ramp) {
        this(ear, phrases, moves, ramp, new long[0], new boolean[phrases.size()]);
    }

    /**
     * @param overs where phrases give way to the room before they are over, so that nothing of them is left to be clear of; -1 where one does not
     * @param alone phrases that are left alone with the breath before them
     */
    RideCurve(Ear ear, List<Phrases.Phrase> phrases, double[] moves, int ramp, long[] overs, boolean[] alone) {
        marks = ear.speech();
        breaths = BreathSpans.heard(ear);
        rate = ear.sound().rate();
        this.ramp = ramp;
        consonant = (long) (CONSONANT_SECONDS * rate);
        for (int i = 0; i <= phrases.size(); i++) {
            boolean begins = i == 0, ends = i == phrases.size();
            long over = begins || overs.length == 0 ? -1 : overs[i - 1], from = begins ? 0 : over >= 0 ? over : phrases.get(i - 1).to(),
                    to = ends ? Long.MAX_VALUE : phrases.get(i).from();
            pause(from, to, over >= 0, begins ? Double.NaN : moves[i - 1], ends ? Double.NaN : moves[i], !ends && alone[i]);
        }
    }

    public GainCurve curve() {
        return curve.build();
    }

    /** A pause, from the end of a phrase with one move to the beginning of one with another; NaN where there is none. */
    private void pause(long from, long to, boolean faded, double before, double after, boolean alone) {
        long begin = Double.isNaN(before) || faded ? from : lastConsonant(from, to), end = firstConsonant(begin, to);
        long[] still = still(begin, end);
        double level = Math.min(0, Math.min(Double.isNaN(before) ? 0 : before, Double.isNaN(after) ? 0 : after));
        boolean breathless = still[0] > still[1];
        if (breathless && !Double.isNaN(before + after) && to - from < Phrases.PAUSE_SECONDS * rate) level = Math.min(before, after);
        if (marks.isKept(begin, end) || alone && !breathless) level = 0;
        if (!Double.isNaN(before)) {
            long edge = breathless ? end == Long.MAX_VALUE ? end : (begin + end) / 2 : still[0];
            long length = length(before - level, edge - begin);
            long at = begin + length > edge ? edge - length : Math.min(faded ? begin : begin + consonant, edge - length);
            point(at, before);
            point(at + length, level);
        }
        if (!Double.isNaN(after)) {
            long edge = breathless ? (begin + end) / 2 : still[1];
            long length = length(after - level, end - edge);
            long at = edge + length > end ? edge : Math.max(edge, end - consonant - length);
            point(at, level);
            point(at + length, after);
        }
    }

    /** As asked, or what there is, but no steeper than may be. */
    private long length(double db, long there) {
        long least = (long) Math.ceil(Math.abs(db) / STEEPEST_DB_PER_SECOND * rate);
        return Math.max(least, Math.min(ramp, Math.max(1, there)));
    }

    private void point(long at, double db) {
        last = Math.max(last, at);
        curve.point(last, db);
    }

    /** The stretch of the pause that holds its breaths and what is kept; reversed where there is nothing. */
    private long[] still(long from, long to) {
        long[] still = {Long.MAX_VALUE, Long.MIN_VALUE};
        for (long[] b : breaths) widen(still, b[0], b[1], from, to);
        for (Mark m : marks.all()) if (m.kind() == Mark.Kind.KEEP || m.kept()) widen(still, m.from(), m.to(), from, to);
        return still;
    }

    private static void widen(long[] still, long begin, long end, long from, long to) {
        if (begin >= to || end <= from) return;
        still[0] = Math.min(still[0], Math.max(from, begin));
        still[1] = Math.max(still[1], Math.min(to, end));
    }

    /** The end of the last consonant that hangs on the phrase before. */
    private long lastConsonant(long from, long to) {
        long end = from;
        for (Mark m : marks.all()) if (CONSONANTS.contains(m.kind()) && m.from() <= end + consonant && m.to() > end && m.to() < to) end = m.to();
        return end;
    }

    /** The beginning of the first consonant that belongs to the phrase after. */
    private long firstConsonant(long from, long to) {
        long begin = to;
        List<Mark> all = marks.all();
        for (int i = all.size() - 1; i >= 0 && to != Long.MAX_VALUE; i--) {
            Mark m = all.get(i);
            if (CONSONANTS.contains(m.kind()) && m.to() >= begin - consonant && m.from() < begin && m.from() >= from) begin = m.from();
        }
        return begin;
    }
}

package linnet.weigh;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Decibels;
import linnet.song.Shift;

/**
 * Where a voice is there, and what gives way to it. It is there from where it rises to 24 dB under its own level until it has been 32 dB under that for
 * a while; its level is the mean of its frames, those left out that are more than 10 dB under the mean. As all is known beforehand, gaps too short to come back
 * in are bridged, so that nothing rises between two syllables. The gain goes down and comes back exponentially in dB. Figures of common practice.
 */
final class Presence {
    private static final double OPEN_DB = -24, CLOSE_DB = -32, GATE_DB = -10;
    /** Shorter gaps are between words. */
    private static final double BRIDGE_SECONDS = 0.3;
    /** Sounds this short are clicks and thumps. */
    private static final double SHORTEST_SECONDS = 0.04;
    /** Points of a curve, each so many time constants after the last; after the last of them it has arrived. */
    private static final double[] STEPS = {0, 0.1, 0.2, 0.35, 0.5, 0.7, 0.9, 1.2, 1.5, 1.9, 2.4, 3, 4, 5.5};

    private record Span(double from, double to) {}

    private final List<Span> there;

    /** @param power of frames of 10 ms */
    Presence(double[] power) {
        double mean = mean(power, 0), level = mean(power, mean * Decibels.power(GATE_DB));
        double open = level * Decibels.power(OPEN_DB), close = level * Decibels.power(CLOSE_DB);
        List<Span> found = new ArrayList<>();
        int from = -1;
        for (int f = 0; f <= power.length; f++) {
            double p = f < power.length ? power[f] : 0;
            if (from < 0 && p > open && level > 0) from = f;
            if (from < 0 || p >= close && p > 0) continue;
            Span span = new Span(from * Scale.FRAME_SECONDS, f * Scale.FRAME_SECONDS);
            Span last = found.isEmpty() ? null : found.get(found.size() - 1);
            if (last != null && span.from - last.to < BRIDGE_SECONDS) found.set(found.size() - 1, new Span(last.from, span.to));
            else if (span.to - span.from >= SHORTEST_SECONDS) found.add(span);
            from = -1;
        }
        there = List.copyOf(found);
    }

    private static double mean(double[] power, double least) {
        double sum = 0;
        int count = 0;
        for (double p : power) {
            if (!(p > 0 && p >= least)) continue;
            sum += p;
            count++;
        }
        return count == 0 ? 0 : sum / count;
    }

    /** In seconds. */
    double seconds() {
        return there.stream().mapToDouble(s -> s.to - s.from).sum();
    }

    /** Level in dB over time of what gives way. */
    List<Shift.Corner> ducked(double by, double attack, double release) {
        List<Shift.Corner> curve = new ArrayList<>(List.of(new Shift.Corner(0, 0)));
        double now = 0;
        for (int k = 0; k < there.size(); k++) {
            Span s = there.get(k);
            double next = k + 1 < there.size() ? there.get(k + 1).from : Double.POSITIVE_INFINITY;
            now = towards(-by, now, s.from, attack, s.to, curve);
            now = towards(0, now, s.to, release, next, curve);
        }
        return curve;
    }

    private static double towards(double goal, double now, double from, double constant, double until, List<Shift.Corner> curve) {
        double at = now;
        for (int k = 0; k < STEPS.length; k++) {
            double t = from + STEPS[k] * constant;
            at = goal + (now - goal) * StrictMath.exp(-STEPS[k]);
            if (k == STEPS.length - 1) at = goal;
            if (t >= until) return goal + (now - goal) * StrictMath.exp(-(until - from) / constant);
            curve.add(new Shift.Corner(t, at));
        }
        return at;
    }
}

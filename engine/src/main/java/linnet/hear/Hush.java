package linnet.hear;

import linnet.dsp.Decibels;

/**
 * Where a take is silent in the middle of what is sung, as behind the closed lips of a p: for a moment the voice around it covers the room and its
 * rumble, so that neither is heard.
 */
final class Hush {
    /** Power beside the loudest 50 ms: less than the weakest f of a singer, more than the rumble of a booth (read from closures in two takes with labels). */
    private static final double UNDER_VOICE = Decibels.power(-40);
    private static final double FRAME_SECONDS = 0.005;
    private static final int LOUDEST_FRAMES = 10;

    private final long from;
    private final int frame;
    private final double[] power;
    private final double most;

    /** @param x a stretch of the take from sample {@code from} on, with what is sung around the places that are asked for */
    Hush(double[][] x, long from, double rate) {
        this.from = from;
        frame = (int) Math.round(FRAME_SECONDS * rate);
        power = new double[x[0].length / frame];
        double loudest = 0, sum = 0;
        for (int f = 0; f < power.length; f++) {
            for (double[] c : x) for (int i = f * frame; i < (f + 1) * frame; i++) power[f] += c[i] * c[i] / (frame * x.length);
            sum += power[f] - (f < LOUDEST_FRAMES ? 0 : power[f - LOUDEST_FRAMES]);
            loudest = Math.max(loudest, sum / LOUDEST_FRAMES);
        }
        most = UNDER_VOICE * loudest;
    }

    /** Whether it is silent in all of these samples. */
    boolean holds(long from, long to) {
        if (from < this.from || to > this.from + (long) power.length * frame) return false;
        for (int f = (int) ((from - this.from) / frame); f <= (int) ((to - 1 - this.from) / frame); f++) if (power[f] >= most) return false;
        return true;
    }
}

package linnet.dsp.reverb;

import linnet.dsp.Cell;
import linnet.dsp.Lag;
import linnet.dsp.dynamics.Duck;

/**
 * A room for a voice, fully wet: pre-delay, the band that feeds the room, the room, and a duck that lowers it while the dry
 * voice sings. Mono or stereo in, stereo out.
 *
 * <p>The pre-delay is the time from the sound to its first reflection. A room's own first reflection takes as long as its
 * shortest line, so the lag before it is the rest; where the wanted time is even shorter, the difference is {@link #latency()}.
 *
 * <p>Level: noise in the octaves about 500, 1000 and 2000 Hz comes out with the power it went in with, each side against
 * the mean of the sides of the input, at any build, decay and size. What the band takes away is not made up.
 */
public final class Reverb {
    private final int channels, latency, memory;
    private final Lag lagLeft, lagRight;
    private final Band band;
    private final Room room;
    private final double rate;
    /** Null where nothing is ducked. */
    private Duck duck;

    /**
     * @param channels of the input: 1 or 2
     * @param preDelay samples, 0 or more
     * @param size against the usual size: 0.25 to 2
     * @param decay seconds to fall by 60 dB in the octaves about 500, 1000 and 2000 Hz (within 5 % at a damping up to 0.35)
     * @param damping how much shorter the decay is at 8 kHz: 0 to 0.8; what is over 0.5 is not reached in a short room, as {@link Absorption} tells
     * @param band what feeds the room; the caller may move it
     */
    public Reverb(double rate, int channels, Build build, int preDelay, double size, double decay, double damping, Band band) {
        this.rate = rate;
        this.channels = channels;
        this.band = band;
        room = build.room(rate, size, decay, damping);
        int lag = Math.max(0, preDelay - room.firstArrival());
        latency = latency(rate, build, preDelay, size, decay);
        memory = preDelay + room.longestLine();
        lagLeft = new Lag(lag);
        lagRight = new Lag(lag);
    }

    /** As {@link #latency()} of one that is made so. */
    public static int latency(double rate, Build build, int preDelay, double size, double decay) {
        return Math.max(0, build.firstArrival(rate, size, decay) - preDelay);
    }

    /** Samples by which the wet signal is late for the wanted pre-delay, before it is {@link #lower lowered}. */
    public int latency() {
        return latency;
    }

    /** The longest silence, in samples, between a sound and what is first heard of it. */
    public int memory() {
        return memory;
    }

    /** From the next cell on; see {@link Duck#set}. The key is the dry input. First called before the first block, where there is to be a duck. */
    public void duck(double depthDb, double thresholdDb) {
        if (duck == null) duck = new Duck(rate, latency);
        duck.set(depthDb, thresholdDb);
    }

    /** By how many dB the room was ducked at the last sample. */
    public double reductionDb() {
        return duck == null ? 0 : duck.reductionDb();
    }

    /** In place. Mono comes in on the left; the right is written all the same. */
    public void process(double[] l, double[] r, int n) {
        if (duck != null) duck.hear(l, channels == 1 ? l : r, n);
        lagLeft.process(l, n);
        if (channels == 1) {
            band.process(l, n);
            room.processMono(l, r, n);
        } else {
            lagRight.process(r, n);
            band.process(l, r, n);
            room.process(l, r, n);
        }
    }

    /** In place: lowers what came out, and what was made of it since. Where there is a duck it comes out {@link Duck#latency} later still. */
    public void lower(double[] l, double[] r, int n) {
        if (duck != null) duck.lower(l, r, n);
    }

    public void settle() {
        band.settle();
        room.settle();
        if (duck != null) duck.settle();
    }

    /** Whether nothing sounds in it any more and silence leaves it as silence, wherever its settings move; at the border of a cell. */
    public boolean rests() {
        return room.rests() && band.rests() && lagLeft.isSilent() && lagRight.isSilent() && (duck == null || duck.rests());
    }

    /**
     * As {@link #process}, {@link #lower} and {@link #settle} of a cell of silence.
     *
     * @param silence a cell of it
     */
    public void rest(double[] silence) {
        if (duck != null) duck.rest(silence);
        settle();
    }
}

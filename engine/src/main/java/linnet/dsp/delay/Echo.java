package linnet.dsp.delay;

import linnet.dsp.Approximation;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.dynamics.Duck;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;

/**
 * An echo. What is sung comes back after the delay time, passed through soft saturation, high-pass and low-pass, and goes
 * round again, lowered by the feedback; so each repeat is a little darker and softer than the one before. Only the repeats come
 * out, nothing of the dry voice.
 *
 * <p>Single: each channel has a line of its own. Ping-pong: the sum of both channels, halved, goes into the left line; each
 * line feeds the other, so repeats alternate left, right, left.
 *
 * <p>With the filters open a repeat is lower than the one before by the feedback exactly, and repeats stand exactly the delay
 * time, rounded to a sample, apart. The filters cost 0.1 dB or less a repeat between 2.6 times the high-pass and 0.38 times
 * the low-pass. They also hold the sound back; the line is shortened by their group delay at 1 kHz, so that even the tenth
 * repeat of a dark echo is in time.
 *
 * <p>Every factor in the loop is at most one (feedback below 1, Butterworth sections, saturation, interpolation inside its
 * passive range), so every setting dies away.
 *
 * <p>Setters are called at the border of a cell and hold from there on: time glides, feedback ramps over the cell, the rest is
 * taken as it is and should move in small steps. Before the first block all of them hold at once.
 */
public final class Echo {
    /** How the repeats are placed. */
    public enum Pattern { SINGLE, PING_PONG }

    /** The filters' group delay is made up for at this frequency. */
    static final double IN_TIME_HZ = 1000;

    /** In this time even a high-pass at 20 Hz has faded by 120 dB: ln(10^6) / (2 pi 20 sqrt(1/2)). */
    private static final double RINGING_SECONDS = 0.16;

    private final double rate;
    private final Pattern pattern;
    private final Line left, right;
    private final Course course;
    private final Cascade band;
    private final double[] pieceL = new double[Cell.LENGTH], pieceR = new double[Cell.LENGTH];
    private final double[] feedL = new double[Cell.LENGTH], feedR = new double[Cell.LENGTH];
    private final double longest, held;
    private double seconds, cents;
    private double feedback, nextFeedback;
    private double drive, nextDrive;
    private boolean started;
    private int at;
    /** Null where nothing is ducked. */
    private Duck duck;

    /**
     * @param rate           samples per second
     * @param longestSeconds the greatest delay time that will be asked for
     * @param highPassHz     corner in the loop, 12 dB/oct and -3 dB; 0 is open
     * @param lowPassHz      likewise; 0.49 of the rate or more is open
     */
    public Echo(double rate, Pattern pattern, double longestSeconds, double highPassHz, double lowPassHz) {
        this.rate = rate;
        this.pattern = pattern;
        longest = Math.max(Course.SHORTEST, Math.ceil(longestSeconds * rate));
        int room = (int) Math.ceil(1.25 * longest); // the wobble takes at most a quarter
        left = new Line(room);
        right = new Line(room);
        course = new Course(rate);
        band = new Cascade(Butterworth.band(rate, highPassHz, lowPassHz));
        held = groupDelay(Math.min(IN_TIME_HZ, rate / 8));
        time(longestSeconds);
    }

    /** Delay time; not below 6 samples, not above the longest. */
    public void time(double seconds) {
        this.seconds = seconds;
        aim();
    }

    /** Level of a repeat against the one before, 0 or more and below 1. */
    public void feedback(double feedback) {
        if (!(feedback >= 0 && feedback < 1)) throw new IllegalArgumentException("feedback must be 0 or more and below 1: " + feedback);
        nextFeedback = feedback;
        if (!started) this.feedback = feedback;
    }

    /**
     * Soft saturation in the loop: {@code tanh(d x) / d} with {@code d = 10^(driveDb/20) - 1}. Small sounds keep their level;
     * nothing is louder than 1/d, which is full scale at 6 dB and -16.8 dBFS at 18 dB. At 0 dB the loop is exactly linear.
     */
    public void drive(double driveDb) {
        nextDrive = Decibels.gain(driveDb) - 1;
        if (!started) drive = nextDrive;
    }

    /**
     * Slow drift of the repeats' pitch, at most so many cents to each side; each time round it drifts anew. The delay time
     * swings by about a millisecond for 5 cents, but never by more than a quarter.
     */
    public void wobble(double cents) {
        this.cents = cents;
        aim();
    }

    /**
     * See {@link Duck#set}. The key is the dry voice that comes in; the loop itself is not ducked. First called before the first block, it makes all that
     * comes out {@link Duck#latency} later.
     */
    public void duck(double depthDb, double thresholdDb) {
        if (duck == null) duck = new Duck(rate, 0);
        duck.set(depthDb, thresholdDb);
    }

    /** By how many dB the repeats were ducked at the last sample. */
    public double reductionDb() {
        return duck == null ? 0 : duck.reductionDb();
    }

    /** The longest silence, in samples, after which a repeat may still come. */
    public long memory() {
        return (long) Math.ceil(1.25 * longest + RINGING_SECONDS * rate);
    }

    /** Replaces n samples of one channel by its repeats. */
    public void process(double[] x, int n) {
        if (pattern != Pattern.SINGLE) throw new IllegalStateException("ping-pong needs two channels");
        if (duck != null) duck.hear(x, x, n);
        course.advance(n);
        if (course.span(0) >= n) turn(x, 0, n);
        else for (int from = 0, m; from < n; from += m) {
            m = Math.min(n - from, course.span(from));
            System.arraycopy(x, from, pieceL, 0, m);
            turn(pieceL, from, m);
            System.arraycopy(pieceL, 0, x, from, m);
        }
        if (duck != null) duck.lower(x, n);
        moveOn(n);
    }

    /** Replaces n samples of both channels by their repeats. */
    public void process(double[] l, double[] r, int n) {
        if (duck != null) duck.hear(l, r, n);
        course.advance(n);
        if (course.span(0) >= n) turn(l, r, 0, n);
        else for (int from = 0, m; from < n; from += m) {
            m = Math.min(n - from, course.span(from));
            System.arraycopy(l, from, pieceL, 0, m);
            System.arraycopy(r, from, pieceR, 0, m);
            turn(pieceL, pieceR, from, m);
            System.arraycopy(pieceL, 0, l, from, m);
            System.arraycopy(pieceR, 0, r, from, m);
        }
        if (duck != null) duck.lower(l, r, n);
        moveOn(n);
    }

    /** Zeroes what has died away, at the end of a cell. */
    public void settle() {
        left.settle(at);
        right.settle(at);
        band.settle();
        if (duck != null) duck.settle();
        course.settle();
        feedback = nextFeedback;
        drive = nextDrive;
        at = 0;
    }

    /** Whether nothing is going round and silence leaves it as silence, wherever its settings move; at the border of a cell. */
    public boolean rests() {
        return band.rests() && left.isSilent() && right.isSilent() && (duck == null || duck.rests());
    }

    /**
     * As {@link #process} and {@link #settle} of a cell of silence.
     *
     * @param silence a cell of it
     */
    public void rest(double[] silence) {
        if (duck != null) duck.rest(silence);
        course.advance(Cell.LENGTH);
        moveOn(Cell.LENGTH);
        settle();
    }

    /** Once round the loop, for no more samples than are already in the line: n of them, {@code from} that one of the block. */
    private void turn(double[] x, int from, int n) {
        System.arraycopy(x, 0, feedL, 0, n);
        course.read(left, from, x, n);
        saturate(x, from, n);
        band.process(x, n);
        feed(x, feedL, from, n);
        left.write(feedL, n);
    }

    private void turn(double[] l, double[] r, int from, int n) {
        boolean crossed = pattern == Pattern.PING_PONG;
        if (crossed) {
            gather(l, r, feedL, feedR, n);
        } else {
            System.arraycopy(l, 0, feedL, 0, n);
            System.arraycopy(r, 0, feedR, 0, n);
        }
        course.read(left, from, l, n);
        course.read(right, from, r, n);
        saturate(l, from, n);
        saturate(r, from, n);
        band.process(l, r, n);
        feed(crossed ? r : l, feedL, from, n);
        feed(crossed ? l : r, feedR, from, n);
        left.write(feedL, n);
        right.write(feedR, n);
    }

    private void aim() {
        double samples = Math.min(longest, seconds * rate);
        course.aim(samples - held, cents);
    }

    /** Of the filters, in samples: how fast their phase turns around that frequency. */
    private double groupDelay(double hz) {
        double step = hz / 1000; // small enough that the phase is straight across it
        double turn = band.response(hz - step).phase() - band.response(hz + step).phase();
        return StrictMath.IEEEremainder(turn, 2 * Math.PI) * rate / (4 * Math.PI * step);
    }

    private void moveOn(int n) {
        started = true;
        at += n;
    }

    private void saturate(double[] x, int from, int n) {
        double step = (nextDrive - drive) / Cell.LENGTH;
        if (drive > 0 || nextDrive > 0) saturate(x, drive, step, at + from, n);
    }

    private void feed(double[] wet, double[] feed, int from, int n) {
        double step = (nextFeedback - feedback) / Cell.LENGTH;
        if (step == 0) add(wet, feedback, feed, n);
        else add(wet, feedback, step, at + from, feed, n);
    }

    /** Below a drive of 1e-6 the bend is under -240 dB. */
    private static void saturate(double[] x, double drive, double step, int base, int n) {
        for (int i = 0; i < n; i++) {
            double d = drive + step * (base + i);
            if (d > 1e-6) x[i] = Approximation.tanh(d * x[i]) / d;
        }
    }

    private static void add(double[] wet, double factor, double[] feed, int n) {
        for (int i = 0; i < n; i++) feed[i] += factor * wet[i];
    }

    /** Counted from the border of the cell and not summed up, so that the cut into blocks leaves no trace. */
    private static void add(double[] wet, double factor, double step, int base, double[] feed, int n) {
        for (int i = 0; i < n; i++) feed[i] += (factor + step * (base + i)) * wet[i];
    }

    private static void gather(double[] l, double[] r, double[] sum, double[] nothing, int n) {
        for (int i = 0; i < n; i++) {
            sum[i] = 0.5 * (l[i] + r[i]);
            nothing[i] = 0;
        }
    }
}

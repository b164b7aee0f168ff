package linnet.report;

import java.util.Arrays;
import linnet.dsp.Cell;

/**
 * Watches one step while it works: what arrives, what goes on from it, and how far it turns down. All in the take's time, so that
 * every step tells of the same span.
 */
public final class StepMeter {
    private final int hop;
    private final long from, to;
    private final Gauge before, made, after;
    private final double[][] span = new double[2][Cell.LENGTH];
    /** What goes on is what was made, where nothing is mixed. */
    private final boolean mixed;
    private final float[] reduction;
    /** The last reduction seen, and when; straight lines between two. */
    private double lastDb;
    private long lastAt = -1;

    /** Channels of what arrives, of what the step makes of it, and of what goes on: the same as the latter, unless mixed. */
    public record Shape(int arriving, int made, int going, boolean mixed) {}

    /**
     * @param hop samples of a cell, in which the reduction is told
     * @param from first sample of the take that counts
     * @param to end of the samples that count
     */
    public StepMeter(double rate, Shape shape, int hop, long from, long to) {
        this.hop = hop;
        this.from = from;
        this.to = to;
        before = new Gauge(rate, shape.arriving, hop);
        made = new Gauge(rate, shape.made, hop);
        mixed = shape.mixed;
        after = mixed ? new Gauge(rate, shape.going, hop) : made;
        reduction = new float[(int) Math.max(0, (to - from) / hop)];
    }

    /** What arrives; {@code at} is the time in the take, below 0 before it begins. */
    public void arrives(double[][] x, int n, long at) {
        add(before, x, n, at);
    }

    /** What the step made of it, and how far it turned down at the last sample. */
    public void makes(double[][] x, int n, long at, double reductionDb) {
        add(made, x, n, at);
        long now = at + n - 1;
        for (long c = Math.max(0, cell(lastAt) + 1); c <= Math.min(reduction.length - 1, cell(now)); c++) {
            double share = lastAt < 0 || now == lastAt ? 1 : (double) (end(c) - lastAt) / (now - lastAt);
            reduction[(int) c] = (float) (lastDb + (reductionDb - lastDb) * Math.max(0, Math.min(1, share)));
        }
        lastAt = now;
        lastDb = reductionDb;
    }

    /** The last cell that has ended by then. */
    private long cell(long at) {
        return Math.floorDiv(at + 1 - from, hop) - 1;
    }

    private long end(long cell) {
        return from + (cell + 1) * hop - 1;
    }

    /** What goes on, where the step is mixed with what arrived. */
    public void goesOn(double[][] x, int n, long at) {
        add(after, x, n, at);
    }

    private void add(Gauge gauge, double[][] x, int n, long at) {
        int first = (int) Math.max(0, Math.min(n, from - at)), end = (int) Math.max(0, Math.min(n, to - at));
        if (first >= end) return;
        if (first == 0) {
            gauge.add(x, end);
            return;
        }
        for (int c = 0; c < gauge.channels(); c++) System.arraycopy(x[c], first, span[c], 0, end - first);
        gauge.add(span, end - first);
    }

    /** What was seen; call once, after the render. */
    public Seen seen() {
        Gauge.Reading arrived = before.read(), wet = made.read();
        return new Seen(arrived, wet, mixed ? after.read() : wet, Arrays.copyOf(reduction, reduction.length), before.channels(), made.channels());
    }

    /** What a meter saw: of its own room only. */
    public record Seen(Gauge.Reading before, Gauge.Reading made, Gauge.Reading after, float[] reductionDb, int channelsBefore, int channelsMade) {}
}

package linnet.dsp.dynamics;

import java.util.Arrays;
import linnet.dsp.Cell;

/**
 * From a key to the reduction in dB, sample by sample: level, static curve, ballistics, look-ahead. Feed-forward and in the log domain,
 * as Giannoulis, Massberg and Reiss (JAES 60(6), 2012) recommend.
 */
public final class Detector {
    private final Key key;
    private final GainComputer computer;
    private final Ballistics ballistics;
    private final int latency;
    /** Or null. */
    private final Lookahead lookahead;
    private final double[] reduction = new double[Cell.LENGTH];
    private double thresholdDb, ratio, kneeDb, attackMs, releaseMs;
    /** Of the threshold, in dB per sample, and how far into the cell it is. */
    private double slope;
    private int into;

    public Detector(double rate, Compression law) {
        key = new Key(rate, law);
        computer = law.computer();
        ballistics = law.ballistics(rate, Cell.LENGTH);
        latency = Compression.latency(rate, law.lookaheadMs());
        lookahead = law.lookahead(rate);
        thresholdDb = law.thresholdDb();
        ratio = law.ratio();
        kneeDb = law.kneeDb();
        attackMs = law.attackMs();
        releaseMs = law.releaseMs();
    }

    /** By how many samples the signal must come later, to meet the reduction that is meant for it. */
    public int latency() {
        return latency;
    }

    /** At the border of a cell: during it the threshold moves in a straight line between these. */
    public void threshold(double fromDb, double toDb) {
        slope = (toDb - fromDb) / Cell.LENGTH;
        if (fromDb == thresholdDb) return;
        thresholdDb = fromDb;
        computer.set(thresholdDb, ratio, kneeDb);
    }

    /** At the border of a cell. */
    public void curve(double ratio, double kneeDb) {
        if (ratio == this.ratio && kneeDb == this.kneeDb) return;
        this.ratio = ratio;
        this.kneeDb = kneeDb;
        computer.set(thresholdDb, ratio, kneeDb);
    }

    /** At the border of a cell. */
    public void times(double attackMs, double releaseMs) {
        if (attackMs == this.attackMs && releaseMs == this.releaseMs) return;
        this.attackMs = attackMs;
        this.releaseMs = releaseMs;
        ballistics.times(attackMs, releaseMs);
    }

    /** Hears a mono key. */
    public void process(double[] x, int n) {
        key.process(x, reduction, n);
        reduce(n);
    }

    /** Hears a stereo key: the louder channel counts. */
    public void process(double[] l, double[] r, int n) {
        key.process(l, r, reduction, n);
        reduce(n);
    }

    /** The reduction of the last block, in dB, 0 or more, from index 0. */
    public double[] reduction() {
        return reduction;
    }

    /** What is taken off a signal that stays at that level; both in dB. */
    public double steadyReduction(double levelDb) {
        return computer.reduction(levelDb);
    }

    /** To be called at the end of each cell. */
    public void settle() {
        key.settle();
        ballistics.settle();
        into = 0;
    }

    /** Whether its key is at rest; what was reduced may still come back. At the border of a cell. */
    boolean rests() {
        return key.rests();
    }

    /** As {@link #process} and {@link #settle} of a cell of silence. */
    void rest() {
        Arrays.fill(reduction, 0);
        if (!ballistics.rests()) ballistics.process(reduction, Cell.LENGTH);
        if (lookahead != null) lookahead.process(reduction, Cell.LENGTH);
        settle();
    }

    private void reduce(int n) {
        if (slope != 0) for (int i = 0; i < n; i++) reduction[i] -= slope * (into + i);
        computer.process(reduction, n);
        ballistics.process(reduction, n);
        if (lookahead != null) lookahead.process(reduction, n);
        into += n;
    }
}

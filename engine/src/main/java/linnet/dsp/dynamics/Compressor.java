package linnet.dsp.dynamics;

import linnet.dsp.Approximation;
import linnet.dsp.Cell;
import linnet.dsp.Lag;

/**
 * A compressor: what its {@link Detector} asks for is taken off, from a signal that comes late by {@link Detector#latency}. Stereo is
 * linked. Where nothing is taken off, the samples pass bit for bit.
 */
public final class Compressor {
    private final Detector detector;
    private final Lag left, right;
    private final double[] gain = new double[Cell.LENGTH];
    private boolean followed;

    public Compressor(double rate, Compression law) {
        detector = new Detector(rate, law);
        left = new Lag(detector.latency());
        right = new Lag(detector.latency());
    }

    /** Its detector, to move the settings and to read the reduction. */
    public Detector detector() {
        return detector;
    }

    public int latency() {
        return left.delay();
    }

    /** Mono, in place. */
    public void process(double[] x, int n) {
        detector.process(x, n);
        gain(n);
        apply(x, left, n);
    }

    /** Stereo, in place. */
    public void process(double[] l, double[] r, int n) {
        detector.process(l, r, n);
        gain(n);
        apply(l, left, n);
        apply(r, right, n);
    }

    /** To be called at the end of each cell. */
    public void settle() {
        detector.settle();
    }

    /** Whether silence leaves it as silence, wherever its settings move; at the border of a cell. */
    public boolean rests() {
        return detector.rests() && left.isSilent() && right.isSilent();
    }

    /** As {@link #process} and {@link #settle} of a cell of silence. */
    public void rest() {
        detector.rest();
        if (followed) gain(Cell.LENGTH);
    }

    /** Takes off another signal what was taken off the last block of this one. */
    public Follower follower() {
        followed = true;
        return new Follower();
    }

    /** A signal of its own, with the gain of this compressor; it is given blocks right after the compressor, of the same length. */
    public final class Follower implements Led {
        private final Lag left = new Lag(latency()), right = new Lag(latency());

        private Follower() {}

        @Override
        public void process(double[] x, int n) {
            apply(x, left, n);
        }

        @Override
        public void process(double[] l, double[] r, int n) {
            apply(l, left, n);
            apply(r, right, n);
        }

        @Override
        public boolean rests() {
            return left.isSilent() && right.isSilent();
        }
    }

    private void gain(int n) {
        double[] reduction = detector.reduction();
        for (int i = 0; i < n; i++) gain[i] = -reduction[i];
        Approximation.gains(gain, gain, n);
    }

    private void apply(double[] x, Lag lag, int n) {
        lag.process(x, n);
        for (int i = 0; i < n; i++) x[i] *= gain[i];
    }
}

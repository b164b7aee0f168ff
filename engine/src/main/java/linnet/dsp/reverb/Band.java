package linnet.dsp.reverb;

import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;
import linnet.dsp.filter.Shape;
import linnet.dsp.filter.StateVariable;

/** A high-pass and a low-pass of 12 dB/oct (Butterworth) for one signal: what feeds a room. */
public final class Band {
    private final double rate;
    private final Cascade still;
    private final StateVariable high, low;

    private Band(double rate, Cascade still, StateVariable high, StateVariable low) {
        this.rate = rate;
        this.still = still;
        this.high = high;
        this.low = low;
    }

    /** A band whose corners stay. */
    public static Band still(double rate, double highPassHz, double lowPassHz) {
        return new Band(rate, new Cascade(Butterworth.band(rate, highPassHz, lowPassHz)), null, null);
    }

    /** A band whose corners may be moved. */
    public static Band moving(double rate, double highPassHz, double lowPassHz) {
        return new Band(rate, null, new StateVariable(rate, Shape.HIGH_PASS, Math.min(highPassHz, Biquad.HIGHEST * rate), Biquad.BUTTERWORTH, 0),
                new StateVariable(rate, Shape.LOW_PASS, Math.min(lowPassHz, Biquad.HIGHEST * rate), Biquad.BUTTERWORTH, 0));
    }

    /** Moves the corners over the cell that begins now. Only for a moving band. */
    public void moveTo(double highPassHz, double lowPassHz) {
        high.moveTo(Math.min(highPassHz, Biquad.HIGHEST * rate), Biquad.BUTTERWORTH, 0);
        low.moveTo(Math.min(lowPassHz, Biquad.HIGHEST * rate), Biquad.BUTTERWORTH, 0);
    }

    void process(double[] x, int n) {
        if (still != null) {
            still.process(x, n);
        } else {
            high.process(x, n);
            low.process(x, n);
        }
    }

    void process(double[] l, double[] r, int n) {
        if (still != null) {
            still.process(l, r, n);
        } else {
            high.process(l, r, n);
            low.process(l, r, n);
        }
    }

    boolean rests() {
        return still != null ? still.rests() : high.rests() && low.rests();
    }

    void settle() {
        if (still != null) {
            still.settle();
        } else {
            high.settle();
            low.settle();
        }
    }
}

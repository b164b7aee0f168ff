package linnet.dsp.reverb;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Cascade;
import linnet.dsp.filter.Shape;
import linnet.dsp.filter.StateVariable;

/** A high-pass and a low-pass of 12 dB/oct (Butterworth) for one signal: what feeds a room. */
public final class Band {
    /** Share of the rate from which on a low-pass has nothing left to take and is left out. */
    private static final double OPEN = 0.49;

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
        List<Biquad> sections = new ArrayList<>();
        sections.add(Biquad.highPass(rate, Math.min(highPassHz, OPEN * rate), Biquad.BUTTERWORTH));
        if (lowPassHz < OPEN * rate) sections.add(Biquad.lowPass(rate, lowPassHz, Biquad.BUTTERWORTH));
        return new Band(rate, new Cascade(sections), null, null);
    }

    /** A band whose corners may be moved. */
    public static Band moving(double rate, double highPassHz, double lowPassHz) {
        return new Band(rate, null, new StateVariable(rate, Shape.HIGH_PASS, Math.min(highPassHz, OPEN * rate), Biquad.BUTTERWORTH, 0),
                new StateVariable(rate, Shape.LOW_PASS, Math.min(lowPassHz, OPEN * rate), Biquad.BUTTERWORTH, 0));
    }

    /** Moves the corners over the cell that begins now. Only for a moving band. */
    public void moveTo(double highPassHz, double lowPassHz) {
        high.moveTo(Math.min(highPassHz, OPEN * rate), Biquad.BUTTERWORTH, 0);
        low.moveTo(Math.min(lowPassHz, OPEN * rate), Biquad.BUTTERWORTH, 0);
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

    void settle() {
        if (still != null) {
            still.settle();
        } else {
            high.settle();
            low.settle();
        }
    }
}

package linnet.hear;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import linnet.dsp.Decibels;

/**
 * Clipped runs: three samples or more in a row at one value, near the largest of the take, that the signal runs into or out of at
 * once. A peak that rounds to the same number for a few samples is left alone: it is reached in steps of a few times the rounding.
 * A take that was turned down after it was clipped is found too.
 */
final class FlatTops {
    private static final int SHORTEST = 3;
    /** A step of 16 bits: the coarsest rounding of a take worth hearing. */
    private static final double ROUNDING = 0x1p-15;
    /** Near a parabola's top, n equal samples by rounding are left by less than 4 roundings. */
    private static final double CORNER = 4 * ROUNDING;
    /** What is clipped lies at the limit; 1 % under the peak leaves room for a limit that differs above and below. */
    private static final double NEAR_PEAK = 0.99, LEAST = 0.05;

    private final Channel[] channels;
    private long heard;

    FlatTops(int channels) {
        this.channels = new Channel[channels];
        for (int c = 0; c < channels; c++) this.channels[c] = new Channel();
    }

    void add(double[][] x, int n) {
        for (int c = 0; c < channels.length; c++) channels[c].add(x[c], n, heard);
        heard += n;
    }

    /** In order of time. */
    List<Event> clipped() {
        List<Event> all = new ArrayList<>();
        for (Channel c : channels) {
            c.endRun(heard, Double.NaN);
            for (Event e : c.runs) if (e.dbfs() >= Decibels.ofGain(NEAR_PEAK * c.peak)) all.add(e);
        }
        all.sort(Comparator.comparingLong(Event::from));
        return all;
    }

    private static final class Channel {
        final List<Event> runs = new ArrayList<>();
        double peak;
        private double last = Double.NaN, before = Double.NaN;
        private long start;

        void add(double[] x, int n, long at) {
            double peak = this.peak, last = this.last;
            for (int i = 0; i < n; i++) {
                double v = x[i];
                double size = Math.abs(v);
                peak = size > peak ? size : peak;
                if (v != last) {
                    if (at + i - start >= SHORTEST && Math.abs(last) >= LEAST) {
                        this.last = last;
                        endRun(at + i, v);
                    }
                    before = last;
                    start = at + i;
                    last = v;
                }
            }
            this.peak = peak;
            this.last = last;
        }

        /** Keeps the run that ends before sample {@code end}, of value {@code next}, if it is cornered. */
        void endRun(long end, double next) {
            if (end - start < SHORTEST || Math.abs(last) < LEAST) return;
            double in = Math.abs(last - before), out = Math.abs(last - next);
            // NaN where there is no neighbour: the take begins or ends inside the run.
            if (in >= CORNER || out >= CORNER) runs.add(new Event(start, end, Decibels.ofGain(Math.abs(last)), 1));
        }
    }
}

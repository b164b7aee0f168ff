package linnet.hear;

import java.util.List;
import java.util.stream.Stream;
import linnet.dsp.Tape;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;

/** The mean of all channels split into bands, in cells of 1 ms: fine enough for where a sound begins. A tenth of a frame, as in {@link Hiss}. */
final class Strands {
    /** What each band is for. */
    enum Band {
        /** Below the voice: the thump of a p or b. */
        THUMP,
        /** 180 to 700 Hz: that the cords sound. A thump does not reach there. */
        CORDS,
        /** 700 Hz to 3.2 kHz: that the mouth is open. */
        MOUTH,
        /** Above 3.2 kHz: hiss. */
        HISS,
        /** Above 6 kHz: where the cycles of a voice are weakest, and a click stands out. */
        TOP
    }

    private static final int BLOCK = 960, SLOPE = 4;

    private final double rate;
    private final int hop;
    private final Tape.Maker tapes;
    private final Strand[] strands;
    /** Of the hiss. */
    private final Cells peaks;
    private final double[] mean = new double[BLOCK], work = new double[BLOCK];

    Strands(double rate, Tape.Maker tapes) {
        this.rate = rate;
        this.tapes = tapes;
        peaks = new Cells();
        hop = (int) Math.round(rate / 100);
        strands = new Strand[] {
            new Strand(Butterworth.lowPass(rate, 60, SLOPE), null),
            new Strand(joined(Butterworth.highPass(rate, 180, SLOPE), Butterworth.lowPass(rate, 700, 2)), null),
            new Strand(Butterworth.band(rate, 700, held(3200)), null),
            new Strand(Butterworth.highPass(rate, held(3200), SLOPE), peaks),
            new Strand(Butterworth.highPass(rate, held(6000), SLOPE), null)
        };
    }

    private static List<Biquad> joined(List<Biquad> first, List<Biquad> second) {
        return Stream.concat(first.stream(), second.stream()).toList();
    }

    /** At 8 kHz, the lowest rate of a take, there is nothing above 4 kHz. */
    private double held(double hz) {
        return Math.min(hz, 0.4 * rate);
    }

    void add(double[][] x, int n) {
        for (int from = 0; from < n; from += BLOCK) {
            int m = Math.min(BLOCK, n - from);
            for (int i = 0; i < m; i++) mean[i] = 0.5 * (x[0][from + i] + x[x.length - 1][from + i]);
            for (Strand s : strands) {
                System.arraycopy(mean, 0, work, 0, m);
                s.add(work, m);
            }
        }
    }

    /** The first sample of a cell. */
    long sample(int cell) {
        return (long) cell * hop / Hiss.CELLS;
    }

    /** The cell that a sample lies in. */
    int cell(long sample) {
        return (int) (sample * Hiss.CELLS / hop);
    }

    /** Mean power in each cell. */
    Strip power(Band band) {
        return Strip.of(strands[band.ordinal()].power.tape);
    }

    /** Peak of the hiss in each cell. */
    Strip peaks() {
        return Strip.of(peaks.tape);
    }

    /** Nothing more will come. */
    void finish() {
        for (Strand s : strands) s.power.finish();
        peaks.finish();
    }

    /** Written down in pieces. */
    private final class Cells {
        private final Tape tape = tapes.tape(100.0 * Hiss.CELLS, 1);
        private final double[][] waiting = new double[1][1024];
        private int filled;

        void add(float value) {
            waiting[0][filled++] = value;
            if (filled == waiting[0].length) flush();
        }

        private void flush() {
            tape.append(waiting, filled);
            filled = 0;
        }

        void finish() {
            flush();
            tape.finish();
        }
    }

    private final class Strand {
        private final Cascade filter;
        private final Cells power = new Cells();
        /** Null where nobody wants them. */
        private final Cells peak;
        private double sum, most;
        private int cells, filled;

        Strand(List<Biquad> sections, Cells peak) {
            this.peak = peak;
            filter = new Cascade(sections);
        }

        void add(double[] x, int n) {
            filter.process(x, n);
            for (int from = 0; from < n; ) {
                int start = (int) ((long) (cells % Hiss.CELLS) * hop / Hiss.CELLS), end = (int) ((long) (cells % Hiss.CELLS + 1) * hop / Hiss.CELLS);
                int to = Math.min(n, from + end - start - filled);
                hear(x, from, to);
                filled += to - from;
                from = to;
                if (filled == end - start) endCell();
            }
            filter.settle();
        }

        private void hear(double[] x, int from, int to) {
            double sum = this.sum, most = this.most;
            for (int i = from; i < to; i++) {
                double v = Math.abs(x[i]);
                sum += v * v;
                most = v > most ? v : most;
            }
            this.sum = sum;
            this.most = most;
        }

        private void endCell() {
            power.add((float) (sum / filled));
            if (peak != null) peak.add((float) most);
            cells++;
            sum = 0;
            most = 0;
            filled = 0;
        }
    }
}

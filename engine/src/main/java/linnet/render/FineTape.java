package linnet.render;

import linnet.dsp.Sound;
import linnet.dsp.Tape;

/**
 * A sum that is kept more finely than a {@link Spool} does, as its shares shall add up to it: what a float leaves of a sample lies beside it, which makes 48
 * bits of two times 24.
 */
final class FineTape implements Tape {
    private final int channels;
    /** The floats, then what they leave. */
    private final Spool both;
    private double[][] parts = new double[0][0];

    /** @param least samples that there will be in any case */
    FineTape(double rate, int channels, long least, Spool.Budget budget) {
        this.channels = channels;
        both = new Spool(rate, 2 * channels, least, budget);
    }

    @Override
    public void append(double[][] x, int n) {
        if (parts.length == 0 || parts[0].length < n) parts = new double[2 * channels][n];
        for (int c = 0; c < channels; c++) {
            for (int i = 0; i < n; i++) {
                parts[c][i] = (float) x[c][i];
                parts[channels + c][i] = x[c][i] - parts[c][i];
            }
        }
        both.append(parts, n);
    }

    @Override
    public void finish() {
        both.finish();
    }

    @Override
    public double rate() {
        return both.rate();
    }

    @Override
    public int channels() {
        return channels;
    }

    @Override
    public long frames() {
        return both.frames();
    }

    @Override
    public void read(long from, double[][] into, int n) {
        both.read(from, into, n, 0, channels, false);
        both.read(from, into, n, channels, channels, true);
    }

    /** The floats alone, which is enough to hear by, and half as much to read. */
    Sound heard() {
        return new Sound() {
            @Override
            public double rate() {
                return both.rate();
            }

            @Override
            public int channels() {
                return channels;
            }

            @Override
            public long frames() {
                return both.frames();
            }

            @Override
            public void read(long from, double[][] into, int n) {
                both.read(from, into, n, 0, channels, false);
            }
        };
    }

    @Override
    public void close() {
        both.close();
    }
}

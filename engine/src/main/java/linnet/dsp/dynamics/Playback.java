package linnet.dsp.dynamics;

import linnet.dsp.Cell;
import linnet.dsp.Sound;
import linnet.dsp.filter.LinkwitzRiley;

/** A signal that can be heard more than once, whole or in part. */
public interface Playback {
    interface Listener {
        /** Hears the next {@code n} samples of each channel: a cell, but at the end of the signal. It may change them. */
        void hear(double[][] x, int n);
    }

    double rate();

    int channels();

    /** Samples of each channel. */
    long frames();

    /** From one sample, the border of a cell, to another. */
    void play(long from, long to, Listener listener);

    default void play(Listener listener) {
        play(0, frames(), listener);
    }

    static Playback of(Sound sound) {
        return new Playback() {
            @Override
            public double rate() {
                return sound.rate();
            }

            @Override
            public int channels() {
                return sound.channels();
            }

            @Override
            public long frames() {
                return sound.frames();
            }

            @Override
            public void play(long from, long to, Listener listener) {
                double[][] x = new double[sound.channels()][Cell.LENGTH];
                for (long at = from; at < to; at += Cell.LENGTH) {
                    int n = (int) Math.min(Cell.LENGTH, to - at);
                    sound.read(at, x, n);
                    listener.hear(x, n);
                }
            }
        };
    }

    /** One band of this signal, as {@link MultibandCompressor} splits it; wherever it begins, its filters begin at rest. */
    default Playback band(int band, double... splits) {
        Playback whole = this;
        return new Playback() {
            @Override
            public double rate() {
                return whole.rate();
            }

            @Override
            public int channels() {
                return whole.channels();
            }

            @Override
            public long frames() {
                return whole.frames();
            }

            @Override
            public void play(long from, long to, Listener listener) {
                LinkwitzRiley[] crossovers = new LinkwitzRiley[channels()];
                for (int c = 0; c < crossovers.length; c++) crossovers[c] = new LinkwitzRiley(rate(), splits);
                double[][] bands = new double[splits.length + 1][Cell.LENGTH];
                whole.play(from, to, (x, n) -> {
                    for (int c = 0; c < crossovers.length; c++) {
                        crossovers[c].split(x[c], bands, n);
                        crossovers[c].settle();
                        System.arraycopy(bands[band], 0, x[c], 0, n);
                    }
                    listener.hear(x, n);
                });
            }
        };
    }
}

package linnet.dsp.dynamics;

import linnet.dsp.Cell;
import linnet.dsp.Sound;
import linnet.dsp.filter.LinkwitzRiley;

/** A signal that can be heard from its beginning to its end, more than once. */
public interface Playback {
    interface Listener {
        /** Hears the next {@code n} samples of each channel: a cell, but at the end of the signal. It may change them. */
        void hear(double[][] x, int n);
    }

    double rate();

    int channels();

    void play(Listener listener);

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
            public void play(Listener listener) {
                double[][] x = new double[sound.channels()][Cell.LENGTH];
                for (long at = 0; at < sound.frames(); at += Cell.LENGTH) {
                    int n = (int) Math.min(Cell.LENGTH, sound.frames() - at);
                    sound.read(at, x, n);
                    listener.hear(x, n);
                }
            }
        };
    }

    /** One band of this signal, as {@link MultibandCompressor} splits it. */
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
            public void play(Listener listener) {
                LinkwitzRiley[] crossovers = new LinkwitzRiley[channels()];
                for (int c = 0; c < crossovers.length; c++) crossovers[c] = new LinkwitzRiley(rate(), splits);
                double[][] bands = new double[splits.length + 1][Cell.LENGTH];
                whole.play((x, n) -> {
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

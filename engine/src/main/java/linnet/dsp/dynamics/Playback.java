package linnet.dsp.dynamics;

import linnet.dsp.Cell;
import linnet.dsp.Sound;

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
}

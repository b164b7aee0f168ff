package linnet.dsp;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Numbers that are laid down once, from the front, and read from anywhere: a sound while it is made, or what is heard in it many times a frame. Each is rounded
 * to a float of 32 bits: a sound by less than -150 dB of each sample.
 */
public interface Tape extends Sound, AutoCloseable {
    /** Adds samples at the end. */
    void append(double[][] x, int n);

    /** Nothing more will come. */
    void finish();

    /** Gives back what it took. What was read of it is not touched; it can be read no more. */
    @Override
    void close();

    /** Where tapes come from. */
    interface Maker {
        /** An empty one. It may be forgotten without being closed. */
        Tape tape(double rate, int channels);
    }

    /** Keeps them in memory, however long they become. */
    Maker IN_MEMORY = InMemory::new;

    /** In pieces, so that nothing is copied where it grows. */
    final class InMemory implements Tape {
        private static final int PIECE = 1 << 13;

        private final double rate;
        private final int channels;
        private final List<float[][]> pieces = new ArrayList<>();
        private long frames;

        private InMemory(double rate, int channels) {
            this.rate = rate;
            this.channels = channels;
        }

        @Override
        public synchronized void append(double[][] x, int n) {
            for (int done = 0; done < n; ) {
                int within = (int) (frames % PIECE), m = Math.min(n - done, PIECE - within);
                if (within == 0) pieces.add(new float[channels][PIECE]);
                float[][] last = pieces.get(pieces.size() - 1);
                for (int c = 0; c < channels; c++) for (int i = 0; i < m; i++) last[c][within + i] = (float) x[c][done + i];
                done += m;
                frames += m;
            }
        }

        @Override
        public void finish() {}

        @Override
        public double rate() {
            return rate;
        }

        @Override
        public int channels() {
            return channels;
        }

        @Override
        public synchronized long frames() {
            return frames;
        }

        @Override
        public synchronized void read(long from, double[][] into, int n) {
            if (from < 0 || from + n > frames) throw new IndexOutOfBoundsException(Arrays.toString(new long[] {from, n, frames}));
            for (int done = 0; done < n; ) {
                int within = (int) ((from + done) % PIECE), m = Math.min(n - done, PIECE - within);
                float[][] piece = pieces.get((int) ((from + done) / PIECE));
                for (int c = 0; c < channels; c++) for (int i = 0; i < m; i++) into[c][done + i] = piece[c][within + i];
                done += m;
            }
        }

        @Override
        public synchronized void close() {
            pieces.clear();
            frames = 0;
        }
    }
}

package linnet.hear;

import java.util.Arrays;
import linnet.dsp.Tape;

/** Numbers in order of time, read piece by piece, of which a few are held: who goes through them from front to back finds all that is near. */
abstract class Strip {
    static final int PIECE = 1 << 12;
    private static final int HELD = 4;

    private final int length;
    private final double[][] held = new double[HELD][];
    private final int[] which = new int[HELD];

    Strip(int length) {
        this.length = length;
        Arrays.fill(which, -1);
    }

    /** One channel of a tape that is finished. */
    static Strip of(Tape tape) {
        return new Strip((int) tape.frames()) {
            @Override
            void fill(int from, double[] into, int n) {
                tape.read(from, new double[][] {into}, n);
            }
        };
    }

    /** Puts the numbers from that one on into the array, from its first place. */
    abstract void fill(int from, double[] into, int n);

    int length() {
        return length;
    }

    double at(int i) {
        int piece = i / PIECE, slot = piece % HELD;
        if (which[slot] != piece) hold(piece, slot);
        return held[slot][i % PIECE];
    }

    private void hold(int piece, int slot) {
        if (first(piece) < 0 || first(piece) >= length) throw new IndexOutOfBoundsException(piece);
        if (held[slot] == null) held[slot] = new double[PIECE];
        fill(first(piece), held[slot], Math.min(PIECE, length - first(piece)));
        which[slot] = piece;
    }

    private static int first(int piece) {
        return piece * PIECE;
    }

    /** The mean over so many before each, itself, and so many after it; at the ends, over those that are there. */
    Strip mean(int before, int after) {
        CumulativeSums sums = new CumulativeSums(this);
        return new Strip(length) {
            private final double[] sum = new double[before + PIECE + after + 1];

            @Override
            void fill(int from, double[] into, int n) {
                int first = Math.max(0, from - before), last = Math.min(length(), from + n + after);
                sums.read(first, sum, last + 1 - first);
                for (int i = 0; i < n; i++) {
                    int begin = Math.max(0, from + i - before), end = Math.min(length(), from + i + after + 1);
                    // A difference of sums may come out a little below nothing.
                    into[i] = Math.max(0, sum[end - first] - sum[begin - first]) / (end - begin);
                }
            }
        };
    }
}

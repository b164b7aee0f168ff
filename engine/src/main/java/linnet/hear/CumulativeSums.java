package linnet.hear;

import java.util.Arrays;

/** The sum of all numbers of a strip before each place: always added in the order of time from the first on, wherever it is asked for. */
final class CumulativeSums {
    private final Strip of;
    /** Before each piece, as far as it is known. */
    private double[] before = new double[16];
    private int known;

    CumulativeSums(Strip of) {
        this.of = of;
    }

    /** Puts the sums before the places from that one on into the array; the last place is the end of the strip. */
    void read(int from, double[] into, int n) {
        int piece = from / Strip.PIECE;
        while (known < piece) learn();
        double sum = before[piece];
        for (int i = piece * Strip.PIECE; i < from; i++) sum += of.at(i);
        for (int i = 0; i < n; i++) {
            into[i] = sum;
            if (i < n - 1) sum += of.at(from + i);
        }
    }

    private void learn() {
        double sum = before[known];
        for (int i = known * Strip.PIECE; i < (known + 1) * Strip.PIECE; i++) sum += of.at(i);
        if (++known == before.length) before = Arrays.copyOf(before, 2 * known);
        before[known] = sum;
    }
}

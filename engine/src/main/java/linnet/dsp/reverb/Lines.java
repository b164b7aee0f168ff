package linnet.dsp.reverb;

import linnet.dsp.Cell;

/** What the rooms do alike with the arrays that serve as their delay lines. */
final class Lines {
    private Lines() {}

    /** Whether the block is silence, bit for bit. */
    static boolean silent(double[] l, double[] r, int n) {
        for (int i = 0; i < n; i++) if (l[i] != 0 || r[i] != 0) return false;
        return true;
    }

    /** Zeroes what has died away; true if nothing is left. */
    static boolean settle(double[][] lines) {
        boolean empty = true;
        for (double[] line : lines) {
            for (int i = 0; i < line.length; i++) {
                line[i] = Cell.settled(line[i]);
                empty &= line[i] == 0;
            }
        }
        return empty;
    }

    /** The same for the states of filters. */
    static boolean settle(double[] states) {
        return settle(new double[][] {states});
    }
}

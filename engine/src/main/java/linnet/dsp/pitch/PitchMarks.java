package linnet.dsp.pitch;

import java.util.Arrays;

/**
 * Places of a sound, in samples and between them, one for each period of the voice and always at the same point of it. Marks
 * that follow each other without a gap are a run.
 */
final class PitchMarks {
    private double[] at = new double[1024];
    private int marks;
    /** The first mark of each run, and of the one that is not there yet. */
    private int[] first = new int[64];
    private int runs;

    void add(double sample) {
        if (marks == at.length) at = Arrays.copyOf(at, 2 * marks);
        at[marks++] = sample;
    }

    /** Ends a run; one with fewer than {@code least} marks is forgotten. */
    void end(int least) {
        if (marks - first[runs] < least) {
            marks = first[runs];
            return;
        }
        if (runs + 1 == first.length) first = Arrays.copyOf(first, 2 * first.length);
        first[++runs] = marks;
    }

    int runs() {
        return runs;
    }

    /** The marks of a run, in order of time. */
    double[] run(int r) {
        return Arrays.copyOfRange(at, first[r], first[r + 1]);
    }
}

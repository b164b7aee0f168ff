package linnet.step;

import java.util.Arrays;
import linnet.dsp.Cell;
import linnet.dsp.Silence;

/** Runs a kernel through time, and lets it rest where silence arrives and it {@link Kernel#rests}: to the same bits. */
public final class Resting {
    private final Kernel kernel;
    private final int arriving, leaving;
    /** Nothing but zeros. */
    private final Block silence = new Block();
    /** Whether the kernel rested when this cell began, and nothing but silence has come since. */
    private boolean resting;
    /** Whether all was silent so far in this cell; at its beginning, in the last. Only then is the kernel asked. */
    private boolean quiet = true;

    /**
     * @param arriving channels that come in
     * @param leaving channels that leave it
     */
    public Resting(Kernel kernel, int arriving, int leaving) {
        this.kernel = kernel;
        this.arriving = arriving;
        this.leaving = leaving;
    }

    /** Processes the next block in place. */
    public void run(Block block) {
        boolean silent = isSilent(block, arriving);
        if (block.beginsCell()) {
            resting = quiet && (resting || kernel.rests());
            quiet = true;
        }
        if (resting && silent) {
            for (double[] x : block.x()) Arrays.fill(x, 0, block.length(), 0);
            if (!block.endsCell()) return;
            silence.place(block.cellStart(), Cell.LENGTH);
            kernel.rest(silence);
            return;
        }
        if (resting) wake(block);
        kernel.process(block);
        quiet &= silent && isSilent(block, leaving);
        if (block.endsCell()) kernel.settle();
    }

    /** What has passed of this cell is made up for: it was silent, and so is what comes of it. */
    private void wake(Block block) {
        resting = false;
        if (block.beginsCell()) return;
        silence.place(block.cellStart(), (int) (block.start() - block.cellStart()));
        kernel.process(silence);
        for (double[] x : silence.x()) Arrays.fill(x, 0, silence.length(), 0);
    }

    private static boolean isSilent(Block block, int channels) {
        for (int c = 0; c < channels; c++) if (!Silence.in(block.x(c), block.length())) return false;
        return true;
    }
}

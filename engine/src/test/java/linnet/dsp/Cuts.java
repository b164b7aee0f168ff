package linnet.dsp;

/** Drives a mono kernel as the engine does: in blocks that never cross the border of a cell, however they are cut. */
public final class Cuts {
    private Cuts() {}

    public interface Work {
        void process(double[] x, int n);
    }

    /** The output for {@code x} in blocks of at most {@code cut} samples; {@code x} is left as it is. */
    public static double[] run(double[] x, int cut, Work work, Runnable settle) {
        return run(x, cut, () -> {}, work, settle);
    }

    /** The same, with something to be done where each cell begins. */
    public static double[] run(double[] x, int cut, Runnable begin, Work work, Runnable settle) {
        double[] y = new double[x.length], block = new double[Cell.LENGTH];
        for (int at = 0; at < x.length; ) {
            if (at % Cell.LENGTH == 0) begin.run();
            int n = Math.min(Math.min(cut, x.length - at), Cell.LENGTH - at % Cell.LENGTH);
            System.arraycopy(x, at, block, 0, n);
            work.process(block, n);
            System.arraycopy(block, 0, y, at, n);
            at += n;
            if (at % Cell.LENGTH == 0) settle.run();
        }
        return y;
    }
}

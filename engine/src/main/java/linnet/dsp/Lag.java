package linnet.dsp;

/** Delays a signal by whole samples, block by block and in place. */
public final class Lag {
    private final double[] ring;
    private final double[] scratch = new double[Cell.LENGTH];
    private int at;

    /** @param delay in samples, 0 or more */
    public Lag(int delay) {
        ring = new double[delay];
    }

    public int delay() {
        return ring.length;
    }

    /** Whether nothing but silence is in it. */
    public boolean isSilent() {
        return Silence.in(ring);
    }

    /** Replaces {@code x} by the signal {@link #delay} samples ago; {@code n} is at most a cell. */
    public void process(double[] x, int n) {
        int delay = ring.length;
        if (delay == 0) return;
        if (n >= delay) {
            System.arraycopy(x, n - delay, scratch, 0, delay);
            System.arraycopy(x, 0, x, delay, n - delay);
            out(x, delay);
            at = 0;
            System.arraycopy(scratch, 0, ring, 0, delay);
        } else {
            System.arraycopy(x, 0, scratch, 0, n);
            out(x, n);
            int first = Math.min(n, delay - at);
            System.arraycopy(scratch, 0, ring, at, first);
            System.arraycopy(scratch, first, ring, 0, n - first);
            at = (at + n) % delay;
        }
    }

    /** The oldest {@code n} samples. */
    private void out(double[] x, int n) {
        int first = Math.min(n, ring.length - at);
        System.arraycopy(ring, at, x, 0, first);
        System.arraycopy(ring, 0, x, first, n - first);
    }
}

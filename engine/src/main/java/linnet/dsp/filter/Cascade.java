package linnet.dsp.filter;

import java.util.List;

/**
 * Biquads in series, working in place on one channel or on a stereo pair. A cascade belongs to one signal: use the mono or
 * the stereo form throughout its life. Blocks hold 1 … {@link linnet.dsp.Cell#LENGTH} samples; {@link #settle()} is
 * called at the end of each cell. Without sections it passes its input through untouched.
 */
public final class Cascade {
    /** More than five sections in one loop no longer fit into the registers. */
    private static final int MOST = 5;

    private final List<Biquad> design;
    private final Section[] left, right;
    /** Sections to a loop: as even as can be, so that six run as three and three. */
    private final int fused;

    public Cascade(List<Biquad> sections) {
        design = List.copyOf(sections);
        left = design.stream().map(Section::new).toArray(Section[]::new);
        right = design.stream().map(Section::new).toArray(Section[]::new);
        int loops = Math.max(1, (left.length + MOST - 1) / MOST);
        fused = (left.length + loops - 1) / loops;
    }

    public Cascade(Biquad... sections) {
        this(List.of(sections));
    }

    /** Mono, in place, from index 0. */
    public void process(double[] x, int n) {
        run(left, x, n);
    }

    /** Stereo, in place, from index 0. */
    public void process(double[] l, double[] r, int n) {
        if (left.length == 1) {
            Section.run(l, r, n, left[0], right[0]);
        } else if (left.length == 2) {
            Section.run(l, r, n, left[0], left[1], right[0], right[1]);
        } else {
            run(left, l, n);
            run(right, r, n);
        }
    }

    /** To be called at the end of each cell. */
    public void settle() {
        for (Section s : left) s.settle();
        for (Section s : right) s.settle();
    }

    /** Whether silence leaves it as silence; at the border of a cell. */
    public boolean rests() {
        for (Section s : left) if (!s.rests()) return false;
        for (Section s : right) if (!s.rests()) return false;
        return true;
    }

    public Response response(double hz) {
        Response all = Response.UNITY;
        for (Biquad b : design) all = all.times(b.response(hz));
        return all;
    }

    /** Gain in dB at that frequency. */
    public double responseDb(double hz) {
        return response(hz).db();
    }

    private void run(Section[] s, double[] x, int n) {
        for (int k = 0; k < s.length; k += fused) {
            switch (Math.min(fused, s.length - k)) {
                case 1 -> Section.run(x, n, s[k]);
                case 2 -> Section.run(x, n, s[k], s[k + 1]);
                case 3 -> Section.run(x, n, s[k], s[k + 1], s[k + 2]);
                case 4 -> Section.run(x, n, s[k], s[k + 1], s[k + 2], s[k + 3]);
                default -> Section.run(x, n, s[k], s[k + 1], s[k + 2], s[k + 3], s[k + 4]);
            }
        }
    }
}

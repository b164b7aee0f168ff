package linnet.render;

import java.io.IOException;

/** Passes on what of all that is written lies within a stretch. */
final class Within implements Renderer.Sink {
    private final Renderer.Sink to;
    private final long from, end;
    private double[][] piece = new double[0][];
    private long at;

    private Within(Renderer.Sink to, long from, long end) {
        this.to = to;
        this.from = from;
        this.end = end;
    }

    static Renderer.Sink of(Renderer.Sink to, long from, long end) {
        return from == 0 && end == Long.MAX_VALUE ? to : new Within(to, from, end);
    }

    @Override
    public void write(double[][] x, int n) throws IOException {
        int first = (int) Math.max(0, Math.min(n, from - at)), last = (int) Math.max(first, Math.min(n, end - at));
        at += n;
        if (first == last) return;
        if (first == 0) {
            to.write(x, last);
            return;
        }
        if (piece.length != x.length || piece[0].length < last - first) piece = new double[x.length][n];
        for (int c = 0; c < x.length; c++) System.arraycopy(x[c], first, piece[c], 0, last - first);
        to.write(piece, last - first);
    }
}

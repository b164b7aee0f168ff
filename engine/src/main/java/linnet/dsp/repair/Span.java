package linnet.dsp.repair;

import linnet.dsp.GainCurve;

/** Samples {@code from … to - 1}, of which the first and the last {@code fade} lead in and out. */
public record Span(long from, long to, int fade) {
    /** Samples in it. */
    public int length() {
        return (int) (to - from);
    }

    /** From 0 dB down to a level and back. */
    public void draw(GainCurve.Builder curve, double db) {
        curve.point(from, 0).point(from + fade, db).point(to - fade, db).point(to, 0);
    }

    /** Fades a sound over this span into another that has nothing to do with it, at equal power, and back. */
    public void cross(double[][] x, double[][] other) {
        for (int i = 1; i < fade; i++) {
            double angle = Math.PI / 2 * i / fade, stays = StrictMath.cos(angle), comes = StrictMath.sin(angle);
            for (int c = 0; c < x.length; c++) {
                int last = length() - i;
                x[c][i] = stays * x[c][i] + comes * other[c][i];
                x[c][last] = stays * x[c][last] + comes * other[c][last];
            }
        }
        for (int c = 0; c < x.length; c++) System.arraycopy(other[c], fade, x[c], fade, length() - 2 * fade + 1);
    }
}

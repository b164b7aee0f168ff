package linnet.render;

import java.util.Arrays;
import java.util.List;
import linnet.dsp.Cell;
import linnet.dsp.Excerpt;
import linnet.dsp.GainCurve;
import linnet.dsp.Sound;
import linnet.dsp.splice.Crossfade;
import linnet.hear.Joint;

/** Pieces of sounds, one after the other, each fading into the next. Nothing is kept: they are put together where they are read. */
final class Joined implements Sound {
    /** A sound that begins at that sample of the whole; without one, silence. */
    record Piece(Sound sound, long at) {}

    private final double rate;
    private final int channels;
    private final List<Piece> pieces;
    private final long[] from, to;
    private final int[] fade;
    private final double[] correlation;
    private final List<GainCurve> levels;
    private final long frames;

    /**
     * @param joints between each piece and the next, none meeting another
     * @param levels over time, behind all of them
     */
    Joined(double rate, int channels, List<Piece> pieces, List<Joint> joints, List<GainCurve> levels) {
        this.rate = rate;
        this.channels = channels;
        this.pieces = pieces;
        this.levels = levels;
        int n = pieces.size();
        from = new long[n];
        to = new long[n];
        fade = new int[n];
        correlation = new double[n];
        from[0] = Long.MIN_VALUE;
        for (int i = 0; i + 1 < n; i++) {
            Joint j = joints.get(i);
            from[i + 1] = j.at() - j.fade() / 2;
            to[i] = from[i + 1] + j.fade();
            fade[i + 1] = j.fade();
            correlation[i + 1] = j.correlation();
        }
        Piece last = pieces.get(n - 1);
        to[n - 1] = last.sound == null ? n == 1 ? 0 : from[n - 1] + fade[n - 1] : last.at + last.sound.frames();
        frames = Math.max(0, to[n - 1]);
    }

    @Override
    public double rate() {
        return rate;
    }

    @Override
    public int channels() {
        return channels;
    }

    @Override
    public long frames() {
        return frames;
    }

    @Override
    public void read(long at, double[][] into, int n) {
        double[][] piece = new double[2][Cell.LENGTH];
        double[] gains = new double[Cell.LENGTH];
        for (int done = 0; done < n; done += Cell.LENGTH) {
            int m = Math.min(Cell.LENGTH, n - done);
            for (int c = 0; c < channels; c++) Arrays.fill(into[c], done, done + m, 0);
            for (int i = 0; i < pieces.size(); i++) {
                if (pieces.get(i).sound != null && from[i] < at + done + m && at + done < to[i]) add(i, at + done, piece, gains, into, done, m);
            }
        }
    }

    private void add(int i, long at, double[][] piece, double[] gains, double[][] into, int done, int n) {
        Sound sound = pieces.get(i).sound;
        int own = sound.channels();
        new Excerpt(sound, at - pieces.get(i).at, n).read(0, piece, n);
        if (from[i] > Long.MIN_VALUE) coming(i, at, piece, own, n);
        if (i + 1 < pieces.size()) leaving(i + 1, at, piece, own, n);
        for (GainCurve level : levels) level.process(at, piece, own, n, gains);
        // One channel among pieces of two stands for two that are alike, so that it is as loud as they are.
        for (int c = 0; c < channels; c++) {
            double[] x = piece[Math.min(c, own - 1)], sum = into[c];
            for (int k = 0; k < n; k++) sum[done + k] += x[k];
        }
    }

    private void coming(int i, long at, double[][] x, int own, int n) {
        int silent = (int) Math.max(0, Math.min(n, from[i] - at));
        for (int c = 0; c < own; c++) Arrays.fill(x[c], 0, silent, 0);
        Crossfade law = new Crossfade(correlation[i]);
        for (int k = silent; k < n && at + k < from[i] + fade[i]; k++) {
            law.at((at + k - from[i] + 0.5) / fade[i]);
            for (int c = 0; c < own; c++) x[c][k] *= law.coming();
        }
    }

    private void leaving(int next, long at, double[][] x, int own, int n) {
        Crossfade law = new Crossfade(correlation[next]);
        int k = (int) Math.max(0, Math.min(n, from[next] - at));
        for (; k < n && at + k < from[next] + fade[next]; k++) {
            law.at((at + k - from[next] + 0.5) / fade[next]);
            for (int c = 0; c < own; c++) x[c][k] *= law.leaving();
        }
        for (int c = 0; c < own; c++) Arrays.fill(x[c], k, n, 0);
    }
}

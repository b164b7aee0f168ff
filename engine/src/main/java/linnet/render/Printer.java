package linnet.render;

import java.io.IOException;
import java.util.Arrays;
import linnet.dsp.Decibels;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.render.Renderer.Options;
import linnet.render.Renderer.Sink;

/**
 * Cuts the print out of what the last stage gives: drops the latency, keeps to the wanted range, and ends where the tail
 * ends. Samples after the take are held back until it is known that the print goes on.
 */
final class Printer {
    private static final double FADE_SECONDS = 0.01, FADE_IN_SECONDS = 0.005;
    private static final double QUIET = Decibels.gain(Renderer.QUIET_DBFS);

    private final Sink sink;
    private final int channels;
    private final long from;
    /** End of the print where it is known beforehand, else -1. */
    private final long fixedEnd;
    private final long takeFrames;
    private final int fade;
    /** The first sample of the take in each channel; null where the print is not to fade in. */
    private final double[] first;
    private final int longestFadeIn;
    private int fadeIn;
    private final double[][] piece;
    private long skip;
    private long at;
    private long written;
    /** Quiet samples after the take that are not written yet. */
    private double[][] held;
    private int heldFrames;

    Printer(Sink sink, int channels, int latency, int chunk, Options options, Sound take, double rate) {
        this.sink = sink;
        this.channels = channels;
        this.skip = latency;
        this.from = options.from();
        this.takeFrames = take.frames();
        this.first = options.fadesIn() ? first(take) : null;
        this.longestFadeIn = (int) Math.round(FADE_IN_SECONDS * rate);
        if (options.to() >= 0) {
            this.fixedEnd = options.to();
            this.fade = 0;
        } else if (options.tail() instanceof Tail.Seconds s) {
            this.fixedEnd = takeFrames + Math.round(s.seconds() * rate);
            // The tail is cut as told; a short fade keeps the cut from clicking.
            this.fade = (int) Math.min(Math.round(FADE_SECONDS * rate), fixedEnd);
        } else {
            this.fixedEnd = -1;
            this.fade = 0;
        }
        this.piece = new double[channels][chunk];
        this.held = new double[channels][chunk];
    }

    private static double[] first(Sound take) {
        double[][] x = new double[take.channels()][1];
        new Excerpt(take, 0, 1).read(0, x, 1);
        return Arrays.stream(x).mapToDouble(c -> c[0]).toArray();
    }

    /**
     * How long it fades in: a take cut in a sound clicks as soon as a filter or a gain makes more of the cut. What the chain leaves as it is keeps its bits.
     */
    private int fadeIn(double[][] x, int i) {
        boolean sounds = false, changed = false;
        for (double v : first) sounds |= Math.abs(v) >= QUIET;
        for (int c = 0; c < channels; c++) changed |= x[c][i] != first[Math.min(c, first.length - 1)];
        return sounds && changed ? longestFadeIn : 0;
    }

    /** Samples of the print that there will be at least. */
    long least() {
        return fixedEnd >= 0 ? fixedEnd : takeFrames;
    }

    long fixedEnd() {
        return fixedEnd;
    }

    /**
     * Takes the next samples, at least as many channels as the print has.
     *
     * @param end how far the print goes for certain
     */
    void add(double[][] x, int n, long end) throws IOException {
        int dropped = (int) Math.min(n, skip);
        skip -= dropped;
        if (first != null && at == 0 && dropped < n) fadeIn = fadeIn(x, dropped);
        long certain = fixedEnd >= 0 ? fixedEnd : Math.max(takeFrames, end);
        int begin = dropped + (int) Math.max(0, Math.min(n - dropped, from - at));
        at += begin - dropped;
        int wanted = n - begin;
        if (fixedEnd >= 0) wanted = (int) Math.max(0, Math.min(wanted, fixedEnd - at));
        hold(x, begin, wanted);
        at += wanted;
        flush((int) Math.min(heldFrames, Math.max(0, certain - (at - heldFrames))));
    }

    private void hold(double[][] x, int begin, int n) {
        if (heldFrames + n > held[0].length) for (int c = 0; c < channels; c++) held[c] = Arrays.copyOf(held[c], Math.max(2 * held[c].length, heldFrames + n));
        for (int c = 0; c < channels; c++) System.arraycopy(x[c], begin, held[c], heldFrames, n);
        heldFrames += n;
    }

    private void flush(int n) throws IOException {
        long begin = at - heldFrames;
        for (int done = 0; done < n; ) {
            int m = Math.min(n - done, piece[0].length);
            for (int c = 0; c < channels; c++) {
                System.arraycopy(held[c], done, piece[c], 0, m);
                for (int i = 0; i < m && begin + done + i < fadeIn; i++) piece[c][i] *= (begin + done + i) / (double) fadeIn;
                for (int i = 0; fade > 0 && i < m; i++) {
                    long left = fixedEnd - (begin + done + i);
                    if (left <= fade) piece[c][i] *= (left - 1) / (double) fade;
                }
            }
            sink.write(piece, m);
            done += m;
        }
        written += n;
        heldFrames -= n;
        for (int c = 0; c < channels; c++) System.arraycopy(held[c], n, held[c], 0, heldFrames);
    }

    /** Length of what was written. */
    long written() {
        return written;
    }
}

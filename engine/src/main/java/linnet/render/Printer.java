package linnet.render;

import java.io.IOException;
import java.util.Arrays;
import linnet.render.Renderer.Options;
import linnet.render.Renderer.Sink;

/**
 * Cuts the print out of what the last stage gives: drops the latency, keeps to the wanted range, and ends where the tail
 * ends. Samples after the take are held back until it is known that the print goes on.
 */
final class Printer {
    private static final double FADE_SECONDS = 0.01;

    private final Sink sink;
    private final int channels;
    private final long from;
    /** End of the print where it is known beforehand, else -1. */
    private final long fixedEnd;
    private final long takeFrames;
    private final int fade;
    private final double[][] piece;
    private long skip;
    private long at;
    private long written;
    /** Quiet samples after the take that are not written yet. */
    private double[][] held;
    private int heldFrames;

    Printer(Sink sink, int channels, int latency, int chunk, Options options, long takeFrames, double rate) {
        this.sink = sink;
        this.channels = channels;
        this.skip = latency;
        this.from = options.from();
        this.takeFrames = takeFrames;
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
        long first = at - heldFrames;
        for (int done = 0; done < n; ) {
            int m = Math.min(n - done, piece[0].length);
            for (int c = 0; c < channels; c++) {
                System.arraycopy(held[c], done, piece[c], 0, m);
                for (int i = 0; fade > 0 && i < m; i++) {
                    long left = fixedEnd - (first + done + i);
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

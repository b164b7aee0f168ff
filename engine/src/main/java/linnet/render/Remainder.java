package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.concurrent.Callable;
import linnet.dsp.Sound;

/** What is left of a sound when others are taken off it. */
public record Remainder(Sound whole, List<? extends Sound> parts) {
    private static final int BLOCK = 16_384;

    /**
     * Its largest sample.
     *
     * @param jobs spans of time that may be read at once; the sounds are read by several threads then
     */
    public double largest(int jobs) throws IOException {
        List<Callable<Double>> spans = new ArrayList<>();
        for (int j = 0; j < jobs; j++) {
            long from = whole.frames() * j / jobs, to = whole.frames() * (j + 1) / jobs;
            spans.add(() -> largest(from, to));
        }
        return Collections.max(SideBySide.run(spans, jobs));
    }

    private double largest(long from, long to) {
        double[][] rest = new double[whole.channels()][BLOCK], x = new double[whole.channels()][BLOCK];
        double most = 0;
        for (long at = from; at < to; at += BLOCK) {
            int n = (int) Math.min(BLOCK, to - at);
            whole.read(at, rest, n);
            for (Sound part : parts) {
                part.read(at, x, n);
                for (int c = 0; c < rest.length; c++) subtract(x[c], rest[c], n);
            }
            for (double[] side : rest) for (int i = 0; i < n; i++) most = Math.max(most, Math.abs(side[i]));
        }
        return most;
    }

    private static void subtract(double[] x, double[] from, int n) {
        for (int i = 0; i < n; i++) from[i] -= x[i];
    }
}

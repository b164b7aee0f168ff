package linnet.dsp.loudness;

import java.util.Arrays;
import java.util.function.ObjIntConsumer;

/** Test tones by formula. */
final class Tones {
    private Tones() {}

    static double[] sine(double rate, double hz, double amplitude, double degrees, double seconds) {
        double[] x = new double[(int) Math.round(seconds * rate)];
        double phase = Math.toRadians(degrees);
        for (int i = 0; i < x.length; i++) x[i] = amplitude * Math.sin(2 * Math.PI * hz * i / rate + phase);
        return x;
    }

    /** A sine of which the peak level moves: pairs of seconds and dBFS. */
    static double[] steps(double rate, double hz, String secondsAndDbfs) {
        double[] v = Arrays.stream(secondsAndDbfs.trim().split(" +")).mapToDouble(Double::parseDouble).toArray();
        double total = 0;
        for (int i = 0; i < v.length; i += 2) total += v[i];
        double[] x = sine(rate, hz, 1, 0, total);
        int from = 0;
        for (int i = 0; i < v.length; i += 2) {
            int to = Math.min(x.length, from + (int) Math.round(v[i] * rate));
            for (int k = from; k < to; k++) x[k] *= Math.pow(10, v[i + 1] / 20);
            from = to;
        }
        return x;
    }

    static void fade(double[] x, int samples) {
        for (int i = 0; i < samples; i++) {
            x[i] *= (double) i / samples;
            x[x.length - 1 - i] *= (double) i / samples;
        }
    }

    static void cut(double[] x, int length, ObjIntConsumer<double[][]> heard) {
        for (int from = 0; from < x.length; from += length) {
            int n = Math.min(length, x.length - from);
            heard.accept(new double[][] {Arrays.copyOfRange(x, from, from + n)}, n);
        }
    }
}

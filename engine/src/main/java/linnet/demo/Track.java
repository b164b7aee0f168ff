package linnet.demo;

import linnet.demo.Truth.Sound;
import linnet.dsp.Decibels;

/** A gesture of the singer: one value each millisecond, as the body moves no faster. */
final class Track {
    /** Values per second. */
    static final int RATE = 1000;

    final double[] value;

    Track(double seconds) {
        value = new double[(int) StrictMath.ceil(seconds * RATE) + 1];
    }

    int length() {
        return value.length;
    }

    void set(double start, double end, double v) {
        for (int i = Math.max(0, at(start)); i < Math.min(value.length, at(end)); i++) value[i] = v;
    }

    void set(Sound s, double v) {
        set(s.start(), s.end(), v);
    }

    /** From {@code v} to what is there, by the end of the span. */
    void ramp(double start, double end, double v) {
        for (int i = Math.max(0, at(start)); i < Math.min(value.length, at(end)); i++) {
            value[i] = v + ease((i / (double) RATE - start) / (end - start)) * (value[i] - v);
        }
    }

    static int at(double seconds) {
        return (int) Math.round(seconds * RATE);
    }

    /** Between the values. */
    double read(double seconds) {
        double x = Math.max(0, Math.min(value.length - 1.001, seconds * RATE));
        int i = (int) x;
        return value[i] + (x - i) * (value[i + 1] - value[i]);
    }

    /** Rounds the corners: twice a mean over {@code seconds}, centred, so that nothing comes late. */
    Track smooth(double seconds) {
        int half = Math.max(1, at(seconds) / 2);
        mean(half);
        mean(half);
        return this;
    }

    private void mean(int half) {
        double[] sum = new double[value.length + 1];
        for (int i = 0; i < value.length; i++) sum[i + 1] = sum[i] + value[i];
        for (int i = 0; i < value.length; i++) {
            int from = Math.max(0, i - half);
            int to = Math.min(value.length, i + half + 1);
            value[i] = (sum[to] - sum[from]) / (to - from);
        }
    }

    static double db(double gain) {
        return Decibels.ofGain(Math.max(gain, 1e-9));
    }

    /** 0 to 1 with flat ends. */
    static double ease(double x) {
        double t = Math.max(0, Math.min(1, x));
        return t * t * (3 - 2 * t);
    }
}

package linnet.render;

import linnet.dsp.Decibels;
import linnet.dsp.Sound;

/** A sound that is so many dB louder, or softer below 0. */
record Louder(Sound of, double db) implements Sound {
    @Override
    public double rate() {
        return of.rate();
    }

    @Override
    public int channels() {
        return of.channels();
    }

    @Override
    public long frames() {
        return of.frames();
    }

    @Override
    public void read(long from, double[][] into, int n) {
        of.read(from, into, n);
        double gain = Decibels.gain(db);
        for (int c = 0; c < of.channels(); c++) for (int i = 0; i < n; i++) into[c][i] *= gain;
    }
}

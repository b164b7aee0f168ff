package linnet.render;

import java.util.Arrays;
import java.util.List;
import linnet.dsp.Cell;
import linnet.dsp.GainCurve;
import linnet.dsp.Silence;
import linnet.dsp.Sound;

/**
 * The sum of some sounds, each from its own place on, at its own level and place between left and right. Nothing is kept: it is added up
 * where it is read, always in the same order, so any cut gives the same bits. Not for several threads at once.
 */
final class Mixture implements Sound {
    /**
     * One of them.
     *
     * @param at sample of the sum at which it begins
     * @param flipped whether its polarity is turned
     */
    record Voice(Sound sound, long at, boolean flipped, GainCurve level, Pan pan) {
        long end() {
            return at + sound.frames();
        }
    }

    private final double rate;
    private final int channels;
    private final long frames;
    private final Voice[] voices;
    private final Ahead[] ahead;
    private final double[] left = new double[Cell.LENGTH], right = new double[Cell.LENGTH];
    private final double[][] piece = new double[2][Cell.LENGTH], sum = new double[2][Cell.LENGTH];

    /** @param least samples it has in any case; it lasts as long as the longest of them */
    Mixture(double rate, int channels, long least, List<Voice> voices) {
        this(rate, channels, least, voices, (sound, at) -> new Ahead(sound));
    }

    /** Who reads a sound that begins there. */
    interface Readers {
        Ahead of(Sound sound, long at);
    }

    /** @param readers which others may share that read in step with this */
    Mixture(double rate, int channels, long least, List<Voice> voices, Readers readers) {
        this.rate = rate;
        this.channels = channels;
        this.voices = voices.toArray(Voice[]::new);
        ahead = voices.stream().map(v -> readers.of(v.sound, v.at)).toArray(Ahead[]::new);
        frames = Math.max(least, voices.stream().mapToLong(Voice::end).max().orElse(0));
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
    public void read(long from, double[][] into, int n) {
        for (int at = 0; at < n; at += Cell.LENGTH) {
            int m = Math.min(Cell.LENGTH, n - at);
            for (int c = 0; c < channels; c++) Arrays.fill(sum[c], 0, m, 0);
            for (int v = 0; v < voices.length; v++) {
                if (from + at < voices[v].end() && from + at + m > voices[v].at) add(voices[v], ahead[v], from + at, m);
            }
            for (int c = 0; c < channels; c++) System.arraycopy(sum[c], 0, into[c], at, m);
        }
    }

    private void add(Voice voice, Ahead ahead, long from, int n) {
        double level = voice.level.steady(from, n);
        if (level == 0) return;
        int own = voice.sound.channels(), begin = ahead.place(from - voice.at);
        if (Silence.in(ahead.held(0), begin, n) && (own == 1 || Silence.in(ahead.held(1), begin, n))) return;
        // What is held is for the next reader too; and what begins where its array does is added up several samples at a time.
        for (int c = 0; c < own; c++) System.arraycopy(ahead.held(c), begin, piece[c], 0, n);
        if (Double.isNaN(level)) {
            voice.level.process(from, piece, own, n, left); // which is filled only after
            level = 1;
        }
        // A stereo sound in a mono sum: the mean of its sides.
        if (channels == 1 && own == 2) for (int i = 0; i < n; i++) piece[0][i] += (piece[1][i] - piece[0][i]) / 2;
        if (voice.flipped) level = -level;
        if (voice.pan.moves()) voice.pan.gains(from, left, right, n);
        for (int c = 0; c < channels; c++) {
            double[] x = piece[Math.min(c, own - 1)];
            if (voice.pan.moves()) moving(x, level, c == 0 ? left : right, sum[c], n);
            else steady(x, level, voice.pan.gain(c), sum[c], n);
        }
    }

    private static void moving(double[] x, double level, double[] pan, double[] sum, int n) {
        for (int i = 0; i < n; i++) sum[i] += pan[i] * (x[i] * level);
    }

    private static void steady(double[] x, double level, double pan, double[] sum, int n) {
        for (int i = 0; i < n; i++) sum[i] += pan * (x[i] * level);
    }
}

package linnet.dsp.align;

import java.util.Arrays;
import java.util.function.LongPredicate;
import linnet.dsp.Approximation;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.dsp.pitch.Decimator;
import linnet.dsp.spectral.Fft;

/**
 * What a voice says, every 5 ms, whatever its pitch and its level: the cepstrum of its spectrum on the mel scale (S. Davis, P.
 * Mermelstein, IEEE TASSP 28(4), 1980), without its mean over the sound, so that a microphone makes no difference; how it changes over
 * 30 ms; and, with little weight, the level. Bands that lie 45 dB under their usual strength are as good as silent. The channels are
 * heard as their mean. Six numbers are kept of the cepstrum and not a dozen as is usual: what is finer shows the harmonics of a high voice, and a third
 * above would sound like other words. The bands are common practice, the weights were tried on doubles and harmonies.
 */
public final class Cepstra {
    private static final double STEP_S = 0.005, LOW_HZ = 150, HIGH_HZ = 6000;
    private static final int WINDOW_HZ = 45, BANDS = 20, KEPT = 6, REACH = 3;
    /** Numbers that stand for a frame. */
    static final int SIZE = 2 * KEPT + 1;
    /** Those but the level. */
    static final int SPOKEN = 2 * KEPT;
    private static final double CHANGE = 1.0, LEVEL = 0.15, FLOOR_DB = -45, SILENT_DB = -150;
    private static final int BLOCK = 4800;

    private final int hop;
    private final int frames;
    private final float[] db;
    private final float[] feature;

    /**
     * Hears a sound.
     *
     * @param wanted whether what lies around a sample may matter; elsewhere there is silence
     */
    public Cepstra(Sound sound, LongPredicate wanted) {
        int factor = Math.max(1, (int) Math.round(sound.rate() / 24_000));
        double slow = sound.rate() / factor;
        int step = (int) Math.round(STEP_S * slow);
        hop = step * factor;
        frames = (int) (sound.frames() / hop) + 1;
        db = new float[frames];
        float[] bands = new float[frames * BANDS];
        hear(sound, wanted, factor, step, Integer.highestOneBit((int) (slow / WINDOW_HZ)), bands);
        feature = new float[frames * SIZE];
        cepstra(bands);
        changes();
    }

    /** Samples from one frame to the next; frame f is heard around sample {@code f · hop}. */
    public int hop() {
        return hop;
    }

    public int frames() {
        return frames;
    }

    /** The frame nearest to a sample, held inside. */
    public int frame(long sample) {
        return (int) Math.max(0, Math.min(frames - 1, (sample + hop / 2) / hop));
    }

    /** The level between 150 Hz and 6 kHz around a frame, in dB beside full scale. */
    public double db(int frame) {
        return db[frame];
    }

    /** What a tenth of the frames that are heard are louder than, in dB. */
    double loud() {
        float[] heard = new float[frames];
        int n = 0;
        for (float level : db) if (level > SILENT_DB) heard[n++] = level;
        return n == 0 ? SILENT_DB : quantile(Arrays.copyOf(heard, n), 0.9f);
    }

    /** Adds the numbers of a frame but for its level. */
    void add(int frame, float[] to) {
        for (int k = 0; k < SPOKEN; k++) to[k] += feature[frame * SIZE + k];
    }

    /** How unlike a frame is another of another sound. */
    double distance(int frame, Cepstra other, int otherFrame) {
        float[] a = feature, b = other.feature;
        double sum = 0;
        for (int i = frame * SIZE, j = otherFrame * SIZE, end = i + SIZE; i < end; i++, j++) {
            double d = a[i] - b[j];
            sum += d * d;
        }
        return Math.sqrt(sum);
    }

    private void hear(Sound sound, LongPredicate wanted, int factor, int step, int length, float[] bands) {
        Mel mel = new Mel(length, sound.rate() / factor);
        Sound whole = new Excerpt(sound, 0, sound.frames() + (long) (length + step) * factor + 2L * BLOCK);
        Decimator decimator = new Decimator(factor, BLOCK);
        double[][] x = new double[sound.channels()][BLOCK];
        double[] slow = new double[length + step + BLOCK];
        // The window of frame 0 reaches half its length before the sound.
        int held = length / 2;
        long read = 0;
        for (int f = 0; f < frames; ) {
            whole.read(read, x, BLOCK);
            read += BLOCK;
            for (int c = 1; c < x.length; c++) for (int i = 0; i < BLOCK; i++) x[0][i] = 0.5 * (x[0][i] + x[c][i]);
            held += decimator.decimate(x[0], BLOCK, slow, held);
            int at = 0;
            for (; f < frames && at + length <= held; f++, at += step) {
                if (wanted.test((long) f * hop)) db[f] = (float) mel.hear(slow, at, bands, f * BANDS);
                else db[f] = (float) SILENT_DB;
            }
            held -= at;
            System.arraycopy(slow, at, slow, 0, held);
        }
    }

    /** Bands to cepstra: floors, logarithms, cosines, and the mean of what is loud taken out. */
    private void cepstra(float[] bands) {
        float loud = quantile(db, 0.9f);
        double[] usual = new double[BANDS];
        int count = 0;
        for (int f = 0; f < frames; f++) {
            if (db[f] < loud - 15) continue;
            for (int b = 0; b < BANDS; b++) usual[b] += bands[f * BANDS + b];
            count++;
        }
        double floor = StrictMath.pow(10, FLOOR_DB / 10), most = 1e-30;
        for (int b = 0; b < BANDS; b++) most = Math.max(most, usual[b] /= Math.max(1, count));
        // No band is so weak in a voice that its noise should count as speech.
        for (int b = 0; b < BANDS; b++) usual[b] = floor * Math.max(usual[b], 0.003 * most);
        double[][] cosine = new double[KEPT][BANDS];
        for (int k = 0; k < KEPT; k++) {
            for (int b = 0; b < BANDS; b++) cosine[k][b] = Math.sqrt(2.0 / BANDS) * StrictMath.cos(Math.PI * (k + 1) * (b + 0.5) / BANDS);
        }
        double[] log = new double[BANDS], mean = new double[KEPT];
        for (int f = 0; f < frames; f++) {
            for (int b = 0; b < BANDS; b++) log[b] = Approximation.log2(bands[f * BANDS + b] + usual[b]);
            for (int k = 0; k < KEPT; k++) {
                double sum = 0;
                for (int b = 0; b < BANDS; b++) sum += cosine[k][b] * log[b];
                feature[f * SIZE + k] = (float) sum;
                if (db[f] >= loud - 15) mean[k] += sum;
            }
            feature[f * SIZE + 2 * KEPT] = (float) (LEVEL * Math.max(-40, Math.min(5, db[f] - loud)));
        }
        for (int f = 0; f < frames; f++) for (int k = 0; k < KEPT; k++) feature[f * SIZE + k] -= (float) (mean[k] / Math.max(1, count));
    }

    private void changes() {
        for (int f = 0; f < frames; f++) {
            int before = Math.max(0, f - REACH) * SIZE, after = Math.min(frames - 1, f + REACH) * SIZE;
            for (int k = 0; k < KEPT; k++) feature[f * SIZE + KEPT + k] = (float) (CHANGE * (feature[after + k] - feature[before + k]));
        }
    }

    private static float quantile(float[] x, float share) {
        float[] sorted = x.clone();
        Arrays.sort(sorted);
        return sorted[(int) (share * (sorted.length - 1))];
    }

    /** The power of a window in bands whose triangles overlap by half and are evenly wide in mel. */
    private static final class Mel {
        private final Fft fft;
        private final double[] window, frame, re, im, share;
        private final int[] band;
        private final double scale;

        Mel(int length, double rate) {
            fft = new Fft(length);
            window = new double[length];
            double squares = 0;
            for (int i = 0; i < length; i++) {
                window[i] = 0.5 - 0.5 * StrictMath.cos(2 * Math.PI * (i + 0.5) / length);
                squares += window[i] * window[i];
            }
            scale = 2 / (length * squares);
            frame = new double[length];
            re = new double[fft.bins()];
            im = new double[fft.bins()];
            band = new int[re.length];
            share = new double[re.length];
            double low = mel(LOW_HZ), width = (mel(Math.min(HIGH_HZ, 0.45 * rate)) - low) / (BANDS + 1);
            for (int k = 0; k < re.length; k++) {
                double place = (mel(k * rate / length) - low) / width;
                band[k] = place < 0 || place >= BANDS + 1 ? -2 : (int) place;
                share[k] = place - band[k];
            }
        }

        private static double mel(double hz) {
            return 2595 * StrictMath.log10(1 + hz / 700);
        }

        /** Writes the power of each band, and returns the level of them all in dB. */
        double hear(double[] x, int at, float[] bands, int to) {
            for (int i = 0; i < frame.length; i++) frame[i] = window[i] * x[at + i];
            fft.forward(frame, re, im);
            double all = 1e-15;
            for (int k = 0; k < band.length; k++) {
                int b = band[k];
                if (b < -1) continue;
                double power = scale * (re[k] * re[k] + im[k] * im[k]);
                // Between two centres a bin belongs to both of them.
                if (b < BANDS) bands[to + b] += (float) (share[k] * power);
                if (b > 0) bands[to + b - 1] += (float) ((1 - share[k]) * power);
                all += power;
            }
            return 0.5 * Approximation.DB_PER_OCTAVE * Approximation.log2(all);
        }
    }
}

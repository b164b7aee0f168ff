package linnet.dsp.repair;

import java.util.Arrays;
import java.util.BitSet;
import linnet.dsp.Sound;
import linnet.dsp.spectral.Fft;

/**
 * The harmonics of a steady tone as they are heard through a sound: the complex amplitude of each at nodes half a window apart, under a Hann
 * window. Phases are those of a tone of exactly the nominal frequency that begins with the sound, so a tone of another frequency turns.
 */
final class Harmonics {
    private static final double SLOW_RATE = 4000;
    /** Nodes on each side that a louder one spoils, and the share of all that is taken for the quiet ones. */
    private static final int NEAR = 2;
    private static final double QUIET = 0.1;
    /** Hz between which a voice has several partials, and how few bins tell no noise from them. */
    private static final double LOWEST = 320, HIGHEST = 1500;
    private static final int FEW = 40;
    /** Geometric over arithmetic mean of the power in those bins: of white noise 0.56, of a room some less, of held notes under 0.03. */
    private static final double FLAT = 0.15;
    /** So few pauses tell nothing; and the share of them in which the recording itself may be silent. */
    private static final int FEWEST = 4;
    private static final double STOPPED = 0.75;

    final double nominal, rate;
    /** How many: 1, 2 and so on times the nominal frequency. */
    final int count;
    /** Samples from one node to the next; node n lies at sample n · step. */
    final int step;
    /** The nodes around which there is any sound. */
    final BitSet heard = new BitSet();
    /** {@code [channel][harmonic]}; zero where not heard. */
    final Nodes[][] amplitudes;
    private final int nodes;
    private final Sound sound;
    /** Null as long as nobody has asked. */
    private BitSet noise;

    /**
     * @param sound is read again where it is asked in which nodes there is noise
     * @param nominal frequency of the tone in Hz
     * @param step samples between nodes; a window has twice as many
     */
    Harmonics(Sound sound, double nominal, int count, int step) {
        this.sound = sound;
        this.nominal = nominal;
        this.count = count;
        this.step = step;
        rate = sound.rate();
        nodes = (int) ((sound.frames() + step - 1) / step) + 1;
        amplitudes = new Nodes[sound.channels()][count];
        for (Nodes[] channel : amplitudes) Arrays.setAll(channel, h -> new Nodes(nodes));
        int mean = slowness(2 * step, rate), length = 2 * step / mean;
        double[][][] probes = probes(mean, length);
        double[][] x = new double[sound.channels()][2 * step];
        for (int n = 1; (n + 1L) * step <= sound.frames(); n++) {
            sound.read((n - 1L) * step, x, 2 * step);
            for (int c = 0; c < x.length; c++) {
                double[] slow = means(x[c], mean, length);
                if (Arrays.stream(slow).allMatch(v -> v == 0)) continue;
                heard.set(n);
                hear(slow, probes, amplitudes[c], n);
            }
        }
    }

    /** Nodes around which there is nothing but noise above {@link #LOWEST}, as in a room where nobody sings. */
    BitSet noise() {
        if (noise != null) return noise;
        noise = new BitSet();
        int mean = slowness(2 * step, rate), length = 2 * step / mean;
        double[][] x = new double[sound.channels()][2 * step];
        Flatness flatness = new Flatness(length, rate / mean);
        for (int n = heard.nextSetBit(0); n >= 0; n = heard.nextSetBit(n + 1)) {
            sound.read((n - 1L) * step, x, 2 * step);
            for (double[] channel : x) flatness.add(means(channel, mean, length));
            noise.set(n, flatness.isNoise());
        }
        return noise;
    }

    int nodes() {
        return nodes;
    }

    double seconds(double nodes) {
        return nodes * step / rate;
    }

    private static int slowness(int window, double rate) {
        int mean = Math.max(1, (int) (rate / SLOW_RATE));
        while (window % mean != 0) mean--;
        return mean;
    }

    private static double[] means(double[] x, int mean, int length) {
        double[] slow = new double[length];
        for (int i = 0; i < length; i++) {
            double sum = 0;
            for (int k = i * mean; k < (i + 1) * mean; k++) sum += x[k];
            slow[i] = sum / mean;
        }
        return slow;
    }

    /** Window times the conjugate of each harmonic with no phase at the node, scaled so that the product with the harmonic gives its amplitude. */
    private double[][][] probes(int mean, int length) {
        double[][][] probes = new double[count][2][length];
        for (int h = 0; h < count; h++) {
            double w = 2 * Math.PI * (h + 1) * nominal / rate;
            // What the mean over its samples leaves of the harmonic.
            double left = StrictMath.sin(w * mean / 2) / (mean * StrictMath.sin(w / 2));
            for (int i = 0; i < length; i++) {
                double window = 0.5 - 0.5 * StrictMath.cos(2 * Math.PI * (i + 0.5) / length);
                double at = i * mean + (mean - 1) / 2.0 - step;
                double scale = 4 * window / (length * left);
                probes[h][0][i] = scale * StrictMath.cos(w * at);
                probes[h][1][i] = -scale * StrictMath.sin(w * at);
            }
        }
        return probes;
    }

    private void hear(double[] slow, double[][][] probes, Nodes[] to, int n) {
        for (int h = 0; h < count; h++) {
            double a = 0, b = 0;
            for (int i = 0; i < slow.length; i++) {
                a += probes[h][0][i] * slow[i];
                b += probes[h][1][i] * slow[i];
            }
            double cycles = fraction((h + 1) * nominal * n * step / rate), c = StrictMath.cos(2 * Math.PI * cycles), s = -StrictMath.sin(2 * Math.PI * cycles);
            to[h].set(n, a * c - b * s, a * s + b * c);
        }
    }

    /** Turns a phase back by so many cycles. */
    static void turn(double[] re, double[] im, int n, double cycles) {
        double c = StrictMath.cos(2 * Math.PI * cycles), s = -StrictMath.sin(2 * Math.PI * cycles), r = re[n];
        re[n] = r * c - im[n] * s;
        im[n] = r * s + im[n] * c;
    }

    /** The amplitudes of the mean of all channels. */
    Nodes[] middle() {
        if (amplitudes.length == 1) return amplitudes[0];
        Nodes[] mean = new Nodes[count];
        for (int h = 0; h < count; h++) {
            mean[h] = new Nodes(nodes);
            for (int n = heard.nextSetBit(0); n >= 0; n = heard.nextSetBit(n + 1)) {
                double a = 0, b = 0;
                for (Nodes[] channel : amplitudes) {
                    a += channel[h].re(n) / amplitudes.length;
                    b += channel[h].im(n) / amplitudes.length;
                }
                mean[h].set(n, a, b);
            }
        }
        return mean;
    }

    /**
     * How loud it is around each node, as a multiple of the quiet ones: 1 where the harmonic is heard best, many times that where somebody
     * sings. Not less than the quiet ones, and not by chance: what lies near counts too. The last place has the power of the quiet ones.
     */
    double[] loudness(Nodes amplitude) {
        double[] loud = new double[nodes + 1];
        for (int n = heard.nextSetBit(0); n >= 0; n = heard.nextSetBit(n + 1)) {
            double power = amplitude.power(n);
            for (int i = Math.max(0, n - NEAR); i <= Math.min(nodes - 1, n + NEAR); i++) loud[i] = Math.max(loud[i], power);
        }
        double[] sorted = heard.stream().mapToDouble(n -> loud[n]).filter(v -> v > 0).sorted().toArray();
        if (sorted.length == 0) return loud;
        double quiet = sorted[(int) (QUIET * sorted.length)];
        for (int n = 0; n < nodes; n++) loud[n] = Math.max(1, loud[n] / quiet);
        loud[nodes] = quiet;
        return loud;
    }

    /**
     * The power where nobody sings, for a tone that never stops is there, too: by the nodes with nothing but noise at them and at those beside
     * them, the mean of that noise of which three quarters are fainter than so much. Powers of noise are exponentially distributed, and those of
     * a tone with noise lie nearer to their mean, so that it is not under this by more than {@link HumSearch} allows. It is the upper quarter so
     * that a recording that is silent for a while does not speak for the pauses. Infinite where there are too few to tell.
     */
    double unsung(Nodes amplitude) {
        BitSet quiet = noise();
        double[] sorted = quiet.stream().filter(n -> n > 0 && quiet.get(n - 1) && quiet.get(n + 1)).mapToDouble(amplitude::power).sorted().toArray();
        return sorted.length < FEWEST ? Double.POSITIVE_INFINITY : sorted[(int) (STOPPED * sorted.length)] / -StrictMath.log1p(-STOPPED);
    }

    static double fraction(double cycles) {
        return cycles - Math.floor(cycles);
    }

    /** Tells noise from what has partials by the power of all channels in the bins of a window. */
    private static final class Flatness {
        private final Fft fft;
        private final double[] window, x, re, im, power;
        private final int from, to;

        Flatness(int length, double rate) {
            fft = new Fft(Math.max(2, Integer.highestOneBit(2 * length - 1)));
            window = new double[length];
            for (int i = 0; i < length; i++) window[i] = 0.5 - 0.5 * StrictMath.cos(2 * Math.PI * (i + 0.5) / length);
            x = new double[fft.length()];
            re = new double[fft.bins()];
            im = new double[fft.bins()];
            power = new double[fft.bins()];
            from = (int) Math.ceil(LOWEST * fft.length() / rate);
            to = Math.min(fft.bins(), (int) (HIGHEST * fft.length() / rate) + 1);
        }

        void add(double[] slow) {
            for (int i = 0; i < slow.length; i++) x[i] = window[i] * slow[i];
            fft.forward(x, re, im);
            for (int k = from; k < to; k++) power[k] += re[k] * re[k] + im[k] * im[k];
        }

        /** Of all that was added, which is then forgotten. */
        boolean isNoise() {
            double sum = 0, logs = 0;
            for (int k = from; k < to; k++) {
                sum += power[k];
                logs += StrictMath.log(power[k]);
                power[k] = 0;
            }
            int bins = to - from;
            return bins >= FEW && sum > 0 && StrictMath.exp(logs / bins) > FLAT * sum / bins;
        }
    }
}

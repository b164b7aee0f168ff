package linnet.dsp.repair;

import java.util.Arrays;
import java.util.BitSet;
import linnet.dsp.Sound;

/**
 * The harmonics of a steady tone as they are heard through a sound: the complex amplitude of each at nodes half a window apart, under a Hann
 * window. Phases are those of a tone of exactly the nominal frequency that begins with the sound, so a tone of another frequency turns.
 */
final class Harmonics {
    private static final double SLOW_RATE = 4000;
    /** Nodes on each side that a louder one spoils, and the share of all that is taken for the quiet ones. */
    private static final int NEAR = 2;
    private static final double QUIET = 0.1;
    /** The share of all that the pauses of a song have at least, if only breath is taken in them, and how many may be so faint by chance. */
    private static final double RARE = 0.02;
    private static final int BY_CHANCE = 2;

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

    /**
     * @param nominal frequency of the tone in Hz
     * @param step samples between nodes; a window has twice as many
     */
    Harmonics(Sound sound, double nominal, int count, int step) {
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
     * The power in the rarest pauses, for a tone that never stops is in them, too: the mean of that noise of which as few nodes in a row are as
     * faint. Of two nodes in a row the louder one counts, so that chance makes few faint ones; the powers of noise are exponentially distributed,
     * and of a tone with noise they lie nearer to their mean, so it is never under this. A node beside digital silence is no witness, as its
     * window may be empty but for an edge.
     */
    double quietest(Nodes amplitude) {
        double[] sorted = heard.stream().filter(n -> n > 0 && heard.get(n - 1) && heard.get(n + 1) && heard.get(n + 2))
                .mapToDouble(n -> Math.max(amplitude.power(n), amplitude.power(n + 1))).sorted().toArray();
        if (sorted.length == 0) return Double.POSITIVE_INFINITY;
        int rank = Math.min(sorted.length - 1, BY_CHANCE + (int) (RARE * sorted.length));
        double share = (rank + 0.5) / sorted.length;
        return sorted[rank] / -StrictMath.log1p(-Math.sqrt(share));
    }

    static double fraction(double cycles) {
        return cycles - Math.floor(cycles);
    }
}

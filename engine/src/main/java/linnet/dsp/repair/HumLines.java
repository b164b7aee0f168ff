package linnet.dsp.repair;

import java.util.Arrays;
import java.util.BitSet;
import java.util.Optional;
import java.util.stream.IntStream;
import linnet.dsp.Decibels;
import linnet.dsp.Sound;

/**
 * Mains hum as it runs through a sound, to be subtracted. Its harmonics are heard in phase where little else sounds at their frequency, and
 * carried across what does: a voice that passes through 100 Hz loses nothing, as it would to a notch. In the pauses the effect is that of a
 * notch of the given width.
 */
public final class HumLines {
    /** A window of two steps holds whole cycles of the distance of two harmonics, so that they don't hear each other. */
    private static final double STEP_SECONDS = 0.05;
    /** In a step. */
    private static final int PIECES = 5;
    /** What is looked for and how, where nobody says otherwise: the highest harmonic, and Hz of the notch in a pause. */
    public static final int USUAL_HARMONICS = 10;
    public static final double USUAL_WIDTH = 0.4;
    private static final double[] MAINS = {50, 60};
    private static final double HIGHEST = 0.4;
    private static final double WANDER_SECONDS = 4;
    private static final int PASSES = 3;
    /** In dBFS: what is fainter no file holds, but the arithmetic, as of a sound that is nothing but an offset. */
    private static final double ROUNDING = -160;

    private final double rate, hz, certainty;
    private final int step;
    private final int[] numbers;
    /** {@code [channel][line][node]} */
    private final double[][][] re, im;

    private HumLines(Harmonics tone, HumSearch found, int[] numbers, double[][][] re, double[][][] im) {
        rate = tone.rate;
        step = tone.step;
        hz = tone.nominal + found.detuning;
        certainty = found.certainty();
        this.numbers = numbers;
        this.re = re;
        this.im = im;
    }

    /** The frequencies that mains may have where nobody says which, in Hz. */
    public static double[] mains() {
        return MAINS.clone();
    }

    /** Samples of 10 ms: so many between the points from which what is subtracted is computed anew. */
    public static int piece(double rate) {
        return (int) Math.round(STEP_SECONDS / PIECES * rate);
    }

    /** Samples from node to node: a whole number of pieces. */
    public static int step(double rate) {
        return PIECES * piece(rate);
    }

    /**
     * Looks for it in a sound.
     *
     * @param mains the frequencies that it may have, each within 0.4 Hz
     * @param most the highest harmonic to be taken
     * @param step samples from node to node, usually as {@link #step} has it
     * @param width Hz, of the notch to which it comes in a pause, between its -6 dB points
     * @return empty where there is none
     */
    public static Optional<HumLines> find(Sound sound, double[] mains, int most, int step, double width) {
        Harmonics tone = null;
        HumSearch found = null;
        for (double hz : mains) {
            Harmonics here = new Harmonics(sound, hz, Math.min(most, (int) (HIGHEST * sound.rate() / hz)), step);
            HumSearch search = HumSearch.in(here);
            if (found != null && search.proof < found.proof) continue;
            tone = here;
            found = search;
        }
        if (!found.proved()) return Optional.empty();
        HumSearch search = found;
        int[] lines = IntStream.range(0, tone.count).filter(search::standsOut).toArray();
        // In less than half a second none can by itself, though all together prove it.
        return lines.length == 0 ? Optional.empty() : Optional.of(follow(tone, lines, found, width)).filter(l -> l.dbfs() > ROUNDING);
    }

    private static HumLines follow(Harmonics tone, int[] lines, HumSearch found, double width) {
        double detuning = found.detuning;
        int channels = tone.amplitudes.length;
        double[][][] re = new double[channels][lines.length][], im = new double[channels][lines.length][], loud = new double[channels][lines.length][];
        for (int c = 0; c < channels; c++) for (int k = 0; k < lines.length; k++) loud[c][k] = tone.loudness(tone.amplitudes[c][lines[k]]);
        RandomWalk walk = new RandomWalk(Math.max(1, 1 / (Math.PI * width * tone.seconds(1))));
        double[] cycles = new double[tone.nodes()];
        for (int n = 0; n < cycles.length; n++) cycles[n] = detuning * tone.seconds(n);
        for (int pass = 0; ; pass++) {
            for (int c = 0; c < channels; c++) {
                for (int k = 0; k < lines.length; k++) {
                    re[c][k] = tone.amplitudes[c][lines[k]].re();
                    im[c][k] = tone.amplitudes[c][lines[k]].im();
                    turn(re[c][k], im[c][k], cycles, lines[k] + 1);
                    walk.smooth(re[c][k], tone.heard, loud[c][k]);
                    walk.smooth(im[c][k], tone.heard, loud[c][k]);
                }
            }
            if (pass == PASSES) break;
            wander(tone, lines, re, im, loud, cycles);
        }
        // Back to a tone of the frequency found, so that the wandering is in the amplitudes.
        for (int n = 0; n < cycles.length; n++) cycles[n] = detuning * tone.seconds(n) - cycles[n];
        for (int c = 0; c < channels; c++) for (int k = 0; k < lines.length; k++) turn(re[c][k], im[c][k], cycles, lines[k] + 1);
        return new HumLines(tone, found, Arrays.stream(lines).map(h -> h + 1).toArray(), re, im);
    }

    private static void turn(double[] re, double[] im, double[] cycles, int times) {
        for (int n = 0; n < re.length; n++) Harmonics.turn(re, im, n, Harmonics.fraction(times * cycles[n]));
    }

    /**
     * What all harmonics still turn, each by its number, is the wandering of the mains: the least squares of it over some seconds are added
     * to the phase.
     */
    private static void wander(Harmonics tone, int[] lines, double[][][] re, double[][][] im, double[][][] loud, double[] cycles) {
        int nodes = cycles.length, reach = (int) Math.round(WANDER_SECONDS / 2 / tone.seconds(1));
        double[] turned = new double[nodes + 1], weight = new double[nodes + 1];
        for (int n = 1; n < nodes; n++) {
            double sum = 0, all = 0;
            for (int c = 0; c < re.length; c++) {
                for (int k = 0; k < lines.length; k++) {
                    double[] r = re[c][k], i = im[c][k];
                    double number = lines[k] + 1, sure = 1 / loud[c][k][nodes];
                    sum += sure * number * (i[n] * r[n - 1] - r[n] * i[n - 1]);
                    all += sure * number * number * (r[n] * r[n - 1] + i[n] * i[n - 1]);
                }
            }
            turned[n + 1] = turned[n] + sum / (2 * Math.PI);
            weight[n + 1] = weight[n] + all;
        }
        double gained = 0;
        for (int n = 1; n < nodes; n++) {
            int from = Math.max(1, n - reach), to = Math.min(nodes, n + reach + 1);
            double all = weight[to] - weight[from];
            if (all > 0) gained += (turned[to] - turned[from]) / all;
            cycles[n] += gained;
        }
    }

    /** Frequency of the mains, as found. */
    public double hz() {
        return hz;
    }

    /** The harmonics found, 1 for the mains themselves. */
    public int[] numbers() {
        return numbers.clone();
    }

    /** From 0.5, where it is just proved, towards 1. */
    public double certainty() {
        return certainty;
    }

    /** RMS of all together, in dBFS. */
    public double dbfs() {
        double sum = 0;
        for (int k = 0; k < numbers.length; k++) sum += power(k);
        return Decibels.ofPower(sum);
    }

    /** RMS of each of them, in dBFS. */
    public double[] eachDbfs() {
        return IntStream.range(0, numbers.length).mapToDouble(k -> Decibels.ofPower(power(k))).toArray();
    }

    private double power(int k) {
        double sum = 0;
        for (int c = 0; c < re.length; c++) for (int n = 0; n < re[c][k].length; n++) sum += re[c][k][n] * re[c][k][n] + im[c][k][n] * im[c][k][n];
        return sum / 2 / re.length / re[0][0].length;
    }

    /**
     * What subtracts it, from the first sample of the sound on.
     *
     * @param piece samples between the points from which it is computed anew; a step is a whole number of them
     * @param leave the pieces that are left to the bit; it fades over the pieces beside them
     */
    public Subtractor subtractor(int piece, BitSet leave) {
        return new Subtractor(piece, leave);
    }

    /** Subtracts it from the sound, which comes in order and without gap. */
    public final class Subtractor {
        private final int piece;
        private final long pieces;
        private final BitSet leave;
        private final double[][] now = new double[re.length][numbers.length], before = new double[re.length][numbers.length];
        private final double[][] slope = new double[re.length][numbers.length], slopeBefore = new double[re.length][numbers.length];
        private final double[] twice = new double[numbers.length];
        private boolean silent;

        private Subtractor(int piece, BitSet leave) {
            if (step % piece != 0) throw new IllegalArgumentException(piece + " samples don't divide a step of " + step);
            this.piece = piece;
            this.leave = leave;
            pieces = (long) (re[0][0].length - 1) * (step / piece);
        }

        /**
         * @param at the sample of the sound that {@code x[c][0]} is; before its first and after its last nothing is done
         */
        public void process(long at, double[][] x, int n) {
            for (int i = (int) Math.max(0, Math.min(n, -at)); i < n; ) {
                long number = (at + i) / piece;
                int into = (int) ((at + i) % piece);
                if (number >= pieces) return;
                if (into == 0) begin((int) number);
                int to = Math.min(n, i + piece - into);
                if (!silent) for (int c = 0; c < re.length; c++) subtract(x[c], c, i, to, into);
                i = to;
            }
        }

        private void begin(int number) {
            double start = share(number), end = share(number + 1);
            silent = start == 0 && end == 0;
            if (silent) return;
            int perNode = step / piece, node = number / perNode;
            double from = (double) (number % perNode) / perNode, to = from + 1.0 / perNode;
            for (int k = 0; k < numbers.length; k++) {
                double w = 2 * Math.PI * numbers[k] * hz / rate, phase = 2 * Math.PI * Harmonics.fraction(numbers[k] * hz * number * piece / rate);
                double cos = StrictMath.cos(phase), sin = StrictMath.sin(phase), cosBefore = StrictMath.cos(phase - w), sinBefore = StrictMath.sin(phase - w);
                twice[k] = 2 * StrictMath.cos(w);
                for (int c = 0; c < re.length; c++) {
                    double a = start * between(re[c][k], node, from), b = start * between(im[c][k], node, from);
                    double da = (end * between(re[c][k], node, to) - a) / piece, db = (end * between(im[c][k], node, to) - b) / piece;
                    now[c][k] = a * cos - b * sin;
                    before[c][k] = a * cosBefore - b * sinBefore;
                    slope[c][k] = da * cos - db * sin;
                    slopeBefore[c][k] = da * cosBefore - db * sinBefore;
                }
            }
        }

        private double share(int border) {
            return leave.get(border) || border > 0 && leave.get(border - 1) ? 0 : 1;
        }

        private static double between(double[] values, int node, double share) {
            return values[node] + share * (values[node + 1] - values[node]);
        }

        /** Each a sine by recurrence, and one more that grows. */
        private void subtract(double[] x, int c, int from, int to, int into) {
            for (int k = 0; k < numbers.length; k++) {
                double y = now[c][k], z = before[c][k], dy = slope[c][k], dz = slopeBefore[c][k], turn = twice[k];
                for (int i = from, t = into; i < to; i++, t++) {
                    x[i] -= y + t * dy;
                    double next = turn * y - z, dNext = turn * dy - dz;
                    z = y;
                    y = next;
                    dz = dy;
                    dy = dNext;
                }
                now[c][k] = y;
                before[c][k] = z;
                slope[c][k] = dy;
                slopeBefore[c][k] = dz;
            }
        }
    }
}

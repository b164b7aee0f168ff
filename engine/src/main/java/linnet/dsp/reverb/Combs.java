package linnet.dsp.reverb;

import java.util.Arrays;
import linnet.dsp.Cell;

/**
 * Eight parallel low-pass combs into four diffusers in series, for each side: the structure of M. R. Schroeder (1962) and
 * J. A. Moorer (1979) in its well-known public-domain tuning for 44.1 kHz, at any rate and size. Both sides hear the sum
 * of the input; the right side's lines are 23 samples longer, which takes the two apart.
 *
 * <p>The published tuning gives all combs one feedback, so the shortest dies 1.45 times as fast as the longest. Here each has
 * the {@link Absorption} its length needs, and the whole tail falls along one line. The diffusers, which are short against a hall, take a third of a second
 * to die down by themselves: with shorter rooms the lines are shorter, or the tail would begin to fall late, by half as long again at 0.3 s.
 *
 * <p>Level: a comb of gain g answers noise with 1 / (1 - g^2) times its power, a diffuser with 1 + 1 / (1 - 0.5^2) times;
 * combs of unequal length add in power. The input gain makes the product 1 at the mid frequency.
 */
final class Combs implements Room {
    private static final int[] COMBS = {1116, 1188, 1277, 1356, 1422, 1491, 1557, 1617};
    private static final int[] DIFFUSERS = {556, 441, 341, 225};
    private static final int SPREAD = 23;
    private static final double TUNED_AT = 44100;
    /** Seconds of decay from which on the lines are as published; a room of shorter decay is smaller. */
    private static final double AS_PUBLISHED = 0.8;
    private static final double DIFFUSER_POWER = 1 + 1 / (1 - 0.25);

    private final double inputGain;
    private final Side left, right;
    private final double[] x = new double[Cell.LENGTH];
    private final int firstArrival, longestLine;
    private boolean silent = true;

    /**
     * @param size length of the lines against those that suit the decay: from 0.8 s on 1 is as published
     * @param decay seconds to fall by 60 dB in the mid bands
     * @param damping how much shorter the decay is at 8 kHz: 0 to 0.8
     */
    Combs(double rate, double size, double decay, double damping) {
        double scale = scale(rate, size, decay);
        int spread = Math.max(1, (int) Math.round(SPREAD * scale));
        Absorption[][] loss = new Absorption[2][COMBS.length];
        double power = 0;
        for (int side = 0; side < 2; side++) {
            for (int k = 0; k < COMBS.length; k++) {
                loss[side][k] = Absorption.of(rate, length(COMBS[k], scale) + side * spread, decay, damping);
                double g = loss[side][k].mid(rate);
                power += 0.5 / (1 - g * g);
            }
        }
        left = new Side(scale, 0, loss[0]);
        right = new Side(scale, spread, loss[1]);
        firstArrival = firstArrival(rate, size, decay);
        longestLine = length(COMBS[COMBS.length - 1], scale) + spread;
        inputGain = 1 / Math.sqrt(power * StrictMath.pow(DIFFUSER_POWER, DIFFUSERS.length));
    }

    static int firstArrival(double rate, double size, double decay) {
        return length(COMBS[0], scale(rate, size, decay));
    }

    private static double scale(double rate, double size, double decay) {
        return size * Math.sqrt(Math.min(1, decay / AS_PUBLISHED)) * rate / TUNED_AT;
    }

    /** Gain from the mid of the input to the combs. */
    double inputGain() {
        return inputGain;
    }

    /** The losses of the combs of one side, 0 or 1. */
    Absorption[] losses(int side) {
        return (side == 0 ? left : right).losses.clone();
    }

    @Override
    public int firstArrival() {
        return firstArrival;
    }

    @Override
    public int longestLine() {
        return longestLine;
    }

    @Override
    public void process(double[] l, double[] r, int n) {
        if (silent && Lines.silent(l, r, n)) return;
        double gain = inputGain / 2;
        for (int i = 0; i < n; i++) x[i] = (l[i] + r[i]) * gain;
        answer(l, r, n);
    }

    @Override
    public void processMono(double[] l, double[] r, int n) {
        if (silent && Lines.silent(l, l, n)) {
            System.arraycopy(l, 0, r, 0, n);
            return;
        }
        for (int i = 0; i < n; i++) x[i] = l[i] * inputGain;
        answer(l, r, n);
    }

    private void answer(double[] l, double[] r, int n) {
        silent = false;
        left.process(x, l, n);
        right.process(x, r, n);
    }

    @Override
    public boolean rests() {
        return silent;
    }

    @Override
    public void settle() {
        if (!silent) silent = left.settle() & right.settle();
    }

    private static int length(int published, double scale) {
        return Math.max(1, (int) Math.round(published * scale));
    }

    /** The combs and diffusers of one channel. */
    private static final class Side {
        private final Absorption[] losses;
        private final double[][] comb = new double[COMBS.length][], diffuser = new double[DIFFUSERS.length][];
        private final int[] combAt = new int[COMBS.length], diffuserAt = new int[DIFFUSERS.length];
        /** Per comb: the share of the line in the low-pass, times the feedback; the pole; the state, feedback included. */
        private final double[] fresh = new double[COMBS.length], pole = new double[COMBS.length], state = new double[COMBS.length];

        Side(double scale, int spread, Absorption[] losses) {
            this.losses = losses;
            for (int k = 0; k < COMBS.length; k++) {
                comb[k] = new double[length(COMBS[k], scale) + spread];
                fresh[k] = losses[k].gain() * (1 - losses[k].pole());
                pole[k] = losses[k].pole();
            }
            for (int k = 0; k < DIFFUSERS.length; k++) diffuser[k] = new double[length(DIFFUSERS[k], scale) + spread];
        }

        void process(double[] x, double[] y, int n) {
            Arrays.fill(y, 0, n, 0);
            for (int g = 0; g < COMBS.length; g += 4) {
                for (int i = 0, run; i < n; i += run) {
                    run = n - i;
                    for (int k = g; k < g + 4; k++) run = Math.min(run, comb[k].length - combAt[k]);
                    fourCombs(x, y, i, run, comb, combAt, g, fresh, pole, state);
                    for (int k = g; k < g + 4; k++) combAt[k] = (combAt[k] + run) % comb[k].length;
                }
            }
            for (int k = 0; k < DIFFUSERS.length; k++) {
                for (int i = 0, run; i < n; i += run) {
                    run = Math.min(n - i, diffuser[k].length - diffuserAt[k]);
                    diffuse(y, i, run, diffuser[k], diffuserAt[k]);
                    diffuserAt[k] = (diffuserAt[k] + run) % diffuser[k].length;
                }
            }
        }

        /** Adds four combs at once: four recurrences in flight hide each other's latency. */
        private static void fourCombs(double[] x, double[] y, int from, int n, double[][] comb, int[] at, int g,
                double[] fresh, double[] pole, double[] state) {
            double[] c0 = comb[g], c1 = comb[g + 1], c2 = comb[g + 2], c3 = comb[g + 3];
            int a0 = at[g], a1 = at[g + 1], a2 = at[g + 2], a3 = at[g + 3];
            double e0 = fresh[g], e1 = fresh[g + 1], e2 = fresh[g + 2], e3 = fresh[g + 3];
            double d0 = pole[g], d1 = pole[g + 1], d2 = pole[g + 2], d3 = pole[g + 3];
            double s0 = state[g], s1 = state[g + 1], s2 = state[g + 2], s3 = state[g + 3];
            for (int i = 0; i < n; i++) {
                double in = x[from + i], o0 = c0[a0 + i], o1 = c1[a1 + i], o2 = c2[a2 + i], o3 = c3[a3 + i];
                s0 = o0 * e0 + s0 * d0;
                s1 = o1 * e1 + s1 * d1;
                s2 = o2 * e2 + s2 * d2;
                s3 = o3 * e3 + s3 * d3;
                c0[a0 + i] = in + s0;
                c1[a1 + i] = in + s1;
                c2[a2 + i] = in + s2;
                c3[a3 + i] = in + s3;
                y[from + i] += (o0 + o1) + (o2 + o3);
            }
            state[g] = s0;
            state[g + 1] = s1;
            state[g + 2] = s2;
            state[g + 3] = s3;
        }

        /** The published diffuser: meant as an all-pass, but (-1 + 1.5 z^-D) / (1 - 0.5 z^-D), with a ripple of 4.4 dB. */
        private static void diffuse(double[] y, int from, int n, double[] line, int at) {
            for (int i = 0; i < n; i++) {
                double o = line[at + i], in = y[from + i];
                line[at + i] = in + o * 0.5;
                y[from + i] = o - in;
            }
        }

        /** As only a loop near silence holds small states, a live one costs no scan of its lines. */
        boolean settle() {
            boolean quiet = true;
            for (double s : state) quiet &= Math.abs(s) < Cell.SILENCE;
            return quiet && Lines.settle(state) & Lines.settle(comb) & Lines.settle(diffuser);
        }
    }
}

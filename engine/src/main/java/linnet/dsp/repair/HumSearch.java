package linnet.dsp.repair;

import java.util.Arrays;

/**
 * Whether hum runs through a sound, and at which exact frequency: the sound is cut into stretches over which mains keep their phase, and for
 * each frequency near the nominal the harmonics are summed in phase over a stretch, quiet moments counting most. Of noise the sum has a known
 * distribution, and how far it stands out of that, over all stretches, is the proof.
 */
final class HumSearch {
    private static final double STRETCH = 8, REACH = 0.4, GRID = 0.005;
    /** Harmonics above this add little, and a voice has more steady places there. */
    private static final double PROVING = 310;
    /** Deviations. The first gives less than one false alarm in a thousand takes, with all frequencies tried. */
    private static final double PROOF = 5.5, STANDS_OUT = 3;
    /** Windows that overlap by half share a sixth of their noise, so sums over many have a third more power. */
    private static final double OVERLAP = 4 / 3.0;
    /** A hum never stops: it is no louder than the sound in its quiet moments and where nobody sings, but for this. */
    private static final double NEVER_STOPS = 2;

    /** Off the nominal frequency by so many Hz. */
    final double detuning;
    /** In deviations of noise. */
    final double proof;
    private final double[] deviations;

    /** Where nobody sings is looked for only if there may be a hum. */
    static HumSearch in(Harmonics tone) {
        HumSearch search = new HumSearch(tone, false);
        return search.proved() ? new HumSearch(tone, true) : search;
    }

    /** @param unsung whether it must be heard where nobody sings */
    HumSearch(Harmonics tone, boolean unsung) {
        int points = 2 * (int) Math.round(REACH / GRID) + 1;
        int stretch = (int) Math.round(STRETCH / tone.seconds(1)), stretches = Math.max(1, (tone.nodes() + stretch / 2) / stretch);
        double[][] sums = new double[tone.count][points];
        Nodes[] middle = tone.middle();
        double[] sumRe = new double[points], sumIm = new double[points];
        for (int h = 0; h < tone.count; h++) {
            Nodes at = middle[h];
            double[] loud = tone.loudness(at);
            double quiet = unsung ? Math.min(loud[tone.nodes()], tone.unsung(at)) : loud[tone.nodes()];
            for (int s = 0; s < stretches; s++) {
                int from = s * stretch, to = s == stretches - 1 ? tone.nodes() : from + stretch;
                Arrays.fill(sumRe, 0);
                Arrays.fill(sumIm, 0);
                double power = 0, weight = 0;
                for (int n = tone.heard.nextSetBit(from); n >= 0 && n < to; n = tone.heard.nextSetBit(n + 1)) {
                    double w = 1 / loud[n];
                    power += w * w * at.power(n);
                    weight += w;
                    double turn = -2 * Math.PI * (h + 1) * tone.seconds(n - (from + to) / 2), cos = StrictMath.cos(turn * GRID),
                            sin = StrictMath.sin(turn * GRID);
                    double c = StrictMath.cos(turn * REACH), d = -StrictMath.sin(turn * REACH);
                    double a = w * (at.re(n) * c - at.im(n) * d), b = w * (at.re(n) * d + at.im(n) * c);
                    for (int g = 0; g < points; g++) {
                        sumRe[g] += a;
                        sumIm[g] += b;
                        double next = a * cos - b * sin;
                        b = a * sin + b * cos;
                        a = next;
                    }
                }
                if (power == 0) continue;
                for (int g = 0; g < points; g++) {
                    double sum = sumRe[g] * sumRe[g] + sumIm[g] * sumIm[g];
                    if (sum < NEVER_STOPS * quiet * weight * weight) sums[h][g] += sum / power / OVERLAP;
                }
            }
        }
        int best = 0;
        double most = Double.NEGATIVE_INFINITY;
        for (int g = 0; g < points; g++) {
            double here = proof(tone, sums, g, stretches);
            if (here <= most) continue;
            most = here;
            best = g;
        }
        proof = most;
        detuning = best * GRID - REACH;
        deviations = new double[tone.count];
        for (int h = 0; h < tone.count; h++) deviations[h] = deviations(sums[h][best], stretches);
    }

    boolean proved() {
        return proof > PROOF;
    }

    /** From 0.5, where it is just proved, towards 1. */
    double certainty() {
        return 1 - PROOF / proof / 2;
    }

    boolean standsOut(int h) {
        return deviations[h] > STANDS_OUT;
    }

    /** Of one harmonic, or of the first ones together. */
    private static double proof(Harmonics tone, double[][] sums, int g, int stretches) {
        double sum = 0, most = Double.NEGATIVE_INFINITY;
        for (int h = 0; h < tone.count && (h + 1) * tone.nominal < PROVING; h++) {
            double here = deviations(sums[h][g], stretches);
            sum += here;
            most = Math.max(most, Math.max(here, sum / Math.sqrt(h + 1)));
        }
        return most;
    }

    /** Of a sum of exponentially distributed powers of mean 1, as those of a normal distribution (E. Wilson, M. Hilferty, PNAS 17, 1931). */
    private static double deviations(double sum, int count) {
        return 3 * Math.sqrt(count) * (StrictMath.cbrt(sum / count) - 1 + 1 / (9.0 * count));
    }
}

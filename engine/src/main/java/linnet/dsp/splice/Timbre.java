package linnet.dsp.splice;

import linnet.dsp.Decibels;
import linnet.dsp.spectral.Fft;

/** The octaves of a stretch of sound, to tell how far two takes differ in tone: a singer who came nearer has more body. */
public final class Timbre {
    private static final int WINDOW = 2048;
    /** In Hz: the middle of the lowest octave, and how many there are. */
    private static final double LOWEST = 125;
    private static final int OCTAVES = 7;
    /** What lies further below the strongest octave of both is covered by it, or is noise. */
    private static final double HEARD = 35;
    private static final double FAINT = 1e-10;

    private final double[] power = new double[OCTAVES];

    /** Of the first {@code n} samples of all channels; half windows overlap. */
    public Timbre(double[][] x, int n, double rate) {
        Fft fft = new Fft(WINDOW);
        double[] piece = new double[WINDOW], re = new double[fft.bins()], im = new double[fft.bins()];
        for (int at = 0; at + WINDOW <= n; at += WINDOW / 2) {
            for (double[] channel : x) {
                for (int i = 0; i < WINDOW; i++) piece[i] = channel[at + i] * (0.5 - 0.5 * StrictMath.cos(2 * Math.PI * (i + 0.5) / WINDOW));
                fft.forward(piece, re, im);
                for (int k = 1; k < re.length; k++) {
                    int octave = octave(k * rate / WINDOW);
                    if (octave >= 0 && octave < OCTAVES) power[octave] += re[k] * re[k] + im[k] * im[k];
                }
            }
        }
    }

    private static int octave(double hz) {
        int octave = -1;
        for (double edge = LOWEST * Math.sqrt(0.5); hz >= edge; edge *= 2) octave++;
        return octave;
    }

    /**
     * The most, in dB, by which an octave of the other stands out more or less than here, once both are as loud; 0 where one of them is silent.
     */
    public double step(Timbre other) {
        double here = 0, there = 0, strongest = 0, strongestThere = 0;
        for (int k = 0; k < OCTAVES; k++) {
            here += power[k];
            there += other.power[k];
            strongest = Math.max(strongest, power[k]);
            strongestThere = Math.max(strongestThere, other.power[k]);
        }
        double most = 0;
        if (here < FAINT || there < FAINT) return most;
        for (int k = 0; k < OCTAVES; k++) {
            if (power[k] < strongest * Decibels.power(-HEARD) || other.power[k] < strongestThere * Decibels.power(-HEARD)) continue;
            double step = Decibels.ofPower(other.power[k] / there) - Decibels.ofPower(power[k] / here);
            if (Math.abs(step) > Math.abs(most)) most = step;
        }
        return most;
    }
}

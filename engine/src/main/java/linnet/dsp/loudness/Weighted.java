package linnet.dsp.loudness;

import linnet.dsp.Decibels;
import linnet.dsp.Sound;

/**
 * How loud each stretch of a sound is: its K-weighted power after ITU-R BS.1770-5, the channels added, in whole frames of 10 ms. Of a
 * phrase, however short, it gives the loudness that {@link Loudness} gives of a programme: the mean of what is no more than 10 LU below the
 * mean, so that the small pauses inside do not count; but from frames of 10 ms, not from blocks of 400 ms, which are longer than a word.
 */
public final class Weighted {
    private static final double GATE = Decibels.power(-10);
    private static final double OFFSET = -0.691;
    private static final int READ = 100;

    private final int hop;
    private final double[] power;

    private Weighted(int hop, double[] power) {
        this.hop = hop;
        this.power = power;
    }

    /** Hears a whole sound. */
    public static Weighted of(Sound sound) {
        int hop = (int) Math.round(sound.rate() / 100);
        double[] power = new double[(int) (sound.frames() / hop)];
        KWeighting[] channels = new KWeighting[sound.channels()];
        for (int c = 0; c < channels.length; c++) channels[c] = new KWeighting(sound.rate());
        double[][] x = new double[sound.channels()][READ * hop];
        for (int f = 0; f < power.length; f += READ) {
            int n = Math.min(READ, power.length - f);
            sound.read((long) f * hop, x, n * hop);
            for (int i = 0; i < n; i++) {
                int from = i * hop, to = from + hop;
                double sum = channels.length == 1 ? channels[0].addSquares(x[0], from, to, 0)
                        : KWeighting.addSquares(channels[0], channels[1], x[0], x[1], from, to, 0);
                power[f + i] = sum / hop;
                for (KWeighting w : channels) w.settle();
            }
        }
        return new Weighted(hop, power);
    }

    /** Loudness in LUFS of the whole frames in {@code from … to - 1}; negative infinity where there are none, or only silence. */
    public double loudness(long from, long to) {
        int first = (int) Math.max(0, (from + hop - 1) / hop), end = (int) Math.min(power.length, to / hop);
        return OFFSET + Decibels.ofPower(mean(first, end, GATE * mean(first, end, 0)));
    }

    private double mean(int first, int end, double least) {
        double sum = 0;
        int n = 0;
        for (int f = first; f < end; f++) {
            if (power[f] < least) continue;
            sum += power[f];
            n++;
        }
        return n == 0 ? 0 : sum / n;
    }
}

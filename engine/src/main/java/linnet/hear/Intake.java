package linnet.hear;

import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.Sound;
import linnet.dsp.loudness.Moments;
import linnet.dsp.loudness.SamplePeak;

/**
 * What is odd about a file before anything is done to it: read once, in blocks.
 *
 * @param clipped runs at full scale, in order of time
 * @param dc the larger mean of its channels, in dBFS; minus infinity where there is none
 * @param sides what its two channels are to each other
 * @param silent whether nothing was recorded
 * @param begins its first sample, of the louder channel, in dBFS
 * @param ends its last
 */
public record Intake(List<Event> clipped, double dc, Sides sides, boolean silent, double begins, double ends) {
    /** Channels of a file. */
    public enum Sides {
        MONO, ALIKE, LEFT_ALONE, RIGHT_ALONE, STEREO, OPPOSED
    }

    private static final int BLOCK = 4800;
    /** Between channels that are this much alike there is no picture: one microphone, and perhaps two converters. */
    private static final double ALIKE = 0.99999;
    /** Of channels whose correlation is below this next to nothing is left in mono. Judgement: what is left lies 13 dB under them. */
    private static final double OPPOSED = -0.9;
    /** What is to be said of such. */
    public static final String OPPOSING =
            "left and right oppose each other and cancel out in mono, where takes are heard: turn the polarity of one of them, or save one alone as the take";
    /** Below -96 dBFS there is nothing but the rounding of 16 bits. */
    private static final double STILL = Decibels.power(-96);

    /** What was found odd, to be remembered. */
    public static final Remembered<Intake> FORM = new Remembered<>(i -> Event.FORM.size().apply(i.clipped) + 3 * 8 + 2, (i, to) -> {
        Event.FORM.put().accept(i.clipped, to);
        to.putDouble(i.dc).put((byte) i.sides.ordinal()).put((byte) (i.silent ? 1 : 0)).putDouble(i.begins).putDouble(i.ends);
    }, from -> new Intake(Event.FORM.get().apply(from), from.getDouble(), Sides.values()[from.get()], from.get() == 1, from.getDouble(), from.getDouble()));

    /** Of a whole sound. */
    public static Intake of(Sound sound) {
        int channels = sound.channels();
        Moments moments = new Moments(sound.rate(), channels);
        FlatTops tops = new FlatTops(channels);
        SamplePeak peak = new SamplePeak();
        double[][] x = new double[channels][BLOCK];
        double first = 0, last = 0;
        for (long at = 0; at < sound.frames(); at += BLOCK) {
            int n = (int) Math.min(BLOCK, sound.frames() - at);
            sound.read(at, x, n);
            if (at == 0) first = largest(x, 0);
            last = largest(x, n - 1);
            moments.add(x, n);
            tops.add(x, n);
            peak.add(x, n);
        }
        double dc = 0;
        for (int c = 0; c < channels; c++) dc = Math.max(dc, Math.abs(moments.mean(c)));
        return new Intake(tops.clipped(), Decibels.ofGain(dc), sides(moments, channels), isSilent(peak), Decibels.ofGain(first),
                Decibels.ofGain(last));
    }

    /** Whether nothing was recorded; what is not silent is heard no further than to know that. */
    public static boolean isSilent(Sound sound) {
        SamplePeak peak = new SamplePeak();
        double[][] x = new double[sound.channels()][BLOCK];
        for (long at = 0; at < sound.frames() && isSilent(peak); at += BLOCK) {
            int n = (int) Math.min(BLOCK, sound.frames() - at);
            sound.read(at, x, n);
            peak.add(x, n);
        }
        return isSilent(peak);
    }

    private static boolean isSilent(SamplePeak peak) {
        return peak.dbfs() < Decibels.ofPower(STILL);
    }

    private static double largest(double[][] x, int at) {
        double most = 0;
        for (double[] channel : x) most = Math.max(most, Math.abs(channel[at]));
        return most;
    }

    private static Sides sides(Moments moments, int channels) {
        if (channels == 1) return Sides.MONO;
        boolean left = moments.meanSquare(0) > STILL, right = moments.meanSquare(1) > STILL;
        if (left != right) return left ? Sides.LEFT_ALONE : Sides.RIGHT_ALONE;
        return moments.correlation() > ALIKE ? Sides.ALIKE : moments.correlation() < OPPOSED ? Sides.OPPOSED : Sides.STEREO;
    }

    /** Whether the two channels of a sound cancel out in mono; that alone is heard. */
    public static boolean isOpposed(Sound sound) {
        if (sound.channels() == 1) return false;
        Moments moments = new Moments(sound.rate(), sound.channels());
        double[][] x = new double[sound.channels()][BLOCK];
        for (long at = 0; at < sound.frames(); at += BLOCK) {
            int n = (int) Math.min(BLOCK, sound.frames() - at);
            sound.read(at, x, n);
            moments.add(x, n);
        }
        return sides(moments, sound.channels()) == Sides.OPPOSED;
    }
}

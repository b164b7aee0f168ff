package linnet.hear;

import java.util.BitSet;
import java.util.function.Supplier;
import java.util.stream.IntStream;
import linnet.dsp.Decibels;

/** The noise in the pauses of a take, by the levels of its frames. */
final class NoiseFloor {
    /** The share of all frames that is taken for the pauses. */
    static final double QUIET = 0.05;
    /** In frames of 10 ms: how far from silence the end of a note reaches that goes into it. */
    private static final int BESIDE = 50;
    private static final int RINGING = 20;
    /** A note that ends falls by more than 3 dB in these. */
    private static final int FALL = 20;
    /** Noise alone differs by less than this, 3 dB, from its floor. */
    private static final double STEADY_NOISE = 2;
    /** What lies less than this, 10 dB, over the quietest frames may be nothing but noise; or singing without a pause. */
    private static final double CLEAR_OF_NOISE = 10, MOST = 0.9;

    private NoiseFloor() {}

    /** @param sung asked only where that decides */
    static Measured<Double> measure(Levels heard, Supplier<Measured<Sung>> sung) {
        double floor = heard.quiet(QUIET);
        int silent = count(heard, Levels.SILENCE);
        // A step out of silence, such as a bare offset, rings in the high-pass for about 0.1 s.
        int sounding = heard.ends() - heard.begins() - silent;
        if (sounding < Math.min(RINGING, heard.frames() / 2)) return Measured.not(Ear.SILENT);
        // Noise is steady. Where the quietest frames are not, they are the ends of notes beside pauses that were emptied.
        boolean steady = heard.quiet(2 * QUIET) < floor * STEADY_NOISE;
        int empty = silent + heard.frames() - (heard.ends() - heard.begins());
        if ((!steady || fallsToSilence(heard)) && empty > QUIET * heard.frames() && isBesideSilence(heard, floor * STEADY_NOISE)) {
            return Measured.not("its pauses are digital silence");
        }
        boolean near = Quantiles.typical(heard::above, heard.frames()) < floor * CLEAR_OF_NOISE;
        if (near && sung.get().map(Sung::count).value().orElse(0) > MOST * (heard.ends() - heard.begins())) {
            return Measured.not("it has no pause to hear the noise in");
        }
        return Measured.of(Decibels.ofPower(floor), Ear.certainty(count(heard, floor * STEADY_NOISE) - silent, 50));
    }

    /** The frames in which there is nothing else: they lie less than 3 dB over that noise, in dBFS. */
    static BitSet bare(Levels heard, double noise) {
        double most = Decibels.power(noise) * STEADY_NOISE;
        BitSet bare = new BitSet();
        for (int f = heard.begins(); f < heard.ends(); f++) bare.set(f, heard.above(f) > Levels.SILENCE && heard.above(f) < most);
        return bare;
    }

    /**
     * Whether most of what is so quiet lies beside digital silence, as the ends of notes do where a pause was emptied. What a file has before and after
     * leaves its own pauses as they are, unless it still falls where it ends: then that is the end of a note, and not a room.
     */
    private static boolean isBesideSilence(Levels levels, double most) {
        int ends = levels.ends(), quiet = 0, beside = 0, last = -BESIDE - 1, next = -1;
        boolean falls = fallsToSilence(levels);
        for (int f = levels.begins(); f < ends; f++) {
            if (levels.above(f) <= Levels.SILENCE) {
                last = f;
                continue;
            }
            if (levels.above(f) > most) continue;
            for (next = Math.max(next, f); next < ends && levels.above(next) > Levels.SILENCE; ) next++;
            quiet++;
            if (f - last <= BESIDE || (falls || next < ends) && next - f <= BESIDE) beside++;
        }
        return 2 * beside > quiet;
    }

    private static boolean fallsToSilence(Levels levels) {
        int ends = levels.ends();
        return ends < levels.frames() && levels.above(Math.max(levels.begins(), ends - FALL)) > STEADY_NOISE * levels.above(ends - 1);
    }

    private static int count(Levels levels, double most) {
        return (int) IntStream.range(levels.begins(), levels.ends()).filter(f -> levels.above(f) <= most).count();
    }
}

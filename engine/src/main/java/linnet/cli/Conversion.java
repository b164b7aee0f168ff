package linnet.cli;

import java.util.Optional;
import linnet.dsp.Sound;
import linnet.dsp.resample.Resampled;
import linnet.setting.Unit;

/** Sounds at the rate of a job. */
final class Conversion {
    /** A third of what the launcher gives a chain: any two of the usual rates need less than a fifth of it. */
    private static final long MOST_BYTES = 100_000_000;
    /** Four times what 192 kHz and 44.1 kHz in stereo need. */
    private static final long LEAST_BYTES = 16_000_000;

    private Conversion() {}

    /** @throws Refusal of a sound that cannot be brought to this rate, by its name */
    static Sound of(Sound sound, double rate, String name) {
        if (sound.rate() == rate) return sound;
        hindrance(sound, rate, 0).ifPresent(h -> {
            throw new Refusal(Exit.FILE, name + ": " + h);
        });
        return new Resampled(sound, rate);
    }

    /**
     * What keeps a sound from being brought to a rate.
     *
     * @param others bytes that conversions beside it take
     */
    static Optional<String> hindrance(Sound sound, double rate, long others) {
        long bytes = bytes(sound, rate);
        if (burden(sound, rate) + others <= MOST_BYTES) return Optional.empty();
        return Optional.of(Unit.HZ.format(sound.rate()) + " and " + Unit.HZ.format(rate) + " share so little that to convert between them would take "
                + bytes / 1_000_000
                + " MB of memory" + (others > 0 ? ", beside " + others / 1_000_000 + " MB for the takes before it" : "")
                        + "; choose a usual rate, such as 44.1 kHz or 48 kHz");
    }

    private static long bytes(Sound sound, double rate) {
        return Resampled.bytes(sound.rate(), rate, sound.channels());
    }

    /** What one more conversion adds to those of a song; that of two rates that share much adds nothing that counts. */
    static long burden(Sound sound, double rate) {
        return bytes(sound, rate) > LEAST_BYTES ? bytes(sound, rate) : 0;
    }
}

package linnet.demo;

/**
 * Who sings.
 *
 * @param tract formants between the low voice (0) and the high voice (1)
 * @param octave octaves the score is moved by
 * @param vibratoHz mean rate of the vibrato; 6.0 over ten singers (E. Prame, JASA 96(4), 1994)
 * @param vibratoCents how far it swings each way when grown
 * @param jitter how far the ends of the cycles wander from their places, RMS as a share of a cycle; the mean difference of
 *     neighbouring lengths, the trade's jitter, is about twice that, and healthy below 0.01
 * @param shimmer how much its height does; healthy below 0.038
 * @param breathiness level of the breath in the voice, in dB beside a usual one
 * @param seed another seed is another take by the same singer
 */
public record Singer(
        double tract,
        int octave,
        double vibratoHz,
        double vibratoCents,
        double jitter,
        double shimmer,
        double breathiness,
        long seed) {

    public static Singer high() {
        return new Singer(0.85, 0, 5.8, 48, 0.003, 0.02, 0, 1);
    }

    public static Singer low() {
        return new Singer(0.1, -1, 5.6, 42, 0.004, 0.025, 0, 2);
    }

    public Singer seed(long other) {
        return new Singer(tract, octave, vibratoHz, vibratoCents, jitter, shimmer, breathiness, other);
    }
}

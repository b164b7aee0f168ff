package linnet.hear;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.IntPredicate;
import linnet.dsp.Decibels;

/**
 * By how much louder one take is than another of the same singer, for whoever puts both into one part. Singing louder leaves the noise of the pauses where it
 * was; recording louder, or making a file louder, lifts both.
 *
 * @param sung dB by which what is sung in it is louder, by the power above 100 Hz of the frames of 10 ms that have a pitch
 * @param together whether that was heard where both sing at the same time; else in what is used of each
 * @param noise dB by which its pauses are louder; empty where one of them has none to hear noise in
 */
public record LevelBeside(double sung, boolean together, OptionalDouble noise) {
    /**
     * A take as it is used.
     *
     * @param at sample of the song at which it begins
     * @param into dB by which it is made louder there
     * @param spans samples of the song that are taken from it
     */
    public record Used(Ear ear, long at, double into, List<Sung.Span> spans) {
        private boolean isUsed(long sample) {
            return spans.stream().anyMatch(s -> sample >= s.from() && sample < s.to());
        }

        private boolean isSung(int frame) {
            return ear.sung().value().orElseThrow().frame(frame) && ear.pitch().voiced(frame);
        }

        private double db(IntPredicate frames) {
            return into + Decibels.ofPower(ear.passes().levels().mean(frames));
        }
    }

    /** What may be empty, to be remembered. */
    public static final Remembered<Optional<LevelBeside>> FORM = new Remembered<>(l -> 8 + 1 + 8, (l, to) -> {
        to.putDouble(l.map(LevelBeside::sung).orElse(Double.NaN)).put((byte) (l.map(LevelBeside::together).orElse(false) ? 1 : 0));
        to.putDouble(l.map(x -> x.noise.orElse(Double.NaN)).orElse(Double.NaN));
    }, from -> {
        double sung = from.getDouble();
        boolean together = from.get() == 1;
        double noise = from.getDouble();
        return Double.isNaN(sung) ? Optional.empty()
                : Optional.of(new LevelBeside(sung, together, Double.isNaN(noise) ? OptionalDouble.empty() : OptionalDouble.of(noise)));
    });

    /** In frames: a second of singing tells a level; a word does not. Judgement. */
    private static final int LEAST = 100;
    /** In dB: an honest difference in noise and in singing agree within this. Judgement. */
    private static final double AGREES = 4;

    /** Of takes at one rate; empty where too little is sung in one of them. */
    public static Optional<LevelBeside> of(Used one, Used other) {
        if (!one.ear.sung().known() || !other.ear.sung().known()) return Optional.empty();
        int hop = one.ear.passes().levels().hop();
        long later = one.at - other.at;
        // Near what is used of either: a whispered verse of a take whose chorus is used says nothing of that.
        IntPredicate both = f -> one.isSung(f) && other.isSung((int) Math.floorDiv((long) f * hop + later, (long) hop))
                && (one.isUsed(one.at + (long) f * hop) || other.isUsed(one.at + (long) f * hop));
        boolean together = count(one, both) >= LEAST;
        IntPredicate mine = together ? both : f -> one.isSung(f) && one.isUsed(one.at + (long) f * hop);
        IntPredicate others = together ? f -> both.test((int) Math.floorDiv((long) f * hop - later, (long) hop))
                : f -> other.isSung(f) && other.isUsed(other.at + (long) f * hop);
        if (count(one, mine) < LEAST || count(other, others) < LEAST) return Optional.empty();
        Optional<Double> noise = one.ear.noise().value().flatMap(n -> other.ear.noise().value().map(o -> n + one.into - o - other.into));
        return Optional.of(new LevelBeside(one.db(mine) - other.db(others), together, noise.map(OptionalDouble::of).orElse(OptionalDouble.empty())));
    }

    private static int count(Used take, IntPredicate frames) {
        int count = 0;
        for (int f = 0; f < take.ear.passes().levels().frames(); f++) if (frames.test(f)) count++;
        return count;
    }

    /** Whether it was recorded at another level: its pauses are as much louder as what is sung in it. */
    public boolean isOfRecording() {
        return noise.isPresent() && Math.abs(noise.getAsDouble() - sung) <= AGREES;
    }

    /** By how many dB it would have to be softer to be as loud: where both sing at once, that tells; else singers sing as they like, and pauses tell. */
    public double louder() {
        return together || noise.isEmpty() ? sung : noise.getAsDouble();
    }
}

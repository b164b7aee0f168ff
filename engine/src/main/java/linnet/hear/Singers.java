package linnet.hear;

import java.util.BitSet;
import java.util.Comparator;
import java.util.List;
import java.util.function.Function;
import java.util.function.LongPredicate;
import java.util.function.Supplier;
import java.util.stream.Stream;
import linnet.dsp.pitch.PitchTrack;

/**
 * Several who sing in a sum. What they make together has no one pitch: its period, where it has any, is one that all of them have in common, an octave or
 * more below the lowest. So each is heard by itself, once somebody asks.
 */
public final class Singers {
    /**
     * What is heard of one of them, in the time of the sum.
     *
     * @param there at which samples it goes into the sum
     */
    public record Singer(Measured<Sung> sung, PitchTrack pitch, Measured<Double> lowestNote, Measured<Double> highestNote, LongPredicate there) {
        /** One that is always there. */
        public static Singer of(Ear alone) {
            return new Singer(alone.sung(), alone.pitch(), alone.lowestNote(), alone.highestNote(), s -> true);
        }

        /** The same, but only then. */
        public Singer only(LongPredicate there) {
            return new Singer(sung, pitch, lowestNote, highestNote, there);
        }
    }

    private final Supplier<List<Singer>> hear;
    private List<Singer> heard;

    /** @param hear asked once, by whoever first wants to know */
    public Singers(Supplier<List<Singer>> hear) {
        this.hear = hear;
    }

    private Stream<Singer> all() {
        if (heard == null) heard = hear.get();
        return heard.stream();
    }

    /** The frames in which any of them sings. */
    BitSet sung(int hop, int frames) {
        BitSet any = new BitSet();
        all().forEach(s -> s.sung.value().ifPresent(sung -> {
            for (int f = 0; f < frames; f++) if (sung.frame(f) && s.there.test(middle(f, hop))) any.set(f);
        }));
        return any;
    }

    /** In each frame the pitch of the lowest of those that have one. */
    PitchTrack pitch(int hop, int frames) {
        float[] hz = new float[frames], fine = new float[frames];
        all().forEach(s -> {
            for (int f = 0; f < frames; f++) {
                if (!s.pitch.voiced(f) || hz[f] > 0 && hz[f] <= s.pitch.hz()[f] || !s.there.test(middle(f, hop))) continue;
                hz[f] = s.pitch.hz()[f];
                fine[f] = s.pitch.fine()[f];
            }
        });
        return new PitchTrack(hop, hz, fine);
    }

    private static long middle(int frame, int hop) {
        return (long) frame * hop + hop / 2;
    }

    /** Of whoever sings lowest. */
    Measured<Double> lowestNote() {
        return known(Singer::lowestNote).min(Singers::byHz).orElseGet(this::noNote);
    }

    /** Of whoever sings highest. */
    Measured<Double> highestNote() {
        return known(Singer::highestNote).max(Singers::byHz).orElseGet(this::noNote);
    }

    private Stream<Measured<Double>> known(Function<Singer, Measured<Double>> note) {
        return all().map(note).filter(Measured::known);
    }

    private static int byHz(Measured<Double> one, Measured<Double> other) {
        return Comparator.<Double>naturalOrder().compare(one.value().orElseThrow(), other.value().orElseThrow());
    }

    private Measured<Double> noNote() {
        return all().map(Singer::lowestNote).findFirst().orElse(Measured.not(Ear.NOBODY));
    }
}

package linnet.hear;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.IntStream;
import linnet.dsp.pitch.Semitones;

/**
 * Decides which allowed note each sung note is meant to be. That is the nearest one, heard as the neighbours are: somebody who sings
 * flat for a line is flat in the next note too, and a pitch that comes again is the same note again. Where two notes are about as near,
 * or the pitch itself is not sure, the note is left alone: a wrong note sung with confidence is worse than one a little off. No target
 * is further than half the distance between two allowed notes, so none is an octave off.
 */
public final class Tuning {
    /** All twelve semitones. */
    public static final int CHROMATIC = 0xfff;

    /**
     * In semitones. A note whose two nearest differ by {@code CLEAR} says how its singer is tuned; by less than {@code EITHER} it is left; two within
     * {@code AGAIN} are one pitch.
     */
    private static final double CLEAR = 0.3, EITHER = 0.16, MOST_BIAS = 0.35, AGAIN = 0.25, FOR_AGAIN = 0.3, FARTHEST = 2;
    /** Notes on each side that tell how the singer is tuned there, and how many of them must. */
    private static final int NEIGHBOURS = 6, ENOUGH = 3;
    /** In seconds: what is shorter, not sure and on one breath with others goes with them; left alone it would be heard as a warble. */
    private static final double BRIEF = 0.15;
    /** A note less certain than this is left as it is. */
    public static final double SURE = 0.5;

    private final double offset;
    private final int allowed;

    /**
     * @param reference pitch of the A above middle C, in Hz
     * @param allowed bit k for the note k semitones above C
     */
    public Tuning(double reference, int allowed) {
        if ((allowed & CHROMATIC) == 0) throw new IllegalArgumentException("no note is allowed");
        offset = Semitones.of(reference) - 69;
        this.allowed = allowed;
    }

    /**
     * What is wanted of each note, in their order; what somebody said of a note counts more than the rest.
     *
     * @param rate samples per second
     */
    public List<Wanted> wanted(Notes notes, double rate) {
        List<Note> all = notes.all();
        double[] error = new double[all.size()];
        Arrays.fill(error, Double.NaN);
        for (int k = 0; k < error.length; k++) {
            double p = all.get(k).pitch() - offset;
            if (sure(all.get(k)) && all.get(k).target().isEmpty() && second(p, nearest(p)) > CLEAR) error[k] = p - nearest(p);
        }
        List<Wanted> wanted = new ArrayList<>();
        for (int k = 0; k < error.length; k++) {
            Wanted w = wanted(all, k, error);
            boolean carried = w.why() == Wanted.Why.UNSURE && !sure(w.note()) && w.note().to() - w.note().from() <= Math.round(BRIEF * rate)
                    && isOnOneBreath(all, k);
            wanted.add(carried ? new Wanted(w.note(), OptionalDouble.empty(), Wanted.Why.CARRIED) : w);
        }
        return IntStream.range(0, error.length).mapToObj(k -> isLedAstray(wanted, k) ? new Wanted(all.get(k), OptionalDouble.empty(), Wanted.Why.UNSURE)
                : wanted.get(k)).toList();
    }

    /** Whether the only note that leads this one would take it away from the allowed note that is nearest to it; unless a person wants it so. */
    private boolean isLedAstray(List<Wanted> wanted, int k) {
        if (wanted.get(k).why() != Wanted.Why.CARRIED || wanted.get(k).note().target().isPresent()) return false;
        Optional<Wanted> before = leads(wanted, k, -1), after = leads(wanted, k, 1);
        if (before.isPresent() == after.isPresent()) return false;
        double pitch = wanted.get(k).note().pitch() - offset, led = pitch + before.or(() -> after).get().cents() / 100;
        return Math.abs(led - nearest(pitch)) > Math.abs(pitch - nearest(pitch));
    }

    /** The first note before or after this one, on one breath with it, that goes with no other. */
    private static Optional<Wanted> leads(List<Wanted> wanted, int k, int step) {
        int i = k + step;
        while (i >= 0 && i < wanted.size() && wanted.get(Math.min(i, i - step)).note().to() == wanted.get(Math.max(i, i - step)).note().from()) {
            if (wanted.get(i).why() != Wanted.Why.CARRIED) return Optional.of(wanted.get(i));
            i += step;
        }
        return Optional.empty();
    }

    private static boolean isOnOneBreath(List<Note> all, int k) {
        return k > 0 && all.get(k - 1).to() == all.get(k).from() || k + 1 < all.size() && all.get(k + 1).from() == all.get(k).to();
    }

    private static boolean sure(Note n) {
        return n.confidence() >= SURE;
    }

    private Wanted wanted(List<Note> all, int k, double[] error) {
        Note note = all.get(k);
        Optional<Note.Target.Kind> told = note.target().map(Note.Target::kind);
        if (told.filter(Note.Target.Kind.LEAVE::equals).isPresent()) return new Wanted(note, OptionalDouble.empty(), Wanted.Why.TOLD);
        if (told.filter(Note.Target.Kind.NEIGHBOURS::equals).isPresent()) return new Wanted(note, OptionalDouble.empty(), Wanted.Why.CARRIED);
        if (Double.isNaN(note.pitch())) return new Wanted(note, OptionalDouble.empty(), Wanted.Why.UNSURE);
        if (told.isPresent()) return new Wanted(note, OptionalDouble.of(note.target().get().pitch()), Wanted.Why.TOLD);
        if (!sure(note)) return new Wanted(note, OptionalDouble.empty(), Wanted.Why.UNSURE);
        double pitch = note.pitch() - offset, heard = pitch - bias(error, k);
        int below = below(pitch), above = above(pitch);
        double down = heard - below - again(all, k, error, below), up = above - heard - again(all, k, error, above);
        int meant = down <= up ? below : above;
        if (below != above && Math.abs(down - up) < EITHER) return new Wanted(note, OptionalDouble.empty(), Wanted.Why.BETWEEN);
        if (Math.abs(meant - pitch) > FARTHEST) return new Wanted(note, OptionalDouble.empty(), Wanted.Why.FAR);
        return new Wanted(note, OptionalDouble.of(meant + offset), Wanted.Why.NEAREST);
    }

    /** How far off the singer is there, by the median of the neighbours that are clear. */
    private static double bias(double[] error, int k) {
        int from = Math.max(0, k - NEIGHBOURS), to = Math.min(error.length, k + NEIGHBOURS + 1);
        double[] near = IntStream.range(from, to).filter(i -> i != k && !Double.isNaN(error[i])).mapToDouble(i -> error[i]).sorted().toArray();
        if (near.length < ENOUGH) return 0;
        double middle = (near[(near.length - 1) / 2] + near[near.length / 2]) / 2;
        // Only where three in four are off to the same side it is the singer and not chance.
        if (Arrays.stream(near).filter(e -> e * middle > 0).count() < 0.75 * near.length) return 0;
        return Math.max(-MOST_BIAS, Math.min(MOST_BIAS, middle));
    }

    /** What speaks for a note that stands beside this one, clearly, at the same pitch. */
    private double again(List<Note> all, int k, double[] error, int candidate) {
        for (int i : new int[] {k - 1, k + 1}) {
            if (i < 0 || i >= error.length || Double.isNaN(error[i]) || Math.abs(all.get(i).pitch() - all.get(k).pitch()) > AGAIN) continue;
            if (nearest(all.get(i).pitch() - offset) == candidate) return FOR_AGAIN;
        }
        return 0;
    }

    /** How much further the second nearest allowed note is than the nearest. */
    private double second(double pitch, int nearest) {
        int other = nearest == below(pitch) ? above(pitch) : below(pitch);
        return other == nearest ? Double.POSITIVE_INFINITY : Math.abs(other - pitch) - Math.abs(nearest - pitch);
    }

    private int nearest(double pitch) {
        int below = below(pitch), above = above(pitch);
        return pitch - below <= above - pitch ? below : above;
    }

    private int below(double pitch) {
        int n = (int) Math.floor(pitch);
        while (!allows(n)) n--;
        return n;
    }

    private int above(double pitch) {
        int n = (int) Math.ceil(pitch);
        while (!allows(n)) n++;
        return n;
    }

    private boolean allows(int note) {
        return (allowed >> Math.floorMod(note, 12) & 1) == 1;
    }
}

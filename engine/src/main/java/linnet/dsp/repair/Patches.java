package linnet.dsp.repair;

import java.util.Arrays;
import java.util.List;
import java.util.function.IntToLongFunction;
import linnet.dsp.Cell;
import linnet.dsp.Tape;

/** Patches in order of time, none meeting another, with their samples on a tape: of a long take they come to a good part of it. */
public final class Patches {
    private final Tape.Maker tapes;
    private final double rate;
    /** Null while there is none. */
    private Tape samples;
    private double[][] scratch;
    private int count;
    /** In the sound, and where the samples begin on the tape. */
    private long[] from = new long[16], to = new long[16], place = new long[16];
    /** Made once, as nothing is allocated for a block. */
    private final IntToLongFunction end = i -> to[i];

    public Patches(Tape.Maker tapes, double rate) {
        this.tapes = tapes;
        this.rate = rate;
    }

    public static Patches of(List<Patch> all, Tape.Maker tapes, double rate) {
        Patches patches = new Patches(tapes, rate);
        all.forEach(patches::add);
        return patches.finished();
    }

    /** One more, which begins no earlier than the last ends. */
    public void add(Patch patch) {
        if (samples == null) {
            samples = tapes.tape(rate, patch.samples().length);
            scratch = new double[patch.samples().length][Cell.LENGTH];
        }
        if (count == from.length) {
            from = Arrays.copyOf(from, 2 * count);
            to = Arrays.copyOf(to, 2 * count);
            place = Arrays.copyOf(place, 2 * count);
        }
        from[count] = patch.from();
        to[count] = patch.to();
        place[count++] = samples.frames();
        samples.append(patch.samples(), (int) (patch.to() - patch.from()));
    }

    /** No more will come. Returns itself. */
    public Patches finished() {
        if (samples != null) samples.finish();
        return this;
    }

    public int count() {
        return count;
    }

    /**
     * Puts them over a stretch of sound; what none covers stays as it is, to the bit. By one thread at a time.
     *
     * @param at the sample of the sound that {@code x[c][0]} is
     */
    public void over(long at, double[][] x, int n) {
        for (int i = Patch.firstEndingAfter(at, count, end); i < count && from[i] < at + n; i++) {
            long end = Math.min(at + n, to[i]);
            for (long s = Math.max(at, from[i]); s < end; s += Cell.LENGTH) {
                int m = (int) Math.min(Cell.LENGTH, end - s);
                samples.read(place[i] + s - from[i], scratch, m);
                for (int c = 0; c < scratch.length; c++) System.arraycopy(scratch[c], 0, x[c], (int) (s - at), m);
            }
        }
    }
}

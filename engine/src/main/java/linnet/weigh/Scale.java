package linnet.weigh;

import java.nio.ByteBuffer;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import linnet.dsp.Decibels;
import linnet.hear.Remembered;

/**
 * What was heard of one thing when it was measured.
 *
 * @param integrated loudness after ITU-R BS.1770 in LUFS; negative infinity where it is not measurable
 * @param stretches loudness of each 100 ms in LUFS
 * @param frames power of each {@link #FRAME_SECONDS}, both sides together
 * @param left energy of its left side in each {@link #SIDE_SECONDS}, as a sum of squares; nothing for one channel
 * @param right the same of its right side
 */
public record Scale(double integrated, double[] stretches, double[] frames, double[] left, double[] right) {
    static final double FRAME_SECONDS = 0.01, SIDE_SECONDS = 0.1;
    private static final double[] NOTHING = {};

    /** Of what has no sides. */
    Scale(double integrated, double[] stretches, double[] frames) {
        this(integrated, stretches, frames, NOTHING, NOTHING);
    }

    /** Those stretches count that are no softer than this, in LUFS, and no more than this under the mean of those, in LU. */
    private static final double ABSOLUTE = -70, RELATIVE = -10;

    static final Remembered<Scale> FORM = new Remembered<>(s -> 24 + 8 * (s.stretches.length + s.frames.length + s.left.length + s.right.length),
            (s, to) -> {
        to.putDouble(s.integrated);
        put(s.stretches, to);
        put(s.frames, to);
        put(s.left, to);
        put(s.right, to);
    }, from -> new Scale(from.getDouble(), get(from), get(from), get(from), get(from)));

    private record Named(String name, Scale scale) {}

    private static final Remembered<List<Named>> NAMED =
            Remembered.list(new Remembered<>(n -> 4 + 3 * n.name.length() + FORM.size().apply(n.scale), (n, to) -> {
        Remembered.putText(n.name, to);
        FORM.put().accept(n.scale, to);
    }, from -> new Named(Remembered.readText(from), FORM.get().apply(from))));

    /** Of several things. */
    static final Remembered<Map<String, Scale>> BY_NAME = new Remembered<>(all -> NAMED.size().apply(named(all)),
            (all, to) -> NAMED.put().accept(named(all), to),
            from -> NAMED.get().apply(from).stream().collect(Collectors.toMap(Named::name, Named::scale, (one, other) -> {
                throw new IllegalArgumentException("two of one name");
            })));

    /** In the order of their names, so that the same scales are the same bytes. */
    private static List<Named> named(Map<String, Scale> all) {
        return all.entrySet().stream().sorted(Map.Entry.comparingByKey()).map(e -> new Named(e.getKey(), e.getValue())).toList();
    }

    private static void put(double[] x, ByteBuffer to) {
        to.putInt(x.length).asDoubleBuffer().put(x);
        to.position(to.position() + 8 * x.length);
    }

    private static double[] get(ByteBuffer from) {
        double[] x = new double[Remembered.count(from, 8)];
        from.asDoubleBuffer().get(x);
        from.position(from.position() + 8 * x.length);
        return x;
    }

    /** By how many dB its left side has more energy than its right from a second to another; 0 where one of them has none. */
    double leftOver(double from, double to) {
        double onLeft = energy(left, from, to), onRight = energy(right, from, to);
        return onLeft > 0 && onRight > 0 ? Decibels.ofPower(onLeft / onRight) : 0;
    }

    /** What both sides have together from a second to another, as a sum of squares. */
    double energy(double from, double to) {
        return energy(left, from, to) + energy(right, from, to);
    }

    private static double energy(double[] side, double from, double to) {
        double sum = 0;
        for (int k = (int) Math.round(from / SIDE_SECONDS); k < Math.min(side.length, Math.round(to / SIDE_SECONDS)); k++) sum += side[k];
        return sum;
    }

    /**
     * How much louder it is than another, in LU, in the stretches of 100 ms in which both sound: the blocks of the standard are four times as long, and would
     * hear what lies beside a word.
     */
    Balance over(Scale other) {
        double[] power = powers(stretches), otherPower = powers(other.stretches);
        double least = gate(stretches, power), otherLeast = gate(other.stretches, otherPower), sum = 0, otherSum = 0;
        int both = 0;
        for (int i = 0; i < Math.min(power.length, otherPower.length); i++) {
            if (!(stretches[i] > least && other.stretches[i] > otherLeast)) continue;
            sum += power[i];
            otherSum += otherPower[i];
            both++;
        }
        return new Balance(mean(sum, both) - mean(otherSum, both), both * 0.1);
    }

    /**
     * A distance between two.
     *
     * @param lu NaN where they never sound together
     * @param seconds in which they do
     */
    record Balance(double lu, double seconds) {}

    private static double gate(double[] lufs, double[] power) {
        double sum = 0;
        int heard = 0;
        for (int i = 0; i < lufs.length; i++) {
            if (!(lufs[i] > ABSOLUTE)) continue;
            sum += power[i];
            heard++;
        }
        return Math.max(ABSOLUTE, mean(sum, heard) + RELATIVE);
    }

    private static double[] powers(double[] lufs) {
        double[] powers = new double[lufs.length];
        for (int i = 0; i < lufs.length; i++) powers[i] = Decibels.power(lufs[i]);
        return powers;
    }

    private static double mean(double power, int count) {
        return count == 0 ? Double.NaN : Decibels.ofPower(power / count);
    }
}

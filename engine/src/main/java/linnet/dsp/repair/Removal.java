package linnet.dsp.repair;

import java.util.Optional;
import java.util.function.Consumer;
import linnet.dsp.Approximation;
import linnet.dsp.Decibels;
import linnet.dsp.Sound;
import linnet.dsp.Stretches;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.ZeroPhase;

/** Takes stretches out of a sound: the room of its pauses is heard in their place, or silence where the pauses beside them were emptied. */
public final class Removal {
    private static final double BESIDE_SECONDS = 0.1;
    /** Nobody hears below it whether a breath is gone; a room may be loudest there. */
    private static final double RUMBLE = 100;
    /** -120 dBFS, as samples. */
    private static final double SILENCE = 1e-6;

    private final Sound sound;
    private final Optional<RoomTone> room;
    private final Stretches silenced;

    /**
     * What stands in the place of a stretch.
     *
     * @param db how much less there is above 100 Hz than there was; 0 or lower
     */
    public record Removed(Patch patch, double db) {}

    /** @param room stretches of bare room: pairs of the first sample and the sample after the last */
    public Removal(Sound sound, long[][] room) {
        this(sound, room, Stretches.NONE);
    }

    /**
     * @param room stretches of bare room: pairs of the first sample and the sample after the last
     * @param silenced what an edit left silent, which tells nothing of the pauses
     */
    public Removal(Sound sound, long[][] room, Stretches silenced) {
        this.sound = sound;
        this.silenced = silenced;
        this.room = RoomTone.of(sound, room);
    }

    /** The room, where it is heard. */
    public Optional<RoomTone> room() {
        return room;
    }

    /** Whether there is anything that could stand in the place of a stretch: a room is heard, or the pauses beside it were emptied. */
    public boolean has(Span s) {
        return room.isPresent() || isEmptied(s);
    }

    /** Empty where there is nothing. */
    public Optional<Removed> of(Span s) {
        boolean emptied = isEmptied(s);
        if (!emptied && room.isEmpty()) return Optional.empty();
        double[][] own = read(s.from(), s.to());
        double[][] fill = emptied ? new double[own.length][s.length()] : room.get().fill(s.from(), s.length());
        s.cross(own, fill);
        return Optional.of(new Removed(new Patch(s.from(), own), emptied ? -Approximation.MOST_DB : Math.min(0, change(s))));
    }

    /** From a sound to the room in its place, in dB above the rumble. */
    private double change(Span s) {
        return change(s, x -> {
            double[][] fill = room.orElseThrow().fill(first(s), x[0].length);
            System.arraycopy(fill, 0, x, 0, x.length);
        });
    }

    /** How much less there is of a stretch above 100 Hz, in dB, where another span was taken out; 0 or lower. */
    public double lost(Span of, Span removed) {
        Patch[] patches = {of(removed).orElseThrow().patch()};
        return Math.max(-Approximation.MOST_DB, Math.min(0, change(of, x -> Patch.over(patches, first(of), x, x[0].length))));
    }

    /** Before and after are heard with what lies beside them, where the filter settles. */
    private double change(Span s, Consumer<double[][]> done) {
        long to = Math.min(sound.frames(), s.to() + beside());
        double[][] before = read(first(s), to), after = read(first(s), to);
        done.accept(after);
        int begin = (int) (s.from() - first(s)), end = begin + s.length();
        return Decibels.ofPower(power(after, begin, end) / power(before, begin, end));
    }

    private long first(Span s) {
        return Math.max(0, s.from() - beside());
    }

    private long beside() {
        return (long) (BESIDE_SECONDS * sound.rate());
    }

    /**
     * Whether the pauses beside it were emptied: no room is silent to the bit for 10 ms. Then its place is silence too. Where a room is heard elsewhere, the
     * little that an export leaves before and after a take tells nothing of its pauses.
     */
    private boolean isEmptied(Span s) {
        long from = Math.max(0, s.from() - beside()), to = Math.min(sound.frames(), s.to() + beside());
        double[][] before = read(from, s.from()), after = read(s.to(), to);
        int begin = 0, end = after[0].length;
        if (from == 0 && room.isPresent()) while (begin < before[0].length && isSilent(before, begin)) begin++;
        if (to == sound.frames() && room.isPresent()) while (end > 0 && isSilent(after, end - 1)) end--;
        return isSilent(before, from, begin, before[0].length) || isSilent(after, s.to(), 0, end);
    }

    /** Whether there are 10 ms of silence in it that no edit left; it begins at {@code at}. */
    private boolean isSilent(double[][] x, long at, int from, int to) {
        long least = beside() / 10;
        int run = 0;
        for (int i = from; i < to && run < least; i++) run = isSilent(x, i) && !silenced.meets(at + i, at + i + 1) ? run + 1 : 0;
        return run >= least;
    }

    private static boolean isSilent(double[][] x, int i) {
        for (double[] channel : x) if (Math.abs(channel[i]) > SILENCE) return false;
        return true;
    }

    private double[][] read(long from, long to) {
        double[][] x = new double[sound.channels()][(int) (to - from)];
        sound.read(from, x, x[0].length);
        return x;
    }

    private double power(double[][] x, int begin, int end) {
        double sum = 1e-30;
        for (double[] channel : x) {
            ZeroPhase.process(Butterworth.highPass(sound.rate(), RUMBLE, 2), channel);
            for (int i = begin; i < end; i++) sum += channel[i] * channel[i];
        }
        return sum;
    }
}

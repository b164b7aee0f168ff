package linnet.dsp.repair;

import java.util.Optional;
import linnet.dsp.Approximation;
import linnet.dsp.Decibels;
import linnet.dsp.Sound;

/** Takes stretches out of a sound: the room of its pauses is heard in their place, or silence where the pauses beside them were emptied. */
public final class Removal {
    private static final double BESIDE_SECONDS = 0.1;
    /** -120 dBFS, as samples. */
    private static final double SILENCE = 1e-6;

    private final Sound sound;
    private final Optional<RoomTone> room;

    /**
     * What stands in the place of a stretch.
     *
     * @param db how much less of it there is than there was; 0 or lower
     */
    public record Removed(Patch patch, double db) {}

    /** @param room stretches of bare room: pairs of the first sample and the sample after the last */
    public Removal(Sound sound, long[][] room) {
        this.sound = sound;
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
        double db = Math.max(-Approximation.MOST_DB, Math.min(0, Decibels.ofPower(power(fill) / power(own))));
        s.cross(own, fill);
        return Optional.of(new Removed(new Patch(s.from(), own), db));
    }

    /** Whether the pauses beside it were emptied: no room is silent to the bit for 10 ms. Then its place is silence too. */
    private boolean isEmptied(Span s) {
        long beside = (long) (BESIDE_SECONDS * sound.rate()), silent = beside / 10;
        return isSilent(read(Math.max(0, s.from() - beside), s.from()), silent) || isSilent(read(s.to(), Math.min(sound.frames(), s.to() + beside)), silent);
    }

    private static boolean isSilent(double[][] x, long least) {
        int run = 0;
        for (int i = 0; i < x[0].length && run < least; i++) {
            boolean silent = true;
            for (double[] channel : x) silent &= Math.abs(channel[i]) <= SILENCE;
            run = silent ? run + 1 : 0;
        }
        return run >= least;
    }

    private double[][] read(long from, long to) {
        double[][] x = new double[sound.channels()][(int) (to - from)];
        sound.read(from, x, x[0].length);
        return x;
    }

    private static double power(double[][] x) {
        double sum = 1e-30;
        for (double[] channel : x) for (double v : channel) sum += v * v;
        return sum;
    }
}

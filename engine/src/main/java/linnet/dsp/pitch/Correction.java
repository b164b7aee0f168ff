package linnet.dsp.pitch;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Approximation;
import linnet.dsp.Stretches;

/**
 * How far a voice is to be moved over time: each note by its own distance, reached smoothly. After a rest a note starts where it was sung
 * and is moved {@code speed} later; from note to note on one breath the old distance becomes the new one around the place where the
 * pitch is half way, so that the glide between them stays a glide. Vibrato, scoops and falls ride on top and are moved with their note.
 * Where the voice sounds on without a rest, what is left alone beside a moved note is moved by next to nothing: so the whole stretch is
 * set anew and no place in it must come back into phase. Everywhere else what is not moved has a ratio of exactly 1.
 */
public final class Correction implements Bend {
    /** In cents: next to nothing. */
    private static final double HARDLY = 0.001;
    private static final double TO_DB = Approximation.DB_PER_OCTAVE / 1200;

    /**
     * One note.
     *
     * @param from its first sample
     * @param to the sample after its last
     * @param cents how far it is moved
     * @param drift the share of its drift that is taken back, from 0 to 1
     * @param swing the share of its vibrato that is taken away, from 0 to 1
     */
    public record Pull(Held held, long from, long to, double cents, double drift, double swing) {}

    private final Pull[] pulls;
    private final int hop;
    private final double speed;
    /** The stretches of voice in which anything is moved. */
    private final Stretches moved;

    /**
     * @param track that the notes were heard in
     * @param speed in samples: how long it takes until a note is where it should be
     * @param pulls in order of time, none reaching into the next
     */
    public Correction(PitchTrack track, double speed, List<Pull> pulls) {
        hop = track.hop();
        this.speed = speed;
        this.pulls = pulls.toArray(Pull[]::new);
        List<long[]> stretches = new ArrayList<>();
        for (int from = track.again(0), to; from < track.frames(); from = track.again(to)) {
            to = track.end(from);
            if (moves((long) from * hop, (long) to * hop)) stretches.add(new long[] {(long) from * hop, (long) to * hop});
        }
        moved = Stretches.of(stretches, s -> s[0], s -> s[1]);
    }

    private boolean moves(long from, long to) {
        for (int k = Math.max(0, at(from)); k < pulls.length && pulls[k].from < to; k++) {
            if (pulls[k].to > from && (pulls[k].cents != 0 || pulls[k].drift != 0 || pulls[k].swing != 0)) return true;
        }
        return false;
    }

    @Override
    public double ratio(long sample) {
        double cents = cents(sample);
        return cents == 0 && !moved.meets(sample, sample + 1) ? 1 : Approximation.gain(TO_DB * (cents == 0 ? HARDLY : cents));
    }

    @Override
    public boolean slidesHome() {
        return true;
    }

    /** How far the voice is moved at a sample, in cents. */
    public double cents(long sample) {
        int k = at(sample);
        if (k < 0 || sample >= pulls[k].to) return 0;
        double own = own(k, sample);
        if (k > 0 && pulls[k - 1].to == pulls[k].from) {
            double half = half(k);
            if (sample - pulls[k].from < half) return blend(own(k - 1, sample), own, 0.5 + (sample - pulls[k].from) / (2 * half));
        } else {
            double time = Math.min(speed, (pulls[k].to - pulls[k].from) / 2.0);
            if (sample - pulls[k].from < time) own = blend(0, own, (sample - pulls[k].from) / time);
        }
        if (k + 1 < pulls.length && pulls[k + 1].from == pulls[k].to) {
            double half = half(k + 1);
            double before = pulls[k].to - sample;
            if (before < half) own = blend(own, own(k + 1, sample), 0.5 - before / (2 * half));
        }
        return own;
    }

    /** Half the time from note k - 1 to note k: no more than half of either. */
    private double half(int k) {
        return Math.min(speed, Math.min(pulls[k].to - pulls[k].from, pulls[k - 1].to - pulls[k - 1].from)) / 2;
    }

    /** Along half a cosine, nearly: without a corner at either end. */
    private static double blend(double from, double to, double share) {
        return from + (to - from) * share * share * (3 - 2 * share);
    }

    private double own(int k, long sample) {
        Pull p = pulls[k];
        if (p.drift == 0 && p.swing == 0) return p.cents;
        double frame = (double) sample / hop - 0.5;
        int before = (int) Math.floor(frame);
        double share = frame - before;
        double drift = p.drift == 0 ? 0 : mix(p.held.driftCents(before), p.held.driftCents(before + 1), share);
        double swing = p.swing == 0 ? 0 : mix(p.held.swingCents(before), p.held.swingCents(before + 1), share);
        return p.cents - p.drift * drift - p.swing * swing;
    }

    private static double mix(double a, double b, double share) {
        return a + (b - a) * share;
    }

    /** The last note that begins at or before a sample; -1 before the first. */
    private int at(long sample) {
        int low = 0, high = pulls.length;
        while (low < high) {
            int middle = (low + high) >>> 1;
            if (pulls[middle].from <= sample) low = middle + 1;
            else high = middle;
        }
        return low - 1;
    }
}

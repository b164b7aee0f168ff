package linnet.demo;

import static java.lang.StrictMath.PI;
import static java.lang.StrictMath.exp;
import static java.lang.StrictMath.log;
import static java.lang.StrictMath.pow;
import static java.lang.StrictMath.sin;

import linnet.demo.Truth.Line;
import linnet.demo.Truth.Note;

/**
 * F0 over the whole song in Hz. Notes are joined by glides that begin before the vowel; on top of them lie scoops, a vibrato
 * that comes late, grows, and quickens at the end (E. Prame, JASA 96(4), 1994), a slow drift and a fine unrest.
 */
final class Intonation {
    private static final double GLIDE = 0.11;
    private static final double SCOOP_SETTLES = 0.065;
    private static final double VIBRATO_WAITS = 0.3;
    private static final double VIBRATO_GROWS = 0.5;
    private static final double SHORTEST_WITH_VIBRATO = 0.4;

    private Intonation() {}

    static Track hz(Diction diction, Singer singer, double seconds) {
        Track f0 = new Track(seconds);
        glide(f0, diction);
        double[] cents = new double[f0.length()];
        unrest(cents, singer);
        Noise choice = new Noise(singer.seed(), "tune");
        for (int k = 0; k < diction.notes.size(); k++) {
            Note n = diction.notes.get(k);
            scoop(cents, n, diction.written.get(k).scoopCents() + choice.between(8, 32));
            vibrato(cents, n, singer, choice);
        }
        for (Line l : diction.lines) fall(cents, l);
        for (int i = 0; i < cents.length; i++) f0.value[i] *= pow(2, cents[i] / 1200);
        return f0;
    }

    /** Each note to the next, along the ear's scale. */
    private static void glide(Track f0, Diction diction) {
        double semitones = 12 / log(2);
        for (int k = 0; k < diction.notes.size(); k++) {
            double from = k == 0 ? 0 : middle(diction, k);
            double to = k + 1 == diction.notes.size() ? f0.length() : middle(diction, k + 1);
            f0.set(from, to, semitones * log(diction.notes.get(k).hz()));
        }
        f0.smooth(GLIDE / 2);
        for (int i = 0; i < f0.length(); i++) f0.value[i] = exp(f0.value[i] / semitones);
    }

    /** When the voice is half way to note k: shortly before its vowel, so that the vowel has its pitch. */
    private static double middle(Diction diction, int k) {
        double arrives = diction.notes.get(k).start() - 0.3 * GLIDE;
        return Math.max(arrives, diction.notes.get(k - 1).end() - 0.5 * GLIDE);
    }

    private static void scoop(double[] cents, Note n, double depth) {
        int from = Math.max(0, Track.at(n.start() - 0.12));
        for (int i = from; i < Math.min(cents.length, Track.at(n.end())); i++) {
            double t = i / (double) Track.RATE - n.start();
            cents[i] -= depth * (t < 0 ? Track.ease(1 + t / 0.12) : exp(-t / SCOOP_SETTLES));
        }
    }

    private static void vibrato(double[] cents, Note n, Singer singer, Noise choice) {
        double length = n.end() - n.start();
        double extent = singer.vibratoCents() * choice.between(0.85, 1.2);
        double rate = singer.vibratoHz() * choice.between(0.95, 1.05);
        if (length < SHORTEST_WITH_VIBRATO) return;
        double waits = Math.min(VIBRATO_WAITS, 0.35 * length);
        double grows = Math.min(VIBRATO_GROWS, 0.5 * length);
        double phase = 0;
        for (int i = Track.at(n.start()); i < Math.min(cents.length, Track.at(n.end())); i++) {
            double t = i / (double) Track.RATE - n.start();
            double grown = Track.ease((t - waits) / grows) * Track.ease((length - t) / 0.1);
            if (t > waits) phase += 2 * PI * rate * (1 + 0.12 * Track.ease((t - length + 0.5) / 0.5)) / Track.RATE;
            cents[i] += extent * grown * sin(phase);
        }
    }

    /** Slow drift of a few cents, and the fine unrest that keeps a held note alive. */
    private static void unrest(double[] cents, Singer singer) {
        Noise noise = new Noise(singer.seed(), "unrest");
        double p1 = PI * noise.next();
        double p2 = PI * noise.next();
        double quick = 0;
        double fine = 0;
        for (int i = 0; i < cents.length; i++) {
            double t = i / (double) Track.RATE;
            quick += 0.06 * (noise.next() - quick);
            fine += 0.06 * (quick - fine);
            cents[i] += 3 * sin(2 * PI * 0.31 * t + p1) + 2.5 * sin(2 * PI * 0.83 * t + p2) + 40 * fine;
        }
    }

    /** The voice lets go at the end of a line. */
    private static void fall(double[] cents, Line l) {
        for (int i = Track.at(l.end() - 0.09); i < Math.min(cents.length, Track.at(l.end() + 0.05)); i++) {
            cents[i] -= 35 * Track.ease((i / (double) Track.RATE - l.end() + 0.09) / 0.12);
        }
    }
}

package linnet.demo;

import static java.lang.StrictMath.PI;
import static java.lang.StrictMath.exp;
import static java.lang.StrictMath.sin;
import static java.lang.StrictMath.tan;
import static linnet.demo.Track.db;
import static linnet.dsp.Decibels.gain;

import java.util.ArrayList;
import java.util.List;
import linnet.demo.Truth.Event;
import linnet.demo.Truth.Line;
import linnet.demo.Truth.Note;
import linnet.demo.Truth.Sound;

/**
 * A raw take and all there is to know about it. The same score, singer, room and rate give the same bits on every machine.
 *
 * @param samples one channel, full scale 1
 */
public record Performance(double rate, double[] samples, Truth truth) {
    private static final double EVENNESS = 0.85;
    private static final double CEILING_DB = -3.2;
    private static final double SOFT_EFFORT = 0.34;

    /** Sings in the usual room. */
    public static Performance sing(Score score, Singer singer, double rate) {
        return sing(score, singer, Room.bedroom(), rate);
    }

    /** Sings the score. {@code rate} in Hz, 32 kHz or more. */
    public static Performance sing(Score score, Singer singer, Room room, double rate) {
        int frames = (int) Math.round(score.seconds() * rate);
        double[] pitch = new double[(int) (score.seconds() / Truth.PITCH_STEP)];
        Diction diction = new Diction(score, singer);
        Articulation mouth = new Articulation(score, diction, singer, score.seconds());
        Track f0 = Intonation.hz(diction, singer, score.seconds());
        double[] x = Larynx.sound(rate, frames, f0, mouth, singer, pitch);
        Tract.shape(x, rate, mouth, singer);
        even(x, rate, diction, mouth);

        double[] loudness = loudness(x, rate, diction);
        double soft = loudness[0] - Articulation.RANGE_DB * Math.max(0, score.phrases().get(0).effort() - SOFT_EFFORT);
        Turbulence turbulence = new Turbulence(rate, x);
        double scale = 0.92 + 0.1 * singer.tract();
        Noise hiss = new Noise(singer.seed(), "hiss");
        for (Sound s : diction.sounds) {
            double level = loudness[diction.phrase.get(s.note())];
            if (s.part() == Truth.Part.NOISE || s.part() == Truth.Part.BURST) {
                turbulence.consonant(s, scale, level + s.phone().db + 1.5 * hiss.next(), hiss);
            }
        }
        List<Event> breaths = breaths(diction, loudness, soft, singer);
        for (Event e : breaths) turbulence.breath(e, scale, hiss);
        List<Event> clicks = clicks(diction, loudness, soft, singer);
        for (Event e : clicks) turbulence.click(e, hiss);
        List<Event> pops = pops(diction, loudness, singer);
        for (Event e : pops) turbulence.pop(e, hiss);

        lean(x, rate, room, diction, score);
        ring(x, rate, room);
        double g = Math.min(gain(room.sungDb()) / sungRms(x, rate, diction.notes), gain(CEILING_DB) / peak(x));
        for (int i = 0; i < frames; i++) x[i] *= g;
        List<Line> lines = new ArrayList<>();
        for (int i = 0; i < diction.lines.size(); i++) {
            Line l = diction.lines.get(i);
            lines.add(new Line(l.start(), l.end(), l.section(), l.words(), db(sungRms(x, rate, diction.notesOf(i)))));
        }
        List<Event> drawn = new ArrayList<>();
        for (Event e : breaths) drawn.add(new Event(e.start(), e.end(), db(rms(x, rate, e.start(), e.end()))));
        noise(x, rate, room, singer);
        return new Performance(rate, x, new Truth(score, singer, room, rate, lines, diction.notes, diction.sounds,
                drawn, moved(clicks, db(g)), moved(pops, db(g)), pitch));
    }

    /** A singer hears herself: most of what the mouth does to the loudness of a note on its pitch is taken back. */
    private static void even(double[] x, double rate, Diction diction, Articulation mouth) {
        Track db = new Track(x.length / rate);
        for (int k = 0; k < diction.notes.size(); k++) {
            Note n = diction.notes.get(k);
            boolean last = k + 1 == diction.notes.size();
            double until = last ? x.length / rate + 1 : diction.notes.get(k + 1).start();
            double off = mouth.meant(k) - db(sungRms(x, rate, List.of(n)));
            db.set(k == 0 ? 0 : n.start() - 0.05, until, EVENNESS * off);
        }
        db.smooth(0.03);
        for (int i = 0; i < db.length(); i++) db.value[i] = gain(db.value[i]);
        for (int i = 0; i < x.length; i++) x[i] *= db.read(i / rate);
    }

    /** The loudness of each phrase in dB, over its notes. */
    private static double[] loudness(double[] x, double rate, Diction diction) {
        double[] loudness = new double[diction.lines.size()];
        for (int i = 0; i < loudness.length; i++) loudness[i] = db(sungRms(x, rate, diction.notesOf(i)));
        return loudness;
    }

    /** @param soft loudness of a soft line by this singer */
    private static List<Event> breaths(Diction diction, double[] loudness, double soft, Singer singer) {
        Noise noise = new Noise(singer.seed(), "breaths");
        List<Event> breaths = new ArrayList<>();
        for (int i = 0; i < loudness.length; i++) {
            double end = diction.lines.get(i).start() - noise.between(0.05, 0.09);
            double room = i == 0 ? 0.5 : end - diction.lines.get(i - 1).end() - 0.12;
            double length = Math.min(noise.between(0.32, 0.5), room);
            // A loud line needs a bigger breath, but by far not as much as the voice is louder.
            breaths.add(new Event(end - length, end, 0.6 * (loudness[i] - soft) + soft - 18));
        }
        return breaths;
    }

    /** Before a line, after a line, and now and then inside a note. */
    private static List<Event> clicks(Diction diction, double[] loudness, double soft, Singer singer) {
        Noise noise = new Noise(singer.seed(), "clicks");
        List<Event> clicks = new ArrayList<>();
        for (int i = 0; i < loudness.length; i++) {
            Line l = diction.lines.get(i);
            double level = soft - 6;
            if (i % 2 == 0) clicks.add(click(l.start() - noise.between(0.015, 0.04), level, noise));
            clicks.add(click(l.end() + noise.between(0.06, 0.1), level, noise));
            if (i % 3 == 1) {
                List<Note> notes = diction.notesOf(i);
                Note n = notes.get(notes.size() / 2);
                clicks.add(click(n.start() + 0.5 * (n.end() - n.start()), loudness[i] - 2, noise));
            }
        }
        return clicks;
    }

    private static Event click(double start, double db, Noise noise) {
        return new Event(start, start + noise.between(0.0007, 0.005), db + 4 * noise.next());
    }

    /** Every p and b that opens a syllable. */
    private static List<Event> pops(Diction diction, double[] loudness, Singer singer) {
        Noise noise = new Noise(singer.seed(), "pops");
        List<Event> pops = new ArrayList<>();
        for (Sound s : diction.sounds) {
            boolean lips = s.phone() == Phone.P || s.phone() == Phone.B;
            boolean opens = s.start() < diction.notes.get(s.note()).start();
            if (s.part() != Truth.Part.BURST || !lips || !opens) continue;
            double level = loudness[diction.phrase.get(s.note())] + (s.phone() == Phone.P ? 5 : 1) + 3 * noise.next();
            double start = s.start() + 0.004;
            pops.add(new Event(start, start + noise.between(0.07, 0.12), level));
        }
        return pops;
    }

    /** Proximity: the closer, the more below 200 Hz; the singer leans in for soft lines and away for loud ones. */
    private static void lean(double[] x, double rate, Room room, Diction diction, Score score) {
        Track near = new Track(x.length / rate);
        for (int i = 0; i < diction.lines.size(); i++) {
            double from = i == 0 ? 0 : diction.lines.get(i).start() - 0.4;
            double effort = score.phrases().get(i).effort();
            near.set(from, x.length / rate + 1, gain(room.proximityDb() * Math.max(0, 1.3 - effort)) - 1);
        }
        near.smooth(0.3);
        double c = 1 - exp(-2 * PI * 200 / rate);
        double low = 0;
        for (int i = 0; i < x.length; i++) {
            low += c * (x[i] - low);
            x[i] += near.read(i / rate) * low;
        }
    }

    /** The planted resonance: the signal plus itself through a band-pass, so that the centre is lifted by just its gain. */
    private static void ring(double[] x, double rate, Room room) {
        double t = tan(PI * room.resonanceHz() / rate);
        double width = t / room.resonanceQ();
        double norm = 1 / (1 + width + t * t);
        double b = width * norm * (gain(room.resonanceDb()) - 1);
        double a1 = 2 * (t * t - 1) * norm;
        double a2 = (1 - width + t * t) * norm;
        double s1 = 0;
        double s2 = 0;
        for (int i = 0; i < x.length; i++) {
            double y = b * x[i] + s1;
            s1 = s2 - a1 * y;
            s2 = -b * x[i] - a2 * y;
            x[i] += y;
        }
    }

    /** Rumble below, hiss above, and hum with two harmonics. */
    private static void noise(double[] x, double rate, Room room, Singer singer) {
        Noise white = new Noise(singer.seed(), "room");
        double[] floor = new double[x.length];
        double c = 1 - exp(-2 * PI * 60 / rate);
        double low = 0;
        double power = 0;
        for (int i = 0; i < x.length; i++) {
            double w = white.next();
            low += c * (w - low);
            floor[i] = 0.3 * w + 22 * low;
            power += floor[i] * floor[i];
        }
        double g = gain(room.noiseDb()) / Math.sqrt(power / x.length);
        for (int i = 0; i < x.length; i++) x[i] += g * floor[i];
        if (room.humHz() == 0) return;
        double hum = gain(room.noiseDb() - 15) * Math.sqrt(2);
        for (int k = 1; k <= 3; k++) {
            // A turning pointer: one sine for the whole hum instead of one per sample.
            double w = 2 * PI * k * room.humHz() / rate;
            double s1 = -sin(w);
            double s2 = -sin(2 * w);
            double twice = 2 * StrictMath.cos(w);
            for (int i = 0; i < x.length; i++) {
                double s = twice * s1 - s2;
                s2 = s1;
                s1 = s;
                x[i] += hum / (k + 0.25) * s;
            }
        }
    }

    private static double sungRms(double[] x, double rate, List<Note> notes) {
        double power = 0;
        double seconds = 0;
        for (Note n : notes) {
            double level = rms(x, rate, n.start(), n.end());
            power += level * level * (n.end() - n.start());
            seconds += n.end() - n.start();
        }
        return Math.sqrt(power / seconds);
    }

    private static double rms(double[] x, double rate, double start, double end) {
        int from = (int) (start * rate);
        int to = Math.min(x.length, (int) (end * rate));
        double power = 0;
        for (int i = from; i < to; i++) power += x[i] * x[i];
        return Math.sqrt(power / (to - from));
    }

    private static double peak(double[] x) {
        double peak = 0;
        for (double v : x) peak = Math.max(peak, Math.abs(v));
        return peak;
    }

    private static List<Event> moved(List<Event> events, double db) {
        return events.stream().map(e -> new Event(e.start(), e.end(), e.db() + db)).toList();
    }
}

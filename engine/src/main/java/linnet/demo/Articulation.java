package linnet.demo;

import static linnet.dsp.Decibels.gain;

import java.util.List;
import linnet.demo.Truth.Line;
import linnet.demo.Truth.Note;
import linnet.demo.Truth.Part;
import linnet.demo.Truth.Sound;

/** What throat and mouth do over the whole song: formants, loudness of voice and breath, how pressed the voice is. */
final class Articulation {
    static final int FORMANTS = 5;
    private static final double[] BANDWIDTH = {75, 90, 150, 230, 280};
    /** Where the upper formants of a loud voice meet. */
    private static final double CLUSTER = 3150;
    /** Loudness from effort 0 to 1. */
    static final double RANGE_DB = 26;

    final Track[] formant = new Track[FORMANTS];
    /** Width of each formant beside its usual one. */
    final Track damping;
    final Track voice;
    final Track breath;
    final Track rd;
    final Track nasal;

    private final Diction diction;
    private final Singer singer;
    private final double[] effort;

    Articulation(Score score, Diction diction, Singer singer, double seconds) {
        this.diction = diction;
        this.singer = singer;
        effort = effort(score);
        for (int i = 0; i < FORMANTS; i++) formant[i] = new Track(seconds);
        damping = new Track(seconds);
        voice = new Track(seconds);
        breath = new Track(seconds);
        rd = new Track(seconds);
        nasal = new Track(seconds);
        damping.set(0, seconds, 1);
        rd.set(0, seconds, 1.5);
        for (int i = 0; i < diction.sounds.size(); i++) shape(i);
        Noise unrest = new Noise(singer.seed(), "mouth");
        for (Track f : formant) wander(f.smooth(0.034), unrest);
        damping.smooth(0.02);
        nasal.smooth(0.02);
        voice.smooth(0.016);
        breath.smooth(0.012);
        for (int i = 0; i < diction.notes.size(); i++) swell(i);
        for (Line l : diction.lines) letGo(l);
        rd.smooth(0.04);
    }

    static double bandwidth(int i) {
        return BANDWIDTH[i];
    }

    /** Effort of each note: that of its phrase, more for what is high in it, and never twice the same. */
    private double[] effort(Score score) {
        Noise noise = new Noise(singer.seed(), "effort");
        double[] e = new double[diction.notes.size()];
        for (int k = 0; k < e.length; k++) {
            Score.Phrase p = score.phrases().get(diction.phrase.get(k));
            double middle = p.notes().stream().mapToDouble(Score.Note::midi).average().orElseThrow();
            e[k] = p.effort() + 0.004 * (diction.written.get(k).midi() - middle) + 0.035 * noise.next();
        }
        return e;
    }

    private void shape(int i) {
        List<Sound> sounds = diction.sounds;
        Sound s = sounds.get(i);
        Note n = diction.notes.get(s.note());
        double e = effort[s.note()];
        // Between phrases the mouth is held ready for what comes next.
        boolean first = i == 0 || sounds.get(i - 1).end() < s.start() - 0.05;
        double from = first ? s.start() - 0.5 : s.start();
        boolean last = i + 1 == sounds.size() || sounds.get(i + 1).start() > s.end() + 0.05;
        double to = last ? s.end() + 0.3 : s.end();
        for (int f = 0; f < FORMANTS; f++) {
            formant[f].set(from, to, formant(i, f, n, e));
            if (s.part() == Part.GLIDE) formant[f].ramp(s.start(), s.end(), formant(i - 1, f, n, e));
        }

        double level = gain(meant(s.note()));
        double air = level * gain(-16 - 14 * e + singer.breathiness());
        rd.set(from, to, 1.55 - 1.1 * e);
        switch (s.part()) {
            case VOWEL, GLIDE -> voice.set(s, level);
            case VOICED -> {
                voice.set(s, level * gain(s.phone().db));
                damping.set(s, s.phone().manner == Phone.Manner.NASAL ? 2.0 : 1.3);
                if (s.phone().manner == Phone.Manner.NASAL) nasal.set(s, 1);
            }
            case NOISE -> voice.set(s, s.phone().voiced ? level * gain(-10) : 0);
            case CLOSURE -> voice.set(s, s.phone().voiced ? level * gain(-15) : 0);
            case BURST -> voice.set(s, s.phone().voiced ? level * gain(-9) : 0);
            case ASPIRATION -> {
                air = level * gain(s.phone() == Phone.H ? -15 : -17);
                damping.set(s, 1.8);
            }
        }
        if (s.part() == Part.CLOSURE) air = 0;
        if (s.part() == Part.NOISE && !s.phone().voiced) air = 0.3 * air;
        breath.set(s, air);
    }

    private double formant(int i, int f, Note n, double e) {
        Sound s = diction.sounds.get(i);
        Phone phone = s.phone();
        double own = phone.formant(f, singer.tract());
        double gives = phone.givesWay();
        if (gives > 0) {
            boolean coda = s.start() >= n.end();
            Phone vowel = coda ? diction.written.get(s.note()).glide() : n.vowel();
            own += (f == 0 && gives < 1 ? 0.1 : gives) * (vowel.formant(f, singer.tract()) - own);
        }
        // A loud voice opens the mouth, and no singer lets the first formant fall below the note.
        if (f == 0 && phone.isVowel()) own = Math.max(own * (1 + 0.15 * (e - 0.4)), 1.08 * n.hz());
        // The singer's formant: the third to the fifth draw together (J. Sundberg, JASA 55, 1974).
        if (f >= 2 && phone.isVowel()) own += 0.15 * Math.max(0, e - 0.4) * (CLUSTER - own);
        if (f == 1 && phone.isVowel()) own = Math.max(own, 1.35 * n.hz());
        return own;
    }

    /** No mouth stands still: a formant moves slowly by some hundredths. */
    private static void wander(Track formant, Noise unrest) {
        Track way = new Track((formant.length() - 1.0) / Track.RATE);
        for (int i = 0; i < way.length(); i++) way.value[i] = unrest.next();
        way.smooth(0.12);
        for (int i = 0; i < way.length(); i++) formant.value[i] *= 1 + 0.25 * way.value[i];
    }

    /** How loud a note is meant to be, in dB beside one of effort 0.9. */
    double meant(int note) {
        return RANGE_DB * (effort[note] - 0.9);
    }

    /** A note comes up, blooms and gives way a little. */
    private void swell(int k) {
        Note n = diction.notes.get(k);
        double length = n.end() - n.start();
        for (int i = Track.at(n.start()); i < Math.min(voice.length(), Track.at(n.end())); i++) {
            double t = i / (double) Track.RATE - n.start();
            double db = -2.5 * (1 - Track.ease(t / 0.15)) - 2 * Track.ease((t - 0.5 * length) / (0.5 * length));
            voice.value[i] *= gain(db);
        }
    }

    /** First and last moments of a line: the cords come together softly and part softly, with more air. */
    private void letGo(Line l) {
        for (int i = Track.at(l.start()); i < Math.min(voice.length(), Track.at(l.end() + 0.2)); i++) {
            double t = i / (double) Track.RATE;
            double closed = Track.ease((t - l.start() + 0.01) / 0.06) * Track.ease((l.end() + 0.02 - t) / 0.14);
            voice.value[i] *= closed;
            rd.value[i] += 0.9 * (1 - closed);
        }
    }
}

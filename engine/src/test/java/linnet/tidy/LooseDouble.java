package linnet.tidy;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import linnet.demo.Performance;
import linnet.demo.Score;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.demo.Truth;

/** A lead and a double that nobody has tidied: each line off by up to 80 ms, and from there wandering by up to 25 ms from note to note; all of it known. */
public record LooseDouble(Performance lead, Performance part) {
    public static final double RATE = 48_000;

    public static LooseDouble of(Singer singer, long seed) {
        return of(singer, seed, 0);
    }

    /** So many semitones above. */
    static LooseDouble of(Singer singer, long seed, int above) {
        return new LooseDouble(Performance.sing(SevenLanterns.lead(), Singer.high(), RATE),
                Performance.sing(loosened(SevenLanterns.lead(), seed, above), singer, RATE));
    }

    private static Score loosened(Score s, long seed, int above) {
        SplittableRandom random = new SplittableRandom(seed);
        List<Score.Phrase> phrases = new ArrayList<>();
        double beat = s.secondsPerBeat();
        for (Score.Phrase p : s.phrases()) {
            double first = random.nextDouble(-0.08, 0.08), off = first;
            List<Score.Note> notes = new ArrayList<>();
            for (Score.Note n : p.notes()) {
                double next = 0.8 * off + random.nextDouble(-0.025, 0.025);
                notes.add(new Score.Note(n.midi() + above, n.beats() + (next - off) / beat, n.onset(), n.vowel(), n.glide(), n.coda(), n.cents(),
                        n.scoopCents(), n.held()));
                off = next;
            }
            phrases.add(new Score.Phrase(p.beat() + first / beat, p.section(), p.effort(), p.words(), notes));
        }
        return new Score(s.title(), s.beatsPerMinute(), s.beatsPerBar(), s.key(), s.bars(), phrases);
    }

    /** Onset of each vowel in the part and in the lead, in seconds. */
    List<double[]> onsets() {
        List<double[]> onsets = new ArrayList<>();
        List<Truth.Note> own = part.truth().notes(), there = lead.truth().notes();
        for (int i = 0; i < own.size(); i++) onsets.add(new double[] {own.get(i).start(), there.get(i).start()});
        return onsets;
    }
}

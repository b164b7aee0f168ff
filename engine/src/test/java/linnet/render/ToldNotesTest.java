package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import linnet.dsp.Samples;
import linnet.dsp.pitch.Held;
import linnet.dsp.pitch.Semitones;
import linnet.hear.Ear;
import linnet.hear.Note;
import linnet.hear.Notes;
import linnet.hear.Told;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The list of notes of a take holds for parts that are made of a part that sings it: in the pitch at which they have it. */
class ToldNotesTest {
    private static final double SHIFTED = 3;

    @TempDir
    Path folder;

    /** From 0.5 to 1.5 s and from 2 to 3 s, so many semitones up. */
    private static Samples voice(double first, double second) {
        double[] x = new double[(int) (3.5 * SongRig.RATE)];
        double level = 0, phase = 0;
        for (int i = 0; i < x.length; i++) {
            double t = i / SongRig.RATE;
            boolean sings = t >= 0.5 && t < 1.5 || t >= 2 && t < 3;
            phase += Semitones.hz(t < 1.75 ? first : second) / SongRig.RATE;
            level += ((sings ? 0.15 : 0) - level) * 0.004;
            for (int h = 1; h <= 20; h++) x[i] += level * Math.sin(2 * Math.PI * h * phase) / h;
        }
        return new Samples(SongRig.RATE, x);
    }

    private static double pitch(double[] x, double from, double to) {
        return new Held(new Ear(new Samples(SongRig.RATE, x)).pitch(), SongRig.RATE, (int) Math.round(from * 100), (int) Math.round(to * 100)).mean();
    }

    @Test
    void aPartMadeOfAnotherGoesByTheListOfItsTake() throws Exception {
        Samples take = voice(61.1, 63.3);
        List<Note> heard = new Ear(take).notes().all();
        Told told = new Told(Optional.empty(),
                Optional.of(new Notes(List.of(heard.get(0).aimed(Note.Target.at(61.4)), heard.get(1).aimed(Note.Target.leave())))));
        String tuned = "chain: [ shift: { by: 400 cents }, tune: { key: C major, amount: 100 %, speed: 30 ms } ]";
        Map<String, double[][]> prints = new SongRig(folder)
                .render("parts:\n  lead: { take: a.wav, chain: [ shift: { by: 300 cents } ] }\n  take: { take: a.wav, " + tuned
                        + " }\n  of lead: { from: lead, " + tuned
                + " }\n  edited: { from: lead, only: verse to end, " + tuned + " }\nprints: [ lead, take, of lead, edited ]\n", 1, List.of(told), take);
        for (String part : List.of("take", "of lead", "edited")) {
            double up = 4 + (part.equals("take") ? 0 : SHIFTED);
            assertEquals(61.4 + up, pitch(prints.get(part)[0], 0.6, 1.45), 0.05, part);
            assertEquals(63.3 + up, pitch(prints.get(part)[0], 2.1, 2.95), 0.05, part);
        }
    }
}

package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import linnet.Rig;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.Score;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.demo.Truth;
import linnet.dsp.Samples;
import linnet.dsp.pitch.Held;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.pitch.Unvoiced;
import linnet.dsp.pitch.Semitones;
import linnet.hear.Ear;
import linnet.hear.Note;
import linnet.hear.Notes;
import linnet.hear.Told;
import linnet.hear.Tuning;
import linnet.hear.Wanted;
import linnet.setting.Key;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Voices whose every pitch is known: by formula, and the demo's singers in five keys. */
class TuneTest {
    private static final double RATE = 48_000;
    private static final int HOP = 480;

    /** A sung note by formula: where it should be, how far off it is sung, and its vibrato, drift and scoop in cents. */
    private record Sung(double start, double end, double key, double cents, double vibratoHz, double vibratoCents, double drift, double scoop) {
        double at(double t) {
            double grown = Math.max(0, Math.min(1, (t - start - 0.15) / 0.2));
            return key + (cents + drift * (t - (start + end) / 2) - scoop * Math.exp(-(t - start) / 0.03)
                    + vibratoCents * grown * Math.sin(2 * Math.PI * vibratoHz * (t - start))) / 100;
        }
    }

    /** In the key of the tonic: legato pairs, a rest with a hiss as of an s between the phrases. */
    private static List<Sung> melody(double tonic) {
        List<Sung> notes = new ArrayList<>();
        double[] steps = {0, 4, 7, 5, 2, 9, 11, 12}, off = {30, -25, 38, -42, 18, -30, 26, 35};
        for (int k = 0; k < 8; k++) {
            double start = 0.5 + 1.6 * k + (k % 2 == 0 ? 0 : -0.3);
            double[] swing = {5.2, 40, 0, 0, 6.2, 70, 5.7, 50, 0, 0, 6.6, 60, 5.5, 90, 0, 0};
            notes.add(new Sung(start, start + 1.3, tonic + steps[k], off[k], swing[2 * k], swing[2 * k + 1], k % 3 == 0 ? 24 : 0, k % 2 == 0 ? 90 : 0));
        }
        return notes;
    }

    private static Samples voice(List<Sung> notes) {
        double[] x = new double[(int) (RATE * 13.5)];
        SplittableRandom random = new SplittableRandom(6);
        double phase = 0, level = 0, last = 0;
        for (int i = 0; i < x.length; i++) {
            double t = i / RATE;
            Sung now = notes.stream().filter(n -> t >= n.start && t < n.end).reduce((a, b) -> b).orElse(null);
            double hiss = random.nextDouble() - 0.5;
            if (now != null) {
                Sung before = notes.stream().filter(n -> n.end == now.start || Math.abs(n.end - now.start) < 1e-9).findFirst().orElse(null);
                double p = now.at(t);
                // A glide of 80 ms between the notes of a pair.
                if (before != null && t < now.start + 0.08) p = before.at(t) + (p - before.at(t)) * (0.5 - 0.5 * Math.cos(Math.PI * (t - now.start) / 0.08));
                phase += Semitones.hz(p) / RATE;
            }
            level += ((now == null ? 0 : 0.15) - level) * 0.004;
            for (int h = 1; h <= 20; h++) x[i] += level * Math.sin(2 * Math.PI * h * phase) / h;
            x[i] += (now == null && t % 0.4 < 0.15 ? 0.03 : 2e-4) * (hiss - last);
            last = hiss;
        }
        return new Samples(RATE, x);
    }

    private static Samples tuned(String settings, Samples take) {
        double[][] x = Rig.usual().exact().render("- tune: { " + settings + " }", take).x();
        return new Samples(take.rate(), x);
    }

    private static PitchTrack pitch(Samples x) {
        return new Ear(x).pitch();
    }

    private static Held held(PitchTrack track, double from, double to) {
        return new Held(track, RATE, (int) Math.round(from * 100), (int) Math.round(to * 100));
    }

    /**
     * A run that is carried leads from the note it is sung out of to the one it is sung into, in even steps; where only one of them is there, or none, it goes
     * as that.
     */
    @Test
    void whatIsCarriedLeadsFromNoteToNote() {
        assertEquals(List.of(40.0, 10.0, -20.0), moved(40, "-", -20));
        assertEquals(List.of(40.0, 20.0, 0.0, -20.0), moved(40, "-", "-", -20));
        assertEquals(List.of(30.0, 30.0, 30.0, 30.0, 30.0), moved(30, "-", "-", "-", 30));
        assertEquals(List.of(40.0, 40.0, 40.0), moved(40, "-", "-"));
        assertEquals(List.of(-20.0, -20.0, -20.0), moved("-", "-", -20));
        assertEquals(List.of(0.0, 0.0), moved("-", "-"));
        assertEquals(List.of(30.0, 20.0, 10.0, 0.0), moved(30, "-", "-", 0));
        // Over a rest nothing is carried.
        assertEquals(List.of(40.0, 40.0, -20.0, -20.0), moved(40, "-", " ", "-", -20));
    }

    /** How far each note is moved, in cents: those that are told how far, and those that go with them ("-"); " " is a rest. */
    private static List<Double> moved(Object... line) {
        List<Note> notes = new ArrayList<>();
        for (int k = 0; k < line.length; k++) {
            Note note = new Note(4800L * k, 4800L * (k + 1), 60, 0, 0, 0, 0, 0.9, Optional.empty());
            if (!line[k].equals(" ")) {
                notes.add(note.aimed(line[k] instanceof Integer cents ? Note.Target.at(60 + cents / 100.0) : Note.Target.withNeighbours()));
            }
        }
        Ear ear = new Ear(new Samples(RATE, new double[48_000]));
        return Tune.pulls(new Tuning(440, Tuning.CHROMATIC).wanted(new Notes(notes), RATE), ear, 1, 0, 0).stream()
                .map(p -> Math.rint(p.cents() * 1e6) / 1e6 + 0.0).toList();
    }

    /** At 100 %: each mean within 5 cents, vibrato rate within 2 %, its extent within 10 %. */
    @ParameterizedTest
    @CsvSource({"G major, 43", "D major, 50", "Bb major, 58", "F major, 65", "A major, 57"})
    void everyNoteComesToItsTarget(String key, double tonic) {
        List<Sung> melody = melody(tonic);
        Samples take = voice(melody), out = tuned("key: " + key + ", amount: 100 %, ignore: 0 cents", take);
        PitchTrack before = pitch(take), after = pitch(out);
        for (Sung n : melody) {
            String what = key + " " + n;
            Held was = held(before, n.start + 0.12, n.end - 0.02), is = held(after, n.start + 0.12, n.end - 0.02);
            assertEquals(n.cents, 100 * (was.mean() - n.key), 6, what);
            assertEquals(0, 100 * (is.mean() - n.key), 5, what);
            assertEquals(was.vibratoHz(), is.vibratoHz(), 0.02 * was.vibratoHz(), what);
            assertEquals(was.vibratoCents(), is.vibratoCents(), 0.1 * was.vibratoCents(), what);
            if (n.vibratoHz > 0) assertEquals(n.vibratoHz, is.vibratoHz(), 0.02 * n.vibratoHz, what);
        }
    }

    /** Half of every error is left, and scoops stay. */
    @Test
    void halfTheAmountTakesHalfTheError() {
        List<Sung> melody = melody(50);
        Samples take = voice(melody);
        PitchTrack before = pitch(take), after = pitch(tuned("key: D major, amount: 50 %, ignore: 0 cents", take));
        for (Sung n : melody) {
            Held was = held(before, n.start + 0.12, n.end - 0.02), is = held(after, n.start + 0.12, n.end - 0.02);
            assertEquals(0.5 * (was.mean() - n.key), is.mean() - n.key, 0.04, n.toString());
            double scoop = held(after, n.start, n.end).scoopCents();
            if (n.scoop > 0) assertEquals(held(before, n.start, n.end).scoopCents(), scoop, 25, n.toString());
        }
    }

    @Test
    void errorsThatAreIgnoredStay() {
        Samples take = voice(melody(50));
        Samples out = tuned("key: D major, amount: 100 %, ignore: 50 cents", take);
        assertArrayEquals(take.data()[0], out.data()[0]);
    }

    @Test
    void atNothingTheTakePassesToTheBit() {
        Samples take = voice(melody(50));
        assertArrayEquals(take.data()[0], tuned("key: D major, amount: 0 %", take).data()[0]);
    }

    /** Where there is no pitch nothing changes, and the length is that of the take. */
    @Test
    void whatHasNoPitchPassesToTheBit() {
        Samples take = voice(melody(57)), out = tuned("key: A major, amount: 100 %, speed: 0 ms", take);
        PitchTrack track = pitch(take);
        assertEquals(take.data()[0].length, out.data()[0].length);
        Unvoiced.assertKept(take.data()[0], out.data()[0], track, RATE);
        int unvoiced = 0, changed = 0;
        for (int i = 0; i < take.data()[0].length; i++) {
            if (!track.voiced(i / HOP)) unvoiced++;
            else if (take.data()[0][i] != out.data()[0][i]) changed++;
        }
        assertTrue(unvoiced > RATE && changed > 5 * RATE, unvoiced + " and " + changed);
    }

    /** None of a vibrato of 5 to 7 Hz is left but what the tracker does not see of it. */
    @Test
    void theVibratoCanBeTakenAway() {
        List<Sung> melody = melody(50);
        Samples take = voice(melody);
        PitchTrack half = pitch(tuned("key: D major, amount: 0 %, vibrato: 50 %", take)), none = pitch(tuned("key: D major, amount: 0 %, vibrato: 0 %", take)),
                before = pitch(take);
        for (Sung n : melody) {
            if (n.vibratoCents == 0) continue;
            double was = swing(before, n), is = swing(half, n), left = swing(none, n);
            assertEquals(0.5 * was, is, 0.12 * was, n.toString());
            assertTrue(left < 0.2 * was, n + ": " + left + " of " + was);
        }
    }

    /** RMS of the pitch about its mean, in cents. */
    private static double swing(PitchTrack track, Sung n) {
        double sum = 0, squares = 0;
        int from = (int) ((n.start + 0.45) * 100), to = (int) ((n.end - 0.15) * 100);
        for (int f = from; f < to; f++) {
            double c = 100 * Semitones.of(track.hz()[f]) - n.drift * (f + 0.5) / 100;
            sum += c;
            squares += c * c;
        }
        double mean = sum / (to - from);
        return Math.sqrt(Math.max(0, squares / (to - from) - mean * mean));
    }

    @Test
    void withoutAKeyTheNearestSemitoneIsMeant() {
        Samples take = voice(List.of(new Sung(0.5, 1.5, 61, 25, 0, 0, 0, 0), new Sung(2, 3, 63, -30, 0, 0, 0, 0)));
        Rig.Result result = Rig.usual().exact().render("- tune: { amount: 100 % }", take);
        PitchTrack after = pitch(new Samples(RATE, result.x()));
        assertEquals(61, held(after, 0.6, 1.5).mean(), 0.05);
        assertEquals(63, held(after, 2.1, 3).mean(), 0.05);
        assertEquals("2 notes, 2 moved by up to 30 cents", found(Rig.usual().render("- tune: { amount: 100 % }", take)));
    }

    private static String found(Rig.Result result) {
        return result.rendered().resolved().get(0).value();
    }

    @Test
    void aScaleMayStandForAKey() {
        Samples take = voice(List.of(new Sung(0.5, 1.5, 61, 25, 0, 0, 0, 0), new Sung(2, 3, 64, -30, 0, 0, 0, 0)));
        PitchTrack after = pitch(tuned("scale: [ C, D, E ], amount: 100 %", take));
        assertEquals(62, held(after, 0.6, 1.5).mean(), 0.05);
        assertEquals(64, held(after, 2.1, 3).mean(), 0.05);
    }

    @Test
    void theReferenceMovesTheTargets() {
        Samples take = voice(List.of(new Sung(0.5, 1.5, 69, 25, 0, 0, 0, 0)));
        PitchTrack after = pitch(tuned("reference: 443 Hz, amount: 100 %", take));
        assertEquals(69.118, held(after, 0.6, 1.5).mean(), 0.04);
    }

    @Test
    void saysWhatItDidAndWhatNot() {
        Samples take = voice(List.of(new Sung(0.5, 1.5, 61, 2, 0, 0, 0, 0), new Sung(2, 3, 64, -30, 0, 0, 0, 0)));
        assertEquals("2 notes, 1 moved by up to 18 cents, 1 left alone because they lie between two notes",
                found(Rig.usual().render("- tune: { key: C major }", take)));
        assertEquals("no notes, because nobody sings in it", found(Rig.usual().render("- tune", new Samples(RATE, new double[48_000]))));
    }

    @Test
    void bothChannelsAreMovedAlike() {
        Samples mono = voice(List.of(new Sung(0.5, 1.5, 61, 30, 5.5, 40, 0, 0)));
        double[] quiet = mono.data()[0].clone();
        for (int i = 0; i < quiet.length; i++) quiet[i] *= 0.5;
        Samples out = tuned("amount: 100 %", new Samples(RATE, mono.data()[0], quiet));
        for (int i = 0; i < quiet.length; i++) assertEquals(0.5 * out.data()[0][i], out.data()[1][i], 1e-12);
    }

    /** On one breath with a moved note it keeps its pitch and its sound; after a rest it keeps its bits. */
    @Test
    void aNoteThatIsToBeLeftIsLeft() {
        Samples take = voice(List.of(new Sung(0.5, 1.5, 61, 35, 0, 0, 0, 0), new Sung(1.5, 2.5, 63, 30, 5.5, 40, 0, 0),
                new Sung(2.7, 3.5, 63, 30, 0, 0, 0, 0)));
        Notes heard = new Ear(take).notes();
        List<Note> told = new ArrayList<>(heard.all());
        assertEquals(3, told.size(), told.toString());
        for (int k = 1; k < 3; k++) told.set(k, told.get(k).aimed(Note.Target.leave()));
        Ear ear = new Ear(take, new Told(Optional.empty(), Optional.of(new Notes(told))));
        Rig rig = Rig.usual().exact();
        Rig.Result result = rig.render(rig.chain("- tune: { amount: 100 % }"), ear);
        PitchTrack before = pitch(take), after = pitch(new Samples(RATE, result.x()));
        assertEquals(61, held(after, 0.6, 1.4).mean(), 0.05);
        Held was = held(before, 1.65, 2.4), is = held(after, 1.65, 2.4);
        assertEquals(was.mean(), is.mean(), 0.01);
        assertEquals(was.vibratoCents(), is.vibratoCents(), 1);
        for (int i = (int) (2.75 * RATE); i < 3.4 * RATE; i++) assertEquals(take.data()[0][i], result.x()[0][i], "sample " + i);
        assertEquals("3 notes, 1 moved by up to 35 cents; 2 as the list of notes says", found(result));
    }

    /** What a step before has moved is not moved by as much again: a note is tuned from where it arrives. */
    @ParameterizedTest
    @CsvSource({"61, 35, '- tune: { amount: 100 % }'", "61, 30, '- tune: { amount: 60 % }'", "61, 0, '- shift: { by: 30 cents }'",
            "61, 20, '- shift: { by: 100 cents }'"})
    void aNoteIsTunedFromWhereItArrives(double note, double cents, String before) {
        Samples take = voice(List.of(new Sung(0.5, 1.5, note, cents, 5.5, 40, 0, 0)));
        double[] tuned = Rig.usual().exact().render(before + "\n- tune: { amount: 100 %, ignore: 0 cents }", take).mono();
        assertEquals(before.contains("100 cents") ? note + 1 : note, held(pitch(new Samples(RATE, tuned)), 0.6, 1.45).mean(), 0.03);
    }

    /** A list that says so moves a note to any other, in key or not. */
    @Test
    void aToldTargetIsReached() {
        Samples take = voice(List.of(new Sung(0.5, 1.5, 61, 10, 0, 0, 0, 0)));
        List<Note> told = List.of(new Ear(take).notes().all().get(0).aimed(Note.Target.at(62.3)));
        Rig rig = Rig.usual().exact();
        Rig.Result result = rig.render(rig.chain("- tune: { key: C major, amount: 100 % }"),
                new Ear(take, new Told(Optional.empty(), Optional.of(new Notes(told)))));
        assertEquals(62.3, held(pitch(new Samples(RATE, result.x())), 0.6, 1.45).mean(), 0.05);
    }

    /**
     * A list is written for the take: what a shift before the step moves arrives with its target moved as far, and what is to be left stays where the shift put
     * it.
     */
    @ParameterizedTest
    @CsvSource({
        "400, '- shift: { by: 400 cents }'",
        "-500, '- shift: { by: -500 cents }'",
        "700, '- shift: { by: 300 cents }\n- tune: { amount: 50 % }\n- shift: { by: 400 cents }'",
        "400, '- shift: { by: 400 cents, mix: 99.99 % }'",
        "0, '- shift: { by: 400 cents, mix: 0.01 % }'",
        "0, '- parallel: [ { level: 0 dB }, { level: -80 dB, steps: [ shift: { by: 400 cents } ] } ]'"
    })
    void aToldTargetFollowsTheShiftsBefore(double cents, String before) {
        Samples take = voice(List.of(new Sung(0.5, 1.5, 61, 10, 0, 0, 0, 0), new Sung(2, 3, 63, 30, 0, 0, 0, 0)));
        List<Note> heard = new Ear(take).notes().all();
        List<Note> told = List.of(heard.get(0).aimed(Note.Target.at(61.4)), heard.get(1).aimed(Note.Target.leave()));
        Rig rig = Rig.usual().exact();
        Rig.Result result = rig.render(rig.chain(before + "\n- tune: { key: C major, amount: 100 % }"),
                new Ear(take, new Told(Optional.empty(), Optional.of(new Notes(told)))));
        PitchTrack after = pitch(new Samples(RATE, result.x()));
        assertEquals(61.4 + cents / 100, held(after, 0.6, 1.45).mean(), 0.05);
        assertEquals(63.3 + cents / 100, held(after, 2.1, 2.95).mean(), 0.05);
    }

    private static Score transposed(int phrases, int up) {
        Score song = SevenLanterns.lead();
        double[] off = {35, -28, 20, -42, 8, -18, 44, -33, 26, -12};
        int[] k = {0};
        List<Score.Phrase> moved = new ArrayList<>();
        for (Score.Phrase p : song.phrases().subList(0, phrases)) {
            List<Score.Note> notes = new ArrayList<>();
            for (Score.Note n : p.notes()) {
                notes.add(new Score.Note(n.midi() + up, n.beats(), n.onset(), n.vowel(), n.glide(), n.coda(), off[k[0]++ % off.length], n.scoopCents(),
                        n.held()));
            }
            moved.add(new Score.Phrase(p.beat(), p.section(), p.effort(), p.words(), notes));
        }
        return new Score(song.title(), song.beatsPerMinute(), song.beatsPerBar(), song.key(), 1 + 2 * phrases, moved);
    }

    /**
     * Words, scoops, drift and unrest; each note sung up to 44 cents off. A short note of a word is never still, so its mean depends on which
     * part is taken for held: of those of 0.25 s and more nine in ten are within 5 cents.
     */
    @ParameterizedTest
    @CsvSource({"D major, 0, high", "D major, 0, low", "C major, -2, low", "F major, 3, low", "A major, -5, high", "G major, 5, low"})
    void aSungSongComesIntoTune(String key, int up, String who) {
        Performance song = Performance.sing(transposed(4, up), who.equals("high") ? Singer.high() : Singer.low(), Room.bedroom(), RATE);
        Samples take = new Samples(RATE, song.samples()), out = tuned("key: " + key + ", amount: 100 %, ignore: 0 cents", take);
        Ear ear = new Ear(take);
        PitchTrack after = pitch(out);
        int near = 0, all = 0, wrong = 0;
        for (Wanted w : new Tuning(440, Key.FORM.read(key).orElseThrow().notes()).wanted(ear.notes(), RATE)) {
            Note n = w.note();
            Held is = held(after, n.from() / RATE, n.to() / RATE);
            // No note is an octave from where it was.
            assertTrue(Math.abs(is.mean() - n.pitch()) < 1.5, w + " came to " + is.mean());
            if (w.pitch().isEmpty()) continue;
            if (Math.abs(meant(song.truth(), n) - w.pitch().getAsDouble()) > 0.1) wrong++;
            if (n.to() - n.from() < 0.25 * RATE) continue;
            all++;
            if (Math.abs(is.mean() - w.pitch().getAsDouble()) <= 0.05) near++;
        }
        assertTrue(all >= 12 && near >= 0.9 * all, near + " of " + all);
        assertTrue(wrong <= 1, wrong + " wrong");
        Unvoiced.assertKept(take.data()[0], out.data()[0], ear.pitch(), RATE);
    }

    /** The written note that shares most time with a found one. */
    private static double meant(Truth truth, Note n) {
        return truth.notes().stream().max(java.util.Comparator.comparingDouble(t -> Math.min(t.end(), n.to() / RATE) - Math.max(t.start(), n.from() / RATE)))
                .orElseThrow().midi();
    }
}

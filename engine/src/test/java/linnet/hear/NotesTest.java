package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.Score;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.dsp.pitch.Held;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.pitch.Semitones;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The notes that are found, against sounds by formula, the demo's singers, and what others wrote down of real voices. The figure is the F
 * measure that note transcription is judged by: an onset within 50 ms and a pitch within 50 cents, each note matched once.
 */
class NotesTest {
    private static final double RATE = 48_000;

    /** A note as somebody else has it. */
    private record Known(double start, double pitch) {}

    /** A voice whose pitch in semitones is given over time; not a number where it is silent. */
    private static Ear voice(double seconds, DoubleUnaryOperator semitones) {
        double[] x = new double[(int) (seconds * RATE)];
        double phase = 0, level = 0;
        java.util.SplittableRandom random = new java.util.SplittableRandom(4);
        for (int i = 0; i < x.length; i++) {
            double p = semitones.applyAsDouble(i / RATE);
            level += ((Double.isNaN(p) ? 0 : 0.2) - level) * 0.002;
            if (!Double.isNaN(p)) phase += Semitones.hz(p) / RATE;
            for (int h = 1; h <= 12; h++) x[i] += level * Math.sin(2 * Math.PI * h * phase) / h;
            x[i] += 1e-4 * (random.nextDouble() - 0.5);
        }
        return new Ear(new Samples(RATE, x));
    }

    private static List<Note> notes(double seconds, DoubleUnaryOperator semitones) {
        return voice(seconds, semitones).notes().all();
    }

    private static double at(Note n) {
        return n.from() / RATE;
    }

    @Test
    void oneVowelMayHoldSeveralNotes() {
        List<Note> found = notes(3, t -> t < 0.5 || t > 2.5 ? Double.NaN : t < 1 ? 60 : t < 1.3 ? 62 : t < 1.9 ? 61 : 64);
        assertEquals(4, found.size(), found.toString());
        double[] starts = {0.5, 1, 1.3, 1.9}, pitches = {60, 62, 61, 64};
        for (int k = 0; k < 4; k++) {
            assertEquals(starts[k], at(found.get(k)), 0.025);
            assertEquals(pitches[k], found.get(k).pitch(), 0.03);
            assertTrue(found.get(k).confidence() > 0.8);
        }
    }

    /** Over a semitone to each side, for two seconds. */
    @ParameterizedTest
    @CsvSource({"5.2, 40", "6, 85", "6.5, 130"})
    void aVibratoIsOneNote(double hz, double cents) {
        List<Note> found = notes(3, t -> t < 0.5 || t > 2.5 ? Double.NaN : 64 + cents / 100 * Math.sin(2 * Math.PI * hz * t));
        assertEquals(1, found.size(), found.toString());
        assertEquals(64, found.get(0).pitch(), 0.05);
        assertEquals(hz, found.get(0).vibratoHz(), 0.02 * hz);
        // The tracker hears the mean over some 30 ms.
        assertEquals(cents, found.get(0).vibratoCents(), 0.1 * cents);
    }

    @Test
    void scoopsFallsAndGlidesAreNoNotes() {
        List<Note> found = notes(3, t -> t < 0.5 || t > 2.5 ? Double.NaN
                : t < 0.58 ? 57 + 3 * (t - 0.5) / 0.08 : t < 1.4 ? 60 : t < 1.5 ? 60 + 4 * (t - 1.4) / 0.1 : t < 2.42 ? 64 : 64 - 40 * (t - 2.42));
        assertEquals(2, found.size(), found.toString());
        assertEquals(60, found.get(0).pitch(), 0.05);
        assertEquals(64, found.get(1).pitch(), 0.05);
        assertTrue(found.get(0).scoopCents() < -80, found.toString());
        assertTrue(found.get(1).fallCents() < -80, found.toString());
    }

    /** Parted by a rest of 60 ms, as by a consonant. */
    @Test
    void aPitchSungTwiceIsTwoNotes() {
        List<Note> found = notes(3, t -> t < 0.5 || t > 2.5 || t > 1.4 && t < 1.46 ? Double.NaN : 60);
        assertEquals(2, found.size(), found.toString());
        assertEquals(1.46, at(found.get(1)), 0.03);
    }

    /** 60 cents may be the swing of one note; where the list of marks has a vowel, they are not. */
    @Test
    void aVowelAtAnotherPitchIsANewNote() {
        Ear ear = voice(3, t -> t < 0.5 || t > 2.5 ? Double.NaN : t < 1.2 ? 60.3 : 59.7);
        assertEquals(1, ear.notes().all().size(), ear.notes().toString());
        long begins = Math.round(1.2 * RATE), holds = Math.round(1.8 * RATE);
        Marks list = new Marks(List.of(new Mark(Mark.Kind.VOWEL, begins, begins, 1, false), new Mark(Mark.Kind.VOWEL, holds, holds, 1, false)));
        List<Note> found = new Ear(ear.sound(), new Told(Optional.of(list))).notes().all();
        assertEquals(2, found.size(), found.toString());
        assertEquals(1.2, at(found.get(1)), 0.011);
        assertEquals(60.3, found.get(0).pitch(), 0.03);
        assertEquals(59.7, found.get(1).pitch(), 0.03);
    }

    /** Only the vowels are looked for where nothing asked for the whole list; they are the same. */
    @Test
    void theNotesAreTheSameWhetherMarksWereAskedForOrNot() {
        Samples sound = new Samples(RATE, Performance.sing(SevenLanterns.lead(), Singer.low(), Room.bedroom(), RATE).samples());
        Ear asked = new Ear(sound);
        asked.marks();
        assertEquals(new Ear(sound).notes().all(), asked.notes().all());
    }

    @Test
    void nobodySingsInNoiseOrSilence() {
        double[] noise = new java.util.Random(1).doubles(96_000, -0.1, 0.1).toArray();
        assertEquals(List.of(), new Ear(new Samples(RATE, noise)).notes().all());
        assertEquals(List.of(), new Ear(new Samples(RATE, new double[96_000])).notes().all());
        assertEquals(List.of(), new Ear(new Samples(RATE, new double[100])).notes().all());
    }

    /** Where a list was told, it counts; what is sung there is heard anew. */
    @Test
    void whatWasToldCountsMoreThanWhatIsFound() {
        Ear found = voice(2, t -> t < 0.5 || t > 1.5 ? Double.NaN : 60.2);
        Note told = new Note(30_000, 60_000, 55, 9, 99, 9, 9, 0.4, Optional.of(Note.Target.at(62)));
        Note nowhere = new Note(90_000, 95_000, 55, 0, 0, 0, 0, 1, Optional.empty());
        Ear ear = new Ear(found.sound(), new Told(Optional.empty(), Optional.of(new Notes(List.of(nowhere, told)))));
        List<Note> notes = ear.notes().all();
        assertEquals(2, notes.size());
        assertEquals(60.2, notes.get(0).pitch(), 0.03);
        assertEquals(0, notes.get(0).vibratoHz());
        assertEquals(0.4, notes.get(0).confidence());
        assertEquals(told.target(), notes.get(0).target());
        assertTrue(Double.isNaN(notes.get(1).pitch()));
        assertEquals(0, notes.get(1).confidence());
        assertEquals(notes, ear.on(found.sound()).notes().all());
    }

    /** Against all that the demo's singers know of themselves. */
    @ParameterizedTest
    @CsvSource({"high, 48000, 0.91", "low, 44100, 0.93"})
    void findsTheNotesOfTheDemo(String who, double rate, double least) {
        Performance take = Performance.sing(SevenLanterns.lead(), who.equals("high") ? Singer.high() : Singer.low(), Room.bedroom(), rate);
        List<Note> found = new Ear(new Samples(rate, take.samples())).notes().all();
        List<Known> sung = take.truth().notes().stream().map(n -> new Known(n.start(), Semitones.of(n.hz()))).toList();
        double f = f(sung, found, rate, 0.05);
        assertTrue(f >= least, who + ": F " + f);

        // The pitch that is heard in a note is the one that was sung in it, drift and scoops included.
        int hop = (int) (rate / 100);
        float[] hz = new float[take.samples().length / hop];
        for (int i = 0; i < hz.length; i++) hz[i] = (float) take.truth().pitchAt((i + 0.5) * hop / rate);
        PitchTrack truth = new PitchTrack(hop, hz);
        int near = 0, all = 0;
        for (Note n : found) {
            Held held = Held.between(truth, rate, n.from(), n.to());
            if (n.confidence() < Tuning.SURE || n.to() - n.from() < 0.25 * rate || held.voiced() < 0.9) continue;
            all++;
            if (100 * Math.abs(held.mean() - n.pitch()) < 5) near++;
        }
        assertTrue(all >= 20 && near >= 0.85 * all, near + " of " + all);
    }

    /** High vowels whose second harmonic is the stronger: the tracker takes some for the octave above, and is not believed. */
    @Test
    void isNotSureOfANoteThatIsTrackedAnOctaveTooHigh() {
        Score song = SevenLanterns.lead();
        List<Score.Phrase> high = new ArrayList<>();
        for (Score.Phrase p : song.phrases().subList(4, 6)) {
            List<Score.Note> notes = new ArrayList<>();
            for (Score.Note n : p.notes()) {
                notes.add(new Score.Note(n.midi() + 3, n.beats(), n.onset(), n.vowel(), n.glide(), n.coda(), n.cents(), n.scoopCents(), n.held()));
            }
            high.add(new Score.Phrase(p.beat() - 32, p.section(), p.effort(), p.words(), notes));
        }
        Performance take = Performance.sing(new Score(song.title(), 100, 4, "F major", 6, high), Singer.high(), RATE);
        int doubted = 0;
        for (Note n : new Ear(new Samples(RATE, take.samples())).notes().all()) {
            double sung = take.truth().pitchAt((n.from() + n.to()) / (2 * RATE));
            if (sung == 0 || n.pitch() - Semitones.of(sung) < 8) continue;
            doubted++;
            assertTrue(n.confidence() < Tuning.SURE, n.toString());
        }
        assertTrue(doubted > 0, "none is tracked so here: the test shows nothing");
    }

    /** Two annotators wrote down the same song; they agree with each other at 0.862. */
    @Test
    void findsTheNotesAsAnnotatorsDo() throws IOException {
        Voices.assumePresent();
        List<Known> first = annotated("male_sing_vocadito01_notesA1.csv"), second = annotated("male_sing_vocadito01_notesA2.csv");
        assertEquals(0.862, f(first, second, 0.05), 0.001);
        try (WavFile take = WavFile.open(Voices.file("male_sing_vocadito01.wav"))) {
            List<Note> found = new Ear(take).notes().all();
            double a = f(first, found, take.rate(), 0.05), b = f(second, found, take.rate(), 0.05);
            assertTrue(a >= 0.84 && b >= 0.82, a + " and " + b);
        }
    }

    /** The vowels of the labels and the notes of the score that they carry. Her vowels glide, so onsets count within 100 ms. */
    @ParameterizedTest
    @CsvSource({"1, 0.9", "2, 0.77"})
    void findsTheNotesOfTheScore(int take, double least) throws IOException {
        Voices.assumePresent();
        List<Known> score = new ArrayList<>();
        for (String row : Files.readAllLines(Voices.file("female_sing_nit004_take" + take + "_phones.csv"))) {
            String[] cell = row.split(",");
            if (!"aiueo".contains(cell[2])) continue;
            int letter = "C D EF G A B".indexOf(cell[3].charAt(0));
            score.add(new Known(Double.parseDouble(cell[0]), letter + 12 * (cell[3].charAt(1) - '0' + 1)));
        }
        assertEquals(31, score.size());
        try (WavFile sound = WavFile.open(Voices.file("female_sing_nit004_take" + take + ".wav"))) {
            double f = f(score, new Ear(sound).notes().all(), sound.rate(), 0.1);
            assertTrue(f >= least, "F " + f);
        }
    }

    /** What is spoken or creaks may give notes, but few that are sure. */
    @Test
    void isSeldomSureInSpeech() throws IOException {
        Voices.assumePresent();
        try (WavFile take = WavFile.open(Voices.file("male_speech_plosive_xmas.wav"))) {
            assertTrue(new Ear(take).notes().all().stream().filter(n -> n.confidence() >= 0.5).count() <= 4);
        }
    }

    private static List<Known> annotated(String file) throws IOException {
        List<Known> notes = new ArrayList<>();
        for (String row : Files.readAllLines(Voices.file(file))) {
            if (!row.isBlank()) notes.add(new Known(Double.parseDouble(row.split(",")[0]), Semitones.of(Double.parseDouble(row.split(",")[1]))));
        }
        return notes;
    }

    private static double f(List<Known> sung, List<Note> found, double rate, double seconds) {
        return f(sung, found.stream().map(n -> new Known(n.from() / rate, n.pitch())).toList(), seconds);
    }

    /** Most pairs that can be made at once (H. Kuhn's augmenting paths), over the mean number of notes. */
    private static double f(List<Known> sung, List<Known> found, double seconds) {
        int[] of = new int[found.size()];
        java.util.Arrays.fill(of, -1);
        int pairs = 0;
        for (int i = 0; i < sung.size(); i++) if (pair(i, sung, found, seconds, of, new boolean[of.length])) pairs++;
        return 2.0 * pairs / (sung.size() + found.size());
    }

    private static boolean pair(int i, List<Known> sung, List<Known> found, double seconds, int[] of, boolean[] tried) {
        for (int j = 0; j < of.length; j++) {
            if (tried[j] || Math.abs(sung.get(i).start - found.get(j).start) > seconds || Math.abs(sung.get(i).pitch - found.get(j).pitch) > 0.5) continue;
            tried[j] = true;
            if (of[j] < 0 || pair(of[j], sung, found, seconds, of, tried)) {
                of[j] = i;
                return true;
            }
        }
        return false;
    }

    @Test
    void theFigureFailsWhatIsWrong() {
        List<Known> sung = List.of(new Known(1, 60), new Known(2, 62));
        assertEquals(1, f(sung, sung, 0.05));
        assertEquals(0.5, f(sung, List.of(new Known(1.04, 60.4), new Known(2.06, 62)), 0.05));
        assertEquals(0.5, f(sung, List.of(new Known(1.04, 60.6), new Known(2.04, 62)), 0.05));
        assertEquals(2 / 3.0, f(sung, List.of(new Known(1, 60)), 0.05), 1e-9);
        assertFalse(f(sung, List.of(), 0.05) > 0);
    }
}

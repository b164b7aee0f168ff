package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import linnet.Rig;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.Score;
import linnet.demo.Singer;
import linnet.demo.SevenLanterns;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.dsp.pitch.Semitones;
import linnet.hear.Facts;
import linnet.hear.Note;
import linnet.hear.Notes;
import linnet.hear.SungPitches;
import linnet.hear.Tuning;
import linnet.render.Resolved;
import linnet.setting.Key;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Keys and references that do not go with what is sung: by melodies as they are written, by notes that people wrote down, and by voices. */
class MisfitTest {
    private static final double RATE = 48_000;
    /** Semitones above C5 and beats: a melody in C major. */
    private static final double[] MELODY = {0, 2, 2, 1, 4, 1, 5, 1, 7, 2, 9, 1, 7, 1, 5, 1, 4, 2, 2, 1, -1, 1, 0, 4};

    private static Note note(double at, double seconds, double pitch) {
        return new Note(Math.round(at * RATE), Math.round((at + seconds) * RATE), pitch, 0, 0, 0, 0, 1, Optional.empty());
    }

    private static List<Note> melody(DoubleUnaryOperator sung, double... more) {
        List<Note> notes = new ArrayList<>();
        double at = 0;
        for (double[] all : new double[][] {MELODY, more}) {
            for (int k = 0; k < all.length; k += 2, at++) notes.add(note(at, all[k + 1] / 2, sung.applyAsDouble(72 + all[k])));
        }
        return notes;
    }

    private static SungPitches sung(List<Note> notes) {
        return new SungPitches(notes, RATE, 440);
    }

    private static String key(SungPitches sung, String key) {
        return Misfit.key(sung, key, Key.FORM.read(key).orElseThrow().notes()).orElse("");
    }

    private static void assertSays(String said, String... parts) {
        for (String part : parts) assertTrue(said.contains(part), said);
    }

    @Test
    void aKeyThatLeavesOutWhatIsSungIsTold() {
        SungPitches c = sung(melody(p -> p));
        assertEquals("", key(c, "C major"));
        assertEquals("", key(c, "A minor"));
        // 8.5 s of notes: F (1 s), C (3 s) and G (1.5 s) lie outside A major.
        assertSays(key(c, "A major"), "A major leaves out 61 % of", "most of it C,", "C major (A minor) 0 %", "write the one it is in, as in 'key: C major'");
    }

    @Test
    void aBlueNoteAndPassingNotesAreNot() {
        assertEquals("", key(sung(melody(p -> p, 3, 2, 10, 1, 6, 0.5)), "C major"));
    }

    /** Nobody can write a key for them; half of it outside is a mistake all the same. */
    @Test
    void whatIsInNoKeyIsToldToTuneToTheNearestSemitone() {
        List<Note> all = new ArrayList<>();
        for (int k = 0; k < 12; k++) all.add(note(k, 1, 60 + k));
        assertEquals("", key(sung(all), "C major"));
        assertSays(key(sung(all), "C major pentatonic"), "C major pentatonic leaves out 58 %", "no major or minor key leaves out less than 42 %");
    }

    @Test
    void tooShortATakeAndUnevenIntonationSayNothing() {
        assertEquals("", key(sung(melody(p -> p).subList(0, 7)), "F# major"));
        // Any pitch within the semitone, one after the other.
        double[] off = {0};
        SungPitches uneven = sung(melody(p -> p + (off[0] += 0.37) % 1 - 0.5));
        assertEquals("", key(uneven, "F# major"));
        assertEquals(Optional.empty(), Misfit.reference(uneven, 440));
    }

    @ParameterizedTest
    @CsvSource({"-31, 31 cents under A at 440 Hz, 432.2 Hz", "44, 44 cents over A at 440 Hz, 451.3 Hz",
            "-48, 48 cents under A at 440 Hz, 'reference: 428 Hz' or 453.4 Hz"})
    void allThatLiesOffAsOneIsTold(double cents, String off, String write) {
        // Twice, 10 cents to either side.
        List<Note> notes = new ArrayList<>(melody(p -> p + cents / 100 + 0.1));
        notes.addAll(melody(p -> p + cents / 100 - 0.1));
        SungPitches sung = sung(notes);
        assertSays(Misfit.reference(sung, 440).orElse(""), off, write);
    }

    /** One flat singer of several is no reason to sing the song at another pitch: the step knows nothing of the other parts, and says so. */
    @Test
    void thePitchOfASongIsLeftToAllOfItsParts() {
        assertEquals("all that is sung lies 31 cents under A at 440 Hz, as one, and is moved by that, as is right where the singer was flat; where this part "
                + "was recorded at another pitch, write 'reference: 432.2 Hz' in its 'tune'; 'pitch: 432.2 Hz' in a song moves all of its parts, and is right "
                + "only where the others lie so too", Misfit.reference(sung(melody(p -> p - 0.31)), 440).orElse(""));
    }

    @Test
    void whatLiesOffALittleOrAsTheReferenceIsNot() {
        assertEquals(Optional.empty(), Misfit.reference(sung(melody(p -> p + 0.15)), 440));
        SungPitches low = new SungPitches(melody(p -> p - 0.31), RATE, 432.2);
        assertEquals(Optional.empty(), Misfit.reference(low, 432.2));
        assertEquals("", key(low, "C major"));
    }

    /** A key is told of by the notes that the singer means, wherever her A lies: all of it a semitone lower, at 415.3 Hz, is C major there. */
    @Test
    void aKeyGoesByTheReference() {
        List<Note> low = melody(p -> p - 1);
        assertEquals("", key(new SungPitches(low, RATE, 415.3), "C major"));
        assertSays(key(sung(low), "C major"), "'key: B major'");
    }

    /** The notes of a folk song as two people wrote them down (the note annotations of the voice): B flat major has them, with E flat major. */
    @ParameterizedTest
    @CsvSource({"A1", "A2"})
    void notesThatWereWrittenDown(String who) throws Exception {
        Voices.assumePresent();
        List<Note> notes = new ArrayList<>();
        for (String row : Files.readAllLines(Voices.file("male_sing_vocadito01_notes" + who + ".csv"))) {
            String[] r = row.split(",");
            notes.add(note(Double.parseDouble(r[0]), Double.parseDouble(r[2]), Semitones.of(Double.parseDouble(r[1]))));
        }
        SungPitches sung = sung(notes);
        for (String right : new String[] {"Bb major", "G minor", "Eb major", "F major", "C harmonic minor"}) assertEquals("", key(sung, right));
        for (String wrong : new String[] {"D major", "C# major", "E minor"}) assertSays(key(sung, wrong), "Bb major (G minor)", "as in 'key: Bb major'");
    }

    private static String octave(double... sungAndWanted) {
        List<Note> notes = new ArrayList<>();
        for (int k = 0; k < sungAndWanted.length; k += 2) notes.add(note(k + 0.5, 1, sungAndWanted[k]).aimed(Note.Target.at(sungAndWanted[k + 1])));
        return Misfit.octave(new Tuning(440, Tuning.CHROMATIC).wanted(new Notes(notes), RATE), RATE, 440).orElse("");
    }

    /** C4 is the middle C, 60 semitones as MIDI counts them. */
    @Test
    void anOctaveSlipOfTheListIsTold() {
        assertEquals("lies octaves from what is sung in 1 note of the list: at 0.5 s C4 where C5 is sung, write it an octave higher; leave it where the "
                + "leap is meant", octave(71.8, 60, 69, 69));
        assertEquals("lies octaves from what is sung in 2 notes of the list: at 0.5 s A5 where G#4 is sung, write it an octave lower; at 2.5 s D2 where D4 is "
                + "sung, write it 2 octaves higher; leave it where the leap is meant", octave(68.3, 81, 62, 38));
        assertEquals("", octave(72, 73, 72, 65, 72, 79, 72, 62.9));
        assertSays(octave(72, 60, 72, 60, 72, 60, 72, 60, 72, 60, 72, 60, 72, 60), "in 7 notes of the list", "at 8.5 s", "higher and 2 more; leave");
    }

    /** What the ear decides itself is never so. */
    @Test
    void onlyWhatSomebodySaidIsTold() {
        List<Note> notes = new ArrayList<>(melody(p -> p));
        notes.add(note(20, 1, 60).aimed(Note.Target.leave()));
        notes.add(note(22, 1, 60).aimed(Note.Target.withNeighbours()));
        assertEquals(Optional.empty(), Misfit.octave(new Tuning(440, Tuning.CHROMATIC).wanted(new Notes(notes), RATE), RATE, 440));
    }

    private static List<String> odd(String settings, Sound take) {
        return Rig.usual().render("- tune: { " + settings + " }", take).rendered().resolved().stream().filter(Resolved::odd)
                .map(r -> r.setting() + " " + r.value()).toList();
    }

    /** The keys are those of their scores: three sharps stand before that of the one, the other is sung from F to D. */
    @ParameterizedTest
    @CsvSource({"male_sing_pjs063.wav, A major, C major", "female_sing_nit004_take1.wav, F major, E major", "female_sing_nit004_take2.wav, F major, E major",
            "male_sing_vocadito01.wav, Bb major, D major"})
    void voicesInKeysThatAreKnown(String file, String right, String wrong) throws Exception {
        Voices.assumePresent();
        try (WavFile take = WavFile.open(Voices.file(file))) {
            assertEquals(List.of(), odd("key: " + right, take));
            List<String> told = odd("key: " + wrong, take);
            assertEquals(1, told.size(), told::toString);
            assertSays(told.get(0), "key " + wrong + " leaves out", right);
        }
    }

    /** The invented song is in D major; here a singer whose A lies where it is told. */
    @ParameterizedTest
    @CsvSource({"0, D major, ''", "0, F major, key F major leaves out", "-32, D major, reference all that is sung lies"})
    void theInventedSong(double cents, String key, String told) {
        Score lead = SevenLanterns.lead();
        List<Score.Phrase> phrases = new ArrayList<>();
        for (Score.Phrase p : lead.phrases()) {
            List<Score.Note> notes = p.notes().stream()
                    .map(n -> new Score.Note(n.midi(), n.beats(), n.onset(), n.vowel(), n.glide(), n.coda(), n.cents() + cents, n.scoopCents(), n.held()))
                    .toList();
            phrases.add(new Score.Phrase(p.beat(), p.section(), p.effort(), p.words(), notes));
        }
        Score score = new Score(lead.title(), lead.beatsPerMinute(), lead.beatsPerBar(), lead.key(), lead.bars(), phrases);
        Samples take = new Samples(RATE, Performance.sing(score, Singer.high(), Room.dry(), RATE).samples());
        assertEquals(cents, new Facts(take).overA440().value().orElseThrow(), 5);
        List<String> odd = odd("key: " + key, take);
        assertEquals(told.isEmpty() ? 0 : 1, odd.size(), odd::toString);
        if (!told.isEmpty()) assertSays(odd.get(0), told);
    }
}

package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import linnet.demo.Performance;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.demo.Truth;
import linnet.dsp.Samples;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Told;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import linnet.weigh.ThrowPlaces;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Throws that begin where a vowel does and end with the next phrase, and places that are worth one. */
class AimedThrowsTest {
    private static final double RATE = SongRig.RATE;
    private static final String SONG = """
            parts: { one: { take: a.wav } }
            returns: { far: { chain: [ trim ] } }
            throws: [ { part: one, %s, to: far } ]
            prints: [ one, far ]
            """;

    @TempDir
    Path folder;

    private static Mark mark(Mark.Kind kind, double from, double to) {
        return new Mark(kind, Math.round(from * RATE), Math.round(to * RATE), 1, false);
    }

    /** Two phrases; a bar lasts a second. */
    private static List<Told> told() {
        return List.of(new Told(Optional.of(new Marks(List.of(mark(Mark.Kind.PHRASE, 0.2, 1.9), mark(Mark.Kind.PHRASE, 2.6, 3.8),
                mark(Mark.Kind.VOWEL, 0.3, 0.3), mark(Mark.Kind.VOWEL, 1.09, 1.09), mark(Mark.Kind.VOWEL, 1.6, 1.6),
                mark(Mark.Kind.VOWEL, 2.7, 2.7))))));
    }

    private double[] far(String thrown, SongRig rig) throws Exception {
        return rig.render(SONG.formatted(thrown), 1, told(), SongRig.noise(1, 4, 0.3)).get("far")[0];
    }

    private void far(String thrown, SongRig rig, String returns) throws Exception {
        rig.render(SONG.formatted(thrown).replace("far: {", returns + "{"), 1, told(), SongRig.noise(1, 4, 0.3));
    }

    private static double first(double[] x) {
        for (int i = 0; i < x.length; i++) if (Math.abs(x[i]) > 1e-6) return i / RATE;
        return Double.POSITIVE_INFINITY;
    }

    private static double last(double[] x) {
        for (int i = x.length - 1; i >= 0; i--) if (Math.abs(x[i]) > 1e-6) return i / RATE;
        return Double.NEGATIVE_INFINITY;
    }

    @Test
    void aThrowBeginsOnTheVowelThatIsMeant() throws Exception {
        SongRig rig = new SongRig(folder);
        assertEquals(1.09, first(far("word: bar 2, length: 1 beat", rig)), 0.01);
        assertEquals(List.of("throw of one at bar 2: 90 ms later, where its vowel begins"), rig.aiming.told());
        assertEquals(1, first(far("word: bar 2, length: 1 beat, exact: yes", rig)), 0.01);
        assertEquals(1.25, first(far("word: bar 2 beat 2, length: 1 beat", rig)), 0.01, "none is near");
        assertEquals(List.of("throw of one at bar 2 beat 2: no vowel begins within 150 ms of it, so it begins right there; the nearest begins at verse bar 2 "
                + "beat 1.36 ('exact: yes' says that it is meant so)"), rig.aiming.told());
        assertEquals(1.6, first(far("word: vowel 3, length: 1 beat", rig)), 0.01);
        assertEquals(List.of("throw of one, vowel 3: verse bar 2 beat 3.4"), rig.aiming.told());
        assertEquals(1.6 + 0.25 + 0.08, last(far("word: vowel 3 of one, length: 1 beat", rig)), 0.01);
        assertTrue(rig.found.contains("one"), "the part is the same with any throw");
    }

    @Test
    void aThrowCanEndWithTheNextPhrase() throws Exception {
        SongRig rig = new SongRig(folder);
        double[] far = rig.render(SONG.formatted("word: vowel 3, length: 1 beat, stop: next phrase").replace("trim", "reverb: { decay: 4 s }"), 1, told(),
                SongRig.noise(2, 4, 0.3)).get("far")[0];
        assertTrue(SongRig.db(far, 2.3, 2.6) > -60);
        for (int i = (int) (2.91 * RATE); i < far.length; i++) assertEquals(0, far[i], "at " + i);
    }

    @Test
    void whatIsOddAboutThrowsIsTold() throws Exception {
        SongRig rig = new SongRig(folder);
        far("word: vowel 1, length: 1 beat, to: far }, { part: one, word: bar 2 beat 3.4, length: 1 beat", rig);
        assertEquals("throws of one at vowel 1 and bar 2 beat 3.4 are in one line: the words may fall over each other", rig.aiming.told().get(1));
        for (String[] c : new String[][] {{"word: vowel 9, length: 1 beat", "'one' has 4 vowels, the last at chorus bar 1 beat 3.8"},
                {"word: vowel 0, length: 1 beat", "vowels count from 1"},
                {"word: vowel 2 of two, length: 1 beat", "this throws a word of 'one', not of 'two'"},
                        {"word: bar 1, length: 1 beat, exact: perhaps", "'exact' is yes or no"}}) {
            String said = assertThrows(ProblemsException.class, () -> far(c[0], rig)).getMessage().lines().findFirst().orElseThrow();
            assertTrue(said.endsWith(": " + c[1]), said);
        }
    }

    /** A word is in by its end, however long it was to take, and goes from there: no fade reaches past what is thrown. */
    @Test
    void aWordComesInWithinItsLength() throws Exception {
        SongRig rig = new SongRig(folder);
        double[] far = far("word: bar 2, exact: yes, length: 100 ms, in: 1000 ms, out: 5 ms", rig);
        assertEquals(1.105, last(far), 0.002);
        assertTrue(SongRig.db(far, 1.09, 1.1) > SongRig.db(far, 1.04, 1.06) + 4, "it comes in over its length");
        assertEquals(List.of("throw of one at bar 2: it comes in over all of its length, 100 ms: 'in' is longer, 1 s"), rig.aiming.told());
        far("word: vowel 3 of one, length: 100 ms, in: 1000 ms, out: 5 ms", rig);
        assertEquals(List.of("throw of one, vowel 3: verse bar 2 beat 3.4",
                "throw of one, vowel 3: it comes in over all of its length, 100 ms: 'in' is longer, 1 s"), rig.aiming.told());
        double[] whole = far("word: bar 2, exact: yes, length: 100 ms, in: 5 ms, out: 5 ms", rig);
        assertEquals(SongRig.db(whole, 1.097, 1.1), SongRig.db(far, 1.097, 1.1), 0.5, "there in full at its end");
        assertEquals(List.of(), rig.aiming.told());
        String said = assertThrows(ProblemsException.class, () -> far("word: bar 2, length: 1 ms", rig)).getMessage().lines().findFirst().orElseThrow();
        assertTrue(said.endsWith(": a thrown word lasts 5 ms or more: a shorter one is a click"), said);
    }

    /** Where a word is sung is known only once it is heard, and what ends it may lie before that. */
    @Test
    void aWordThatIsStoppedBeforeItEndsIsTold() throws Exception {
        SongRig rig = new SongRig(folder);
        for (String[] c : new String[][] {
                {"word: vowel 3, length: 1 beat, stop: 1 s", "the word lasts from verse bar 2 beat 3.4 to verse bar 2 beat 4.4"},
                {"word: bar 2, length: 200 ms, stop: 1.25 s", "the word lasts from verse bar 2 beat 1.36 to verse bar 2 beat 2.16"}}) {
            String said = assertThrows(ProblemsException.class, () -> far(c[0], rig), c[0]).getMessage().lines().findFirst().orElseThrow();
            assertTrue(said.endsWith(": " + c[1] + ", and \"" + (c[0].contains("1.25") ? "1.25" : "1")
                    + " s\" comes before its end: give 'stop' a later place, or a time after the word such as '2 beats'"), said);
            assertEquals(1 + SONG.formatted(c[0]).lines().filter(l -> l.contains("stop:")).findFirst().orElseThrow().indexOf("stop: ") + "stop: ".length(),
                    Integer.parseInt(said.split(":")[2]), "at 'stop', as where that is known without hearing: " + said);
        }
        for (String stop : List.of("1.3 s", "0 beats", "350 ms", "next phrase")) far("word: bar 2, length: 200 ms, stop: " + stop, rig);
    }

    /** The usual throw: one word to an echo and to a room, which falls over nothing, and is moved once. */
    @Test
    void aWordToTwoReturnsIsOneWord() throws Exception {
        SongRig rig = new SongRig(folder);
        far("word: bar 2, length: 1 beat, to: wide }, { part: one, word: bar 2, length: 1 beat", rig, "far: { chain: [ trim ] }, wide: ");
        assertEquals(List.of("throw of one at bar 2: 90 ms later, where its vowel begins"), rig.aiming.told());
        far("word: vowel 3, length: 1 beat, to: wide }, { part: one, word: vowel 3, length: 1 beat", rig, "far: { chain: [ trim ] }, wide: ");
        assertEquals(List.of("throw of one, vowel 3: verse bar 2 beat 3.4"), rig.aiming.told());
        far("word: bar 2, length: 1 beat, to: wide }, { part: one, word: vowel 3, length: 1 beat, to: wide }, { part: one, word: vowel 3, length: 1 beat", rig,
                "far: { chain: [ trim ] }, wide: ");
        assertEquals(1, rig.aiming.told().stream().filter(t -> t.equals("throws of one at bar 2 and vowel 3 are in one line: the words may fall over each "
                + "other")).count(), rig.aiming.told().toString());
    }

    @Test
    void oneVowelIsToldAsOne() throws Exception {
        SongRig rig = new SongRig(folder);
        List<Told> told = List.of(new Told(Optional.of(new Marks(List.of(mark(Mark.Kind.PHRASE, 0.2, 1.9), mark(Mark.Kind.VOWEL, 1.09, 1.09))))));
        String said = assertThrows(ProblemsException.class,
                () -> rig.render(SONG.formatted("word: vowel 2, length: 1 beat"), 1, told, SongRig.noise(1, 4, 0.3))).getMessage().lines().findFirst()
                .orElseThrow();
        assertTrue(said.contains(": 'one' has 1 vowel, at "), said);
    }

    /** Against what is true of the demo's lead: a vowel begins there, and nothing of its line hisses or bursts after it. The delay repeats after 120 ms. */
    @Test
    void goodWordsToThrowAreFound() throws Exception {
        Performance lead = Performance.sing(SevenLanterns.lead(), Singer.high(), RATE);
        SongRig rig = new SongRig(folder);
        String song = "song: x\ntempo: 100 bpm\nsections: { count-in: 1, verse: 2, chorus: 10, end: 19 }\nparts: { lead: { take: a.wav } }\n"
                + "returns: { far: { chain: [ delay ] } }\n%sprints: [ far ]\n";
        rig.whole(song.formatted(""), 1, new Samples(RATE, lead.samples()));
        List<ThrowPlaces.Suggestion> found = new ThrowPlaces(rig.aiming.song(), RATE).in("lead", rig.marks.of("lead").orElseThrow());
        assertTrue(found.size() >= 3, found.toString());
        for (ThrowPlaces.Suggestion s : found) {
            double[] far = rig.whole(song.formatted("throws:\n  " + s.line() + "\n"), 1, new Samples(RATE, lead.samples())).get("far")[0];
            assertEquals(s.seconds() + 0.12, first(far), 0.01, s.line());
            var line = lead.truth().lines().stream().filter(l -> l.start() < s.seconds() && s.seconds() < l.end()).findFirst().orElseThrow();
            assertTrue(lead.truth().sounds().stream().anyMatch(x -> x.part() == Truth.Part.VOWEL && Math.abs(x.start() - s.seconds()) < 0.04),
                    "no vowel begins at " + s.seconds());
            assertTrue(lead.truth().sounds().stream()
                    .noneMatch(x -> x.start() > s.seconds() + 0.1 && x.start() < line.end() && (x.part() == Truth.Part.BURST || x.part() == Truth.Part.NOISE)),
                    "ends hard: " + line.words());
        }
    }

    /** Names with what means something in YAML. */
    @Test
    void aWordToThrowIsWrittenSoThatItReadsBack() throws Exception {
        String song = "song: x\ntempo: 240 bpm\nsections: { \"verse: one\": 1, end: 5 }\nparts: { \"oh, no\": { take: a.wav } }\n"
                + "returns: { \"far, {wide}\": { chain: [ delay ] } }\n%sprints: [ mix ]\n";
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, song.formatted(""));
        Song before = SongReader.read(file, Builtins.catalogue());
        ThrowPlaces.Suggestion found = new ThrowPlaces(before, RATE).in("oh, no", told().get(0).marks().orElseThrow()).get(0);
        Files.writeString(file, song.formatted("throws:\n  " + found.line() + "\n"));
        Song.Throw thrown = SongReader.read(file, Builtins.catalogue()).thrown().get(0);
        assertEquals("oh, no", thrown.part().text());
        assertEquals("far, {wide}", thrown.to().text());
        assertEquals(found.seconds(), thrown.from(), 0.01);
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonArray;
import com.google.gson.JsonElement;
import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.SplittableRandom;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import linnet.demo.Performance;
import linnet.demo.Score;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Cell;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The list of marks as a user meets it: written, corrected, used by the other commands, and never lost. */
class MarkTest extends Called {
    private static final Score TWO_LINES = first(2);
    private static final double[] SUNG = Performance.sing(TWO_LINES, Singer.high(), 48_000).samples();

    @TempDir
    Path folder;

    private Path take, list, chain;

    private static Score first(int phrases) {
        Score song = SevenLanterns.lead();
        return new Score(song.title(), song.beatsPerMinute(), song.beatsPerBar(), song.key(), 1 + 2 * phrases, song.phrases().subList(0, phrases));
    }

    @BeforeEach
    void aTake() throws IOException {
        take = folder.resolve("lead.wav");
        list = folder.resolve("lead.marks.yaml");
        chain = folder.resolve("chain.yaml");
        write(take, SUNG, 48_000);
        Files.writeString(chain, "steps:\n  - compressor: { aim: 3 dB }\n");
    }

    private static void write(Path file, double[] x, int rate) throws IOException {
        try (WavWriter writer = WavWriter.create(file, Print.of(rate, 1, SampleFormat.INT_24).overwriting())) {
            double[][] block = new double[1][Cell.LENGTH];
            for (int from = 0; from < x.length; from += Cell.LENGTH) {
                int n = Math.min(Cell.LENGTH, x.length - from);
                System.arraycopy(x, from, block[0], 0, n);
                writer.write(block, n);
            }
            writer.finish();
        }
    }

    private JsonObject json() {
        return JsonParser.parseString(out.toString()).getAsJsonObject();
    }

    private void edit(String from, String to) throws IOException {
        String text = Files.readString(list);
        assertTrue(text.contains(from), from);
        Files.writeString(list, text.replace(from, to));
    }

    /** File systems allow it. */
    @Test
    void aTakeWithALineBreakInItsNameHasAListAndADraft() throws IOException {
        Path broken = folder.resolve("one\ntwo.wav"), draft = folder.resolve("draft\nof it.yaml");
        Files.copy(take, broken);
        assertEquals(0, run("mark", broken), err.toString());
        assertEquals(0, run("mark", broken), err.toString());
        assertEquals(0, run("check", chain, broken), err.toString());
        assertEquals(0, run("draft", broken, "--out", draft), err.toString());
        assertEquals(0, run("check", draft, broken), err.toString());
    }

    /** Some editors put one there; the list says what it said before. */
    @Test
    void aMarkOfTheOrderOfBytesBreaksNoSeal() throws IOException {
        assertEquals(0, run("mark", take));
        Files.writeString(list, "\uFEFF" + Files.readString(list));
        assertEquals(0, run("mark", take), err.toString());
    }

    /** In a pipe nothing is said, and nothing but the list is left. */
    @Test
    void marksATakeInSilence() throws IOException {
        assertEquals(0, run("mark", take));
        assertEquals("", out.toString() + err);
        assertTrue(Files.readString(list).contains("marks: \"lead.wav\""));
        try (var files = Files.list(folder)) {
            assertEquals(3, files.count());
        }
    }

    @Test
    void theSameTakeGivesTheSameList() throws IOException {
        run("mark", take);
        byte[] first = Files.readAllBytes(list);
        assertEquals(0, run("mark", take));
        assertArrayEquals(first, Files.readAllBytes(list));
    }

    @Test
    void anEditedListIsNeverOverwrittenUnlessForced() throws IOException {
        run("mark", take);
        String written = Files.readString(list);
        edit("list:\n", "list:\n  - { keep: 1.1 s, length: 50 ms, word: meant }\n");
        String edited = Files.readString(list);
        assertEquals(2, run("mark", take));
        assertTrue(err.toString().contains("was corrected by hand") && err.toString().contains("--force"), err.toString());
        assertEquals(edited, Files.readString(list));
        assertEquals(0, run("mark", take, "--force"));
        assertEquals(written, Files.readString(list));
    }

    @Test
    void anotherFileIsNeverOverwrittenUnlessForced() throws IOException {
        byte[] before = Files.readAllBytes(chain);
        assertEquals(2, run("mark", take, "--out", chain));
        assertArrayEquals(before, Files.readAllBytes(chain));
        assertEquals(2, run("mark", take, "--out", take));
        assertEquals(2, run("mark", take, "--out", folder.resolve("there/is/none.yaml")));
    }

    @Test
    void checkSaysWhichListWasUsed() throws IOException {
        assertEquals(0, run("check", chain, take, "--json"));
        assertTrue(json().get("marks").isJsonNull());
        run("mark", take);
        assertEquals(0, run("check", chain, take, "--json"));
        assertEquals(list.toString(), json().getAsJsonObject("marks").get("file").getAsString());
        assertFalse(json().getAsJsonObject("marks").get("edited").getAsBoolean());
        edit("list:\n", "list:\n  - { keep: 1.1 s, length: 50 ms }\n");
        assertEquals(0, run("check", chain, take));
        assertTrue(out.toString().contains("from " + list + ", corrected by hand"), out.toString());
        Path other = Files.move(list, folder.resolve("mine.yaml"));
        assertEquals(0, run("check", chain, take, "--marks", other, "--json"));
        assertEquals(other.toString(), json().getAsJsonObject("marks").get("file").getAsString());
        assertTrue(json().getAsJsonObject("marks").get("edited").getAsBoolean());
    }

    /** The list as found changes nothing: the print is the same to the bit with it and without. */
    @Test
    void renderGoesByTheListAndSaysSoWhereAPersonCorrectedIt() throws IOException {
        Path print = folder.resolve("print.wav");
        assertEquals(0, run("render", chain, take, "--out", print));
        String without = sound(print);
        run("mark", take);
        assertEquals(0, run("render", chain, take, "--out", print, "--force"));
        assertEquals("", err.toString());
        assertEquals(without, sound(print));
        edit("list:\n", "list:\n  - { keep: 1.1 s, length: 50 ms }\n");
        assertEquals(0, run("render", chain, take, "--out", print, "--force", "--json"));
        assertEquals("Marks: as corrected by hand in " + list, err.toString().strip());
        assertEquals(list.toString(), json().getAsJsonObject("marks").get("file").getAsString());
        assertEquals(0, run("render", chain, take, "--out", print, "--force", "--rate", "44100"));
    }

    @Test
    void aWrongListIsThreeWithItsPlace() throws IOException {
        run("mark", take);
        edit("- { breath: ", "- { braeth: ");
        for (Object[] words : new Object[][] {
            {"render", chain, take, "--out", folder.resolve("print.wav")}, {"check", chain, take}, {"measure", take}, {"curve", chain, take, "--step", "1"},
            {"draft", take, "--out", folder.resolve("new.yaml")}, {"compare", chain, "--take", take, "--dry", "--out", folder},
            {"sweep", chain, take, "--vary", "compressor.ratio = 2:1, 4:1", "--out", folder}
        }) {
            assertEquals(3, run(words), words[0].toString());
            assertTrue(err.toString().contains("there is no mark 'braeth'; did you mean 'breath'?"), err.toString());
        }
        assertFalse(Files.exists(folder.resolve("print.wav")));
    }

    @Test
    void aListThatIsNamedMustBeThereAndOfThisTake() throws IOException {
        assertEquals(3, run("check", chain, take, "--marks", folder.resolve("none.yaml")));
        assertTrue(err.toString().contains("there is no such file"), err.toString());
        Path other = folder.resolve("other.wav");
        write(other, Arrays.copyOf(SUNG, SUNG.length / 2), 48_000);
        run("mark", other);
        assertEquals(3, run("check", chain, take, "--marks", folder.resolve("other.marks.yaml")));
        assertTrue(err.toString().contains("this list is of another take"), err.toString());
        assertEquals(2, run("check", chain, "--marks", list));
        assertEquals(2, run("measure", take, other, "--marks", list));
    }

    /** Another recording of the same length under the same name: its list is used, with a warning. */
    @Test
    void aTakeThatWasRecordedAnewIsRemarkedOn() throws IOException {
        run("mark", take);
        write(take, Performance.sing(TWO_LINES, Singer.high().seed(9), 48_000).samples(), 48_000);
        assertEquals(0, run("check", chain, take));
        assertTrue(err.toString().contains("does not sound as it did when its marks were listed"), err.toString());
    }

    /** Of the next singer, who sings longer: each list that no longer fits is told. */
    @Test
    void bothListsOfAnotherTakeAreTold() throws IOException {
        run("mark", take);
        run("notes", take);
        write(take, Arrays.copyOf(SUNG, SUNG.length + 4800), 48_000);
        assertEquals(3, run("check", chain, take));
        for (String named : new String[] {"lead.marks.yaml", "lead.notes.yaml"}) {
            assertTrue(err.toString().lines().anyMatch(l -> l.contains(named) && l.contains("this list is of another take")), err.toString());
        }
    }

    /** From the list of the lead to that of a double: the word and what is kept; said in JSON. Another song is refused. */
    @Test
    void whatWasWrittenComesOverToADouble() throws IOException {
        run("mark", take);
        String text = Files.readString(list);
        String breath = text.lines().filter(l -> l.contains("breath: ")).skip(1).findFirst().orElseThrow();
        Files.writeString(list, text.replace(breath, breath.replace(" }", ", keep: yes, word: meant }")));
        Path twin = folder.resolve("double.wav");
        write(twin, Performance.sing(TWO_LINES, Singer.high().seed(9), 44_100).samples(), 44_100);
        assertEquals(0, run("mark", twin, "--like", list, "--json"));
        assertEquals(1, json().getAsJsonObject("carried").get("words").getAsInt());
        assertEquals(1, json().getAsJsonObject("carried").get("kept").getAsInt());
        assertEquals(1, Files.readString(folder.resolve("double.marks.yaml")).lines()
                .filter(l -> l.contains("breath: ") && l.endsWith(", keep: yes, word: \"meant\" }")).count());
        Path silent = folder.resolve("silent.wav");
        write(silent, new double[48_000], 48_000);
        assertEquals(5, run("mark", silent, "--like", list));
        assertFalse(Files.exists(folder.resolve("silent.marks.yaml")));
        assertEquals(3, run("mark", twin, "--like", chain, "--force"));
    }

    /** The remedy of the message is the command that works; what is kept comes over, and nothing is lost before the new list is there. */
    @Test
    void aTakeThatWasCutGetsItsListAnew() throws IOException {
        run("mark", take);
        String breath = Files.readString(list).lines().filter(l -> l.contains("breath: ")).skip(1).findFirst().orElseThrow();
        edit(breath, breath.replace(" }", ", keep: yes }"));
        write(take, Arrays.copyOfRange(SUNG, 4_800, SUNG.length), 48_000);
        assertEquals(3, run("check", chain, take));
        assertTrue(err.toString().contains("make a new one with 'linnet mark " + take + " --like " + list + " --force'"), err.toString());
        byte[] before = Files.readAllBytes(list);
        assertEquals(2, run("mark", take, "--like", list));
        assertTrue(err.toString().contains("is the list that --like reads: words and what is kept are carried over"), err.toString());
        assertArrayEquals(before, Files.readAllBytes(list));
        assertEquals(0, run("mark", take, "--like", list, "--force"));
        assertEquals(1, Files.readString(list).lines().filter(l -> l.contains("breath: ") && l.contains("keep: yes")).count());
        assertEquals(0, run("check", chain, take), err.toString());
        // What does not have the same words takes the place of nothing.
        before = Files.readAllBytes(list);
        write(take, new double[48_000], 48_000);
        assertEquals(5, run("mark", take, "--like", list, "--force"));
        assertArrayEquals(before, Files.readAllBytes(list));
    }

    /** Whoever reads the JSON sees nothing else of it. */
    @Test
    void whatIsToldOfAListIsInTheJsonToo() throws IOException {
        run("mark", take);
        edit("list:\n", "list:\n  - { keep: 1.1 s, length: 50 ms }\n");
        byte[] bytes = Files.readAllBytes(take);
        bytes[bytes.length - 1] ^= 1;
        Files.write(take, bytes);
        Path print = folder.resolve("print.wav");
        for (Object[] words : new Object[][] {{"check", chain, take}, {"render", chain, take, "--out", print, "--rate", "44100"}, {"measure", take}}) {
            Object[] asked = Arrays.copyOf(words, words.length + 1);
            asked[words.length] = "--json";
            assertEquals(0, run(asked), err::toString);
            JsonElement answer = JsonParser.parseString(out.toString());
            JsonArray remarks = (answer.isJsonArray() ? answer.getAsJsonArray().get(0) : answer).getAsJsonObject().getAsJsonArray("remarks");
            assertEquals(err.toString().lines().toList(), remarks.asList().stream().map(JsonElement::getAsString).toList());
            assertTrue(remarks.get(0).getAsString().contains("does not sound as it did when its marks were listed"), remarks::toString);
        }
    }

    @Test
    void measureCountsByTheList() throws IOException {
        run("measure", take, "--json");
        int breaths = JsonParser.parseString(out.toString()).getAsJsonArray().get(0).getAsJsonObject().getAsJsonArray("breaths").size();
        run("mark", take);
        edit("list:\n", "list:\n  - { breath: 10 ms, length: 300 ms }\n");
        run("measure", take, "--json");
        JsonObject measured = JsonParser.parseString(out.toString()).getAsJsonArray().get(0).getAsJsonObject();
        assertEquals(breaths + 1, measured.getAsJsonArray("breaths").size());
        assertTrue(measured.getAsJsonObject("marks").get("edited").getAsBoolean());
    }

    /** The list is in seconds of the take, whatever rate the print has: a tenth of a second of a noise, and of that alone. */
    @Test
    void aPrintAtAnotherRateHasItsMarksAtTheSameSeconds() throws IOException {
        SplittableRandom random = new SplittableRandom(1);
        write(take, random.doubles(3 * 48_000).map(r -> 0.01 * (2 * r - 1)).toArray(), 48_000);
        Files.writeString(list, "marks: lead.wav\nrate: 48 kHz\nframes: 144000\nlist:\n  - { breath: 2 s, length: 100 ms }\n");
        Files.writeString(chain, "steps:\n  - breaths: { lower: 20 dB, fade: 10 ms }\n");
        for (int rate : new int[] {48_000, 44_100, 96_000}) {
            Path print = folder.resolve("print " + rate + ".wav");
            assertEquals(0, run("render", chain, take, "--out", print, "--rate", rate), err::toString);
            try (WavFile wav = WavFile.open(print)) {
                double[][] x = new double[1][(int) wav.frames()];
                wav.read(0, x, x[0].length);
                double noise = db(x[0], rate, 0.5, 1.5);
                assertEquals(noise - 20, db(x[0], rate, 2.02, 2.08), 1, "at " + rate);
                assertEquals(noise, db(x[0], rate, 1.9, 1.98), 1, "before, at " + rate);
                assertEquals(noise, db(x[0], rate, 2.12, 2.3), 1, "after, at " + rate);
            }
        }
    }

    private static double db(double[] x, double rate, double from, double to) {
        return 10 * Math.log10(Arrays.stream(x, (int) (from * rate), (int) (to * rate)).map(v -> v * v).average().orElseThrow());
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import linnet.demo.Performance;
import linnet.demo.Score;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Cell;
import linnet.dsp.pitch.Semitones;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The list of notes as a user meets it: written, corrected, used by tune, and never lost. */
class NotesCommandTest extends Called {
    private static final double[] SUNG = Performance.sing(line(), Singer.high(), 48_000).samples();

    @TempDir
    Path folder;

    private Path take, list, chain;

    private static Score line() {
        Score song = SevenLanterns.lead();
        return new Score(song.title(), song.beatsPerMinute(), song.beatsPerBar(), song.key(), 3, song.phrases().subList(0, 1));
    }

    @BeforeEach
    void aTake() throws IOException {
        take = folder.resolve("lead.wav");
        list = folder.resolve("lead.notes.yaml");
        chain = folder.resolve("chain.yaml");
        sing(SUNG);
        Files.writeString(chain, "steps:\n  - tune: { key: D major, amount: 100 % }\n");
    }

    private String found() {
        JsonObject o = JsonParser.parseString(out.toString()).getAsJsonObject();
        return o.getAsJsonArray("resolved").get(0).getAsJsonObject().get("value").getAsString();
    }

    @Test
    void writesTheNotesOfATakeInSilence() throws IOException {
        assertEquals(0, run("notes", take, "--key", "D major"));
        assertEquals("", out.toString() + err);
        String text = Files.readString(list);
        assertTrue(text.contains("notes: \"lead.wav\"") && text.contains("reference: 440 Hz"), text);
        // The first note of the song, and the one that slides in from below.
        assertTrue(text.lines().anyMatch(l -> l.contains("note: 2.4") && l.contains("target: A3")), text);
        assertTrue(text.lines().anyMatch(l -> l.contains("target: F#4") && l.contains("scoop: -")), text);
        assertEquals(0, run("notes", take, "--key", "D major"));
        assertEquals(text, Files.readString(list));
    }

    /** Told and done: the leap may be meant. */
    @Test
    void aNoteAnOctaveFromWhatIsSungIsTold() throws IOException {
        run("notes", take, "--key", "D major");
        String written = Files.readString(list);
        assertEquals(0, run("check", chain, take), err::toString);
        assertFalse(out.toString().contains("octave"), out::toString);
        Files.writeString(list, written.replaceFirst("target: A3", "target: A4"));
        String at = written.lines().filter(l -> l.contains("target: A3")).findFirst().orElseThrow().replaceFirst(".*note: ([0-9.]+) s.*", "$1");
        String told = "tune: target lies octaves from what is sung in 1 note of the list: at "
                + String.format(java.util.Locale.ROOT, "%.3f", Double.parseDouble(at)).replaceFirst("0+$", "") + " s A4 where ";
        assertEquals(0, run("check", chain, take), err::toString);
        assertTrue(out.toString().contains(told) && out.toString().contains(", write it an octave lower; leave it where the leap is meant"), out.toString());
    }

    @Test
    void anEditedListIsNeverOverwrittenUnlessForced() throws IOException {
        run("notes", take);
        String written = Files.readString(list), edited = written.replaceFirst("target: A3", "target: B3");
        assertFalse(written.equals(edited));
        Files.writeString(list, edited);
        assertEquals(2, run("notes", take));
        assertTrue(err.toString().contains("was corrected by hand") && err.toString().contains("--force"), err.toString());
        assertEquals(edited, Files.readString(list));
        assertEquals(0, run("notes", take, "--force"));
        assertEquals(written, Files.readString(list));
        Path other = folder.resolve("other.yaml");
        assertEquals(0, run("notes", take, "--out", other));
        assertEquals(written, Files.readString(other));
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "--key|G majr|--key wants a key such as \"G major\", not \"G majr\"; did you mean 'G major'?",
        "--scale|D,Fis|--scale wants notes such as D,E,F#,A, not \"Fis\"",
        "--reference|4400 Hz|--reference is the pitch of A4, from 415 Hz to 466 Hz, not 4400 Hz",
        "--out|notes.txt|--out wants a file ending in .yaml or .yml, not notes.txt"})
    void aWrongWordIsTold(String option, String value, String message) {
        assertEquals(2, run("notes", take, option, value));
        assertEquals(message, err.toString().strip());
        assertFalse(Files.exists(list));
    }

    @Test
    void keyAndScaleExcludeEachOther() {
        assertEquals(2, run("notes", take, "--key", "D major", "--scale", "D,E"));
        assertEquals("give --key or --scale, not both", err.toString().strip());
    }

    @Test
    void printsTheDecisionsAsJson() {
        assertEquals(0, run("notes", take, "--scale", "D, E, F#, A", "--json"));
        JsonObject o = JsonParser.parseString(out.toString()).getAsJsonObject();
        assertEquals(440, o.get("reference_hz").getAsDouble());
        JsonObject first = o.getAsJsonArray("notes").get(0).getAsJsonObject();
        assertEquals("A3", first.get("target").getAsString());
        assertEquals("nearest", first.get("why").getAsString());
        assertEquals(2.4, first.get("start_s").getAsDouble(), 0.03);
        assertTrue(Math.abs(first.get("off_cents").getAsDouble()) < 30);
    }

    private void sing(double[] x) throws IOException {
        try (WavWriter writer = WavWriter.create(take, Print.of(48_000, 1, SampleFormat.INT_24).overwriting())) {
            for (int from = 0; from < x.length; from += Cell.LENGTH) {
                writer.write(new double[][] {Arrays.copyOfRange(x, from, from + Cell.LENGTH)}, Math.min(Cell.LENGTH, x.length - from));
            }
            writer.finish();
        }
    }

    /** D4 for 0.5 s, B3 for 0.14 s, sinking, and A3 for 0.5 s, all 30 cents sharp, without a break. */
    private static double[] legato() {
        double[] x = new double[96_000];
        double phase = 0, level = 0, pitch = 62.3;
        for (int i = 0; i < x.length; i++) {
            double t = i / 48_000.0;
            pitch += ((t < 0.8 ? 62.3 : t < 0.94 ? 59.3 + 9 * (0.87 - t) : 57.3) - pitch) * 0.005;
            phase += Semitones.hz(pitch) / 48_000;
            level += ((t >= 0.3 && t < 1.4 ? 0.15 : 0) - level) * 0.004;
            for (int h = 1; h <= 20; h++) x[i] += level * Math.sin(2 * Math.PI * h * phase) / h;
        }
        return x;
    }

    private float[] rendered(String name) throws IOException {
        Path print = folder.resolve(name + ".wav");
        assertEquals(0, run("render", chain, take, "--out", print, "--depth", "float", "--force"), err.toString());
        byte[] bytes = Files.readAllBytes(print);
        float[] x = new float[96_000];
        int data = 0;
        while (bytes[data] != 'd' || bytes[data + 1] != 'a' || bytes[data + 2] != 't' || bytes[data + 3] != 'a') data++;
        java.nio.ByteBuffer.wrap(bytes, data + 8, bytes.length - data - 8).order(java.nio.ByteOrder.LITTLE_ENDIAN).asFloatBuffer().get(x);
        return x;
    }

    /** How sure the ear was is only told: what is written to be left is left, also where it is too short to be sure of. */
    @Test
    void whatIsWrittenToBeLeftIsLeft() throws IOException {
        sing(legato());
        assertEquals(0, run("notes", take, "--key", "D major"));
        List<String> rows = Files.readString(list).lines().filter(l -> l.startsWith("  - ")).toList();
        assertEquals(3, rows.size(), rows.toString());
        String brief = rows.get(1);
        assertTrue(brief.contains("target: neighbours") && brief.contains("sure: "), brief);
        String text = Files.readString(list);
        float[] heard = rendered("list");
        Files.delete(list);
        assertArrayEquals(heard, rendered("none"));
        List<float[]> left = new ArrayList<>();
        for (String sure : List.of(", sure: 3 %", ", sure: 49 %", ", sure: 51 %", "")) {
            Files.writeString(list, text.replace(brief, brief.replaceFirst("target: neighbours", "target: leave").replaceFirst(", sure: \\d+ %", sure)));
            left.add(rendered("left"));
        }
        for (float[] l : left) assertArrayEquals(left.get(0), l);
        assertFalse(Arrays.equals(heard, left.get(0)));
        // Without a target the key decides, however sure the ear was.
        Files.writeString(list, text.replace(brief, brief.replaceFirst(", target: neighbours", "").replaceFirst(", sure: \\d+ %", ", sure: 3 %")));
        float[] keyed = rendered("keyed");
        Files.writeString(list, text.replace(brief, brief.replaceFirst(", target: neighbours", "").replaceFirst(", sure: \\d+ %", "")));
        assertArrayEquals(keyed, rendered("keyed"));
    }

    /** With the list beside the take the step goes by it; with the targets of the key it does as without one. */
    @Test
    void tuneGoesByTheList() throws IOException {
        Path heard = folder.resolve("heard.wav"), listed = folder.resolve("listed.wav"), corrected = folder.resolve("corrected.wav");
        assertEquals(0, run("render", chain, take, "--out", heard), err.toString());
        run("notes", take, "--key", "D major");
        assertEquals(0, run("render", chain, take, "--out", listed), err.toString());
        assertEquals(sound(heard), sound(listed));
        assertEquals("", err.toString());

        Files.writeString(list, Files.readString(list).replaceAll("target: [A-G]#?\\d", "target: leave"));
        assertEquals(0, run("render", chain, take, "--out", corrected));
        assertNotEquals(sound(heard), sound(corrected));
        assertEquals(0, run("check", chain, take, "--json"));
        assertTrue(found().contains("none moved") && found().endsWith("as the list of notes says"), found());
        assertEquals(0, run("check", chain, take));
        assertTrue(out.toString().contains("Notes: ") && out.toString().contains("lead.notes.yaml, corrected by hand"), out.toString());
        Path elsewhere = Files.move(list, folder.resolve("elsewhere.yaml"));
        assertEquals(0, run("check", chain, take, "--json"));
        assertFalse(found().contains("none moved"), found());
        assertEquals(0, run("check", chain, take, "--notes", elsewhere, "--json"));
        assertTrue(found().contains("none moved"), found());
    }

    @Test
    void aWrongListIsToldWithItsPlace() throws IOException {
        run("notes", take);
        Files.writeString(list, Files.readString(list).replaceFirst("target: A3", "target: H3"));
        assertEquals(3, run("render", chain, take, "--out", folder.resolve("print.wav")));
        assertTrue(err.toString().contains("lead.notes.yaml:15:") && err.toString().contains("target wants a note such as \"F#4\""), err.toString());
        assertFalse(Files.exists(folder.resolve("print.wav")));
    }

    /** Who sings sharp is over the note, and has a plus. */
    @Test
    void aNoteThatIsSungSharpIsOffByMoreThanNothing() throws IOException {
        sing(legato());
        assertEquals(0, run("notes", take, "--key", "D major", "--json"), err::toString);
        JsonObject first = JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("notes").get(0).getAsJsonObject();
        assertEquals("D4", first.get("target").getAsString());
        assertEquals(30, first.get("off_cents").getAsDouble(), 3);
    }

    /** The list is in seconds of the take, whatever rate the print has: of two D4, 0.2 s each, the first is wanted as E4 and the second as it is. */
    @Test
    void aPrintAtAnotherRateHasItsTargetsAtTheSameSeconds() throws IOException {
        double[] x = new double[4 * 48_000];
        for (int i = 0; i < x.length; i++) {
            double t = i / 48_000.0, place = t % 0.25 / 0.25;
            if (t < 3 || t >= 3.5 || place > 0.8) continue;
            double level = 0.15 * Math.min(1, 40 * Math.min(place, 0.8 - place));
            for (int h = 1; h <= 20; h++) x[i] += level * Math.sin(2 * Math.PI * h * Semitones.hz(62) * t) / h;
        }
        sing(x);
        Files.writeString(list, "notes: lead.wav\nrate: 48 kHz\nframes: 192000\nreference: 440 Hz\nlist:\n  - { note: 3 s, length: 200 ms, target: E4 }\n"
                + "  - { note: 3.25 s, length: 200 ms, target: leave }\n");
        Files.writeString(chain, "steps:\n  - tune: { amount: 100 %, speed: 0 ms }\n");
        for (int rate : new int[] {48_000, 44_100}) {
            Path print = folder.resolve("print " + rate + ".wav");
            assertEquals(0, run("render", chain, take, "--out", print, "--rate", rate), err::toString);
            try (WavFile wav = WavFile.open(print)) {
                double[][] y = new double[1][(int) wav.frames()];
                wav.read(0, y, y[0].length);
                for (double from : new double[] {3.04, 3.29}) {
                    double moved = power(y[0], rate, from, Semitones.hz(64)) / power(y[0], rate, from, Semitones.hz(62));
                    assertTrue(from < 3.2 ? moved > 10 : moved < 0.1, "at " + from + " s, " + rate + " Hz, E4 has " + moved + " times the power of D4");
                }
            }
        }
    }

    /** Of a tone in the tenth of a second from there on. */
    private static double power(double[] x, double rate, double from, double hz) {
        double re = 0, im = 0;
        int begin = (int) (from * rate), n = (int) (0.1 * rate);
        for (int i = 0; i < n; i++) {
            double w = x[begin + i] * (1 - Math.cos(2 * Math.PI * i / n));
            re += w * Math.cos(2 * Math.PI * hz * i / rate);
            im += w * Math.sin(2 * Math.PI * hz * i / rate);
        }
        return re * re + im * im;
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.audio.Bext;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import linnet.dsp.loudness.TruePeak;
import org.junit.jupiter.api.Test;

/** What a producer is told of a song: what he would act on, once, and nothing that is not so. */
class SongSaysTest extends SongFolder {
    private static final int RATE = 48_000;

    private void write(String head, String parts, String rest) throws IOException {
        Files.writeString(song, "song: x\n" + head + "parts:\n" + parts + rest);
    }

    private static void take(Path file, double hz, double peak, double seconds, long recorded) throws IOException {
        double[][] x = new double[1][(int) Math.round(seconds * RATE)];
        for (int i = 0; i < x[0].length; i++) x[0][i] = peak * Math.sin(2 * Math.PI * hz * i / RATE);
        Bext bext = new Bext("", "", "", "", "", recorded, Bext.Loudness.UNTOLD, "");
        try (WavWriter writer = WavWriter.create(file, Print.of(RATE, 1, SampleFormat.INT_24).overwriting().described(bext))) {
            writer.write(x, x[0].length);
            writer.finish();
        }
    }

    private String checked() {
        assertEquals(0, run("check", song), err::toString);
        return out.toString().replace("\r\n", "\n");
    }

    private String rendered(Object... more) {
        Object[] words = new Object[4 + more.length];
        System.arraycopy(new Object[] {"render", song, "--out", prints}, 0, words, 0, 4);
        System.arraycopy(more, 0, words, 4, more.length);
        assertEquals(0, run(words), err::toString);
        return err.toString().replace("\r\n", "\n");
    }

    /** As of a recorder that stopped writing sizes: half of the take is read. */
    @Test
    void whatIsLeftOutOfATakeIsTold() throws IOException {
        write("tempo: 100 bpm\nsections: { a: 1, end: 2 }\n", "  a: { take: take.wav }\n", "prints: [ a ]\n");
        String left = "take.wav: what follows its sound of 1.000 s is damaged and is left out: ";
        take(folder.resolve("take.wav"), 220, 0.1, 2, 0);
        assertFalse(rendered("--force").contains(left), err::toString);
        byte[] bytes = Files.readAllBytes(folder.resolve("take.wav"));
        int at = new String(bytes, StandardCharsets.ISO_8859_1).indexOf("data") + 4;
        ByteBuffer sizes = ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
        sizes.putInt(at, sizes.getInt(at) / 2);
        Files.write(folder.resolve("take.wav"), bytes);
        assertTrue(rendered("--force").contains(left), err::toString);
        assertTrue(Files.readString(prints.resolve("sheet.md")).contains(left));
    }

    /** A double that its chain pans, dealt to a side besides: the chain decides, and the other side stays empty. */
    @Test
    void aPanStepUnderASpreadIsTold() throws IOException {
        Files.writeString(folder.resolve("double.yaml"), "chain: double\nsteps:\n  - trim\n  - pan: { to: 90 % left }\n");
        String parts = "  a: { take: take.wav, chain: double.yaml }\n  b: { take: take.wav, chain: double.yaml }\n  c: { take: take.wav }\n";
        write("tempo: 100 bpm\nsections: { a: 1, end: 2 }\n", parts, "groups: { pair: { parts: [ a, b, c ], spread: 80 % } }\nprints: [ pair ]\n");
        String told = "pair: 'spread' deals to both sides what 'pan' in the chains of a and b has put in a place already; switch that off, such as { use: "
                + "double.yaml, with: { pan: { on: no } } }, or take the step out\n";
        String check = checked();
        assertTrue(check.contains(told), check);
        assertTrue(check.contains("more energy on the left: switch 'pan' off in the chains of its parts\n"), check);
        assertTrue(rendered().contains(told), err.toString());
        write("tempo: 100 bpm\nsections: { a: 1, end: 2 }\n", parts.replace("chain: double.yaml", "chain: [ { use: double.yaml, with: { pan: { on: no } } } ]"),
                "groups: { pair: { parts: [ a, b, c ], spread: 80 % } }\nprints: [ pair ]\n");
        assertFalse(checked().contains("'spread' deals"), out.toString());
    }

    /** The place of a part comes after the step: what is on the left already it only turns down. What is said to do puts it there. */
    @Test
    void aPanStepUnderThePlaceOfAPartIsTold() throws IOException {
        Files.writeString(folder.resolve("double.yaml"), "chain: double\nsteps:\n  - trim\n  - pan: { to: 90 % left }\n");
        String head = "tempo: 100 bpm\nsections: { a: 1, b: 2, end: 3 }\n", left = "  a: { take: take.wav, chain: double.yaml, pan: 90 % left }\n",
                right = "  b: { take: take.wav, chain: double.yaml, pan: 90 % right }\n",
                told = "b: 'pan' of the part moves nothing that 'pan' in its chain has put in a place already, and turns it down there; switch that off, "
                        + "such as chain: [ { use: double.yaml, with: { pan: { on: no } } } ], or take the step out\n";
        write(head, left + right, "prints: [ b ]\n");
        String check = checked();
        assertTrue(check.contains(told), check);
        assertFalse(check.contains("a: 'pan'"), "there it says the same");
        assertTrue(rendered().contains(told), err.toString());
        double lost = loudest("b");
        write(head, left + right.replace("double.yaml", "[ { use: double.yaml, with: { pan: { on: no } } } ]"), "prints: [ b ]\n");
        assertFalse(checked().contains("'pan' of the part"), out.toString());
        rendered("--force");
        assertTrue(loudest("b") > lost + 15, "from " + lost + " to " + loudest("b"));
        write(head, left, "moves: { b: { a pan: to 90 % right } }\nprints: [ a ]\n");
        assertTrue(checked().contains("a: 'pan' of the part moves nothing"), out.toString());
        write(head, "  b: { take: take.wav, pan: 50 % right }\n", "groups: { g: { parts: [ b ], each: [ pan: { to: 50 % left } ] } }\nprints: [ b ]\n");
        assertTrue(checked().contains("b: 'pan' of the part moves nothing that 'pan' in 'each' of g has put in a place already, and turns it down there; "
                + "take that step out\n"), out.toString());
        write(head, "  b: { take: take.wav, chain: double.yaml }\n", "prints: [ b ]\n");
        assertFalse(checked().contains("'pan' of the part"), out.toString());
    }

    /** To the same side it moves it on, and that side gets louder: what it does on the other side is not to be said of it. */
    @Test
    void aPanStepUnderAPlaceOnTheSameSideIsTold() throws IOException {
        Files.writeString(folder.resolve("double.yaml"), "chain: double\nsteps:\n  - trim\n  - pan: { to: 50 % left }\n");
        String head = "tempo: 100 bpm\nsections: { a: 1, b: 2, end: 3 }\n", b = "  b: { take: take.wav, chain: double.yaml }\n";
        write(head, b, "prints: [ b ]\n");
        rendered();
        double before = loudest("b");
        write(head, b.replace(" }", ", pan: 30 % left }"), "prints: [ b ]\n");
        assertTrue(checked().contains("b: 'pan' of the part comes on top of 'pan' in its chain, on the same side: it lies further out than the part says; "
                + "switch that off, such as chain: [ {"), out.toString());
        rendered("--force");
        assertTrue(loudest("b") > before + 1, "from " + before + " to " + loudest("b"));
        write(head, b.replace(" }", ", pan: 100 % left }"), "prints: [ b ]\n");
        assertFalse(checked().contains("'pan' of the part"), "no further out than it says");
        write(head, b, "moves: { b: { b pan: to 20 % left } }\nprints: [ b ]\n");
        assertTrue(checked().contains("b: 'pan' of the part moves nothing that 'pan' in its chain has put in a place already; switch that off"),
                out.toString());
        write(head, b, "moves: { b: { b pan: to 20 % right } }\nprints: [ b ]\n");
        assertTrue(checked().contains("has put in a place already, and turns it down there; switch that off"), out.toString());
    }

    /** The part uses a chain that uses the one with the step: what is to be written keeps all other steps, and can be read. */
    @Test
    void whatSwitchesAPanOffIsWhatThePartHas() throws IOException {
        Files.writeString(folder.resolve("double.yaml"), "chain: double\nsteps:\n  - trim\n  - pan: { to: 90 % left }\n");
        Files.writeString(folder.resolve("nest.yaml"), "chain: nest\nsteps:\n  - eq: [ { high-pass: 80 Hz } ]\n  - use: double.yaml\n");
        String head = "tempo: 100 bpm\nsections: { a: 1, end: 3 }\n", b = "  b: { take: take.wav, pan: 90 %% right, chain: %s }\n", nest = "nest.yaml",
                off = "{ use: nest.yaml, with: { pan: { on: no } } }";
        write(head, b.formatted(nest), "prints: [ b ]\n");
        assertTrue(checked().contains("; switch that off, such as chain: [ " + off + " ], or take the step out\n"), out.toString());
        write(head, b.formatted("[ " + off + " ]"), "prints: [ b ]\n");
        assertFalse(checked().contains("'pan' of the part"), out.toString());
        write(head, b.formatted("[ trim, { use: nest.yaml } ]"), "prints: [ b ]\n");
        assertTrue(checked().contains("; switch that off, such as " + off + " in its chain, or take the step out\n"), out.toString());
        write(head, "  b: { take: take.wav, pan: 90 % right }\n", "groups: { g: { parts: [ b ], each: [ { use: nest.yaml }, trim ] } }\nprints: [ b ]\n");
        assertTrue(checked().contains("; switch that off, such as " + off + " in 'each', or take the step out\n"), out.toString());
        for (String other : new String[] {"pan: { to: 10 % left }", "parallel: [ { steps: [ pan: { to: 10 % left } ] } ]", "pan: { to: 10 % left, on: no }"}) {
            Files.writeString(folder.resolve("nest.yaml"), "chain: nest\nsteps:\n  - use: double.yaml\n  - " + other + "\n");
            write(head, b.formatted(nest), "prints: [ b ]\n");
            assertTrue(checked().contains("turns it down there; take that step out\n"), "by 'pan' it could not be called: " + out);
        }
    }

    private double loudest(String print) throws IOException {
        try (WavFile wav = WavFile.open(prints.resolve(print + ".wav"))) {
            TruePeak peak = new TruePeak(wav.channels());
            double[][] x = new double[wav.channels()][(int) wav.frames()];
            wav.read(0, x, x[0].length);
            peak.add(x, x[0].length);
            return peak.dbtp();
        }
    }

    /** Of each without one the same is said: a recorder that tells when it began. */
    @Test
    void takesThatWereRecordedLaterAreTold() throws IOException {
        take(folder.resolve("lead.wav"), 220, 0.3, 1, 10 * RATE);
        take(folder.resolve("double.wav"), 220, 0.2, 1, 10 * RATE + 32_640);
        take(folder.resolve("day.wav"), 220, 0.2, 1, 7200L * RATE);
        String head = "tempo: 100 bpm\nsections: { a: 1, end: 4 }\n", prints = "prints: [ lead ]\n";
        String lead = "  lead: { take: lead.wav }\n", day = "  day: { take: day.wav }\n", plain = "  plain: { take: take.wav }\n";
        write(head, lead + "  double: { take: double.wav }\n" + day + plain, prints);
        String told = "double.wav: recorded 0.68 s after lead by its time reference; to keep that, say 'at: 0.68 s'\n";
        String check = checked();
        assertTrue(check.contains("  double           " + told), check);
        assertEquals(1, check.split("by its time reference", -1).length - 1, check);
        assertTrue(rendered().contains("double: " + told), err.toString());
        write(head, lead + "  double: { take: double.wav, at: 0 s }\n" + day + plain, prints);
        assertFalse(checked().contains("time reference"), out.toString());
        write(head, "  lead: { comp: [ { take: lead.wav, from: 0 s }, { take: double.wav, from: 0.5 s } ] }\n", prints);
        assertTrue(checked().contains("  lead             " + told.replace("after lead", "after lead.wav")), out.toString());
        write(head, "  lead: { comp: [ { take: lead.wav, from: 0 s }, { take: double.wav, from: 0.5 s, at: 0 s } ] }\n", prints);
        assertFalse(checked().contains("time reference"), out.toString());
    }

    /** A nudge counts in where a take lies: `at:` and `nudge:` together keep what the recorder tells, 0.68 s. */
    @Test
    void aNudgeCountsInWhereATakeLies() throws IOException {
        take(folder.resolve("lead.wav"), 220, 0.3, 1, 10 * RATE);
        take(folder.resolve("double.wav"), 220, 0.2, 1, 10 * RATE + 32_640);
        take(folder.resolve("beside.wav"), 220, 0.2, 1, 10 * RATE);
        String head = "tempo: 100 bpm\nsections: { a: 1, end: 4 }\n", prints = "prints: [ lead ]\n", lead = "  lead: { take: lead.wav }\n";
        String told = "double.wav: recorded 0.68 s after lead by its time reference; to keep that", nudged = told + " with what is nudged, say 'at: %s'\n";
        write(head, lead + "  double: { take: double.wav, nudge: 0.68 s later }\n", prints);
        assertFalse(checked().contains("time reference"), out.toString());
        write(head, "  lead: { take: lead.wav, nudge: 20 ms later }\n  double: { take: double.wav, nudge: 0.7 s later }\n", prints);
        assertFalse(checked().contains("time reference"), out.toString());
        write(head, lead + "  double: { take: double.wav, nudge: 20 ms later }\n", prints);
        assertTrue(checked().contains(nudged.formatted("0.66 s")), out.toString());
        write(head, lead + "  double: { take: double.wav, nudge: 20 ms earlier }\n", prints);
        assertTrue(checked().contains(nudged.formatted("0.7 s")), out.toString());
        // What was recorded together and is nudged is meant so.
        write(head, "  lead: { take: lead.wav, nudge: 20 ms later }\n  beside: { take: beside.wav }\n", prints);
        assertFalse(checked().contains("time reference"), out.toString());
        // One take in two parts lies in each where that puts it.
        write(head, lead + "  double: { take: double.wav, nudge: 0.68 s later }\n  again: { take: double.wav }\n", prints);
        assertTrue(checked()
                .contains("  double           double.wav: in again recorded 0.68 s after lead by its time reference; to keep that, say 'at: 0.68 s'\n"),
                out.toString());
        assertEquals(1, out.toString().split("time reference", -1).length - 1, out.toString());
        assertTrue(rendered().contains("again: double.wav: recorded 0.68 s after lead"), err.toString());
    }

    /** Some recorders count from midnight, some from where a session begins: only takes of one clock can be compared, whichever stands first. */
    @Test
    void takesOfEachClockAreComparedAmongThemselves() throws IOException {
        take(folder.resolve("lead.wav"), 220, 0.3, 1, 10 * RATE);
        take(folder.resolve("double.wav"), 220, 0.2, 1, 10 * RATE + 32_640);
        take(folder.resolve("day.wav"), 220, 0.2, 1, 7200L * RATE + 12_000);
        take(folder.resolve("dawn.wav"), 220, 0.2, 1, 7200L * RATE);
        String head = "tempo: 100 bpm\nsections: { a: 1, end: 4 }\n", prints = "prints: [ lead ]\n";
        write(head, "  guide: { take: day.wav }\n  lead: { take: lead.wav }\n  double: { take: double.wav }\n  low: { take: dawn.wav }\n", prints);
        String check = checked();
        assertTrue(check.contains("double.wav: recorded 0.68 s after lead by its time reference; to keep that, say 'at: 0.68 s'\n"), check);
        assertTrue(check.contains("day.wav: recorded 0.25 s after low by its time reference; to keep that, say 'at: 0.25 s'\n"), check);
        assertEquals(2, check.split("time reference", -1).length - 1, check);
    }

    /** The pick-up is a bar by itself, and may be shorter than one. */
    @Test
    void barZeroIsThePickUp() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 6);
        String head = "tempo: 120 bpm\npick-up: 1 beat\nsections: { a: 1, end: 3 }\n";
        write(head, "  lead: { take: take.wav }\n", "moves: { bar 0 to end: { lead: -3 dB }, bar 0: { lead: -1 dB } }\nprints: [ lead ]\n");
        rendered("--from", "bar 0", "--to", "bar 1");
        try (WavFile wav = WavFile.open(prints.resolve("lead bar 0 to bar 1.wav"))) {
            assertEquals(RATE / 2, wav.frames());
        }
        write(head.replace("pick-up: 1 beat\n", ""), "  lead: { take: take.wav }\n", "prints: [ lead ]\n");
        assertEquals(Exit.USAGE, run("render", song, "--out", prints, "--from", "bar 0"));
        assertTrue(err.toString().contains("nothing lies before the song begins, at 0 s"), err.toString());
    }

    /** Whoever plays to it needs the map, where bars change and what comes before the first. */
    @Test
    void theSheetHasTheMapOfTime() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 6);
        write("tempo: { bar 1: 120 bpm, bar 2: 96 bpm, bar 3: 100 bpm }\nmetre: { bar 1: 4/4, bar 3: 3/4 }\npick-up: 1.5 beats\n"
                + "sections: { a: 1, b: 3, end: 4 }\n", "  lead: { take: take.wav }\n", "prints: [ lead ]\n");
        rendered();
        String sheet = Files.readString(prints.resolve("sheet.md"));
        assertTrue(sheet.contains("tempo bar 1: 120 bpm, bar 2: 96 bpm, bar 3: 100 bpm; metre bar 1: 4/4, bar 3: 3/4; pick-up 1.5 beats; A at 440 Hz"), sheet);
        assertTrue(Pattern.compile("\\| a +\\| 1 .*\\| 120 bpm, from bar 2 on 96 bpm +\\|").matcher(sheet).find(), sheet);
        assertTrue(Pattern.compile("\\| b +\\| 3 .*\\| 100 bpm +\\|").matcher(sheet).find(), sheet);
        write("tempo: 120 bpm\nsections: { a: 1, end: 3 }\n", "  lead: { take: take.wav, level: -1 dB }\n", "prints: [ lead ]\n");
        rendered("--force");
        assertTrue(Files.readString(prints.resolve("sheet.md")).contains("120 bpm; 4/4; A at 440 Hz"), Files.readString(prints.resolve("sheet.md")));
    }

    /** What begins with drums or a bed cuts nobody off. */
    @Test
    void nobodyIsSaidToSingInAMixOrARoom() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 2.4);
        write("tempo: 100 bpm\nsections: { a: 1, end: 2 }\n", "  lead: { take: take.wav, chain: [ trim: { level: -1 dB } ], sends: { room: -12 dB } }\n",
                "returns: { room: { chain: [ eq: [ { bell: 1 kHz, gain: 2 dB } ] ] } }\nmix: { chain: [ trim: { level: -1 dB } ] }\nprints: [ mix, room ]\n");
        String told = rendered("--report", folder.resolve("pages"));
        assertTrue(told.contains("lead: Someone sings already where it begins"), told);
        assertFalse(told.contains("mix: Someone"), told);
        assertFalse(told.contains("room: Someone"), told);
    }

    /** A file has hundredths, and what is told of it are tenths of these: -1.148 dBTP is -1.15 there. */
    @Test
    void onePrintHasOneFigure() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 997, 0.8, 2);
        String head = "tempo: 100 bpm\nsections: { a: 1, end: 2 }\n", one = "prints: [ { print: lead, depth: float } ]\n";
        write(head, "  lead: { take: take.wav }\n", one);
        rendered();
        write(head, "  lead: { take: take.wav, level: " + String.format(java.util.Locale.ROOT, "%.4f", -1.148 - peak(prints.resolve("lead.wav")))
                + " dB }\n", one);
        rendered("--force");
        assertEquals(-1.148, peak(prints.resolve("lead.wav")), 2e-4);
        String first = figure(out.toString()), sheet = Files.readString(prints.resolve("sheet.md"));
        assertTrue(Pattern.compile("\\| lead.wav .*\\| " + first + " +\\|").matcher(sheet).find(), first + "\n" + sheet);
        rendered();
        assertEquals(first, figure(out.toString()), "left as it was");
        assertEquals(0, run("explain", prints.resolve("lead.wav")));
        assertEquals(first, figure(out.toString()));
    }

    private static String figure(String text) {
        Matcher m = Pattern.compile("true peak +(-[0-9.]+) dBTP").matcher(text);
        assertTrue(m.find(), text);
        return m.group(1);
    }

    private static double peak(Path file) throws IOException {
        try (WavFile wav = WavFile.open(file)) {
            TruePeak peak = new TruePeak(wav.channels());
            double[][] x = new double[wav.channels()][(int) wav.frames()];
            wav.read(0, x, x[0].length);
            peak.add(x, x[0].length);
            return peak.dbtp();
        }
    }

    @Test
    void aPrintIsListedByItsName() throws IOException {
        write("tempo: 100 bpm\nsections: { a: 1, b: 2, end: 3 }\n", "  lead: { take: take.wav }\n",
                "prints: [ mix, { print: mix, name: second, from: b, to: end }, { print: lead, name: voice }, { print: mix, name: rest, from: b } ]\n");
        assertTrue(checked().contains("\nPrints: mix, second (mix from 0:02.400 to 0:04.800), voice (lead), rest (mix from 0:02.400)\n"), out.toString());
    }

    @Test
    void stemsHaveSettingsToo() throws IOException {
        String head = "tempo: 100 bpm\nsections: { a: 1, b: 2, end: 3 }\n", parts = "  lead: { take: take.wav }\n  low: { take: take.wav }\n";
        write(head, parts, "prints: [ { print: stems, depth: float } ]\n");
        rendered();
        for (String stem : List.of("lead", "low")) {
            try (WavFile wav = WavFile.open(prints.resolve(stem + ".wav"))) {
                assertEquals(SampleFormat.FLOAT_32, wav.header().format());
            }
        }
        write(head, parts, "prints: [ lead, { print: stems, depth: float }, { print: stems, from: b } ]\n");
        rendered("--force");
        for (String print : List.of("lead", "low", "lead from b", "low from b")) {
            try (WavFile wav = WavFile.open(prints.resolve(print + ".wav"))) {
                assertEquals(print.equals("low") ? SampleFormat.FLOAT_32 : SampleFormat.INT_24, wav.header().format(), print);
                assertEquals(print.endsWith("b"), wav.frames() < 3 * RATE, print);
            }
        }
        assertTrue(checked().contains("Prints: lead, low, lead from b (lead from 0:02.400), low from b (low from 0:02.400)\n"), out.toString());
        write(head, parts, "prints: [ { print: stems, name: all of it } ]\n");
        assertEquals(Exit.TEXT, run("check", song));
        assertTrue(err.toString().contains("stems are as many prints as there are, each called as what is in it: they have no 'name'"), err.toString());
    }

    /** A script reads of throws what a producer reads. */
    @Test
    void whatIsToldOfThrowsIsInTheJsonToo() throws IOException {
        Files.writeString(song,
                "song: x\ntempo: 100 bpm\nsections: { a: 1, b: 2, end: 4 }\nparts:\n  lead: { take: take.wav }\n  dub: { from: lead }\n"
                + "returns: { far: { chain: [ trim ] } }\n"
                + "throws: [ { part: lead, word: b beat 4, length: 1 beat, to: far }, { part: dub, word: b beat 4, length: 1 beat, to: far } ]\n"
                        + "prints: [ mix ]\n");
        rendered();
        String check = checked();
        assertEquals(0, run("check", "--json", song), err::toString);
        String remarks = remarks(), printed = printedRemarks();
        for (String part : List.of("lead", "dub")) {
            String told = "throw of " + part + " at b beat 4: no vowel begins within 150 ms of it";
            assertTrue(check.contains(told), check);
            assertTrue(remarks.contains(told), remarks);
            assertTrue(printed.contains(told), printed);
        }
    }

    /** A take that was recorded anew lies beside marks of the one before: whoever reads the JSON sees nothing else of it. */
    @Test
    void whatIsToldOfListsIsInTheJsonToo() throws IOException {
        assertEquals(0, run("mark", folder.resolve("take.wav")), err::toString);
        Takes.tone(folder.resolve("take.wav"), 220, 0.2, 0.2);
        String told = "take.wav does not sound as it did when its marks were listed; where it is another recording, make a new list with 'linnet mark'";
        assertTrue(rendered().contains(told), err.toString());
        assertTrue(Files.readString(prints.resolve("sheet.md")).contains(told));
        String check = checked();
        assertTrue(check.contains(told), check);
        assertEquals(0, run("check", "--json", song), err::toString);
        assertTrue(remarks().contains(told), out::toString);
        assertTrue(printedRemarks().contains(told), out::toString);
    }

    /** What the last answer has of what is told and has no other place in it. */
    private String remarks() {
        return JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("remarks").toString();
    }

    private String printedRemarks() {
        rendered("--force", "--json");
        return remarks();
    }

    /** Stderr and the JSON say the same. */
    @Test
    void whatARenderTellsIsInItsJsonToo() throws IOException {
        write("tempo: 60 bpm\nrate: 44.1 kHz\nsections: { a: 1, b: 2, end: 3 }\n", "  lead: { take: take.wav }\n",
                "returns: { far: { chain: [ trim ] } }\nprints: [ mix, far, { print: mix, name: first, from: a, to: a } ]\n");
        take(folder.resolve("take.wav"), 220, 0.1, 8, 0);
        rendered("--force", "--json", "--from", "b");
        for (String told : List.of("take.wav: converted from 48 kHz to 44.1 kHz", "first: nothing of it lies in the stretch 'from b', so it is left out")) {
            assertTrue(err.toString().contains(told), err::toString);
            assertTrue(remarks().contains(told), out::toString);
        }
        String silent = "far: nothing can be heard in it; listen to what is sent or thrown there";
        assertTrue(printedRemarks().contains(silent), out::toString);
        assertTrue(err.toString().contains(silent), err::toString);
    }

    /** Of takes at another rate, and with a list of another recording, beside one that is refused: why a song sounds as it does may be why it is. */
    @Test
    void whatIsToldOfTakesIsToldWithARefusalToo() throws IOException {
        double[][] x = new double[1][44_100];
        for (int i = 0; i < x[0].length; i++) x[0][i] = 0.2 * Math.sin(2 * Math.PI * 331 * i / 44_100);
        try (WavWriter writer = WavWriter.create(folder.resolve("slow.wav"), Print.of(44_100, 1, SampleFormat.INT_24))) {
            writer.write(x, x[0].length);
            writer.finish();
        }
        assertEquals(0, run("mark", folder.resolve("take.wav")), err::toString);
        Takes.tone(folder.resolve("take.wav"), 220, 0.2, 0.2);
        Takes.tone(folder.resolve("last.wav"), 222, 0.2, 0.2);
        String head = "rate: 48 kHz\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\n", converted = "slow.wav: converted from 44.1 kHz to 48 kHz",
                other = "take.wav does not sound as it did when its marks were listed";
        for (String command : new String[] {"check", "render"}) {
            Object[] words = command.equals("check") ? new Object[] {command, song} : new Object[] {command, song, "--out", prints};
            write(head, "  slow: { take: slow.wav }\n  lead: { take: take.wav }\n  last: { take: last.wav, to: 3 s }\n", "prints: [ mix ]\n");
            assertEquals(Exit.TEXT, run(words), err::toString);
            assertTrue(err.toString().contains(converted) && err.toString().contains("lasts 0.200 s, and 3.000 s of it are wanted here"), err.toString());
            write(head, "  slow: { take: slow.wav }\n  lead: { take: take.wav }\n  last: { take: last.wav }\n", "prints: [ mix ]\n");
            Files.writeString(folder.resolve("last.notes.yaml"), "no list\n");
            assertEquals(Exit.TEXT, run(words), err::toString);
            for (String told : new String[] {converted, other, "last.notes.yaml:1"}) assertEquals(2, err.toString().split(told, -1).length, err.toString());
            Files.delete(folder.resolve("last.notes.yaml"));
        }
    }

    /** Its takes are given up: nobody may read them any more, or write to what is kept beside the song. */
    @Test
    void nothingGoesOnOfASongThatIsRefused() throws IOException {
        StringBuilder parts = new StringBuilder("  lead: { take: take.wav, chain: [ delay: { time: 1/8 } ] }\n");
        Takes.tone(folder.resolve("0.wav"), 220, 0.3, 240);
        for (int i = 0; i < 8; i++) {
            if (i > 0) Files.createLink(folder.resolve(i + ".wav"), folder.resolve("0.wav"));
            parts.append("  long ").append(i).append(": { take: ").append(i).append(".wav }\n");
        }
        write("tempo: { bar 1: 100 bpm, bar 2: 120 bpm }\nsections: { a: 1, end: 3 }\n", parts.toString(), "prints: [ mix ]\n");
        assertEquals(Exit.TEXT, run("check", song), err::toString);
        assertTrue(isOver(SongIntake.class), err.toString());
    }

    /** The take of a chain that is refused. */
    @Test
    void nothingGoesOnOfATakeThatIsClosed() throws IOException {
        Takes.tone(folder.resolve("long.wav"), 220, 0.3, 240);
        new Arriving(folder.resolve("long.wav"), true).close();
        assertTrue(isOver(Arriving.class));
    }

    /** Whether no thread is at it; one that has done its work may take a moment to end. */
    private static boolean isOver(Class<?> work) {
        return Thread.getAllStackTraces().values().stream().flatMap(Arrays::stream).noneMatch(f -> f.getClassName().startsWith(work.getName()));
    }

    /** What is wrong is said, and not what comes of it. */
    @Test
    void withoutSectionsThatAloneIsSaid() throws IOException {
        write("tempo: 100 bpm\n", "  lead: { take: take.wav, at: 1 s, edits: [ { mute: bar 2 to end }, { mute: breaths in b } ] }\n",
                "moves: { a *: { lead: +1 dB }, a to b: { lead: +1 dB } }\nprints: [ { print: mix, from: b, to: 3 s } ]\n");
        assertEquals(Exit.TEXT, run("check", song));
        assertEquals(1, err.toString().lines().filter(l -> l.matches(".*song.yaml:\\d+:\\d+: .*")).count(), err.toString());
        assertTrue(err.toString().contains("a song needs 'sections:'"), err.toString());
        write("tempo: 100 bpm\nsections: { end: 5 }\n", "  lead: { take: take.wav, at: 1 s }\n", "");
        assertEquals(Exit.TEXT, run("check", song));
        assertEquals(1, err.toString().lines().filter(l -> l.matches(".*song.yaml:\\d+:\\d+: .*")).count(), err.toString());
        assertTrue(err.toString().contains("a section is wanted before 'end'"), err.toString());
    }

    @Test
    void aChordIsNoKeyButSaysWhichIsMeant() throws IOException {
        for (String[] s : new String[][] {{"Am", "A minor"}, {"F#m", "F# minor"}, {"Bb maj", "Bb major"}, {"c min", "C minor"}}) {
            write("tempo: 100 bpm\nkey: \"" + s[0] + "\"\nsections: { a: 1, end: 2 }\n", "  lead: { take: take.wav }\n", "");
            assertEquals(Exit.TEXT, run("check", song));
            assertTrue(err.toString().contains("not \"" + s[0] + "\"; did you mean '" + s[1] + "'?"), err.toString());
        }
    }
}

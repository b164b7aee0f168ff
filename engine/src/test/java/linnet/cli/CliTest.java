package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.google.gson.JsonArray;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.time.Duration;
import java.util.Random;
import linnet.audio.Dither;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import linnet.dsp.Cell;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The commands as a user types them: exit codes, messages, and what is and is not left behind. */
class CliTest extends Called {
    @TempDir
    Path folder;

    private Path take;

    @BeforeEach
    void aTake() throws IOException {
        take = folder.resolve("take.wav");
        try (WavWriter writer = WavWriter.create(take, Print.of(48_000, 1, SampleFormat.INT_24))) {
            double[][] x = new double[1][Cell.LENGTH];
            for (int block = 0; block < 100; block++) {
                for (int i = 0; i < Cell.LENGTH; i++) x[0][i] = 0.3 * Math.sin(2 * Math.PI * 220 * (block * Cell.LENGTH + i) / 48_000.0);
                writer.write(x, Cell.LENGTH);
            }
            writer.finish();
        }
    }

    private Path chain(String steps) throws IOException {
        Path file = folder.resolve("chain.yaml");
        Files.writeString(file, "steps:\n" + steps + "\n");
        return file;
    }

    private Path print() {
        return folder.resolve("print.wav");
    }

    private void nothingIsLeft() throws IOException {
        assertFalse(Files.exists(print()));
        try (var files = Files.list(folder)) {
            assertTrue(files.noneMatch(f -> f.toString().endsWith(".part")));
        }
        assertFalse(err.toString().contains("\tat "), err.toString());
    }

    @Test
    void aFileWhoseNameBeginsWithADashCanBeNamed() {
        assertEquals(2, run("measure", "-lead.wav"));
        assertTrue(err.toString().contains("If -lead.wav is a file, say ./-lead.wav, or -- before it."), err.toString());
        assertEquals(2, run("render", "chain.yaml", "-lead.wav", "--out", "print.wav"));
        assertTrue(err.toString().contains("If -lead.wav is a file, say ./-lead.wav, or -- before it."), err.toString());
        assertEquals(2, run("measure", "--report=page.wav", "--", "-a.wav", "b.wav"));
        assertFalse(err.toString().contains("is a file"), err.toString());
    }

    @Test
    void aRenderLeavesAPrintAndNoWords() throws IOException {
        assertEquals(0, run("render", chain("  - trim: { level: -6 dB }"), take, "--out", print()));
        assertTrue(Files.exists(print()));
        assertEquals("", out.toString() + err);
    }

    @Test
    void jsonSaysWhatWasDone() throws IOException {
        assertEquals(0, run("render", chain("  - trim"), take, "--out", print(), "--json"));
        assertTrue(out.toString().contains("\"integrated_lufs\""), out.toString());
        assertTrue(out.toString().contains("\"frames\": 72000"), out.toString());
        assertTrue(JsonParser.parseString(out.toString()).getAsJsonObject().get("seconds_taken").getAsDouble() > 0, out.toString());
        assertFalse(JsonParser.parseString(out.toString()).getAsJsonObject().has("seconds"), out.toString());
    }

    @Test
    void aWrongChainIsThreeAndNamesThePlace() throws IOException {
        assertEquals(3, run("render", chain("  - trim: { level: 99 dB }"), take, "--out", print()));
        assertTrue(err.toString().contains("chain.yaml:2:20: level is outside"), err.toString());
        nothingIsLeft();
    }

    @Test
    void aWrongTakeIsFour() throws IOException {
        Files.writeString(take, "not a wave");
        assertEquals(4, run("render", chain("  - trim"), take, "--out", print()));
        nothingIsLeft();
    }

    @Test
    void aMissingTakeIsFour() throws IOException {
        assertEquals(4, run("render", chain("  - trim"), folder.resolve("no.wav"), "--out", print()));
        nothingIsLeft();
    }

    @Test
    void aWrongOptionIsTwo() throws IOException {
        assertEquals(2, run("render", chain("  - trim"), take, "--out", print(), "--depth", "20"));
        assertEquals(2, run("render", chain("  - trim"), take, "--out", print(), "--from", "3", "--to", "2"));
        assertEquals(2, run("rendr"));
        nothingIsLeft();
    }

    @Test
    void aPrintIsNotOverwrittenUnlessForced() throws IOException {
        Files.writeString(print(), "dear");
        assertEquals(2, run("render", chain("  - trim"), take, "--out", print()));
        assertEquals("dear", Files.readString(print()));
        assertEquals(0, run("render", chain("  - trim"), take, "--out", print(), "--force"));
    }

    @Test
    void theTakeIsNeverOverwrittenEvenByALinkToIt() throws IOException {
        byte[] before = Files.readAllBytes(take);
        Path link = folder.resolve("link.wav");
        Files.createLink(link, take);
        assertEquals(4, run("render", chain("  - trim"), take, "--out", link, "--force"));
        assertEquals(4, run("render", chain("  - trim"), take, "--out", take, "--force"));
        assertArrayEquals(before, Files.readAllBytes(take));
    }

    @Test
    void aPrintThatWouldClipIsRefused() throws IOException {
        assertEquals(5, run("render", chain("  - trim: { level: 20 dB }"), take, "--out", print()));
        assertTrue(err.toString().contains("would clip"), err.toString());
        nothingIsLeft();
        assertEquals(0, run("render", chain("  - trim: { level: 20 dB }"), take, "--out", print(), "--depth", "float"));
    }

    /** Integers have -1.0, and 1.0 but for one step: no more than dither moves any sample. */
    @ParameterizedTest
    @CsvSource({"INT_16, -1, 16", "INT_16, -1, 24", "FLOAT_32, 1, 16", "FLOAT_32, 1, 24"})
    void aTakeThatTouchesFullScaleIsPrinted(SampleFormat format, double full, String depth) throws IOException {
        takeWith(full, format);
        assertEquals(0, run("render", chain("  - trim"), take, "--out", print(), "--depth", depth), err::toString);
        double[][] x = new double[1][1];
        try (WavFile wav = WavFile.open(print())) {
            wav.read(1000, x, 1);
        }
        assertEquals(full, x[0][0], 2 * Math.pow(2, 1 - Integer.parseInt(depth)));
    }

    @ParameterizedTest
    @CsvSource({"1.0001, 16", "-1.0001, 24"})
    void aTakeThatPassesFullScaleByAHairIsRefused(double full, String depth) throws IOException {
        takeWith(full, SampleFormat.FLOAT_32);
        assertEquals(5, run("render", chain("  - trim"), take, "--out", print(), "--depth", depth));
        assertTrue(err.toString().contains("its highest sample is +0.01 dBFS"), err.toString());
        nothingIsLeft();
    }

    /** The 1000th sample is this one. */
    private void takeWith(double one, SampleFormat format) throws IOException {
        double[][] x = new double[1][4800];
        for (int i = 0; i < 4800; i++) x[0][i] = 0.3 * Math.sin(2 * Math.PI * 220 * i / 48_000);
        x[0][1000] = one;
        try (WavWriter writer = WavWriter.create(take, Print.of(48_000, 1, format).dither(Dither.none()).overwriting())) {
            writer.write(x, 4800);
            writer.finish();
        }
    }

    /** A7: a range is the same span of the whole print, dither included. */
    @Test
    void aRangeEqualsTheSameSpanOfTheWhole() throws IOException {
        Path whole = folder.resolve("whole.wav");
        Path part = folder.resolve("part.wav");
        Path chain = chain("  - eq: [ { bell: 300 Hz, gain: 4 dB } ]\n  - reverb: { decay: 0.5 s }");
        assertEquals(0, run("render", chain, take, "--out", whole));
        assertEquals(0, run("render", chain, take, "--out", part, "--from", "0.25", "--to", "0.75"));
        double[][] a = new double[2][24_000];
        double[][] b = new double[2][24_000];
        try (WavFile w = WavFile.open(whole); WavFile p = WavFile.open(part)) {
            assertEquals(24_000, p.frames());
            w.read(12_000, a, 24_000);
            p.read(0, b, 24_000);
        }
        assertArrayEquals(a[0], b[0]);
        assertArrayEquals(a[1], b[1]);
    }

    @Test
    void checkSaysNothingIsWrong() throws IOException {
        assertEquals(0, run("check", chain("  - trim"), take));
        assertTrue(out.toString().contains("nothing wrong"), out.toString());
    }

    @Test
    void curveDrawsAllThreeKinds() throws IOException {
        Path chain = chain("  - eq: [ { bell: 1 kHz, gain: 6 dB } ]");
        for (String kind : new String[] {"svg", "png", "csv"}) {
            Path picture = folder.resolve("curve." + kind);
            assertEquals(0, run("curve", chain, "--step", "1", "--out", picture), err.toString());
            assertTrue(Files.size(picture) > 1000);
        }
        assertEquals(2, run("curve", chain, "--step", "2"));
    }

    /** A step that hears a take has a curve only with one; a step without curves has none with any. */
    @Test
    void aTakeIsWantedOnlyForAStepThatHasCurves() throws IOException {
        assertEquals(2, run("curve", chain("  - ride"), "--step", "1"));
        assertEquals("step 'ride' has no curve; eq and the dynamics steps have", err.toString().strip());
        assertEquals(2, run("curve", chain("  - multiband: { splits: [ 1 kHz ], bands: [ {}, {} ] }"), "--step", "1"));
        assertEquals("step 'multiband' has no curve; eq and the dynamics steps have", err.toString().strip());
        assertEquals(2, run("curve", chain("  - compressor: { aim: 3 dB }"), "--step", "1"));
        assertTrue(err.toString().contains("is set by hearing a take: name one"), err.toString());
    }

    @Test
    void stepsSuggestTheNearestWord() {
        assertEquals(2, run("steps", "revreb"));
        assertTrue(err.toString().contains("did you mean 'reverb'?"), err.toString());
        assertEquals(2, run("steps", "paralel"));
        assertTrue(err.toString().contains("did you mean 'parallel'?"), err.toString());
    }

    @Test
    void aStepThatIsOffIsToldAsThat() throws IOException {
        Path chain = chain("  - trim\n  - compressor: { name: peaks, on: no }\n  - eq: [ { bell: 1 kHz, gain: 1 dB } ]\n    on: no");
        for (String step : new String[] {"peaks", "eq"}) {
            assertEquals(2, run("curve", chain, "--step", step));
            assertEquals("step '" + step + "' is off in " + chain + ": leave out its 'on: no' to see its curve", err.toString().strip());
        }
        assertEquals(2, run("sweep", chain, take, "--vary", "peaks.ratio = 2:1, 4:1", "--out", folder.resolve("page")));
        assertTrue(err.toString().contains("step 'peaks' is off in this chain"), err.toString());
    }

    @Test
    void curveSuggestsTheNearestStep() throws IOException {
        assertEquals(2, run("curve", chain("  - trim\n  - compressor"), "--step", "compresor"));
        assertEquals("there is no step 'compresor'; did you mean 'compressor'? (there are 1 to 2: trim, compressor)", err.toString().strip());
    }

    /** What is named is there, with a slip in it: the commands say so alike of texts, sounds and folders. */
    @Test
    void ofAFileThatIsNotThereTheNearestIsTold() throws IOException {
        Path chain = chain("  - trim"), slip = chain.resolveSibling(chain.getFileName().toString().replaceFirst(".yaml$", ".yml")),
                sound = take.resolveSibling("x" + take.getFileName());
        for (Object[] words : new Object[][] {{"check", slip}, {"render", slip, take, "--out", print()},
                {"render", slip, "--out", slip.resolveSibling("prints")}, {"watch", slip, "--out", slip.resolveSibling("prints")}, {"diff", slip, chain}}) {
            assertEquals(3, run(words), err.toString());
            assertTrue(err.toString().contains("did you mean '" + chain.getFileName() + "'?"), err.toString());
        }
        for (Object[] words : new Object[][] {{"explain", sound}, {"measure", sound}, {"mark", sound}, {"render", chain, sound, "--out", print()}}) {
            assertEquals(4, run(words), err.toString());
            assertTrue(err.toString().contains("did you mean '" + take.getFileName() + "'?"), err.toString());
        }
    }

    /** Sums and mixes have no number, so that the third step is the third in the file. */
    @Test
    void checkCountsStepsAsCurveDoes() throws IOException {
        Path chain = chain("  - delay: { time: 50 ms, mix: 20 % }\n  - parallel: [ { steps: [ saturate ] }, {} ]\n  - eq: [ { bell: 1 kHz, gain: 6 dB } ]");
        assertEquals(0, run("check", chain, take));
        assertTrue(out.toString().contains("1  delay from take"), out.toString());
        assertTrue(out.toString().contains("3  eq from parallel"), out.toString());
        assertEquals(0, run("curve", chain, "--step", "3"));
        assertTrue(out.toString().contains("hz,gain_db"), out.toString());
    }

    @Test
    void checkListsTheStepsAsJsonWithoutATake() throws IOException {
        assertEquals(0, run("check", chain("  - gate: { threshold: 10 dB over noise }\n  - trim"), "--json"));
        var steps = JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("steps");
        assertEquals(2, steps.size());
        assertEquals("gate", steps.get(0).getAsJsonObject().get("name").getAsString());
        assertTrue(steps.get(0).getAsJsonObject().get("hears").getAsBoolean());
        assertFalse(steps.get(1).getAsJsonObject().get("hears").getAsBoolean());
    }

    @Test
    void numbersFoundForBandsSayForWhichBand() throws IOException {
        Path chain = chain("  - multiband: { splits: [ 500 Hz ], bands: [ { threshold: 6 dB under peak }, { threshold: 9 dB under peak } ] }");
        assertEquals(0, run("check", chain, take), err.toString());
        assertTrue(out.toString().contains("threshold of band 2 9 dB under peak = "), out.toString());
    }

    @Test
    void everyWordThatStepsListsCanBeAskedFor() {
        assertEquals(0, run("steps"));
        for (String line : out.toString().lines().toList()) assertEquals(0, run("steps", line.strip().split(" ")[0]), line);
    }

    /** As a device is replaced like any file by who may do so, only a fake one can be tried: a pipe. */
    @Test
    void whatIsNoPlainFileIsNeitherReadNorReplaced() throws Exception {
        Path pipe = folder.resolve("pipe.wav");
        assumeTrue(Files.isExecutable(Path.of("/usr/bin/mkfifo")));
        assertEquals(0, new ProcessBuilder("/usr/bin/mkfifo", pipe.toString()).start().waitFor());
        assertEquals(4, run("render", chain("  - trim"), take, "--out", pipe, "--force"));
        assertTrue(err.toString().contains("pipe.wav: is no plain file; give the print a name of its own"), err.toString());
        assertFalse(Files.isRegularFile(pipe));
        assertEquals(3, assertTimeoutPreemptively(Duration.ofSeconds(5), () -> run("check", pipe)));
        assertTrue(err.toString().contains("is no plain file; name a chain file on disk"), err.toString());
    }

    @Test
    void aPrintIsCalledWav() throws IOException {
        assertEquals(2, run("render", chain("  - trim"), take, "--out", folder.resolve("print.mp3")));
        assertTrue(err.toString().contains("--out wants a file ending in .wav"), err.toString());
        assertEquals(2, run("render", chain("  - trim"), take, "--out", folder.resolve("other.yaml"), "--force"));
    }

    /** A stretch of what rings on behind the take is that of the whole print too; where nothing does, nothing is printed. */
    @Test
    void aStretchBehindTheTakeIsWhatRingsOn() throws IOException {
        Path chain = chain("  - reverb: { decay: 1.5 s, mix: 50 % }"), whole = folder.resolve("whole.wav"), part = folder.resolve("part.wav");
        double end;
        try (WavFile wav = WavFile.open(take)) {
            end = wav.frames() / wav.rate();
        }
        assertEquals(0, run("render", chain, take, "--out", whole), err.toString());
        assertEquals(0, run("render", chain, take, "--out", part, "--from", end + 0.25, "--to", end + 0.5), err.toString());
        try (WavFile a = WavFile.open(whole); WavFile b = WavFile.open(part)) {
            assertEquals(Math.round(0.25 * a.rate()), b.frames());
            double[][] x = new double[a.channels()][(int) b.frames()], y = new double[b.channels()][(int) b.frames()];
            a.read(Math.round((end + 0.25) * a.rate()), x, x[0].length);
            b.read(0, y, y[0].length);
            for (int c = 0; c < x.length; c++) assertArrayEquals(x[c], y[c]);
        }
        for (Object[] words : new Object[][] {{chain("  - trim"), end + 0.25, end + 0.5}, {chain("  - trim"), end + 1000, end + 1001}}) {
            assertEquals(2, run("render", words[0], take, "--out", print(), "--from", words[1], "--to", words[2]));
            assertTrue(err.toString().contains("--from lies behind the end of the take"), err.toString());
            assertFalse(Files.exists(print()));
        }
    }

    @Test
    void aRangeWithoutASampleIsRefused() throws IOException {
        assertEquals(2, run("render", chain("  - trim"), take, "--out", print(), "--to", "0"));
        assertEquals(2, run("render", chain("  - trim"), take, "--out", print(), "--from", "0.5", "--to", "0.5000001"));
        assertTrue(err.toString().contains("--to leaves no sample to print"), err.toString());
        nothingIsLeft();
    }

    @Test
    void numbersAndNamesThatMakeNoSenseAreRefusedInAFewWords() throws IOException {
        Path chain = chain("  - trim");
        for (String[] wrong : new String[][] {
                {"--block", "0"}, {"--block", "2000000000"}, {"--rate", "abc"}, {"--rate", "99999999999"}, {"--tempo", "fast"}, {"--threads", ""},
                        {"--tail", "1e9"}}) {
            refused("render", chain, take, "--out", print(), wrong[0], wrong[1]);
        }
        refused("render", chain, take, "--out", "");
        refused("render", "", take, "--out", print());
        refused("demo", "");
        refused("render", chain, take, "--out", print(), "--rate", "abc");
        assertTrue(err.toString().contains("'--rate' (<rate>): wants a whole number, not 'abc'")
                || err.toString().contains("'--rate': wants a whole number, not 'abc'"), err.toString());
        nothingIsLeft();
    }

    private void refused(Object... words) {
        assertEquals(2, run(words), Arrays.toString(words));
        assertTrue(err.toString().lines().count() <= 2, err.toString());
    }

    @Test
    void ratesThatShareNothingAreRefusedAndNotTried() throws IOException {
        assertEquals(4, run("render", chain("  - trim"), take, "--out", print(), "--rate", "100003"));
        assertTrue(err.toString().contains("take.wav: 48 kHz and 100.003 kHz share so little that to convert between them would take"), err.toString());
        nothingIsLeft();
    }

    @Test
    void aDemoOverAFileIsRefused() {
        assertEquals(2, run("demo", take));
        assertTrue(err.toString().contains("take.wav: is there already and is no folder"), err.toString());
    }

    @Test
    void aPictureIsRefusedBeforeTheTakeIsHeard() throws IOException {
        Path chain = chain("  - compressor");
        assertEquals(2, run("curve", chain, folder.resolve("no.wav"), "--step", "1", "--out", folder.resolve("curve.jpg")));
        assertTrue(err.toString().contains(".svg, .png or .csv"), err.toString());
    }

    /** A super-user may write anywhere, so this shows something only where the tests run as a plain one. */
    @Test
    void aFolderThatMayNotBeWrittenIsNamedAsSuch() throws IOException {
        Path closed = Files.createDirectory(folder.resolve("closed"));
        assumeTrue(closed.toFile().setWritable(false) && !Files.isWritable(closed));
        assertEquals(4, run("render", chain("  - trim"), take, "--out", closed.resolve("print.wav")));
        assertTrue(err.toString().contains("print.wav: may not be written there; choose another folder"), err.toString());
        assertEquals(2, run("curve", chain("  - eq"), "--step", "1", "--out", closed.resolve("curve.svg")));
    }

    @Test
    void measureTellsATakeInWordsAndInJson() {
        assertEquals(0, run("measure", take));
        assertTrue(out.toString().contains("lowest note               220.0 Hz"), out.toString());
        assertTrue(out.toString().contains("noise floor               -  (it has no pause"), out.toString());
        assertEquals(0, run("measure", take, take, "--json"));
        var sheets = JsonParser.parseString(out.toString()).getAsJsonArray();
        assertEquals(2, sheets.size());
        var sheet = sheets.get(0).getAsJsonObject();
        assertEquals("48000", sheet.get("rate_hz").toString());
        assertEquals(220, sheet.get("lowest_note_hz").getAsDouble(), 0.1);
        assertTrue(sheet.get("noise_floor_dbfs").isJsonNull());
        assertTrue(sheet.getAsJsonObject("not_measured").get("noise_floor_dbfs").getAsString().startsWith("it has no pause"));
        assertEquals("", err.toString());
    }

    /** Each harmonic that stands out has a line, side by side too: a take with hum beside one with other hum and one with none. */
    @Test
    void measureTellsEachHarmonicOfHum() throws IOException {
        Path european = hum("a.wav", 50, 1, 3, 4), american = hum("b.wav", 60, 2);
        assertEquals(0, run("measure", european), err::toString);
        assertTrue(out.toString().contains("hum, each harmonic        50 Hz -46, 150 Hz -46, 200 Hz -46 dBFS\n"), out.toString());
        assertEquals(0, run("measure", european, american, take), err::toString);
        String rows = "";
        for (String[] row : new String[][] {{"hum, each harmonic", "50 Hz -46", "120 Hz -46", "-"}, {"", "150 Hz -46", "", ""}, {"", "200 Hz -46", "", ""}}) {
            rows += String.format("%-26s%13s%13s%13s dBFS%n", (Object[]) row);
        }
        assertTrue(out.toString().contains(rows), out.toString());
    }

    /** Noise with some harmonics of the mains, each of -46 dBFS (RMS). */
    private Path hum(String name, double mains, int... harmonics) throws IOException {
        Random random = new Random(1);
        double[][] x = new double[1][480_000];
        for (int i = 0; i < x[0].length; i++) {
            x[0][i] = 1e-4 * random.nextGaussian();
            for (int h : harmonics) x[0][i] += 0.005 * Math.sqrt(2) * Math.sin(2 * Math.PI * mains * h * i / 48_000 + h);
        }
        try (WavWriter writer = WavWriter.create(folder.resolve(name), Print.of(48_000, 1, SampleFormat.INT_24))) {
            writer.write(x, x[0].length);
            writer.finish();
        }
        return folder.resolve(name);
    }

    @Test
    void measureTellsTheGoodTakesBesideABadOne() {
        assertEquals(4, run("measure", take, folder.resolve("none.wav"), "--json"));
        JsonArray sheets = JsonParser.parseString(out.toString()).getAsJsonArray();
        assertTrue(sheets.get(0).getAsJsonObject().has("lowest_note_hz") && sheets.get(1).getAsJsonObject().has("error"), sheets::toString);
        assertTrue(err.toString().contains("none.wav"), err.toString());
        assertEquals(1, err.toString().lines().count(), err.toString());
    }

    @Test
    void measureRefusesAFolderInOneLine() {
        assertEquals(4, run("measure", folder));
        assertEquals(folder.getFileName() + ": is a folder; name the sound file itself", err.toString().strip());
        assertEquals(2, run("measure"));
    }
}

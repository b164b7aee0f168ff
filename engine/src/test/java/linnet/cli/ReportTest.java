package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonArray;
import com.google.gson.JsonElement;
import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.io.StringReader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.function.IntToDoubleFunction;
import java.util.regex.Pattern;
import java.util.stream.StreamSupport;
import javax.xml.parsers.DocumentBuilderFactory;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.setting.Quantity;
import linnet.step.Step;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.xml.sax.InputSource;

/** What {@code render --report} tells, against figures that follow from the sound and the settings. */
class ReportTest extends Called {
    private static final int RATE = 48_000;

    @TempDir
    Path folder;

    private Path take(String name, double seconds, IntToDoubleFunction at) throws IOException {
        Path file = folder.resolve(name);
        try (WavWriter writer = WavWriter.create(file, Print.of(RATE, 1, SampleFormat.FLOAT_32))) {
            double[][] x = new double[1][(int) (seconds * RATE)];
            for (int i = 0; i < x[0].length; i++) x[0][i] = at.applyAsDouble(i);
            writer.write(x, x[0].length);
            writer.finish();
        }
        return file;
    }

    private Path chain(String steps) throws IOException {
        Path file = folder.resolve("chain.yaml");
        Files.writeString(file, "steps:\n" + steps + "\n");
        return file;
    }

    private JsonObject report(Path take, String steps) throws IOException {
        assertEquals(0, run("render", chain(steps), take, "--out", folder.resolve("print.wav"), "--depth", "float", "--report", folder.resolve("report"),
                "--force", "--json"), err.toString());
        return JsonParser.parseString(out.toString()).getAsJsonObject();
    }

    /** Where a stretch ends is meant: the take goes on, and no word is cut in it. */
    @Test
    void theEndOfAStretchIsNotThatOfTheTake() throws IOException {
        Path take = take("sung.wav", 2, i -> sine(i, 0.3, 220) + sine(i, 0.15, 440));
        assertTrue(warns(report(take, "  - trim"), "Someone still sings where the take ends"), out.toString());
        assertEquals(0, run("render", chain("  - trim"), take, "--out", folder.resolve("part.wav"), "--to", "1", "--report", folder.resolve("of-part"),
                "--json"), err.toString());
        assertFalse(warns(JsonParser.parseString(out.toString()).getAsJsonObject(), "Someone still sings"), out.toString());
    }

    /** What stands beside a number that was found: the words of the text with their line, of the aim or setting it was found for; else the usual. */
    @Test
    void whatWasFoundStandsBesideWhatIsInTheText() throws IOException {
        Path take = take("sung.wav", 3, i -> sine(i, 0.3, 220) + sine(i, 0.15, 440));
        report(take, """
                - eq: [ { high-pass: 0.8 x lowest note } ]
                - compressor:
                    aim: 2.5 dB
                    makeup: match
                - compressor
                - multiband: { splits: [ 1 kHz ], bands: [ {}, { ratio: 2:1, aim: 1 dB, most: 3 dB } ] }
                - de-ess
                - gate
                - hum""");
        String page = page().replaceAll("</t[hd]><td[^>]*>", " | ");
        for (String row : List.of("high-pass of band 1 | 0.8 x lowest note, chain.yaml:2 | ", "threshold | aim: 2.5 dB, chain.yaml:4 | ",
                "makeup | match, chain.yaml:5 | ", "threshold | usual: found by aim | ", "threshold of band 2 | aim: 1 dB, chain.yaml:7 | ",
                "band | usual: 1 x sibilance | ", "threshold | usual: 10 dB over noise | ", "hum |  | ")) {
            assertTrue(page.contains(row), row + " in " + page.replaceAll("(?s)<svg.*?</svg>", ""));
        }
    }

    private static JsonObject step(JsonObject report, int number) {
        return report.getAsJsonArray("steps").get(number - 1).getAsJsonObject();
    }

    private static boolean warns(JsonObject report, String words) {
        JsonArray all = report.getAsJsonArray("warnings");
        return StreamSupport.stream(all.spliterator(), false).anyMatch(w -> w.getAsString().contains(words));
    }

    private String page() throws IOException {
        return Files.readString(folder.resolve("report").resolve("report.html"));
    }

    private static double sine(int i, double peak, double hz) {
        return peak * Math.sin(2 * Math.PI * hz * i / RATE);
    }

    /** A vowel: ten harmonics at -6 dB/octave, its first at about -18 dBFS. */
    private static double vowel(int i) {
        double sum = 0;
        for (int k = 1; k <= 10; k++) sum += sine(i, 0.12 / k, 200 * k);
        return sum;
    }

    private static double noise(int i) {
        // A hash of the place (Steele, Lea, Flood, 2014, mixing of SplitMix64): noise without a state.
        long z = (i + 1L) * 0x9E3779B97F4A7C15L;
        z = (z ^ z >>> 30) * 0xBF58476D1CE4E5B9L;
        z = (z ^ z >>> 27) * 0x94D049BB133111EBL;
        return 3e-4 * ((z ^ z >>> 31) * 0x1p-63);
    }

    /** Phrases of a second and a half, each dying away as told, and pauses as long. */
    private Path phrases(double fadeSeconds) throws IOException {
        return take("phrases.wav", 9, i -> {
            double t = i / (double) RATE % 3 - 0.5;
            double level = t < 0 ? 0 : t < 0.02 ? t / 0.02 : t < 1.5 ? 1 : Math.max(0, 1 - (t - 1.5) / fadeSeconds);
            return level * vowel(i) + noise(i);
        });
    }

    /** ITU-R BS.1770: a sine of 997 Hz in one channel reads its RMS level, -3.01 - 20 for a peak of 0.1; a trim moves it by its own dB. */
    @Test
    void aTrimChangesTheLoudnessByItsLevel() throws IOException {
        JsonObject r = report(take("sine.wav", 5, i -> sine(i, 0.1, 997)), "- trim: { level: -6 dB }");
        assertEquals(-23.01, step(r, 1).get("integrated_before_lufs").getAsDouble(), 0.05);
        assertEquals(-29.01, step(r, 1).get("integrated_after_lufs").getAsDouble(), 0.05);
        assertEquals(3.01, step(r, 1).get("crest_before_db").getAsDouble(), 0.02);
        assertTrue(page().contains("<td>−6.0</td>"));
    }

    /** The static curve: 14 dB over a threshold of -20 dBFS at 4:1 without a knee are turned down by 14 (1 - 1/4) = 10.5 dB. */
    @Test
    void aSteadyToneShowsTheReductionOfTheCurve() throws IOException {
        JsonObject r = report(take("tone.wav", 4, i -> sine(i, 0.5012, 997)), "- compressor: { threshold: -20 dB, ratio: 4:1, knee: 0 dB }");
        assertEquals(10.5, step(r, 1).get("reduction_median_db").getAsDouble(), 0.15);
        assertEquals(-10.5, step(r, 1).get("integrated_after_lufs").getAsDouble() - step(r, 1).get("integrated_before_lufs").getAsDouble(), 0.15);
        assertFalse(warns(r, "makeup"), r.toString());
    }

    /** Only where a step after it goes by the level that it changes: a threshold against the voice goes with it, and a ceiling is for whatever comes. */
    @Test
    void makeupIsAskedForWhereWhatComesAfterGoesByALevel() throws IOException {
        Path take = take("tone.wav", 4, i -> sine(i, 0.5012, 997));
        String quieter = "- compressor: { threshold: -20 dB, ratio: 4:1, knee: 0 dB }\n";
        for (String after : new String[] {"- compressor: { threshold: -32 dB }", "- saturate: { drive: 9 dB }", "- eq: [ { bell: 1 kHz, gain: 1 dB } ]\n"
                + "- multiband: { splits: [ 300 Hz ], bands: [ { threshold: -40 dB }, { threshold: -40 dB } ] }"}) {
            JsonObject r = report(take, quieter + after);
            assertTrue(warns(r, "10.5 LU quieter, and nothing makes up for it, though what comes after it goes by a level ("), r.toString());
        }
        JsonObject named = report(take, quieter + "- { saturate: { drive: 9 dB }, name: warmth }");
        assertTrue(warns(named, "goes by a level (2, warmth). Say makeup: match."), named.toString());
        for (String after : new String[] {"- trim: { level: 1 dB }", "- limit", "- compressor: { aim: 2 dB }", "- level\n- saturate: { drive: 9 dB }"}) {
            JsonObject r = report(take, quieter + after);
            assertFalse(warns(r, "makeup"), r.toString());
        }
    }

    /** Equal shares of a sound and of the same sound 6.02 dB lower. */
    @Test
    void aMixTellsHowFarTheWetSoundLiesUnderTheDry() throws IOException {
        JsonObject r = report(take("sine.wav", 5, i -> sine(i, 0.1, 997)), "- trim: { level: -12 dB, mix: 50 % }");
        assertEquals(12, step(r, 1).get("wet_under_dry_lu").getAsDouble(), 0.05);
        // 0.5 + 0.5 · 10^(-12/20)
        assertEquals(20 * Math.log10(0.5 + 0.5 * Math.pow(10, -0.6)),
                step(r, 1).get("integrated_after_lufs").getAsDouble() - step(r, 1).get("integrated_before_lufs").getAsDouble(), 0.02);
    }

    /** Repeats 9 LU under the voice and more are usual (Pestana, Reiss, 2014), 3 LU of leeway on either side; half and half is 0 LU under. */
    @Test
    void aWetSoundThatIsTooLoudOrTooSoftIsTold() throws IOException {
        Path take = take("sine.wav", 5, i -> sine(i, 0.1, 997));
        String step = "- delay: { time: 300 ms, feedback: 0 %, mix: ";
        JsonObject r = report(take, step + "50 % }");
        assertTrue(warns(r, "listeners like it about 9 LU under"), r.get("warnings").toString());
        r = report(take, step + "20 % }");
        assertFalse(warns(r, "1, delay: Its sound lies"), r.get("warnings").toString());
        r = report(take, step + "2 % }");
        assertTrue(warns(r, "where it is hardly heard"), r.get("warnings").toString());
    }

    /**
     * Four soft phrases and three 8 dB louder: an aim is met in the middle of all, so that 6:1 takes 8 (1 - 1/6) = 6.7 dB more from the loud ones. Taken
     * 2-4 dB are usual, 6 on shouts (common practice). Where all are alike, or crushing is wanted, there is nothing to tell.
     */
    @Test
    void anAimThatCrushesTheLoudPhrasesIsTold() throws IOException {
        String compressor = "- compressor: { character: fast, ratio: 6:1, knee: 0 dB, aim: 2.5 dB, makeup: match }";
        Path uneven = phrases(7, 12, 8);
        JsonObject r = report(uneven, compressor);
        assertTrue(warns(r, "1, compressor: Its aim of 2.5 dB is met over the whole, but from the phrase at 0:12."), r.get("warnings").toString());
        assertTrue(warns(r, "it takes 9."), r.get("warnings").toString());
        assertTrue(warns(r, "Bring phrases nearer before it, with ride"), r.get("warnings").toString());
        assertFalse(warns(report(phrases(7, 12, 2), compressor), "is met over the whole, but"), out.toString());
        assertFalse(warns(report(uneven, compressor.replace("2.5 dB", "10 dB")), "is met over the whole, but"), out.toString());
        // Beside a dry voice it takes nothing from that.
        String beside = "- parallel: [ { level: 0 dB }, { level: -12 dB, steps: [ " + compressor.substring(2) + " ] } ]";
        assertFalse(warns(report(uneven, beside), "is met over the whole, but"), out.toString());
        assertFalse(warns(report(uneven, compressor.replace("makeup", "mix: 20 %, makeup")), "is met over the whole, but"), out.toString());
    }

    /** Phrases of a second and a half, those after some seconds louder. */
    private Path phrases(int count, double after, double louderDb) throws IOException {
        double gain = Math.pow(10, louderDb / 20);
        return take("uneven by " + louderDb + ".wav", 3 * count, i -> {
            double t = i / (double) RATE % 3 - 0.5;
            double level = t < 0 ? 0 : t < 0.02 ? t / 0.02 : t < 1.5 ? 1 : Math.max(0, 1 - (t - 1.5) / 0.2);
            return 0.5 * level * vowel(i) * (i > after * RATE ? gain : 1) + noise(i);
        });
    }

    /** A pipe hears nothing of what went well; what somebody should look at is told there too. */
    @Test
    void whatAStepFindsOddIsToldWhereAPipeListens() throws IOException {
        Path take = take("sine.wav", 1, i -> sine(i, 0.1, 997));
        Path chain = chain("- eq: [ { bell: 10 kHz, gain: 3 dB } ]");
        assertEquals(0, run("render", chain, take, "--rate", "16000", "--out", folder.resolve("odd.wav")), err.toString());
        assertTrue(err.toString().contains("eq: bell 10 kHz is above what can be filtered"), err.toString());
    }

    @Test
    void aGateThatCutsIsToldAndOneThatDoesNotIsNot() throws IOException {
        Path take = phrases(0.4);
        JsonObject cut = report(take, "- gate: { threshold: 6 dB under voice, hold: 0 ms, release: 10 ms, lookahead: 0 ms, floor: -40 dB }");
        assertTrue(warns(cut, "1, gate: The gate closes on word endings at 0:02."), cut.get("warnings").toString());
        JsonObject kept = report(take, "- gate: { threshold: 30 dB under voice }");
        assertEquals(0, kept.getAsJsonArray("warnings").size(), kept.get("warnings").toString());
    }

    @Test
    void aGateThatOpensLateIsTold() throws IOException {
        JsonObject late = report(phrases(0.2), "- gate: { threshold: 20 dB under voice, lookahead: 0 ms, attack: 40 ms }");
        assertTrue(warns(late, "The gate opens late, onto a word that has begun at 0:00.5, 0:03.5, 0:06.5."), late.get("warnings").toString());
        assertFalse(warns(late, "while someone sings"), late.get("warnings").toString());
    }

    /** A list that was corrected counts on the page as it does for the steps: here the last two of three are one, and the first ends earlier. */
    @Test
    void phrasesAreThoseOfTheListBesideTheTake() throws IOException {
        Path take = phrases(0.2);
        report(take, "- compressor: { threshold: -20 dB }");
        assertEquals(3, rows().size(), rows().toString());
        Files.writeString(folder.resolve("phrases.marks.yaml"),
                "marks: phrases.wav\nrate: 48 kHz\nframes: 432000\nlist:\n  - { phrase: 0.5 s, length: 1 s }\n  - { phrase: 3.5 s, length: 4.7 s }\n");
        report(take, "- compressor: { threshold: -20 dB }");
        assertEquals(List.of("0:00.5 to 0:01.5", "0:03.5 to 0:08.2"), rows());
    }

    /** The phrases of the page's table. */
    private List<String> rows() throws IOException {
        return Pattern.compile("<th scope=\"row\">(\\d:\\d\\d\\.\\d to \\d:\\d\\d\\.\\d)</th>").matcher(page()).results().map(m -> m.group(1)).toList();
    }

    /**
     * Three sung phrases, and from 9 s on four seconds of words without pitch, about 33 dB under them and 35 dB over the noise: below a gate at 30 dB under the
     * voice. A breath as loud, of the same sound, is what that gate is for.
     */
    @Test
    void aGateThatHoldsWhisperedWordsBackIsTold() throws IOException {
        String close = "- gate: { threshold: 30 dB under voice, floor: -12 dB, hold: 80 ms, release: 150 ms }";
        Path words = whispered(4);
        JsonObject held = report(words, close);
        assertTrue(warns(held,
                "1, gate: The gate turns down what lies 20 dB over the noise and goes on for longer than a breath at 0:09.0. If it is sung or whispered, say "
                + "threshold: 40 dB under voice, or 10 dB over noise."), held.get("warnings").toString());
        for (String threshold : new String[] {"40 dB under voice", "10 dB over noise"}) {
            JsonObject heard = report(words, close.replace("30 dB under voice", threshold));
            assertEquals(0, heard.getAsJsonArray("warnings").size(), threshold + heard.get("warnings"));
        }
        JsonObject breath = report(whispered(1.2), close);
        assertEquals(0, breath.getAsJsonArray("warnings").size(), breath.get("warnings").toString());
    }

    private Path whispered(double seconds) throws IOException {
        return take("whispered " + seconds + ".wav", 15, i -> {
            double t = i / (double) RATE, at = t % 3 - 0.5;
            double level = t > 9 || at < 0 ? 0 : at < 0.02 ? at / 0.02 : at < 1.5 ? 1 : Math.max(0, 1 - (at - 1.5) / 0.2);
            boolean word = t >= 9 && t < 9 + seconds && t % 0.4 < 0.3;
            return level * vowel(i) + noise(i) * (word ? 12 : 0.2);
        });
    }

    @Test
    void aGateThatChattersIsTold() throws IOException {
        Path take = take("bursts.wav", 6, i -> vowel(i) * (i % 19_200 > 16_800 ? 1 : 0) + noise(i));
        JsonObject r = report(take, "- gate: { threshold: -40 dB, hold: 0 ms, release: 5 ms, lookahead: 0 ms, floor: -40 dB }");
        assertTrue(warns(r, "moves twice within 150 ms"), r.get("warnings").toString());
    }

    /** Where something as high as an s lasts through a vowel, it is none: an s lasts 70 to 150 ms, and a voice has one or two in a second. Common practice. */
    @Test
    void aDeEsserThatTurnsVowelsDownIsTold() throws IOException {
        String step = "- de-ess: { band: 8 kHz, threshold: -20 dB, most: 6 dB }";
        JsonObject r = report(hissed(3), step);
        assertTrue(warns(r, "1, de-ess: It turns vowels down, not sibilants alone at 0:00."), r.get("warnings").toString());
        r = report(hissed(0.15), step);
        assertFalse(warns(r, "It turns vowels down"), r.get("warnings").toString());
        assertTrue(warns(r, "% of all moments with a pitch, and vowels are such"), r.get("warnings").toString());
        r = report(hissed(0.04), step);
        assertFalse(warns(r, "de-ess"), r.get("warnings").toString());
    }

    /** Phrases in whose vowels something high sounds for so many of each 400 ms. */
    private Path hissed(double seconds) throws IOException {
        return take("hissed " + seconds + ".wav", 9, i -> {
            double t = i / (double) RATE, at = t % 3 - 0.5;
            double level = at < 0 ? 0 : at < 0.02 ? at / 0.02 : at < 1.5 ? 1 : Math.max(0, 1 - (at - 1.5) / 0.2);
            return level * (vowel(i) + (t % 0.4 < seconds ? sine(i, 0.05, 8000) : 0)) + noise(i);
        });
    }

    @Test
    void whatDoesNothingAndWhatDoesTooMuchIsTold() throws IOException {
        JsonObject r = report(phrases(0.2), "- eq: [ { bell: 1 kHz, gain: 0 dB } ]\n- trim: { level: 24 dB }\n- limit: { ceiling: -1 dBTP }");
        assertTrue(warns(r, "1, eq: It changed nothing"), r.get("warnings").toString());
        assertTrue(warns(r, "3, limit: It takes up to"), r.get("warnings").toString());
        assertTrue(warns(r, "3, limit: It works in"), r.get("warnings").toString());
    }

    /** Every one there is, set so that it changes nothing where it can be: a repair that finds nothing to do is as it should be. */
    @Test
    void whatMendsMayRest() throws IOException {
        StringBuilder steps = new StringBuilder();
        int resting = 0;
        for (Step step : Builtins.catalogue().steps()) {
            if (!step.mends() && !step.holdsPeaks()) continue;
            List<String> neutral = step.settings().all().stream().filter(Quantity.class::isInstance).map(Quantity.class::cast)
                    .flatMap(q -> q.neutral().map(value -> q.name() + ": " + value).stream()).toList();
            steps.append("- ").append(step.word()).append(": { ").append(String.join(", ", neutral)).append(" }\n");
        }
        JsonObject r = report(take("sung.wav", 3, TAKE), steps.toString());
        for (JsonElement step : r.getAsJsonArray("steps")) {
            JsonObject s = step.getAsJsonObject();
            if (Math.abs(s.get("integrated_before_lufs").getAsDouble() - s.get("integrated_after_lufs").getAsDouble()) < 1e-3) resting++;
        }
        assertTrue(resting >= 7, r.get("steps").toString());
        assertFalse(warns(r, "It changed nothing"), r.get("warnings").toString());
        r = report(take("steady.wav", 3, i -> sine(i, 0.3, 220)), "- tune: { ignore: 50 cents }");
        assertFalse(warns(r, "It changed nothing"), r.get("warnings").toString());
    }

    /** Parsed as XML, where the page is also that: every element closed, every name escaped. */
    @Test
    void hostileNamesAreText() throws Exception {
        String hostile = "\"'></title><script>alert(1)</script>&amp;\u202e]]>";
        Path take = take("t.wav", 3, TAKE);
        Files.writeString(folder.resolve("chain.yaml"), "chain: '" + hostile.replace("'", "''") + "'\nsteps:\n- trim: { name: '" + hostile.replace("'", "''")
                + "', level: -6 dB }\n- gate: { threshold: -30 dB }\n- eq: [ { bell: 1 kHz, gain: 3 dB } ]\n- limit\n");
        assertEquals(0, run("render", folder.resolve("chain.yaml"), take, "--out", folder.resolve("print.wav"), "--report", folder.resolve("report")),
                err.toString());
        String page = page();
        assertFalse(page.contains("<script"));
        assertTrue(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;&amp;amp;"));
        assertTrue(page.contains("default-src 'none'; script-src 'none'"));
        assertFalse(page.matches("(?s).*(src|href)=\"(?!#|listen\\.html).*"));
        String body = page.substring(page.indexOf("<body>"), page.indexOf("</html>")).replace("<br>", "<br/>");
        DocumentBuilderFactory.newInstance().newDocumentBuilder().parse(new InputSource(new StringReader(body)));
    }

    private static final IntToDoubleFunction TAKE = i -> vowel(i) * (i % 60_000 < 40_000 ? 1 : 0) + noise(i);

    @Test
    void withListenEachStepIsSwitchedOffOnASecondPage() throws IOException {
        Path take = take("t.wav", 4, TAKE);
        Path chain = chain("- trim: { level: -6 dB }\n- eq: [ { low-pass: 500 Hz } ]\n"
                + "- parallel: [ { level: 0 dB }, { level: -6 dB, steps: [ eq: [ { high-pass: 2 kHz } ] ] } ]");
        assertEquals(0, run("render", chain, take, "--out", folder.resolve("print.wav"), "--report", folder.resolve("r"), "--listen"), err.toString());
        String listen = Files.readString(folder.resolve("r").resolve("listen.html")), page = Files.readString(folder.resolve("r").resolve("report.html"));
        assertTrue(listen.contains("The whole chain"));
        for (String without : new String[] {"Without 1, trim", "Without 2, eq", "Without 3, eq 2"}) assertTrue(listen.contains(without), without);
        // A trim changes nothing but the level: it comes last.
        assertTrue(listen.indexOf("Without 2, eq<") < listen.indexOf("Without 1, trim<")
                && listen.indexOf("Without 3, eq 2<") < listen.indexOf("Without 1, trim<"));
        String trim = page.substring(page.indexOf("id=\"step-1\""), page.indexOf("id=\"step-2\""));
        assertTrue(trim.contains("listen.html#version=4"), trim);
    }

    /** Of a take of a minute the page holds the 20 s that are loud, and not what comes after they have begun or before. */
    @Test
    void aLongTakeIsHeardWhereItIsLoudest() throws IOException {
        Path take = take("long.wav", 60, i -> (i / RATE >= 30 && i / RATE < 50 ? 1 : 0.1) * vowel(i) + noise(i));
        assertEquals(0, run("render", chain("- trim: { level: -6 dB }"), take, "--out", folder.resolve("print.wav"), "--report", folder.resolve("r"),
                "--listen"), err.toString());
        var data = Pattern.compile("<script type=\"application/json\" id=\"data\">(.*?)</script>")
                .matcher(Files.readString(folder.resolve("r").resolve("listen.html")));
        assertTrue(data.find());
        JsonObject page = JsonParser.parseString(data.group(1)).getAsJsonObject();
        // Loudness is read every 100 ms.
        assertEquals(30, page.get("from").getAsDouble(), 0.15);
        assertEquals(20 * RATE, page.get("frames").getAsDouble());
    }

    @Test
    void nothingIsReplacedUnlessForced() throws IOException {
        Path take = take("t.wav", 1, TAKE), chain = chain("- trim"), kept = folder.resolve("r").resolve("report.html");
        Files.createDirectories(folder.resolve("r"));
        Files.writeString(kept, "mine");
        assertEquals(2, run("render", chain, take, "--out", folder.resolve("print.wav"), "--report", folder.resolve("r")));
        assertTrue(err.toString().contains("report.html is there already; say --force to replace it"), err.toString());
        assertEquals("mine", Files.readString(kept));
        assertFalse(Files.exists(folder.resolve("print.wav")));
        assertEquals(0, run("render", chain, take, "--out", folder.resolve("print.wav"), "--report", folder.resolve("r"), "--force"));
        assertTrue(Files.readString(kept).startsWith("<!doctype html>"));
        assertEquals(2, run("render", chain, take, "--out", folder.resolve("b.wav"), "--listen"));
        assertTrue(err.toString().contains("say --report DIR too"), err.toString());
    }

    /** Nothing sung, shorter than any window, at a low rate: told, not refused. */
    @Test
    void aTinyTakeHasAReport() throws IOException {
        JsonObject r = report(take("tiny.wav", 0.05, i -> 0), "- gate: { threshold: -30 dB }\n- compressor: { threshold: -20 dB }");
        assertTrue(step(r, 1).get("integrated_before_lufs").isJsonNull());
        assertFalse(page().contains("NaN"));
    }

    /** The print is there by then: a script hears of it all the same, and by the exit code that something is missing. */
    @Test
    void whereNoPageCanBeWrittenThePrintIsTold() throws IOException {
        Path take = take("take.wav", 1, i -> sine(i, 0.1, 220));
        assertEquals(2, run("render", chain("- trim"), take, "--out", folder.resolve("print.wav"), "--report", folder.resolve("x".repeat(300)), "--json"));
        assertTrue(err.toString().contains("xxx"), err::toString);
        assertEquals(folder.resolve("print.wav").toString(), JsonParser.parseString(out.toString()).getAsJsonObject().get("print").getAsString());
        assertTrue(Files.exists(folder.resolve("print.wav")));
    }
}

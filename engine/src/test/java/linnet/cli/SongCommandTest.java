package linnet.cli;

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
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import linnet.dsp.Cell;
import linnet.dsp.Samples;
import linnet.dsp.loudness.TruePeak;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Songs as a user types them: what is not heeded is refused, and what would be damaged is not printed. */
class SongCommandTest extends SongFolder {
    private boolean nothingIsPrinted() throws IOException {
        if (!Files.exists(prints)) return true;
        try (var files = Files.list(prints)) {
            return files.findAny().isEmpty();
        }
    }

    @Test
    void aSongWithinItsRangeIsPrinted() {
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertTrue(Files.exists(prints.resolve("mix.wav")) && Files.exists(prints.resolve("lead.wav")));
    }

    /** A program that writes songs writes JSON, which is YAML. */
    @Test
    void aSongMayBeJson() throws IOException {
        Files.writeString(song, "{\n \"song\": \"x\", \"tempo\": \"100 bpm\",\n \"sections\": { \"a\": 1, \"end\": 2 },\n"
                + " \"parts\": { \"lead\": { \"take\": \"take.wav\" } },\n \"prints\": [ \"mix\" ]\n}\n");
        assertEquals(0, run("check", song), err::toString);
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertTrue(Files.exists(prints.resolve("mix.wav")));
    }

    /** What was done, for scripts: once made, then as it was before. */
    @Test
    void whatWasDoneIsToldAsJson() throws IOException {
        for (int k = 0; k < 2; k++) {
            assertEquals(0, run("render", song, "--out", prints, "--force", "--json"), err::toString);
            JsonObject done = JsonParser.parseString(out.toString()).getAsJsonObject();
            JsonObject mix = done.getAsJsonArray("prints").get(0).getAsJsonObject();
            assertEquals("mix", mix.get("name").getAsString());
            assertEquals(prints.resolve("mix.wav").toString(), mix.get("file").getAsString());
            assertEquals(k == 0, mix.get("written").getAsBoolean());
            try (WavFile wav = WavFile.open(prints.resolve("mix.wav"))) {
                assertEquals(wav.frames(), done.get("frames").getAsLong());
                assertEquals(wav.channels(), mix.get("channels").getAsInt());
                TruePeak peak = new TruePeak(wav.channels());
                double[][] x = new double[wav.channels()][(int) wav.frames()];
                wav.read(0, x, x[0].length);
                peak.add(x, x[0].length);
                assertEquals(peak.dbtp(), mix.get("true_peak_dbtp").getAsDouble(), 0.02);
            }
            double phases = done.getAsJsonObject("seconds_by_phase").entrySet().stream().mapToDouble(e -> e.getValue().getAsDouble()).sum();
            assertEquals(List.of("reading", "weighing", "rendering", "checking", "describing"), List.copyOf(done.getAsJsonObject("seconds_by_phase").keySet()));
            assertEquals(done.get("seconds_taken").getAsDouble(), phases, 0.05);
            assertEquals("48000", done.get("rate_hz").toString());
            // A length in seconds, as that of a take, is another fact than the time that it took.
            assertFalse(done.has("seconds"), out::toString);
            for (JsonElement made : done.getAsJsonArray("made")) assertTrue(made.getAsJsonObject().has("seconds_taken"), out::toString);
            assertEquals(k == 0, done.getAsJsonArray("made").size() > 0, out::toString);
            if (k == 0) assertEquals("lead", done.getAsJsonArray("made").get(0).getAsJsonObject().get("work").getAsString());
        }
    }

    /** And that of a return that is sent nothing. */
    @Test
    void aSilentPrintIsToldAsSilent() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0, 3);
        Files.writeString(song,
                "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts: { lead: { take: take.wav } }\nreturns: { room: { chain: [ trim ] } }\n"
                + "checks: { ceiling: -1 dBTP }\nprints: [ mix, stems ]\n");
        assertEquals(0, run("render", song, "--out", prints, "--depth", "float"), err::toString);
        assertEquals(3, out.toString().lines().filter(l -> l.matches("  \\S+[.]wav +silent")).count(), out.toString());
        String told = out.toString() + err + Files.readString(prints.resolve("sheet.md")) + Files.readString(prints.resolve("sheet.html"));
        assertFalse(told.contains("Infinity") || told.contains("NaN"), told);
        assertEquals(0, run("render", song, "--out", prints, "--depth", "float", "--json"), err::toString);
        JsonArray all = JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("prints");
        for (JsonElement p : all) assertTrue(p.getAsJsonObject().get("integrated_lufs").isJsonNull(), out.toString());
        assertTrue(all.get(2).getAsJsonObject().get("true_peak_dbtp").isJsonNull(), out.toString());
    }

    @Test
    void aPrintThatWouldClipIsRefusedAndNoneIsLeft() throws IOException {
        parts("lead: { take: take.wav, level: 14 dB }");
        assertEquals(5, run("render", song, "--out", prints), out::toString);
        assertTrue(err.toString().contains("lead.wav with +0.5"), err.toString());
        assertTrue(err.toString().contains("--depth float"), err.toString());
        assertTrue(nothingIsPrinted());
        assertEquals(0, run("render", song, "--out", prints, "--depth", "float"), err::toString);
    }

    /** As a render of a chain does. */
    @ParameterizedTest
    @CsvSource({"-1, 0", "1, 0", "1.0001, 5"})
    void aPrintMayTouchFullScaleButNotPassIt(double full, int exit) throws IOException {
        take("take.wav", 48_000, 0.2, t -> Math.round(t * 48_000) == 1000 ? full : 0.3 * Math.sin(2 * Math.PI * 220 * t),
                t -> 0.2 * Math.sin(2 * Math.PI * 220 * t));
        assertEquals(exit, run("render", song, "--out", prints), err::toString);
        assertEquals(exit == 5, err.toString().contains("lead.wav with +0.01 dBFS"), err::toString);
    }

    @ParameterizedTest
    @ValueSource(strings = {"--marks=m.yaml", "--notes=n.yaml", "--listen", "--tail=none", "--tempo=90", "--rate=44100"})
    void anOptionThatASongDoesNotHeedIsRefused(String option) throws IOException {
        assertEquals(2, run("render", song, "--out", prints, option));
        assertTrue(err.toString().startsWith(option.replaceAll("=.*", "") + " goes with a chain"), err.toString());
        assertTrue(nothingIsPrinted());
    }

    @ParameterizedTest
    @ValueSource(strings = {"--marks=m.yaml", "--notes=n.yaml", "--tempo=90"})
    void checkRefusesThemToo(String option) {
        assertEquals(2, run("check", song, option));
        assertTrue(err.toString().startsWith(option.replaceAll("=.*", "") + " goes with a chain"), err.toString());
    }

    /** What was typed is said, under the name it may have been typed with. */
    @Test
    void noThreadsAreRefused() {
        assertEquals(2, run("render", song, "--out", prints, "--jobs", "0"));
        assertTrue(err.toString().startsWith("--threads, or --jobs, 0 is outside 1 … 64"), err.toString());
        assertEquals(2, run("watch", folder.resolve("take.wav"), "--out", prints, "--jobs", "65"));
        assertTrue(err.toString().startsWith("--jobs, or --threads, 65 is outside 1 … 64"), err.toString());
    }

    @Test
    void aTakeBesideASongIsRefusedInOneLine() {
        Path take = folder.resolve("take.wav");
        for (Object[] words : new Object[][] {{"render", song, take, "--out", prints}, {"check", song, take}}) {
            assertEquals(2, run(words));
            assertEquals(song + " is a song and names its own takes: leave out " + take + "\n", err.toString().replace("\r", ""));
        }
    }

    @Test
    void aSongWhereAChainIsWantedIsCalledASong() {
        assertEquals(2, run("compare", song, song, "--take", folder.resolve("take.wav"), "--out", folder.resolve("pages")));
        assertTrue(err.toString().startsWith(song + " is a song: render both versions with 'linnet render', and compare their prints"), err.toString());
    }

    /** One song is enough to say it, and what to call instead. */
    @Test
    void sweepAndCompareOfASongSayWhatIsMeant() {
        Path pages = folder.resolve("pages");
        assertEquals(2, run("compare", song, "--out", pages));
        assertTrue(err.toString().startsWith(song + " is a song: render both versions with 'linnet render', and compare their prints"), err.toString());
        assertEquals(2, run("sweep", song, folder.resolve("take.wav"), "--vary", "eq.gain = 1 dB, 2 dB", "--out", pages));
        assertEquals(song + " is a song, and 'sweep' varies a chain: write the other value into a copy beside it, and 'linnet diff " + song
                + " COPY.yaml' says what that does; to hear it, 'linnet render " + song
                + " --only PRINT --out OLD', 'linnet render COPY.yaml --only PRINT --out NEW' and "
                + "'linnet compare OLD/PRINT.wav NEW/PRINT.wav --out PAGE'", err.toString().strip());
    }

    /** What both say can be written as it stands. */
    @Test
    void whatSweepAndCompareOfASongNameCanBeCalled() throws IOException {
        Path copy = Files.writeString(song.resolveSibling("copy.yaml"), Files.readString(song));
        for (Object[] refused : new Object[][] {{"compare", song, "--out", folder.resolve("pages")},
                {"sweep", song, folder.resolve("take.wav"), "--vary", "eq.gain = 1 dB, 2 dB", "--out", folder.resolve("pages")}}) {
            assertEquals(2, run(refused));
            List<String> calls = Pattern.compile("'linnet ([^']+ [^']+)'").matcher(err.toString()).results().map(m -> m.group(1)).toList();
            assertTrue(calls.size() > 1, calls.toString());
            Path old = folder.resolve(refused[0] + " old"), now = folder.resolve(refused[0] + " new");
            if (refused[0].equals("compare")) assertEquals(0, run("render", copy, "--only", "mix", "--out", now));
            for (String call : calls) {
                Object[] words = Stream.of(call.split(" "))
                        .map(w -> w.replace("COPY.yaml", copy.toString()).replaceFirst("PRINT$", "mix").replace("PRINT.wav", "mix.wav")
                                .replaceFirst("^OLD", old.toString()).replaceFirst("^NEW", now.toString())
                                .replaceFirst("^PAGE", folder.resolve(refused[0] + " page").toString())).toArray();
                assertEquals(0, run(words), call + ": " + err);
            }
        }
    }

    @Test
    void checkDoesNotSayThatNothingIsWrongBeforeItHasSeenTheTakes() throws IOException {
        parts("lead: { take: none.wav }");
        assertEquals(4, run("check", song));
        assertFalse(out.toString().contains("nothing wrong"), out.toString());
    }

    /** Everything that is wrong with the takes, each with its part and its place in the song. */
    @Test
    void aTakeThatCannotBeUsedIsToldAtItsPlace() throws IOException {
        Files.writeString(folder.resolve("text.wav"), "no sound");
        try (WavWriter writer = WavWriter.create(folder.resolve("other.wav"), Print.of(44_100, 1, SampleFormat.INT_24))) {
            writer.write(new double[1][Cell.LENGTH], Cell.LENGTH);
            writer.finish();
        }
        parts("lead: { take: none.wav }\n  low: { level: -3 dB, take: text.wav }\n  high: { take: none.wav }");
        for (String command : new String[] {"check", "render"}) {
            assertEquals(4, command.equals("check") ? run("check", song) : run("render", song, "--out", prints));
            assertEquals("""
                    song.yaml:5:17: 'lead': none.wav: is not there; check its name and folder
                          lead: { take: none.wav }
                                        ^^^^^^^^
                    song.yaml:6:30: 'low': text.wav: is not a WAV file; export it as a plain WAV of 16, 24 or 32 bits
                          low: { level: -3 dB, take: text.wav }
                                                     ^^^^^^^^
                    song.yaml:7:17: 'high': none.wav: is not there; check its name and folder
                          high: { take: none.wav }
                                        ^^^^^^^^
                    """, err.toString().replace(folder + "/", ""));
        }
        parts("lead: { take: take.wav }\n  low: { take: other.wav }");
        assertEquals(4, run("check", song));
        assertEquals("song.yaml:6:16: 'low': other.wav has 44.1 kHz and take.wav 48 kHz; say 'rate: 48 kHz' in the song to have takes converted",
                err.toString().replace(folder + "/", "").lines().findFirst().orElseThrow());
        assertTrue(nothingIsPrinted());
    }

    /** Where each edit begins and ends, however the text says it. */
    @Test
    void checkTellsWhereEditsAre() throws IOException {
        parts("lead: { take: take.wav, only: [ a, 1.5 s to 1.9 s ], edits: [ { mute: 0.2 s to a beat 2 }, { mute: breaths }, { mute: breaths in a }, { fade "
                + "out: a beat 3 to a beat 4 }, { cut: 100 ms to 150 ms, close: yes } ] }");
        assertEquals(0, run("check", song), err::toString);
        List<String> told = out.toString().lines().dropWhile(l -> !l.contains("take.wav, from")).skip(1).limit(6).map(String::strip).toList();
        assertEquals(List.of("left: 0:00.000 to 0:02.400, 0:01.500 to 0:01.900", "muted: 0:00.200 to 0:00.600", "muted: breaths",
                "muted: breaths in a, 0:00.000 to 0:02.400", "faded out: 0:01.200 to 0:01.800", "taken out: 0:00.100 to 0:00.150"), told);
    }

    /** Each could be converted by itself, all together not: memory is one for the song. */
    @Test
    void takesThatCannotBeConvertedTogetherAreTold() throws IOException {
        for (String take : List.of("b", "c", "d")) {
            try (WavWriter writer = WavWriter.create(folder.resolve(take + ".wav"), Print.of(44_056, 2, SampleFormat.INT_24))) {
                writer.write(new double[2][Cell.LENGTH], Cell.LENGTH);
                writer.finish();
            }
        }
        parts("lead: { take: take.wav }\n  b: { take: b.wav }\n  c: { take: c.wav }\n  d: { take: d.wav }");
        Files.writeString(song, Files.readString(song).replace("tempo:", "rate: 48 kHz\ntempo:"));
        assertEquals(4, run("check", song));
        String said = err.toString().replace(folder + "/", "").lines().filter(l -> l.startsWith("song.yaml:")).findFirst().orElseThrow();
        assertTrue(said.matches("song.yaml:9:14: 'd': d.wav: 44.056 kHz and 48 kHz share so little that to convert between them would take [34][0-9] MB of "
                + "memory, beside [67][0-9] MB for the takes before it; choose a usual rate, such as 44.1 kHz or 48 kHz"), said);
        assertTrue(nothingIsPrinted());
    }

    /** Conversions between rates that share much are no burden, however many a song has. */
    @Test
    void usualRatesAreNoBurden() {
        for (double[] rates : new double[][] {{192_000, 44_100}, {44_100, 192_000}, {96_000, 44_100}, {44_100, 48_000}, {22_050, 48_000}}) {
            assertEquals(0, Conversion.burden(new Samples(rates[0], new double[2][10]), rates[1]), rates[0] + " to " + rates[1]);
        }
        assertTrue(Conversion.burden(new Samples(44_056, new double[2][10]), 48_000) > 30_000_000);
    }

    /** A take that is converted keeps the seconds of its list: of a tone at 44.1 kHz a tenth of a second is muted in a song of 48 kHz, and that alone. */
    @Test
    void aMutedBreathOfAConvertedTakeIsSilentAtItsSecond() throws IOException {
        take("slow.wav", 44_100, 3, t -> 0.2 * Math.sin(2 * Math.PI * 220 * t), null);
        Files.writeString(folder.resolve("slow.marks.yaml"), "marks: slow.wav\nrate: 44100 Hz\nframes: 132300\nlist:\n  - { breath: 2 s, length: 100 ms }\n");
        Files.writeString(song, "song: x\nrate: 48 kHz\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\n"
                + "parts: { lead: { take: slow.wav, edits: [ { mute: breaths } ] } }\nprints: [ lead ]\n");
        assertEquals(0, run("render", song, "--out", prints, "--depth", "float"), err::toString);
        try (WavFile wav = WavFile.open(prints.resolve("lead.wav"))) {
            double[][] x = new double[2][(int) wav.frames()];
            wav.read(0, x, x[0].length);
            assertTrue(peak(x[0], 2.02, 2.08) < 1e-6, "muted: " + peak(x[0], 2.02, 2.08));
            assertTrue(peak(x[0], 1.8, 1.99) > 0.1 && peak(x[0], 2.11, 2.3) > 0.1, "beside it");
        }
    }

    private static double peak(double[] x, double from, double to) {
        return Arrays.stream(x, (int) (from * 48_000), (int) (to * 48_000)).map(Math::abs).max().orElseThrow();
    }

    /** Each join is told by check, in its JSON and by the render. */
    @Test
    void joinsAreTold() throws IOException {
        Files.copy(folder.resolve("take.wav"), folder.resolve("other.wav"));
        parts("lead: { comp: [ { take: take.wav, from: a, exact: yes }, { take: other.wav, from: 100 ms, exact: yes, fade: 10 ms } ] }");
        String line = "  lead             100 ms: there, in a vowel, fade 10 ms, level +0.0 dB, tone +0.0 dB; listen to it";
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().contains("Joins:\n" + line + "\n"), out.toString());
        assertTrue(out.toString().contains("a comp of 2 ranges, from 0:00.000"), out.toString());
        assertEquals(0, run("check", song, "--json"), err::toString);
        JsonObject join = JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("joins").get(0).getAsJsonObject();
        assertEquals("lead", join.get("part").getAsString());
        assertEquals(0.1, join.get("asked_s").getAsDouble());
        assertEquals(0.1, join.get("at_s").getAsDouble());
        assertEquals("vowel", join.get("lies_in").getAsString());
        assertEquals(10, join.get("fade_ms").getAsDouble());
        assertEquals(1, join.get("correlation").getAsDouble());
        // The second time the part comes from the store, and its joins are told all the same.
        for (int k = 0; k < 2; k++) {
            assertEquals(0, run("render", song, "--out", prints, "--force"), err::toString);
            assertTrue(out.toString().contains("Joins:\n" + line + "\n"), out.toString());
        }
    }

    /** A buzz that is held and open at its end, with 0.3 s between two of them: at 240 bpm that is more than a beat. */
    @Test
    void aGoodWordWithoutAReturnIsToldWithOne() throws IOException {
        double[][] x = new double[1][4 * 48_000];
        for (int i = 0; i < x[0].length; i++) {
            double t = i / 48_000.0;
            x[0][i] = 1e-4 * Math.sin(i * i % 7919);
            if (t % 1 > 0.1 && t % 1 < 0.8) for (int k = 1; k < 12; k++) x[0][i] += 0.1 / k * Math.sin(2 * Math.PI * 220 * k * t);
        }
        try (WavWriter writer = WavWriter.create(folder.resolve("take.wav"), Print.of(48_000, 1, SampleFormat.INT_24).overwriting())) {
            writer.write(x, x[0].length);
            writer.finish();
        }
        String text = "song: x\ntempo: 240 bpm\nsections: { a: 1, end: 5 }\nparts:\n  lead: { take: take.wav, sends: { } }\n%sprints: [ mix, lead ]\n";
        Files.writeString(song, text.formatted(""));
        assertEquals(0, run("check", song), err::toString);
        String head = "Good words to throw, once there is a return for them:\n", said = out.toString();
        assertTrue(said.contains(head), said);
        List<String> proposed = said.substring(said.indexOf(head) + head.length()).lines().takeWhile(l -> l.startsWith("  ")).toList();
        assertEquals("  returns: { far: { chain: [ delay ] } }", proposed.get(0));
        assertTrue(proposed.size() > 1 && proposed.get(1).contains("to: far"), said);
        assertEquals(0, run("check", song, "--json"), err::toString);
        assertEquals("returns: { far: { chain: [ delay ] } }", JsonParser.parseString(out.toString()).getAsJsonObject().get("throwable_wants").getAsString());
        // As it is proposed it can stand in the song; and with a return of its own that is proposed.
        Files.writeString(song, text.formatted(proposed.get(0).strip() + "\nthrows:\n" + proposed.get(1) + "\n"));
        assertEquals(0, run("check", song), err::toString);
        Files.writeString(song, text.formatted("returns: { room: { chain: [ reverb ] } }\n"));
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().contains("Good words to throw:\n  - { part: lead,") && out.toString().contains("to: room"), out.toString());
    }

    /** The take lasts 0.2 s. */
    @Test
    void aSpanOutsideItsTakeIsToldAtItsPlace() throws IOException {
        parts("lead: { take: take.wav, from: 0.1 s, to: 0.3 s }\n  late: { take: take.wav, from: 0.25 s }\n"
                + "  comp: { comp: [ { take: take.wav, from: a }, { take: take.wav, from: 1.5 s, at: 1 s }, { take: take.wav, from: 1.6 s, at: 1.7 s } ] }");
        for (String command : new String[] {"check", "render"}) {
            assertEquals(3, command.equals("check") ? run("check", song) : run("render", song, "--out", prints));
            assertEquals(List.of(
                    "song.yaml:5:44: 'lead': take.wav lasts 0.200 s, and 0.300 s of it are wanted here",
                    "song.yaml:6:33: 'late': take.wav lasts 0.200 s, and 0.250 s of it are wanted here",
                    "song.yaml:7:72: 'comp': take.wav lasts 0.200 s, and 0.500 s of it are wanted here",
                    "song.yaml:7:114: 'comp': take.wav begins 0.100 s after this place"),
                            err.toString().replace(folder + "/", "").lines().filter(l -> l.startsWith("song.yaml")).toList());
        }
        assertTrue(nothingIsPrinted());
    }

    /** Two cues, at 0 and at 4.83 s, the second 30 ms late: 100 bpm, so that bar 3 begins at 4.8 s. */
    @Test
    void sectionsComeFromTheCuesOfAFile() throws IOException {
        Takes.cued(folder.resolve("guide.wav"), 231_840);
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { from: guide.wav }\nparts: { lead: { take: take.wav, at: chorus } }\nprints: [ lead ]\n");
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().contains("  verse            bar   1  0:00.000\n  chorus           bar   3  0:04.800\n"), out.toString());
        assertTrue(out.toString().contains("guide.wav: 'chorus' lies 30 ms after bar 3, and begins there\n"), out.toString());
        Files.move(folder.resolve("guide.wav"), folder.resolve("guides.wav"));
        assertEquals(3, run("check", song));
        assertTrue(err.toString().replace(folder + "/", "")
                .startsWith("song.yaml:3:19: sections: guide.wav: is not there; check its name and folder; did you mean 'guides.wav'?\n"), err.toString());
    }

    /** A second of something in each channel. */
    private void take(String name, int rate, double seconds, DoubleUnaryOperator left, DoubleUnaryOperator right) throws IOException {
        try (WavWriter writer = WavWriter.create(folder.resolve(name), Print.of(rate, right == null ? 1 : 2, SampleFormat.FLOAT_32).overwriting())) {
            int n = (int) Math.round(rate * seconds);
            double[][] x = new double[right == null ? 1 : 2][n];
            for (int i = 0; i < n; i++) {
                x[0][i] = left.applyAsDouble(i / (double) rate);
                if (right != null) x[1][i] = right.applyAsDouble(i / (double) rate);
            }
            writer.write(x, n);
            writer.finish();
        }
    }

    @Test
    void whatIsOddAboutTakesIsTold() throws IOException {
        DoubleUnaryOperator tone = t -> 0.2 * Math.sin(2 * Math.PI * 220 * t), other = t -> 0.2 * Math.sin(2 * Math.PI * 331 * t), none = t -> 0;
        take("plain.wav", 48_000, 1, tone, null);
        take("same.wav", 48_000, 1, other, null);
        take("short.wav", 48_000, 0.75, tone, null);
        take("clipped.wav", 48_000, 1, t -> t < 0.5 ? 0 : Math.max(-0.99, Math.min(0.99, 1.6 * Math.sin(2 * Math.PI * 20 * t))), null);
        take("offset.wav", 48_000, 1, t -> tone.applyAsDouble(t) + 0.01, null);
        take("dual.wav", 48_000, 1, tone, tone);
        take("left.wav", 48_000, 1, tone, none);
        take("turned.wav", 48_000, 1, tone, t -> -0.9 * tone.applyAsDouble(t) + 0.3 * other.applyAsDouble(t) / 2);
        take("wide.wav", 48_000, 1, tone, other);
        take("silent.wav", 48_000, 1, none, null);
        take("slow.wav", 44_100, 1, tone, null);
        take("abrupt.wav", 48_000, 1, t -> 0.2 * Math.cos(2 * Math.PI * 220 * t), null);
        StringBuilder all = new StringBuilder();
        for (String name : new String[] {"plain", "same", "short", "clipped", "offset", "dual", "left", "turned", "wide", "silent", "slow", "abrupt"}) {
            all.append(all.length() == 0 ? "" : "\n  ").append(name).append(": { take: ").append(name).append(".wav }");
        }
        Files.writeString(song, "song: x\nrate: 48 kHz\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  " + all
                + "\n  span: { take: abrupt.wav, from: 0.001 s, to: 1 s }\nprints: [ mix ]\n");
        assertEquals(0, run("check", song), err::toString);
        String said = out.toString();
        assertEquals("""
                Takes:
                  short            short.wav: lasts 0:00.750, 0.250 s less than most that begin with the song
                  clipped          clipped.wav: clipped in 20 places, first at 0:00.505
                  offset           offset.wav: a DC offset of -40 dBFS: a high-pass at 20 Hz takes it out
                  dual             dual.wav: both channels are alike: mono saved as stereo
                  left             left.wav: nothing is on its right channel
                  turned           turned.wav: left and right oppose each other and cancel out in mono, where takes are heard: turn the polarity of one of them, or save one alone as the take
                  silent           silent.wav: nothing is on it
                  slow             slow.wav: converted from 44.1 kHz to 48 kHz
                  abrupt           abrupt.wav: begins in the middle of a sound, at -14 dBFS, which clicks: 'from: 0.001 s' in its part fades it in
                  abrupt           abrupt.wav: ends in the middle of a sound, at -14 dBFS, which clicks: 'to: 1.000 s' in its part fades it out
                span: abrupt.wav: the recording of abrupt once more, 1.0 s of it at the same place: both are one voice, in the centre where they lie opposite; name the take of span, or write a 'nudge' where an echo is meant
                """, said.substring(said.indexOf("Takes:\n"), said.indexOf("\n\n", said.indexOf("Takes:\n")) < 0 ? said.length() : said.indexOf("\n\n", said.indexOf("Takes:\n")) + 1));
        assertEquals(0, run("check", song, "--json"), err::toString);
        JsonObject dual = JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("takes").get(5).getAsJsonObject();
        assertEquals("dual", dual.get("part").getAsString());
        assertEquals("[\"both channels are alike: mono saved as stereo\"]", dual.get("odd").toString());
    }

    /** 88 bpm: bar 23 begins at a minute less a hair, and the song ends at 65.4545 s. What is told is told as a place that can be asked for. */
    @Test
    void everyClockThatIsToldIsAPlaceToBeginOrToEnd() throws IOException {
        Files.writeString(song, "song: x\ntempo: 88 bpm\nsections: { verse: 1, chorus: 23, end: 25 }\nparts: { lead: { take: take.wav } }\nprints: [ lead ]\n");
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().contains("  chorus           bar  23  1:00.000\n"), out.toString());
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        String row = Files.readString(prints.resolve("sheet.md")).lines().filter(l -> l.startsWith("| chorus ")).findFirst().orElseThrow();
        List<String> clocks = Arrays.stream(row.split("\\|")).map(String::strip).filter(c -> c.contains(":")).toList();
        assertEquals(List.of("1:00.000", "1:05.455"), clocks, row);
        assertEquals(0, run("render", song, "--out", prints, "--from", clocks.get(0), "--to", clocks.get(1)), err::toString);
        try (WavFile wav = WavFile.open(prints.resolve("lead 60 s to 65.455 s.wav"))) {
            assertEquals(2 * 240.0 / 88 * 48_000, wav.frames(), 1);
        }
    }

    /** It lasts 59.96 s. */
    @Test
    void aSongOfAMinuteIsNotToldToLastSixtySeconds() throws IOException {
        Files.writeString(song, "song: x\ntempo: 240.16 bpm\nsections: { a: 1, end: 61 }\nparts: { lead: { take: take.wav } }\nprints: [ lead ]\n");
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertTrue(out.toString().startsWith(song + ": 1:00.0, 1 print"), out.toString());
    }
}

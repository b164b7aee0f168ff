package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.Arrays;
import linnet.audio.Bext;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a take's print through a chain says of itself, and what explain makes of it. */
class ExplainChainTest extends Called {
    private static final int RATE = 48_000;
    private static final Bext RECORDED = new Bext("second night, take four", "the recorder", "N2T4", "2026-10-03", "21:14:05", 3600L * RATE,
            Bext.Loudness.UNTOLD, "A=PCM,F=48000,W=24,M=mono,T=the recorder\r\n");

    @TempDir
    Path folder;

    private Path take, print;

    @BeforeEach
    void aChain() throws IOException {
        take = folder.resolve("größer.wav");
        print = folder.resolve("prints/größer clean.wav");
        Files.createDirectories(print.getParent());
        Takes.tone(take, 220, 0.1, 0.5);
        Files.writeString(folder.resolve("low.yaml"), "chain: low\nsteps: [ trim: { level: -3 dB } ]\n");
        Files.writeString(folder.resolve("soft.yaml"), "chain: sanft\nsteps: [ { use: low.yaml }, { trim: { level: -1 dB } } ]\n");
    }

    private void render(Object... more) {
        Object[] words = {"render", folder.resolve("soft.yaml"), take, "--out", print, "--force"};
        Object[] all = Arrays.copyOf(words, words.length + more.length);
        System.arraycopy(more, 0, all, words.length, more.length);
        assertEquals(0, run(all), () -> err.toString());
    }

    private JsonObject explained(int code) {
        assertEquals(code, run("explain", print, "--json"), () -> out.toString() + err);
        return JsonParser.parseString(out.toString()).getAsJsonObject();
    }

    private String state(JsonObject explained, String path) {
        for (var source : explained.getAsJsonArray("made_from")) {
            if (source.getAsJsonObject().get("path").getAsString().equals(path)) return source.getAsJsonObject().get("state").getAsString();
        }
        return "not told";
    }

    @Test
    void allIsAsItWas() {
        render();
        assertEquals(0, run("explain", print), () -> out.toString() + err);
        String said = out.toString();
        assertTrue(said.startsWith(print + ": größer.wav through sanft\n  made by  linnet 0.1.0, build "), said);
        assertTrue(said.contains("  sound    as printed, -29.5 LUFS, true peak -24.0 dBTP\n"), said);
        assertTrue(said.contains("  text     ../soft.yaml   as it was\n"), said);
        assertTrue(said.contains("  text     ../low.yaml    as it was\n"), said);
        assertTrue(said.contains("  take     ../größer.wav  as it was\n"), said);
        assertTrue(!said.contains("dated") && !said.contains("lies") && !said.contains("with"), said);
        JsonObject json = explained(0);
        assertEquals("", json.get("options").getAsString());
        assertTrue(json.get("revision").isJsonNull() && json.get("from_s").isJsonNull() && json.get("to_s").isJsonNull(), json.toString());
    }

    @Test
    void whatChangedIsTold() throws IOException {
        render();
        Files.writeString(folder.resolve("low.yaml"), "chain: low\nsteps: [ trim: { level: -4 dB } ]\n");
        assertEquals("changed", state(explained(5), "../low.yaml"));
        render();
        assertEquals("same", state(explained(0), "../low.yaml"));
        Takes.tone(take, 221, 0.1, 0.5);
        assertEquals("changed", state(explained(5), "../größer.wav"));
        Files.delete(take);
        assertEquals("missing", state(explained(0), "../größer.wav"));
        byte[] bytes = Files.readAllBytes(print);
        bytes[bytes.length - 1000] ^= 1;
        Files.write(print, bytes);
        assertEquals("changed", explained(5).getAsJsonObject("sound").get("state").getAsString());
    }

    /** A print vouches for the take it was made from; written to all the while, that is another at the end. */
    @Test
    void aTakeThatIsWrittenToMeanwhileIsTold() throws Exception {
        Thread writer = new Thread(() -> {
            try {
                for (long ms = 1; !Thread.interrupted(); ms++) Files.setLastModifiedTime(take, FileTime.fromMillis(1000 * ms));
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        });
        writer.start();
        try {
            assertEquals(4, run("render", folder.resolve("soft.yaml"), take, "--out", print), () -> out.toString() + err);
        } finally {
            writer.interrupt();
            writer.join();
        }
        assertTrue(err.toString().contains("was changed while it was read"), err.toString());
        assertTrue(Files.list(print.getParent()).findAny().isEmpty());
    }

    @Test
    void listsBesideTheTakeAreAmongIt() throws IOException {
        assertEquals(0, run("mark", take), () -> err.toString());
        render();
        assertEquals("same", state(explained(0), "../größer.marks.yaml"));
    }

    @Test
    void optionsThatItHangsOnAreTold() {
        render("--tempo", "96", "--rate", "44100", "--from", "0:00.1", "--to", "0.4", "--tail", "none");
        assertEquals("--tempo 96 --rate 44100 --from 0:00.1 --to 0.4 --tail none", explained(0).get("options").getAsString());
        assertEquals(0, run("explain", print));
        assertTrue(out.toString().contains("\n  with     --tempo 96 --rate 44100 --from 0:00.1 --to 0.4 --tail none\n"), out.toString());
        // Depth stands in the head of the file, threads make no sound, and the take has that rate.
        render("--depth", "float", "--threads", "1", "--rate", "48000");
        assertEquals("", explained(0).get("options").getAsString());
    }

    /** What the recorder said of the take stays: EBU R 98 (1999) has one history, to which each process adds. */
    @Test
    void whatTheRecorderSaidStays() throws IOException {
        recorded();
        render("--from", "0.1", "--depth", "16");
        try (WavFile wav = WavFile.open(print)) {
            assertEquals(1, wav.header().chunks().stream().filter(c -> c.id().equals("bext")).count());
            Bext bext = Bext.of(wav.header()).orElseThrow();
            assertEquals(RECORDED.description(), bext.description());
            assertEquals(RECORDED.originator(), bext.originator());
            assertEquals(RECORDED.date() + RECORDED.time(), bext.date() + bext.time());
            assertEquals(RECORDED.timeReference() + RATE / 10, bext.timeReference());
            assertTrue(bext.history().startsWith(RECORDED.history() + "A=PCM,F=48000,W=16,M=mono,T=linnet\r\nT=linnet engine "), bext.history());
        }
        assertEquals(0, run("explain", print), () -> out.toString() + err);
        assertTrue(out.toString().contains("größer.wav through sanft\n") && out.toString().contains("  sound    as printed"), out.toString());
        assertTrue(!out.toString().contains("dated"), out.toString());
    }

    private void recorded() throws IOException {
        Files.delete(take);
        try (WavWriter writer = WavWriter.create(take, Print.of(RATE, 1, SampleFormat.INT_24).described(RECORDED))) {
            double[] x = new double[RATE / 2];
            for (int i = 0; i < x.length; i++) x[i] = 0.1 * Math.sin(0.03 * i);
            writer.write(new double[][] {x}, x.length);
            writer.finish();
        }
    }

    /** As loud as the meters say, whoever looks on: the peak of a sine of 0.1, 4 dB down. */
    @Test
    void itSaysHowLoudItIs() throws IOException {
        recorded();
        render("--tail", "none");
        Bext.Loudness quiet = loudness();
        render("--tail", "none", "--json");
        assertEquals(quiet, loudness());
        double lufs = JsonParser.parseString(out.toString()).getAsJsonObject().get("integrated_lufs").getAsDouble();
        assertEquals(lufs, quiet.integrated(), 0.06);
        assertEquals(-20 - 4, quiet.truePeak(), 0.05);
        assertEquals(quiet.integrated(), quiet.momentary(), 0.1);
        JsonObject sound = explained(0).getAsJsonObject("sound");
        assertEquals(quiet.integrated(), sound.get("integrated_lufs").getAsDouble());
        assertEquals(quiet.truePeak(), sound.get("true_peak_dbtp").getAsDouble());
        // Of a take without one the print has an extension of its own.
        Takes.tone(take, 220, 0.1, 0.5);
        render("--tail", "none");
        assertEquals(-24, loudness().truePeak(), 0.05);
    }

    private Bext.Loudness loudness() throws IOException {
        try (WavFile wav = WavFile.open(print)) {
            return Bext.of(wav.header()).orElseThrow().loudness();
        }
    }

    /** The print of a song is a take as others are; what made it is history then. */
    @Test
    void thePrintOfASongGoesOnAsATake() throws IOException {
        Files.writeString(folder.resolve("song.yaml"), """
                song: a demo
                tempo: 100 bpm
                sections: { a: 1, end: 2 }
                parts: { lead: { take: größer.wav } }
                prints: [ lead ]
                """);
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", folder.resolve("of song")), () -> err.toString());
        take = folder.resolve("of song/lead.wav");
        print = folder.resolve("prints/again.wav");
        render();
        JsonObject once = explained(0);
        assertEquals("lead.wav through sanft", once.get("print").getAsString());
        assertEquals("not told", state(once, "../song.yaml"));
        assertEquals("same", state(once, "../of song/lead.wav"));
        // Nor does a further chain tell of the one before.
        take = print;
        print = folder.resolve("prints/twice.wav");
        render();
        assertEquals("again.wav through sanft", explained(0).get("print").getAsString());
        assertEquals(3, explained(0).getAsJsonArray("made_from").size());
        String bytes = Files.readString(print, StandardCharsets.ISO_8859_1);
        assertEquals(4, bytes.split("T=linnet engine ", -1).length, "the song, and twice the chain");
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** What a script reads of a song that is watched: a line each, as soon as it is so. */
@Timeout(120)
class WatchedAsLinesTest extends SongFolder {
    private static final String SONG = """
            song: x
            tempo: 240 bpm
            sections: { a: 1, b: 3, end: 5 }
            parts: { lead: { take: take.wav, level: -6 dB }, low: { take: take.wav, level: -60 dB } }
            moves: { b: { lead: +2 dB } }
            prints: [ mix, lead ]
            """;

    private Process watch;
    private BufferedReader lines;
    private long saved = 1_700_000_000_000L;

    @BeforeEach
    void aWatchedSong() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 4);
        save(SONG);
        watch = new ProcessBuilder(Path.of(System.getProperty("java.home"), "bin", "java").toString(), "-cp", System.getProperty("java.class.path"),
                Main.class.getName(), "watch", song.toString(), "--out", prints.toString(), "--json").redirectError(folder.resolve("err").toFile()).start();
        lines = new BufferedReader(new InputStreamReader(watch.getInputStream(), StandardCharsets.UTF_8));
    }

    @AfterEach
    void noMore() {
        watch.destroyForcibly();
    }

    private void save(String text) throws IOException {
        Files.writeString(song, text);
        Files.setLastModifiedTime(song, FileTime.fromMillis(saved += 1000));
    }

    /** The next that is told, which is this. */
    private JsonObject next(String event) throws IOException {
        String line = lines.readLine();
        assertTrue(line != null, () -> "nothing more is told");
        JsonObject told = JsonParser.parseString(line).getAsJsonObject();
        assertEquals(event, told.get("event").getAsString(), line);
        return told;
    }

    @Test
    void eachRoundIsToldAsItGoes() throws Exception {
        assertEquals(0, next("begun").getAsJsonArray("changes").size());
        JsonObject first = next("rendered");
        assertEquals(List.of("mix", "lead"), first.getAsJsonArray("prints").asList().stream().map(p -> p.getAsJsonObject().get("name").getAsString()).toList());

        save(SONG.replace("lead: +2 dB", "lead: +4 dB"));
        assertEquals("[{\"where\":\"b\",\"what\":\"lead\",\"how\":\"2 dB higher\"}]", next("begun").getAsJsonArray("changes").toString());
        JsonObject ready = next("stretch");
        assertEquals(prints.resolve("changed.wav").toString(), ready.get("file").getAsString());
        assertTrue(Files.exists(prints.resolve("changed.wav")));
        assertEquals(2, ready.get("from_s").getAsDouble());
        assertEquals(4, ready.get("to_s").getAsDouble());
        assertTrue(ready.get("seconds_taken").getAsDouble() > 0);
        JsonObject second = next("rendered");
        // The same object as a render of its own gives, with the event.
        assertEquals(0, run("render", song, "--out", folder.resolve("again"), "--json"), err::toString);
        Set<String> keys = new HashSet<>(JsonParser.parseString(out.toString()).getAsJsonObject().keySet());
        keys.add("event");
        assertEquals(keys, second.keySet());

        save("# a note\n" + SONG.replace("lead: +2 dB", "lead: +4 dB"));
        assertEquals(0, next("begun").getAsJsonArray("changes").size());
        assertEquals(1, next("same").size());
        next("rendered");

        save(SONG.replace("lead: +2 dB", "laed: +2 dB"));
        JsonObject error = next("failed").getAsJsonObject("error");
        assertEquals(3, error.get("exit_code").getAsInt());
        assertEquals(5, error.getAsJsonArray("problems").get(0).getAsJsonObject().get("line").getAsInt());
        assertTrue(Files.readString(folder.resolve("err")).contains(error.get("message").getAsString()));

        save(SONG);
        next("begun");
        next("stretch");
        next("rendered");
        assertTrue(watch.isAlive());
        watch.toHandle().destroy();
        assertEquals(null, lines.readLine());
        // 128 and the number of SIGTERM, as a shell tells it (POSIX.1-2017, Shell Command Language 2.8.2).
        assertEquals(128 + 15, watch.waitFor());
    }

    /** Who reads line by line finds one there also where nothing can be watched. */
    @Test
    void whatCannotBeWatchedIsOneLineToo() {
        for (Object[] words : new Object[][] {{"watch", folder.resolve("none.yaml"), "--out", prints, "--json"}, {"watch", song, "--json"}}) {
            assertFalse(run(words) == 0);
            assertEquals(1, out.toString().lines().count(), out::toString);
            JsonObject told = JsonParser.parseString(out.toString()).getAsJsonObject();
            assertEquals("failed", told.get("event").getAsString());
            assertEquals(run(words), told.getAsJsonObject("error").get("exit_code").getAsInt());
        }
    }
}

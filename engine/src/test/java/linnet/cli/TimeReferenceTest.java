package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import linnet.audio.Bext;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Where prints lie on the clock of a recorder: the time reference of EBU Tech 3285, samples since midnight. */
class TimeReferenceTest extends SongFolder {
    private static final String SONG = """
            song: x
            tempo: 240 bpm
            sections: { a: 1, b: 2, end: 4 }
            time reference: 1:00:00
            parts: { lead: { take: take.wav } }
            prints: [ mix, { print: lead, name: part, from: b } ]
            """;
    private static final long HOUR = 3600L * 48_000;

    @BeforeEach
    void aLongerTake() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.1, 2.5);
    }

    private void render(String text) throws IOException {
        Files.writeString(song, text);
        assertEquals(Exit.DONE, run("render", song, "--out", prints), err::toString);
    }

    private long reference(String print) throws IOException {
        try (WavFile wav = WavFile.open(prints.resolve(print + ".wav"))) {
            return Bext.of(wav.header()).orElseThrow().timeReference();
        }
    }

    private JsonObject explained(String print) {
        assertEquals(Exit.DONE, run("explain", prints.resolve(print + ".wav"), "--json"), err::toString);
        return JsonParser.parseString(out.toString()).getAsJsonObject();
    }

    @Test
    void everyPrintBeginsThere() throws IOException {
        render(SONG);
        assertEquals(HOUR, reference("mix"));
        assertEquals(HOUR + 48_000, reference("part"));
        assertEquals(Exit.DONE, run("render", song, "--out", prints, "--from", "a beat 3", "--only", "mix"), err::toString);
        assertEquals(HOUR + 24_000, reference("mix from a beat 3"));
        assertTrue(Files.readString(prints.resolve("sheet.md")).contains("time reference 1:00:00"));
        // The song is told in its own time.
        assertEquals(0, explained("mix").get("from_s").getAsDouble());
        assertEquals(1, explained("part").get("from_s").getAsDouble());
        assertEquals(HOUR + 48_000, explained("part").get("time_reference").getAsLong());
        assertEquals(HOUR, explained("part").get("song_time_reference").getAsLong());
        assertEquals(Exit.DONE, run("explain", prints.resolve("part.wav")));
        assertTrue(out.toString().contains("  lies     from 0:01.000 to 0:03.000 of the song, whose time reference is 1:00:00\n"), out.toString());
        assertEquals(Exit.DONE, run("schema", "--song"));
        assertTrue(out.toString().contains("\"time reference\""), out.toString());
    }

    /** No sample is another: prints get it without being asked, and the same as a render from nothing would give, to the byte. */
    @Test
    void anotherIsNoOtherSound() throws IOException {
        render(SONG.replace("time reference: 1:00:00\n", ""));
        assertEquals(0, reference("mix"));
        assertFalse(Files.readString(prints.resolve("sheet.md")).contains("time reference"));
        assertEquals(Exit.DONE, run("explain", prints.resolve("part.wav")));
        assertTrue(out.toString().contains("  lies     from 0:01.000 to 0:03.000 of the song\n"), out.toString());
        for (String time : new String[] {"1:00:00", "2:00:00", "23:59:59.5", "0:00:00"}) {
            render(SONG.replace("1:00:00", time));
            Path there = prints;
            prints = folder.resolve("others " + time.replace(':', ' '));
            assertEquals(Exit.DONE, run("render", song, "--out", prints), err::toString);
            for (String p : new String[] {"mix.wav", "part.wav"}) {
                assertEquals(-1, Files.mismatch(prints.resolve(p), there.resolve(p)), p + " at " + time);
            }
            prints = there;
        }
        Path old = Files.writeString(folder.resolve("old.yaml"), SONG.replace("1:00:00", "2:00:00"));
        Files.writeString(song, SONG);
        assertEquals(Exit.DONE, run("diff", old, song), err::toString);
        assertTrue(out.toString().contains("time reference 1:00:00, was 2:00:00"), out.toString());
        assertTrue(out.toString().contains("No print that both have changes"), out.toString());
    }

    @ParameterizedTest
    @ValueSource(strings = {"1:00", "24:00:00", "1:60:00", "-1:00:00", "01:00:00:00", "noon"})
    void whatIsNoTimeOfDayIsTold(String time) throws IOException {
        Files.writeString(song, SONG.replace("1:00:00", "\"" + time + "\""));
        assertEquals(Exit.TEXT, run("check", song));
        assertTrue(err.toString().contains("song.yaml:4:17: a time reference is hours, minutes and seconds, such as 1:00:00, before 24:00:00"), err.toString());
    }

    /** A print as a take lies where it lay, beside takes of the same clock; of a stretch it is told how much later it was. */
    @Test
    void aPrintIsATakeOfThatClock() throws IOException {
        render(SONG);
        try (WavWriter writer = WavWriter.create(folder.resolve("recorded.wav"), Print.of(48_000, 1, SampleFormat.INT_24)
                .described(new Bext("", "", "", "", "", HOUR, Bext.Loudness.UNTOLD, "")))) {
            writer.write(new double[1][96_000], 96_000);
            writer.finish();
        }
        String takes = SONG.replace("parts: { lead: { take: take.wav } }",
                "parts: { one: { take: %s }, lead: { take: prints/mix.wav }, part: { take: prints/part.wav } }").replace("print: lead", "print: part");
        for (String beside : new String[] {"recorded.wav", "take.wav"}) {
            Files.writeString(song, takes.formatted(beside));
            assertEquals(Exit.DONE, run("render", song, "--out", folder.resolve(beside + " prints")), err::toString);
            assertTrue(err.toString().contains("part: part.wav: recorded 1 s after " + (beside.equals("take.wav") ? "lead" : "one")
                    + " by its time reference; to keep that, say 'at: 1 s'"), err.toString());
            assertFalse(err.toString().contains("mix.wav: recorded"), err.toString());
        }
    }
}

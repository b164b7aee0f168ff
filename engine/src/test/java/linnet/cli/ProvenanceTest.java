package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.TreeSet;
import linnet.audio.Origin;
import linnet.audio.SampleFormat;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A print vouches for what was read for it, not for what was saved meanwhile. */
class ProvenanceTest extends Called {
    private static final String SONG = """
            song: x
            tempo: 120 bpm
            sections: { a: 1, end: 2 }
            parts:
              lead: { take: take.wav, chain: [ { use: chain.yaml } ] }
            prints: [ mix ]
            """, CHAIN = "chain: c\nsteps: [ trim: { level: -3 dB } ]\n";

    @TempDir
    Path folder;

    private Path song, chain, marks;

    @BeforeEach
    void aSong() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.1, 1);
        song = Files.writeString(folder.resolve("song.yaml"), SONG);
        chain = Files.writeString(folder.resolve("chain.yaml"), CHAIN);
        marks = folder.resolve("take.marks.yaml");
        assertEquals(0, run("mark", folder.resolve("take.wav")), () -> err.toString());
        assertTrue(Files.exists(marks), out.toString());
    }

    private Song read() throws Exception {
        return SongReader.read(song, Builtins.catalogue(), new Cues());
    }

    @Test
    void whatIsSavedWhileItRendersIsNotWhatWasPrinted() throws Exception {
        Path prints = folder.resolve("prints");
        StringWriter told = new StringWriter();
        Song old = read();
        Files.writeString(song, SONG + "# saved anew\n");
        Files.writeString(chain, CHAIN.replace("-3 dB", "-6 dB"));
        new SongJob(song, prints, SampleFormat.INT_24, false, 1, new PrintWriter(told, true)).render(old, new PrintWriter(told, true));
        assertEquals(5, run("explain", prints.resolve("mix.wav")), () -> "" + out);
        assertTrue(out.toString().lines().anyMatch(l -> l.contains("song.yaml") && !l.contains("as it was")), out.toString());
        assertTrue(out.toString().lines().anyMatch(l -> l.contains("chain.yaml") && !l.contains("as it was")), out.toString());
        Files.writeString(song, SONG);
        Files.writeString(chain, CHAIN);
        assertEquals(0, run("explain", prints.resolve("mix.wav")), () -> "" + out);
    }

    @Test
    void aListIsThatWhichWasRead() throws Exception {
        Song read = read();
        String before = Provenance.digest(marks);
        try (PlannedSong planned = PlannedSong.open(song, read, new Session(), 1, line -> {})) {
            Files.writeString(marks, Files.readString(marks) + "# saved anew\n");
            assertNotEquals(before, Provenance.digest(marks));
            List<Origin.Source> files = new Provenance(folder, read.label().texts()).of(planned.takes(), new TreeSet<>(List.of(0)));
            assertEquals(List.of(before), files.stream().filter(f -> f.kind() == Origin.Kind.LIST).map(Origin.Source::digest).toList());
        }
    }
}

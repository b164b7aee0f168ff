package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;
import linnet.audio.WavFile;
import org.junit.jupiter.api.Test;

/** Some of the prints of a song, and stretches of them. */
class SongStretchTest extends SongFolder {
    /** What is printed of a stretch is what the whole print has there, to the bit. */
    @Test
    void aStretchEqualsTheSameOfTheWhole() throws IOException {
        Files.writeString(song, """
                song: x
                tempo: 240 bpm
                sections: { a: 1, b: 2, end: 3 }
                parts:
                  lead: { take: take.wav, level: -6 dB, sends: { room: -6 dB } }
                returns: { room: { chain: [ reverb: { decay: 0.3 s } ] } }
                mix: { chain: [ compressor: { aim: 2 dB }, limit ] }
                prints: [ mix, lead, room ]
                """);
        assertEquals(Exit.DONE, run("render", song, "--out", prints, "--depth", "float"));
        assertEquals(Exit.DONE, run("render", song, "--out", folder.resolve("part"), "--depth", "float", "--from", "a beat 2", "--to", "a beat 4", "--only", "mix,room"), err.toString());
        assertEquals(List.of("mix.wav", "room.wav"), names(folder.resolve("part")));
        for (String name : names(folder.resolve("part"))) {
            try (WavFile whole = WavFile.open(prints.resolve(name)); WavFile part = WavFile.open(folder.resolve("part").resolve(name))) {
                assertEquals(24_000, part.frames());
                double[][] x = new double[2][24_000], y = new double[2][24_000];
                whole.read(12_000, x, 24_000);
                part.read(0, y, 24_000);
                assertArrayEquals(x[0], y[0]);
                assertArrayEquals(x[1], y[1]);
                assertTrue(Arrays.stream(x[0]).anyMatch(v -> Math.abs(v) > 0.01));
            }
        }
    }

    /** As the program tells times, and as the help says. */
    @Test
    void aStretchIsAskedForInSecondsToo() throws IOException {
        assertEquals(Exit.DONE, run("render", song, "--out", folder.resolve("clock"), "--from", "0:00.5", "--to", "0:02.000", "--only", "lead"), err.toString());
        assertEquals(Exit.DONE, run("render", song, "--out", folder.resolve("bare"), "--from", "0.5", "--to", "2", "--only", "lead"), err.toString());
        try (WavFile clock = WavFile.open(folder.resolve("clock").resolve("lead.wav")); WavFile bare = WavFile.open(folder.resolve("bare").resolve("lead.wav"))) {
            assertEquals(72_000, clock.frames());
            assertEquals(72_000, bare.frames());
        }
    }

    /** A folder that is called like a sound would be taken for the print; a sound in the place of a chain, for a chain too large. */
    @Test
    void aFileInThePlaceOfAnotherIsRefused() throws IOException {
        assertEquals(Exit.USAGE, run("render", song, "--out", folder.resolve("x.wav")));
        assertTrue(err.toString().contains("--out wants the folder for the prints of a song, not a file such as"), err.toString());
        assertTrue(Files.notExists(folder.resolve("x.wav")));
        Path chain = Files.writeString(folder.resolve("chain.yaml"), "steps: [ trim ]\n");
        assertTrue(run("check", folder.resolve("take.wav"), chain) != Exit.DONE);
        assertTrue(err.toString().contains("is a sound and no chain file; of a chain and its take the chain is named first"), err.toString());
    }

    private static List<String> names(Path of) throws IOException {
        try (Stream<Path> files = Files.list(of)) {
            return files.map(f -> f.getFileName().toString()).filter(f -> f.endsWith(".wav")).sorted().toList();
        }
    }

    @Test
    void whatIsAskedForMustBeInTheSong() {
        assertEquals(Exit.USAGE, run("render", song, "--out", prints, "--only", "mix,laed"));
        assertTrue(err.toString().contains("has no print 'laed'; did you mean 'lead'? (it has mix, lead)"), err.toString());
        assertEquals(Exit.USAGE, run("render", song, "--out", prints, "--from", "chorus"));
        assertTrue(err.toString().contains("--from:1:1: \"chorus\" is no place in this song"), err.toString());
        assertEquals(Exit.USAGE, run("render", song, "--out", prints, "--from", "a beet 2"));
        assertTrue(err.toString().contains("\"a beet 2\" is no place in this song; did you mean 'a beat 2'?"), err.toString());
        assertEquals(Exit.USAGE, run("render", song, "--out", prints, "--from", "bar 2", "--to", "1 s"));
        assertTrue(err.toString().contains("--to:1:1: this stretch ends before it begins"), err.toString());
    }
}

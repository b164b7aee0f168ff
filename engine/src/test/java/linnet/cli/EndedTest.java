package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** A render that its user ends, as with Ctrl-C: nothing is said, nothing is left, and prints stay as they were. */
@Timeout(120)
class EndedTest extends SongFolder {
    /** As a shell tells that a program was ended by a signal: 128 and its number (POSIX.1-2017, Shell Command Language 2.8.2, and the number of SIGTERM). */
    private static final int TERMINATED = 128 + 15;

    private Process render() throws IOException {
        return new ProcessBuilder(Path.of(System.getProperty("java.home"), "bin", "java").toString(), "-cp", System.getProperty("java.class.path"),
                Main.class.getName(), "render", song.toString(), "--out", prints.toString(), "--force").redirectErrorStream(true).start();
    }

    private List<Path> parts(Path under) throws IOException {
        if (!Files.exists(under)) return List.of();
        try (Stream<Path> all = Files.list(under)) {
            return all.filter(f -> f.toString().endsWith(".part")).toList();
        }
    }

    /** Ends a render as soon as it has an unfinished file in a folder. */
    private void endedWith(Path under) throws Exception {
        Process render = render();
        while (parts(under).isEmpty()) {
            assertTrue(render.isAlive(), "it came to its end before");
            Thread.sleep(1);
        }
        render.toHandle().destroy();
        assertEquals("", new String(render.getInputStream().readAllBytes(), StandardCharsets.UTF_8));
        assertEquals(TERMINATED, render.waitFor());
        assertEquals(List.of(), parts(folder.resolve(".linnet")));
        assertEquals(List.of(), parts(prints));
    }

    @Test
    void nothingIsLeftWhereItWasEnded() throws Exception {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 60);
        Files.writeString(song, """
                song: x
                tempo: 100 bpm
                sections: { a: 1, end: 25 }
                parts:
                  lead: { take: take.wav, chain: [ compressor: { aim: 3 dB }, reverb: { decay: 2 s } ] }
                  other: { take: take.wav, chain: [ saturate, reverb: { decay: 1 s } ] }
                mix: { chain: [ multiband: { splits: [ 1 kHz ], bands: [ { threshold: -20 dB }, {} ] } ] }
                prints: [ mix, lead, other ]
                """);
        Files.createDirectories(prints);
        Path earlier = Files.writeString(prints.resolve("mix.wav"), "the mix of before");
        endedWith(folder.resolve(".linnet"));
        endedWith(prints);
        assertArrayEquals("the mix of before".getBytes(StandardCharsets.UTF_8), Files.readAllBytes(earlier));
    }
}

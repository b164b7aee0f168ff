package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.InputStreamReader;
import java.io.Reader;
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
    /** ETX, which Ctrl-C sends. */
    private static final int INTERRUPT = 3;

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

    /** In a terminal that knows no cursor whatever is written next stands behind the line that shows how far a render is, if that is still there. */
    @Test
    void thePromptStandsInALineOfItsOwn() throws Exception {
        Path script = Path.of("/usr/bin/script");
        assumeTrue(Files.isExecutable(script), "no program is there that makes a terminal");
        // Who begins the tests in the background of a shell has them, and all that they begin, ignore the key.
        String heeding = "env --default-signal=INT";
        assumeTrue(new ProcessBuilder((heeding + " true").split(" ")).start().waitFor() == 0, "no program is there that has a signal heeded again");
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 120);
        Path chain = Files.writeString(folder.resolve("chain.yaml"), "steps: [ reverb: { decay: 3 s }, saturate, reverb: { decay: 2 s } ]\n");
        Path shell = Files.writeString(folder.resolve("shell.sh"), "stty cols 80\ntrap : INT\n" + heeding + " '"
                + Path.of(System.getProperty("java.home"), "bin", "java") + "' -cp '" + System.getProperty("java.class.path") + "' " + Main.class.getName()
                + " render '" + chain + "' '" + folder.resolve("take.wav") + "' --out '" + folder.resolve("print.wav") + "'\necho PROMPT\n");
        ProcessBuilder terminal = new ProcessBuilder(script.toString(), "-qec", "sh '" + shell + "'", "/dev/null").redirectErrorStream(true);
        terminal.environment().put("TERM", "dumb");
        Process render = terminal.start();
        StringBuilder shown = new StringBuilder();
        Reader screen = new InputStreamReader(render.getInputStream(), StandardCharsets.UTF_8);
        for (int c = screen.read(); c >= 0; c = screen.read()) {
            shown.append((char) c);
            if (c == '%' && shown.indexOf("%") == shown.length() - 1) {
                render.getOutputStream().write(INTERRUPT);
                render.getOutputStream().flush();
            }
        }
        assertTrue(shown.indexOf("%") >= 0, shown::toString);
        String[] lines = shown.toString().strip().split("[\r\n]");
        // The terminal shows which key was pressed.
        assertEquals("PROMPT", lines[lines.length - 1].replace("^C", "").strip(), shown::toString);
        assertFalse(Files.exists(folder.resolve("print.wav")));
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

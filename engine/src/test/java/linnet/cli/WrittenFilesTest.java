package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Chains, pictures and pages are written whole, where they were asked for, and never over a take or a folder. */
class WrittenFilesTest extends Called {
    @TempDir
    Path folder;

    private Path take, chain;

    @BeforeEach
    void files() throws IOException {
        take = folder.resolve("take.wav");
        try (WavWriter writer = WavWriter.create(take, Print.of(48_000, 1, SampleFormat.INT_16))) {
            writer.write(new double[1][24_000], 24_000);
            writer.finish();
        }
        chain = Files.writeString(folder.resolve("chain.yaml"), "steps:\n  - eq: [ { bell: 1 kHz, gain: 3 dB } ]\n");
    }

    private void says(String words) {
        assertTrue(err.toString().contains(words), err.toString());
        assertFalse(err.toString().contains(".part"), err.toString());
    }

    @Test
    void aDraftNeverReplacesATake() throws IOException {
        byte[] before = Files.readAllBytes(take);
        assertEquals(2, run("draft", take, "--out", take, "--force"));
        says("--out wants a file ending in .yaml or .yml, not " + take);
        assertArrayEquals(before, Files.readAllBytes(take));
    }

    @Test
    void aFolderIsNoFileForceOrNot() throws IOException {
        Path at = Files.createDirectories(folder.resolve("sub.yaml")), page = Files.createDirectories(folder.resolve("out/compare.html"));
        Path picture = Files.createDirectories(folder.resolve("sub.svg"));
        for (String force : new String[] {"--tempo=90", "--force"}) {
            if (force.equals("--force")) assertEquals(2, run("draft", take, "--out", at, force));
            else assertEquals(2, run("draft", take, "--out", at));
            says("sub.yaml is a folder; give the file another name");
            assertEquals(2, run("compare", take, take, "--out", folder.resolve("out"), force));
            says("compare.html is a folder; give the file another name");
            assertEquals(2, run("curve", chain, "--step", "1", "--out", picture, force));
            says("sub.svg is a folder; give the file another name");
        }
        assertTrue(Files.isDirectory(at) && Files.isDirectory(page) && Files.isDirectory(picture));
    }

    @Test
    void aFileInAFolderThatIsNotThereIsToldBeforeTheTakeIsHeard() {
        Path nowhere = folder.resolve("nowhere"), none = folder.resolve("none.wav");
        assertEquals(2, run("draft", none, "--out", nowhere.resolve("mine.yaml")));
        says(nowhere + " is not there; make that folder first, or choose another");
        assertEquals(2, run("curve", chain, none, "--step", "1", "--out", nowhere.resolve("eq.svg")));
        assertFalse(Files.exists(nowhere));
    }

    @Test
    void aFileIsNoFolder() {
        assertEquals(2, run("draft", take, "--out", chain.resolve("mine.yaml")));
        says(chain + " is a file, not a folder; choose another place");
        assertEquals(2, run("compare", take, take, "--out", chain.resolve("out")));
        assertEquals(2, run("compare", take, take, "--out", chain));
        says("chain.yaml is a file, not a folder; choose another place");
    }

    /** Into a device that is always full, and into a pipe that nobody reads on. */
    @Test
    void whatIsPrintedInPartIsTold() throws Exception {
        File full = new File("/dev/full");
        assumeTrue(full.exists());
        Process steps = program("schema").redirectOutput(full).start();
        assertEquals("what was printed is not whole (No space left on device); free some space or print elsewhere",
                new String(steps.getErrorStream().readAllBytes(), StandardCharsets.UTF_8).strip());
        assertEquals(4, steps.waitFor());
        Process unread = program("schema").start();
        unread.getInputStream().close();
        assertEquals("", new String(unread.getErrorStream().readAllBytes(), StandardCharsets.UTF_8));
        assertEquals(0, unread.waitFor());
    }

    private static ProcessBuilder program(String word) {
        ProcessBuilder program = new ProcessBuilder(Path.of(System.getProperty("java.home"), "bin", "java").toString(), "-cp",
                System.getProperty("java.class.path"), Main.class.getName(), word);
        // The words of the system, in one language.
        program.environment().put("LC_ALL", "C");
        return program;
    }
}

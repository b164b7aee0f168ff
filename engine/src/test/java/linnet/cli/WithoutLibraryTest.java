package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.util.Arrays;
import org.junit.jupiter.api.Test;
import picocli.CommandLine;

/** The help and a check of a file alone are understood without the library, and say what they say with it. */
class WithoutLibraryTest extends SongFolder {
    private record Said(int code, String out, String err) {}

    private Said quick(String... words) {
        StringWriter out = new StringWriter(), err = new StringWriter();
        int code = Main.run(words, new PrintWriter(out, true), new PrintWriter(err, true));
        return new Said(code, out.toString(), err.toString());
    }

    private Said library(String... words) {
        StringWriter out = new StringWriter(), err = new StringWriter();
        CommandLine line = Main.commandLine();
        line.setOut(new PrintWriter(out, true));
        line.setErr(new PrintWriter(err, true));
        return new Said(line.execute(words), out.toString(), err.toString());
    }

    private void same(int code, String... words) {
        Said library = library(words), quick = quick(words);
        assertEquals(code, library.code);
        assertEquals(library, quick);
        assertTrue(!quick.out.isEmpty() || !quick.err.isEmpty());
    }

    private String file(String name, String text) throws IOException {
        return Files.writeString(folder.resolve(name), text).toString();
    }

    @Test
    void theHelp() {
        assertEquals(library("-h"), quick("--help"), "help.txt in the resources is out of date: linnet -h > engine/src/main/resources/linnet/cli/help.txt");
        same(0, "-h");
        same(0, "--version");
    }

    /** What a check needs whatever it reads is made beside the reading of a file; where that is refused, nothing of it goes on. */
    @Test
    void nothingGoesOnOfACheckThatIsRefused() throws IOException {
        for (String wrong : new String[] {file("wrong.yaml", "song: x\nparts: { lead: [\n"), "--nothing"}) {
            for (int i = 0; i < 100; i++) {
                assertTrue(quick("check", wrong).code != 0);
                assertTrue(Thread.getAllStackTraces().values().stream().flatMap(Arrays::stream).noneMatch(f -> f.getClassName().contains("Preparing")), wrong);
            }
        }
    }

    /** As on a terminal. */
    @Test
    void theHelpInColours() {
        assumeTrue(System.getenv("NO_COLOR") == null);
        String before = System.getProperty("picocli.ansi");
        System.setProperty("picocli.ansi", "true");
        try {
            assertTrue(library("-h").out.contains("\u001b["));
            assertEquals(library("-h"), quick("--help"));
        } finally {
            if (before == null) System.clearProperty("picocli.ansi");
            else System.setProperty("picocli.ansi", before);
        }
    }

    @Test
    void aChain() throws IOException {
        same(0, "check", file("chain.yaml", "steps: [ trim, gate, { delay: { time: 60 ms } } ]\n"));
        same(3, "check", file("wrong.yaml", "steps: [ trimm, { gate: { threshold: 300 dB } } ]\n"));
        same(3, "check", file("tempo.yaml", "steps: [ { delay: { time: 1/8 } } ]\n"));
        same(3, "check", file("no.yaml", "steps: [\n"));
    }

    @Test
    void whatIsNoFile() throws IOException {
        same(3, "check", folder.resolve("nothing.yaml").toString());
        same(3, "check", folder.toString());
        // Not the library's to expand, and no option.
        same(3, "check", file("a@b.yaml", ""));
        same(3, "check", "@" + file("words.yaml", file("chain.yaml", "steps: [ trim ]\n")));
        same(3, "check", " ");
    }

    @Test
    void whatTheLibraryMustRead() throws IOException {
        same(2, "check", "");
        same(2, "check", "--jsn");
        same(0, "check", "--help");
        same(0, "check", "--json", file("chain.yaml", "steps: [ trim ]\n"));
        same(2, "check");
        same(4, "check", file("chain.yaml", "steps: [ trim ]\n"), "no.wav");
    }

    @Test
    void aSongAsItIsAndWithWhatIsWrong() throws IOException {
        same(0, "check", song.toString());
        parts("lead: { take: no.wav }");
        same(4, "check", song.toString());
        parts("lead: { take: take.wav, chain: [ trimm ] }");
        same(3, "check", song.toString());
        parts("lead: { take: take.wav, chain: nothing.yaml }");
        same(3, "check", song.toString());
    }

    @Test
    void aTakeThatCannotBeReadIsToldAsBefore() throws IOException {
        Files.delete(folder.resolve("take.wav"));
        same(4, "check", song.toString());
        Files.createDirectory(folder.resolve("take.wav"));
        same(4, "check", song.toString());
    }
}

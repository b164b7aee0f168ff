package linnet.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/** A song of one short tone in a folder of its own, and the program as a user calls it. */
abstract class SongFolder {
    @TempDir
    Path folder;

    Path song, prints;
    final StringWriter out = new StringWriter();
    final StringWriter err = new StringWriter();

    @BeforeEach
    void aSong() throws IOException {
        song = folder.resolve("song.yaml");
        prints = folder.resolve("prints");
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 0.2);
        parts("lead: { take: take.wav }");
    }

    void parts(String part) throws IOException {
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  " + part + "\nprints: [ mix, lead ]\n");
    }

    int run(Object... words) {
        CommandLine line = Main.commandLine();
        line.setOut(new PrintWriter(out, true));
        line.setErr(new PrintWriter(err, true));
        return line.execute(Arrays.stream(words).map(Object::toString).toArray(String[]::new));
    }
}

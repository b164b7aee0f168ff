package linnet.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;

/** A song of one short tone in a folder of its own, and the program as a user calls it. */
abstract class SongFolder extends Called {
    @TempDir
    Path folder;

    Path song, prints;

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
}

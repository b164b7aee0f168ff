package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CyclicBarrier;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import linnet.render.SideBySide;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Files that several write at once into one folder. */
@Timeout(60)
class WholeFileTest {
    private static final int WRITERS = 4, ROUNDS = 100;

    @TempDir
    Path folder;

    private List<String> there() throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.map(f -> f.getFileName().toString()).sorted().toList();
        }
    }

    private static WholeFile.Content text(String text) {
        return to -> to.write(text.getBytes(StandardCharsets.UTF_8));
    }

    /** As by two programs of one number, in two containers on a share. */
    @Test
    void oneIsWrittenWhileAnotherIs() throws Exception {
        Path one = folder.resolve("one.md"), two = folder.resolve("two.md");
        new WholeFile(one, false).write(to -> {
            text("on").write(to);
            new WholeFile(two, false).write(text("two"));
            text("e").write(to);
        });
        assertEquals("one", Files.readString(one));
        assertEquals("two", Files.readString(two));
        assertEquals(List.of("one.md", "two.md"), there());
    }

    @Test
    void aFileThatCameMeanwhileStaysAndIsTold() throws Exception {
        Path at = folder.resolve("one.md");
        Refusal told = assertThrows(Refusal.class, () -> new WholeFile(at, false).write(to -> Files.writeString(at, "theirs")));
        assertEquals(at + " is there already; say --force to replace it", told.getMessage());
        assertEquals("theirs", Files.readString(at));
        new WholeFile(at, true).write(text("ours"));
        assertEquals("ours", Files.readString(at));
        assertEquals(List.of("one.md"), there());
    }

    /** Whoever looks first and moves later takes a name that another has by then. */
    @Test
    void oneOfManyHasTheNameAndTheOthersAreTold() throws Exception {
        for (int round = 0; round < ROUNDS; round++) {
            Path at = folder.resolve(round + ".md");
            CyclicBarrier together = new CyclicBarrier(WRITERS);
            List<String> had = new CopyOnWriteArrayList<>();
            List<Callable<Void>> writers = new ArrayList<>();
            for (int w = 0; w < WRITERS; w++) {
                String mine = "writer " + w;
                writers.add(() -> {
                    try {
                        new WholeFile(at, false).write(to -> {
                            text(mine).write(to);
                            await(together);
                        });
                        had.add(mine);
                    } catch (Refusal e) {
                        assertEquals(at + " is there already; say --force to replace it", e.getMessage());
                    }
                    return null;
                });
            }
            SideBySide.run(writers, WRITERS);
            assertEquals(List.of(Files.readString(at)), had);
        }
        assertEquals(ROUNDS, there().size());
    }

    private static void await(CyclicBarrier together) throws IOException {
        try {
            together.await(10, TimeUnit.SECONDS);
        } catch (Exception e) {
            throw new IOException(e);
        }
    }
}

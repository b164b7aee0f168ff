package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import linnet.audio.Bext;
import linnet.audio.Origin;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.deliver.PrintFile;
import linnet.deliver.WantedPrint;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Prints get their names together, or none does. */
class ReplacementTest {
    private static final List<String> NAMES = List.of("lead", "new", "two");

    @TempDir
    Path folder;

    private Path file(String name) {
        return folder.resolve(name + ".wav");
    }

    private SongPrints sealed() throws IOException {
        SongPrints prints = new SongPrints(folder, SampleFormat.INT_24, true);
        for (String name : NAMES) {
            Origin origin = Origin.of("test", name, 0, 0, "0".repeat(64), List.of());
            Print form = Print.of(48_000, 1, SampleFormat.INT_24).overwriting();
            form = form.described(new Bext(name, "test", "", "", "", 0, Bext.Loudness.UNTOLD, origin.history(form)));
            PrintFile print = new PrintFile(new WantedPrint(file(name), form, origin), false);
            print.sinks().get(0).write(new double[1][480], 480);
            print.seal();
            prints.written().put(name, print);
        }
        return prints;
    }

    private Set<String> there() throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.map(f -> f.getFileName().toString()).collect(Collectors.toSet());
        }
    }

    @Test
    void allGetTheirNames() throws Exception {
        Files.writeString(file("lead"), "old");
        try (SongPrints prints = sealed()) {
            prints.release();
        }
        assertEquals(Set.of("lead.wav", "new.wav", "two.wav"), there());
        assertTrue(Files.size(file("lead")) > 480);
    }

    /** As where one is held by another program or may not be replaced. */
    @Test
    void whereOneCannotHaveItsNameTheOthersArePutBack() throws Exception {
        byte[] old = "old".getBytes();
        Files.write(file("lead"), old);
        Files.write(file("two"), old);
        try (SongPrints prints = sealed()) {
            Files.delete(file("two"));
            Files.createDirectories(file("two").resolve("held"));
            assertThrows(IOException.class, prints::release);
        }
        assertArrayEquals(old, Files.readAllBytes(file("lead")));
        assertFalse(Files.exists(file("new")));
        assertEquals(Set.of("lead.wav", "two.wav"), there());
    }

    /** Of a link there is no second name: what cannot be put back is told. */
    @Test
    void whatCannotBePutBackIsTold() throws Exception {
        Path elsewhere = Files.writeString(folder.resolve("elsewhere"), "precious");
        Files.createSymbolicLink(file("lead"), elsewhere);
        try (SongPrints prints = sealed()) {
            Files.createDirectories(file("two").resolve("held"));
            String said = assertThrows(Refusal.class, prints::release).getMessage();
            assertTrue(said.startsWith("two.wav: cannot be written") && said.endsWith("; replaced by then: lead.wav"), said);
        }
        assertEquals("precious", Files.readString(elsewhere));
    }
}

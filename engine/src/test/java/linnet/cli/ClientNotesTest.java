package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import linnet.Voices;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import picocli.CommandLine;

/**
 * Notes of clients, each answered by one line of the example: what {@code diff} says of it, and that the cookbook says the same. What is heard of it:
 * {@link ClientNotesHeardTest}.
 */
class ClientNotesTest {
    @TempDir
    static Path folder;

    @BeforeAll
    static void theChainsOfTheExample() throws IOException {
        Path chains = Files.createDirectories(folder.resolve("chains"));
        try (Stream<Path> files = Files.list(Voices.repository().resolve("chains"))) {
            for (Path f : files.toList()) Files.copy(f, chains.resolve(f.getFileName()));
        }
    }

    static List<ClientNote> notes() {
        return ClientNote.ALL;
    }

    @ParameterizedTest
    @MethodSource("notes")
    void oneLineIsAnotherAndDiffSaysWhatIsHeard(ClientNote note) throws IOException {
        Path old = Files.writeString(folder.resolve("old.yaml"), note.before()), now = Files.writeString(folder.resolve("new.yaml"), note.song());
        List<String> added = new ArrayList<>(note.song().lines().toList()), gone = new ArrayList<>(note.before().lines().toList());
        note.before().lines().forEach(added::remove);
        note.song().lines().forEach(gone::remove);
        assertEquals(1, added.size(), added::toString);
        assertTrue(gone.size() < 2, gone::toString);

        StringWriter said = new StringWriter();
        CommandLine line = Main.commandLine();
        line.setOut(new PrintWriter(said, true));
        assertEquals(0, line.execute("diff", old.toString(), now.toString()));
        // Which prints change only the takes tell.
        assertEquals(note.told(), said.toString().lines().filter(l -> !l.startsWith("Which prints change is not known")).toList());
    }

    @ParameterizedTest
    @MethodSource("notes")
    void theCookbookTellsIt(ClientNote note) throws IOException {
        String book = Files.readString(Voices.repository().resolve("docs/cookbook.md"));
        int at = book.indexOf("\"" + note.says() + "\"");
        assertTrue(at > 0, note.says());
        String row = book.substring(at).lines().findFirst().orElseThrow();
        for (String told : note.told()) assertTrue(row.contains(told), told + " in " + row);
        String line = note.song().lines().filter(l -> note.is().strip().lines().anyMatch(x -> l.contains(x.strip()) && !note.was().contains(x))).findFirst()
                .orElseThrow();
        String shown = row.split("`")[1];
        assertTrue(line.contains(shown), shown + " in " + line);
    }

}

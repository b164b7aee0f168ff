package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;

/** What the launcher asks of Java: beside it stands a Java that only says what it was asked. */
@DisabledOnOs(OS.WINDOWS)
class LauncherTest {
    private static final String OF_A_SONG = "-Xmx448m", OF_A_CHAIN = "-Xmx320m", QUICK = "-XX:TieredStopAtLevel=1", HEARS = "-XX:+UseParallelGC";

    @TempDir
    Path folder;

    @BeforeEach
    void launcher() throws IOException {
        write("engine/bin/linnet", Files.readString(Path.of("bin/linnet"), StandardCharsets.UTF_8), true);
        write("engine/target/linnet.jar", "", false);
        write("java/bin/java", "#!/bin/sh\nfor a; do [ \"$a\" = -Xshare:dump ] && exit 1; done\nprintf '%s\\n' \"LC_ALL=$LC_ALL\" \"$@\"\n", true);
        write("song.yaml", "tempo: 100 bpm\nparts: { lead: { take: a.wav } }\n", false);
        write("marked.yaml", "\uFEFFsong: a song\n", false);
        write("song.json", "{\n  \"tempo\": \"100 bpm\",\n  \"parts\": {}\n}\n", false);
        write("line.json", "{ \"tempo\": \"100 bpm\", \"song\": \"x\" }", false);
        write("chain.yaml", "chain: a chain\nsteps: [ trim ]\n", false);
        write("song.yaml.wav", "parts:\n", false);
    }

    private void write(String name, String text, boolean runs) throws IOException {
        Path file = folder.resolve(name);
        Files.createDirectories(file.getParent());
        Files.writeString(file, text);
        if (runs) assertTrue(file.toFile().setExecutable(true));
    }

    private List<String> asked(String... words) throws Exception {
        List<String> command = new ArrayList<>(List.of("bash", folder.resolve("engine/bin/linnet").toString()));
        command.addAll(Arrays.asList(words));
        ProcessBuilder process = new ProcessBuilder(command).directory(folder.toFile()).redirectError(folder.resolve("errors").toFile());
        process.environment().put("JAVA_HOME", folder.resolve("java").toString());
        Process run = process.start();
        List<String> asked = new String(run.getInputStream().readAllBytes(), StandardCharsets.UTF_8).lines().toList();
        assertEquals(0, run.waitFor(), () -> Arrays.toString(words));
        assertEquals(List.of(words), asked.subList(asked.size() - words.length, asked.size()));
        return asked;
    }

    @Test
    void aSongHasTheMemoryOfASongWhereverItStands() throws Exception {
        for (String[] words : new String[][] {{"render", "song.yaml", "--out", "prints"}, {"render", "--out", "prints", "song.yaml"},
                {"render", "--force", "marked.yaml", "--only", "mix"}, {"watch", "--out", "prints", "song.yaml"},
                {"render", "song.json"}, {"render", "line.json"}, {"check", "--json", "song.yaml"}}) {
            assertTrue(asked(words).contains(OF_A_SONG), () -> Arrays.toString(words));
        }
        for (String[] words : new String[][] {{"render", "chain.yaml", "song.yaml.wav"}, {"render", "--out", "print.wav", "chain.yaml", "take.wav"},
                {"render"}}) {
            assertTrue(asked(words).contains(OF_A_CHAIN), () -> Arrays.toString(words));
        }
    }

    /** Nobody writes to the pipe, and a device has no end. */
    @Test
    void nothingIsWaitedFor() throws Exception {
        assertEquals(0, new ProcessBuilder("mkfifo", folder.resolve("pipe").toString(), folder.resolve("pipe.yaml").toString()).start().waitFor());
        for (String[] words : new String[][] {{"render", "chain.yaml", "pipe", "--out", "print.wav"}, {"check", "pipe.yaml"}, {"check", "/dev/zero"},
                {"render", "song.yaml", "--out", "/dev/urandom"}}) {
            assertTimeoutPreemptively(Duration.ofSeconds(20), () -> asked(words), () -> Arrays.toString(words));
        }
    }

    @Test
    void namesHaveAllLettersInAnyLocale() throws Exception {
        assertTrue(asked("check", "chain.yaml").contains("LC_ALL=C.UTF-8"));
    }

    @Test
    void aCheckOfWhatWasHeardIsCompiledQuickly() throws Exception {
        assertTrue(asked("check", "--json", "song.yaml").contains(HEARS));
        Files.createDirectory(folder.resolve(".linnet"));
        assertTrue(folder.resolve("song.yaml").toFile().setLastModified(0));
        assertTrue(asked("check", "--json", "song.yaml").containsAll(List.of(QUICK, OF_A_SONG)));
        assertTrue(asked("check", "chain.yaml").stream().noneMatch(List.of(HEARS, QUICK)::contains));
        assertTrue(asked("--help").contains(QUICK));
    }

    private Process limited(String limit) throws IOException {
        ProcessBuilder process = new ProcessBuilder("bash", "-c", "ulimit " + limit + "; exec bash engine/bin/linnet --version").directory(folder.toFile())
                .redirectErrorStream(true);
        process.environment().put("JAVA_HOME", folder.resolve("java").toString());
        return process.start();
    }

    /** Where Java could not even say that. A limit that may be raised is none. */
    @Test
    void tooFewFilesAreToldInALine() throws Exception {
        Process few = limited("-n 12");
        assertEquals(List.of("too few files may be open at once here for linnet to start: say 'ulimit -n 1024' before, in a new shell where this one refuses "
                + "that"),
                new String(few.getInputStream().readAllBytes(), StandardCharsets.UTF_8).lines().toList());
        assertEquals(Exit.FILE, few.waitFor());
        assertEquals(0, limited("-S -n 12").waitFor());
    }

    /** Java would say so with a stack trace, where the answer belongs. */
    @Test
    void aFolderThatIsGoneIsToldInALine() throws Exception {
        Files.createDirectories(folder.resolve("gone"));
        Process gone = new ProcessBuilder("bash", "-c", "cd gone && rmdir ../gone && JAVA_HOME=$OLDPWD/java exec bash $OLDPWD/engine/bin/linnet --version")
                .directory(folder.toFile()).start();
        assertEquals("", new String(gone.getInputStream().readAllBytes(), StandardCharsets.UTF_8));
        List<String> said = new String(gone.getErrorStream().readAllBytes(), StandardCharsets.UTF_8).lines().toList();
        assertEquals("the folder in which linnet is called is there no more: go to another with 'cd', and call it again", said.get(said.size() - 1));
        assertEquals(Exit.USAGE, gone.waitFor());
    }

    /** A print that has the number of what is said would hold it. */
    @Test
    void nothingElseHasTheNumbersOfWhatIsReadAndSaid() throws Exception {
        write("java/bin/java", "#!/bin/sh\nfor a; do [ \"$a\" = -Xshare:dump ] && exit 1; done\n"
                + ": >open; for n in 0 1 2; do ( : <&$n ) 2>/dev/null && echo $n >>open; done\ntrue\n", true);
        for (String closed : List.of("<&-", ">&-", "2>&-", "<&- >&- 2>&-")) {
            assertEquals(0, new ProcessBuilder("bash", "-c", "JAVA_HOME=$PWD/java bash engine/bin/linnet --version " + closed).directory(folder.toFile())
                    .redirectErrorStream(true).start().waitFor());
            assertEquals(List.of("0", "1", "2"), Files.readAllLines(folder.resolve("open")), closed);
            Files.delete(folder.resolve("open"));
        }
    }
}

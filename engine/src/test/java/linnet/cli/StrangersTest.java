package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import linnet.Browser;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * What a folder from a stranger may try: a song, its chains, what lies beside them and in the folder of the prints. Nothing outside that folder and the
 * store is written, no code of the stranger runs, and nothing is read but texts and sounds that are named.
 */
class StrangersTest extends SongFolder {
    private static final String SECRET = "root:x:0:0:somebody";

    /** Somebody's own, beside the folder of the prints. */
    private Path precious;
    private byte[] before;

    @BeforeEach
    void somethingPrecious() throws IOException {
        precious = Files.createDirectories(folder.resolve("own")).resolve("precious.txt");
        Files.writeString(precious, SECRET);
        before = Files.readAllBytes(precious);
        Files.setLastModifiedTime(precious, FileTime.fromMillis(1_000_000_000_000L));
    }

    private void isUntouched() throws IOException {
        assertArrayEquals(before, Files.readAllBytes(precious));
        assertEquals(1_000_000_000_000L, Files.getLastModifiedTime(precious).toMillis());
        try (Stream<Path> files = Files.list(precious.getParent())) {
            assertEquals(List.of(precious), files.toList());
        }
    }

    private void said(String words) {
        assertTrue(err.toString().contains(words), err.toString());
        assertFalse(err.toString().contains("at linnet."), err.toString());
    }

    private Path link(Path at, Path to) throws IOException {
        Files.createDirectories(at.getParent());
        return Files.createSymbolicLink(at, to);
    }

    // --- writing -------------------------------------------------------------------------------------------------------------

    @ParameterizedTest
    @ValueSource(strings = {"mix.wav", "lead.wav", "sheet.md", "sheet.html", "sheet.sha256"})
    void aLinkWhereAPrintOrTheSheetGoesIsRefusedAndWithForceReplaced(String name) throws IOException {
        Path at = link(prints.resolve(name), precious);
        assertEquals(2, run("render", song, "--out", prints));
        said(at + " is there already");
        isUntouched();
        assertEquals(0, run("render", song, "--out", prints, "--force"), err.toString());
        assertTrue(Files.isRegularFile(at, LinkOption.NOFOLLOW_LINKS));
        isUntouched();
    }

    @ParameterizedTest
    @ValueSource(strings = {"mix.wav", "sheet.md", "sheet.sha256"})
    void aLinkToNothingMakesNothingWhereItLeads(String name) throws IOException {
        Path at = link(prints.resolve(name), precious.resolveSibling("new.txt"));
        assertEquals(2, run("render", song, "--out", prints));
        said(at + " is there already");
        assertEquals(0, run("render", song, "--out", prints, "--force"), err.toString());
        assertTrue(Files.isRegularFile(at, LinkOption.NOFOLLOW_LINKS));
        isUntouched();
    }

    /** A print that is there and right is described anew in its place: not where a link leads, and not under its second name elsewhere. */
    @ParameterizedTest
    @ValueSource(booleans = {true, false})
    void aPrintOfOursThatLiesElsewhereIsNotDescribedAnew(boolean symbolic) throws IOException {
        assertEquals(0, run("render", song, "--out", prints), err.toString());
        Path elsewhere = folder.resolve("delivered.wav");
        Files.move(prints.resolve("lead.wav"), elsewhere);
        if (symbolic) Files.createSymbolicLink(prints.resolve("lead.wav"), elsewhere);
        else Files.createLink(prints.resolve("lead.wav"), elsewhere);
        byte[] delivered = Files.readAllBytes(elsewhere);
        Files.writeString(song, Files.readString(song) + "revision: 2\n");
        assertEquals(0, run("render", song, "--out", prints, "--force"), err.toString());
        assertArrayEquals(delivered, Files.readAllBytes(elsewhere));
        assertTrue(Files.isRegularFile(prints.resolve("lead.wav"), LinkOption.NOFOLLOW_LINKS));
        assertFalse(Files.isSameFile(elsewhere, prints.resolve("lead.wav")));
    }

    @Test
    void thePrintOfAChainReplacesALinkAndWritesNotThroughIt() throws IOException {
        Path chain = Files.writeString(folder.resolve("chain.yaml"), "steps:\n  - trim\n"), at = link(prints.resolve("print.wav"), precious);
        assertEquals(2, run("render", chain, folder.resolve("take.wav"), "--out", at));
        said("print.wav is there already; say --force to replace it");
        assertEquals(0, run("render", chain, folder.resolve("take.wav"), "--out", at, "--force"), err.toString());
        assertTrue(Files.isRegularFile(at, LinkOption.NOFOLLOW_LINKS));
        isUntouched();
        Path none = link(prints.resolve("none.wav"), precious.resolveSibling("new.wav"));
        assertEquals(2, run("render", chain, folder.resolve("take.wav"), "--out", none));
        isUntouched();
    }

    @Test
    void pagesPicturesAndListsReplaceLinksToo() throws IOException {
        Path chain = Files.writeString(folder.resolve("chain.yaml"), "steps:\n  - eq: [ { bell: 1 kHz, gain: 3 dB } ]\n"), take = folder.resolve("take.wav"),
                pages = folder.resolve("pages");
        Map<Path, Object[]> commands = new TreeMap<>(Map.of(
                pages.resolve("report.html"), new Object[] {"render", chain, take, "--out", folder.resolve("p.wav"), "--report", pages, "--force"},
                pages.resolve("compare.html"), new Object[] {"compare", take, take, "--out", pages, "--force"},
                pages.resolve("eq.svg"), new Object[] {"curve", chain, "--step", "1", "--out", pages.resolve("eq.svg"), "--force"},
                pages.resolve("draft.yaml"), new Object[] {"draft", take, "--out", pages.resolve("draft.yaml"), "--force"},
                folder.resolve("take.marks.yaml"), new Object[] {"mark", take, "--force"},
                folder.resolve("take.notes.yaml"), new Object[] {"notes", take, "--force"}));
        for (var c : commands.entrySet()) {
            link(c.getKey(), precious);
            // Under a name that an unfinished file has, were it one that can be foretold.
            Path waits = c.getKey().resolveSibling(".linnet-" + ProcessHandle.current().pid() + ".part");
            if (!Files.isSymbolicLink(waits)) link(waits, precious);
            assertEquals(0, run(c.getValue()), c.getKey() + ": " + err);
            assertTrue(Files.isRegularFile(c.getKey(), LinkOption.NOFOLLOW_LINKS), c.getKey().toString());
            isUntouched();
            Files.delete(c.getKey());
        }
    }

    @Test
    void theExampleIsNotWrittenWhereALinkLeads() throws IOException {
        for (String within : List.of("truth", "chains")) {
            Path at = folder.resolve("demo " + within);
            link(at.resolve(within), precious.getParent());
            assertEquals(2, run("demo", at));
            said(at.resolve(within) + " is a link, and the example is not written where a link leads");
        }
        isUntouched();
    }

    @ParameterizedTest
    @ValueSource(strings = {"render", "check", "diff"})
    void aStoreThatIsALinkIsRefused(String command) throws IOException {
        link(folder.resolve(".linnet"), precious.getParent());
        Object[] words = switch (command) {
            case "render" -> new Object[] {"render", song, "--out", prints};
            case "check" -> new Object[] {"check", song};
            default -> new Object[] {"diff", song, song};
        };
        int code = run(words);
        if (command.equals("diff")) assertTrue(out.toString().contains(".linnet is a link"), out.toString());
        else assertEquals(2, code);
        if (!command.equals("diff")) {
            said(folder.resolve(".linnet")
                    + " is a link, and what is kept of a song is not written where a link leads; delete the link, or put a folder in its place");
        }
        isUntouched();
        assertFalse(Files.exists(prints));
    }

    /** Whoever knows the signature of a work can lay down anything under its name. */
    @Test
    void whatLiesInTheStoreUnderTheNameOfAWorkIsNotFollowedOrBelieved() throws Exception {
        assertEquals(0, run("render", song, "--out", prints), err.toString());
        byte[] right = Files.readAllBytes(prints.resolve("mix.wav"));
        List<Path> kept;
        try (Stream<Path> files = Files.list(folder.resolve(".linnet"))) {
            kept = files.toList();
        }
        assertFalse(kept.isEmpty());
        for (String what : List.of("link", "pipe", "folder", "noise")) {
            for (Path f : kept) {
                Files.deleteIfExists(f);
                if (what.equals("link")) Files.createSymbolicLink(f, precious);
                else if (what.equals("pipe")) pipe(f);
                else if (what.equals("folder")) Files.createDirectory(f);
                else Files.write(f, new byte[5000]);
            }
            assertEquals(0, assertTimeoutPreemptively(Duration.ofSeconds(20), () -> run("render", song, "--out", prints, "--force")), what + err);
            assertFalse(err.toString().contains("at linnet."), err.toString());
            Files.delete(prints.resolve("mix.wav"));
            run("render", song, "--out", prints, "--force");
            assertArrayEquals(right, Files.readAllBytes(prints.resolve("mix.wav")), what);
            isUntouched();
        }
    }

    private static void pipe(Path at) throws IOException, InterruptedException {
        assumeTrue(Files.isExecutable(Path.of("/usr/bin/mkfifo")), "there are no pipes with a name here");
        assertEquals(0, new ProcessBuilder("/usr/bin/mkfifo", at.toString()).start().waitFor());
    }

    @ParameterizedTest
    @ValueSource(strings = {"../mix", "..", "/tmp/mix", "a/b", "a\\\\b", "C:mix", "C:\\\\mix", "mix\\0", "mix/", "mix.", "mix ", ".mix", "CON", "nul", "com1",
            "Lpt9", "aux.old", "mix\\u202e", "a\\nb"})
    void namesThatLeadOutOrThatAFileCannotHaveEverywhereAreRefused(String name) throws IOException {
        String text = "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  lead: { take: take.wav }\n";
        for (String way : List.of("prints: [ { print: mix, name: \"%s\" } ]\n", "names: \"%s\"\nprints: [ mix ]\n",
                "groups: { \"%s\": { parts: [ lead ] } }\nprints: [ mix ]\n",
                "returns: { \"%s\": { chain: [ reverb ] } }\nprints: [ mix ]\n")) {
            Files.writeString(song, text + way.formatted(name));
            assertEquals(3, run("render", song, "--out", prints), way + out);
            assertFalse(Files.exists(prints));
        }
        Files.writeString(song, text.replace("song: x", "song: \"" + name + "\"") + "names: \"{song}\"\nprints: [ mix ]\n");
        // What ends a name in another place is an ending no more.
        assertEquals(3, run("render", song, "--out", prints), out.toString());
        said("no name for a file");
    }

    // --- code ----------------------------------------------------------------------------------------------------------------

    @ParameterizedTest
    @ValueSource(strings = {
        "song: !!javax.script.ScriptEngineManager [ !!java.net.URLClassLoader [ [ !!java.net.URL [ \"file:/tmp/x.jar\" ] ] ] ]",
        "song: !!com.sun.rowset.JdbcRowSetImpl { dataSourceName: \"ldap://127.0.0.1/x\", autoCommit: true }",
        "song: !<tag:yaml.org,2002:java.io.FileOutputStream> [ /tmp/x ]",
        "song: !!python/object/apply:os.system [ \"touch /tmp/x\" ]",
        "song: !include /etc/passwd",
        "song: !!binary cm9vdA==",
        "%TAG ! tag:elsewhere,2026:\n---\nsong: !file precious.txt"
    })
    void aTagMakesNothing(String line) throws IOException {
        String text = Files.readString(song).replaceFirst("song: x", java.util.regex.Matcher.quoteReplacement(line));
        Files.writeString(song, text);
        assertEquals(3, run("render", song, "--out", prints), out.toString());
        said("is a tag, and nothing is made by tags here: write the value without it");
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "<<: { gate: {} } | no '<<'",
        "a: &a [ *a ] | nested more than 30 deep",
        "about: [ &a [x,x,x,x,x,x,x,x,x], &b [*a,*a,*a,*a,*a,*a,*a,*a,*a], &c [*b,*b,*b,*b,*b,*b,*b,*b,*b], &d [*c,*c,*c,*c,*c,*c,*c,*c,*c], &e "
                + "[*d,*d,*d,*d,*d,*d,*d,*d,*d], &f [*e,*e,*e,*e,*e,*e,*e,*e,*e], [*f,*f,*f,*f,*f,*f,*f,*f,*f] ] | more than 100000 entries",
        "? { a: b } : c | a key must be a single word"
    })
    void anchorsAndMergesMultiplyNothing(String line, String words) throws IOException {
        Path chain = Files.writeString(folder.resolve("chain.yaml"), line + "\nsteps: [ trim ]\n");
        assertEquals(3, assertTimeoutPreemptively(Duration.ofSeconds(5), () -> run("check", chain)));
        said(words);
    }

    // --- reading -------------------------------------------------------------------------------------------------------------

    @ParameterizedTest
    @CsvSource({"/dev/zero, is no plain file", "/dev/stdin, is", "/dev/null, is no plain file", "/etc, is a folder", "/proc/self/environ, is",
            "own/precious.txt, is", "/proc/kcore, is", ".., is a folder"})
    void whatIsNoSoundIsNotReadAsATake(String take, String words) throws IOException {
        parts("lead: { take: " + take + " }");
        int code = assertTimeoutPreemptively(Duration.ofSeconds(5), () -> run("render", song, "--out", prints));
        assertEquals(4, code);
        said(words);
        assertFalse(err.toString().contains(SECRET), err.toString());
    }

    @Test
    void aPipeIsNoTakeNoListAndNoChain() throws Exception {
        pipe(folder.resolve("pipe.wav"));
        parts("lead: { take: pipe.wav }");
        assertEquals(4, assertTimeoutPreemptively(Duration.ofSeconds(5), () -> run("check", song)));
        said("pipe.wav: is no plain file");
        pipe(folder.resolve("take.marks.yaml"));
        parts("lead: { take: take.wav }");
        assertEquals(3, assertTimeoutPreemptively(Duration.ofSeconds(5), () -> run("check", song)));
        said("take.marks.yaml:1:1: is no plain file");
        assertEquals(2, assertTimeoutPreemptively(Duration.ofSeconds(5), () -> run("mark", folder.resolve("take.wav"))));
        Files.delete(folder.resolve("take.marks.yaml"));
        pipe(folder.resolve("pipe.yaml"));
        parts("lead: { take: take.wav, chain: pipe.yaml }");
        assertEquals(3, assertTimeoutPreemptively(Duration.ofSeconds(5), () -> run("check", song)));
        said("there is no chain file at pipe.yaml");
        parts("lead: { take: take.wav }");
        Files.writeString(song, Files.readString(song).replace("sections: { a: 1, end: 2 }", "sections: { from: pipe.wav }"));
        assertEquals(3, assertTimeoutPreemptively(Duration.ofSeconds(5), () -> run("check", song)));
        said("pipe.wav: is no plain file");
    }

    /** A message shows the line that is wrong: no line of a file that is no chain. */
    @ParameterizedTest
    @ValueSource(strings = {"own/precious.txt", "/etc/passwd", "/proc/self/environ", "/dev/zero", "own", "https://127.0.0.1/chain", "file:///etc/passwd",
            "\"own/precious.txt\\0.yaml\""})
    void noLineOfAFileThatIsNoChainIsShown(String name) throws IOException {
        Path chain = Files.writeString(folder.resolve("chain.yaml"), "steps:\n  - use: " + name + "\n");
        parts("lead: { take: take.wav, chain: " + name + " }");
        for (Path text : List.of(chain, song)) {
            assertEquals(3, assertTimeoutPreemptively(Duration.ofSeconds(5), () -> run("check", text)));
            assertFalse(err.toString().contains("root"), err.toString());
            assertFalse(err.toString().contains("at linnet."), err.toString());
        }
    }

    @Test
    void checkListsEveryFileThatWouldBeRead() throws IOException {
        Files.createDirectories(folder.resolve("chains"));
        Files.writeString(folder.resolve("chains/inner.yaml"), "steps:\n  - trim: { level: -3 dB }\n");
        Path chain = Files.writeString(folder.resolve("chain.yaml"), "steps:\n  - use: chains/inner.yaml\n");
        Path song = Files.createDirectories(folder.resolve("sent")).resolve("song.yaml");
        Files.writeString(song,
                "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  lead: { take: ../take.wav, chain: ../chain.yaml }\n"
                + "  two: { take: linked.wav }\nprints: [ mix ]\n");
        Files.createSymbolicLink(folder.resolve("sent/linked.wav"), folder.resolve("take.wav"));
        assertEquals(0, run("mark", folder.resolve("take.wav")), err.toString());
        assertEquals(0, run("check", song), err.toString());
        Path real = folder.resolve("take.wav").toRealPath();
        String reads = out.toString().substring(out.toString().indexOf("Reads:"));
        assertEquals("""
                Reads:
                  text   %1$s/sent/song.yaml
                  text   %1$s/chain.yaml, outside this folder
                  text   %1$s/chains/inner.yaml, outside this folder
                  sound  %1$s/take.wav, outside this folder
                  sound  %1$s/sent/linked.wav, a link to %2$s, outside this folder
                  list   %1$s/take.marks.yaml, outside this folder
                """.formatted(folder, real), reads.replace("\r", ""));
        out.getBuffer().setLength(0);
        assertEquals(0, run("check", song, "--json"), err.toString());
        JsonObject linked = JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("reads").get(4).getAsJsonObject();
        assertEquals("{\"kind\":\"sound\",\"file\":\"" + folder + "/sent/linked.wav\",\"link_to\":\"" + real + "\",\"outside\":true}", linked.toString());
        out.getBuffer().setLength(0);
        assertEquals(0, run("check", chain, folder.resolve("take.wav")), err.toString());
        assertTrue(out.toString()
                .endsWith(("Reads:\n  text   %1$s/chain.yaml\n  text   %1$s/chains/inner.yaml\n  sound  %1$s/take.wav\n"
                        + "  list   %1$s/take.marks.yaml\n").formatted(folder)), out.toString());
        out.getBuffer().setLength(0);
        assertEquals(0, run("check", chain), err.toString());
        assertTrue(out.toString().endsWith("Reads:\n  text   %1$s/chain.yaml\n  text   %1$s/chains/inner.yaml\n".formatted(folder)), out.toString());
    }

    /** What the list says is what is opened: whatever else of the folder is taken away, the song renders. */
    @Test
    void nothingElseIsRead() throws IOException {
        Files.writeString(folder.resolve("chain.yaml"), "steps:\n  - trim: { level: -3 dB }\n");
        parts("lead: { take: take.wav, chain: chain.yaml }");
        assertEquals(0, run("check", song, "--json"), err.toString());
        Path copy = Files.createDirectories(folder.resolve("copy"));
        for (var read : JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("reads")) {
            Path file = Path.of(read.getAsJsonObject().get("file").getAsString());
            Files.copy(file, copy.resolve(folder.relativize(file)));
        }
        assertEquals(0, run("render", song, "--out", prints), err.toString());
        assertEquals(0, run("render", copy.resolve("song.yaml"), "--out", copy.resolve("prints")), err.toString());
        try (Stream<Path> files = Files.list(prints)) {
            for (Path f : files.filter(f -> f.toString().endsWith(".wav")).toList()) {
                assertEquals(-1, Files.mismatch(f, copy.resolve("prints").resolve(f.getFileName())), f.toString());
            }
        }
    }

    // --- what is shown -------------------------------------------------------------------------------------------------------

    private static final String WILD =
            "</title><script>window.pwned=1</script><img src=http://127.0.0.1:9/x onerror=window.pwned=1> \"' ]]> --> \u202eevil {{policy}}";

    @Test
    void namesOnTheSheetAreTextInABrowser() throws IOException {
        Files.copy(folder.resolve("take.wav"), folder.resolve("<img src=x onerror='pwned=1'>&\u202e.wav"));
        String quoted = new com.google.gson.GsonBuilder().disableHtmlEscaping().create().toJson(WILD);
        Files.writeString(folder.resolve("chain.yaml"), "chain: " + quoted + "\nabout: " + quoted + "\nsteps:\n  - trim: { name: " + quoted
                + ", level: -3 dB }\n");
        Files.writeString(song, "song: " + quoted + "\nabout: " + quoted + "\ntempo: 100 bpm\nsections: { " + quoted
                + ": 1, end: 2 }\nparts:\n  \"a'b&amp;\": { take: \"<img src=x onerror='pwned=1'>&\\u202e.wav\", chain: chain.yaml }\n"
                + "returns: { \"]]&lt;\": { chain: chain.yaml } }\nprints: [ mix, \"a'b&amp;\" ]\n");
        assertEquals(0, run("render", song, "--out", prints), err.toString());
        String page = Files.readString(prints.resolve("sheet.html"));
        assertFalse(page.contains("<script") || page.contains("<img"), page);
        assertTrue(page.contains("default-src 'none'; script-src 'none'"), page);
        try (Browser browser = Browser.open()) {
            browser.show(prints.resolve("sheet.html"));
            assertEquals(null, browser.run("return window.pwned || null"));
            assertEquals(0L, browser.run("return document.querySelectorAll('script, img, iframe, object, link').length"));
            assertEquals(WILD, browser.run("return document.querySelector('h1').textContent"));
            assertEquals(List.of(), browser.traffic().stream().filter(t -> t.contains("requestWillBeSent\"") && t.contains("http")).toList());
            assertEquals(List.of(), browser.console());
        }
    }

    /** Through the program itself, as its own output is watched over where it leaves. */
    @Test
    void aTextDoesNotMoveTheCursorOfATerminal() throws Exception {
        Files.writeString(song, Files.readString(song).replace("{ a: 1", "{ \"a\\e]0;own\\a\\x9b2J\\u202eb\": 1"));
        Process check = new ProcessBuilder(Path.of(System.getProperty("java.home"), "bin", "java").toString(), "-Dsun.stdout.encoding=UTF-8", "-cp",
                System.getProperty("java.class.path"), Main.class.getName(), "check", song.toString()).start();
        String printed = new String(check.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertEquals(0, check.waitFor());
        assertTrue(printed.contains("a·]0;own··2J·b"), printed);
        assertTrue(printed.chars().noneMatch(c -> Character.isISOControl(c) && c != '\n'), printed);
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonElement;
import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import linnet.Voices;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The page on what scripts are told names every field at the top of what each command prints. */
class JsonFieldsTest extends SongFolder {
    private static final Pattern FIELD = Pattern.compile("`([^`]+)`");

    private Path take, chain;
    private List<String> page;
    /** Commands, as the page calls them, of which something was looked at. */
    private final Set<String> seen = new HashSet<>();

    @BeforeEach
    void aChain() throws IOException {
        take = folder.resolve("long.wav");
        Takes.tone(take, 220, 0.3, 2);
        chain = Files.writeString(folder.resolve("chain.yaml"), "chain: x\nsteps: [ compressor: { aim: 3 dB } ]\n");
        page = Files.readAllLines(Voices.repository().resolve("docs/chain-format.md"));
    }

    private static Set<String> fields(String cell) {
        return FIELD.matcher(cell).results().map(m -> m.group(1)).collect(Collectors.toSet());
    }

    private Set<String> told(String command) {
        seen.add(command);
        String row = page.stream().filter(l -> l.startsWith("| `" + command + "` |")).findFirst().orElseThrow(() -> new AssertionError("no row of " + command));
        return fields(row.substring(row.indexOf('|', 1)));
    }

    private void stand(String command, int code, Object... words) {
        assertEquals(code, run(words), err::toString);
        JsonElement all = JsonParser.parseString(out.toString());
        JsonObject one = (all.isJsonArray() ? all.getAsJsonArray().get(0) : all).getAsJsonObject();
        Set<String> missing = new TreeSet<>(one.keySet());
        missing.removeAll(told(command));
        assertEquals(Set.of(), missing, command);
    }

    @Test
    void ofEveryCommand() throws IOException {
        Path print = folder.resolve("print.wav"), other = Files.writeString(folder.resolve("other.yaml"), Files.readString(song) + "about: y\n");
        stand("render CHAIN TAKE", 0, "render", chain, take, "--out", print, "--report", folder.resolve("pages"), "--json");
        stand("explain", 0, "explain", print, "--json");
        stand("check CHAIN", 0, "check", chain, "--json");
        stand("check CHAIN TAKE", 0, "check", chain, take, "--json");
        stand("measure", 0, "measure", take, "--json");
        stand("mark", 0, "mark", take, "--json");
        stand("notes", 0, "notes", take, "--key", "A major", "--json");
        stand("render SONG", 0, "render", song, "--out", prints, "--report", folder.resolve("song-pages"), "--json");
        stand("explain", 0, "explain", prints.resolve("mix.wav"), "--json");
        stand("check SONG", 0, "check", song, "--json");
        stand("diff", 0, "diff", song, other, "--json");
        Files.delete(folder.resolve("take.wav"));
        stand("diff", 0, "diff", song, other, "--json");
        String error = page.stream().filter(l -> l.startsWith("| any,")).findFirst().orElseThrow();
        assertEquals(2, run("check", folder.resolve("none.txt"), "--json", "--nothing"));
        assertTrue(fields(error).containsAll(JsonParser.parseString(out.toString()).getAsJsonObject().keySet()), out::toString);
        told("watch");
        Set<String> asked = Main.commandLine().getSubcommands().entrySet().stream().filter(c -> c.getValue().getCommandSpec().findOption("--json") != null)
                .map(c -> c.getKey()).collect(Collectors.toSet());
        assertEquals(asked, seen.stream().map(c -> c.split(" ")[0]).collect(Collectors.toSet()));
    }

    /** Those that only some songs have are written in the source, as all are. */
    @Test
    void alsoThoseThatAreRare() throws IOException {
        Set<String> rare = new HashSet<>();
        for (String file : List.of("SongCheck", "PrintedSong", "DiffCommand", "MarkCommand")) {
            Matcher m = Pattern.compile("\\b(?:o|all|into)\\.add(?:Property)?\\(\"([a-z_]+)\"").matcher(Files.readString(
                    Voices.repository().resolve("engine/src/main/java/linnet/cli/" + file + ".java")));
            while (m.find()) rare.add(m.group(1));
        }
        Set<String> named = Stream.of("check SONG", "render SONG", "diff", "mark").flatMap(c -> told(c).stream()).collect(Collectors.toSet());
        rare.removeAll(named);
        assertEquals(Set.of(), rare);
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a shell offers that has read the script of {@code completion}. */
class CompletionTest extends Called {
    @TempDir
    Path folder;

    /** The words that bash offers for the last of these. */
    private Set<String> offered(String... words) throws IOException, InterruptedException {
        assertEquals(0, run("completion"), err::toString);
        Path script = Files.writeString(folder.resolve("completion"), out.toString());
        String asks = "source \"$0\"; COMP_WORDS=(\"$@\"); COMP_CWORD=$(($# - 1)); _complete_linnet; printf '%s\\n' \"${COMPREPLY[@]}\"";
        List<String> bash = new ArrayList<>(List.of("bash", "-c", asks, script.toString()));
        bash.addAll(List.of(words));
        Process shell = new ProcessBuilder(bash).redirectError(ProcessBuilder.Redirect.DISCARD).start();
        String said = new String(shell.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        shell.waitFor();
        return new TreeSet<>(said.lines().map(String::strip).filter(w -> !w.isEmpty()).toList());
    }

    @Test
    void aDepthIsOfferedAsItIsTyped() throws Exception {
        assumeTrue(Files.isExecutable(Path.of("/bin/bash")));
        assertEquals(Set.of("16", "24", "float"), offered("linnet", "render", "--depth", ""));
        assertEquals(Set.of("float"), offered("linnet", "render", "--depth", "fl"));
    }
}

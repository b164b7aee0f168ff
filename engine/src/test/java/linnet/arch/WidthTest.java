package linnet.arch;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** Lines of the source are as wide as a screen shows them. */
class WidthTest {
    private static final int WIDEST = 160;
    private static final String TEXT_BLOCK = "\"\"\"";

    /** What stands in a block of text is as wide as the text. */
    @Test
    void linesFitTheScreen() throws IOException {
        List<String> wide = new ArrayList<>();
        try (Stream<Path> sources = Files.walk(Path.of("src"))) {
            for (Path source : sources.filter(f -> f.toString().endsWith(".java")).sorted().toList()) {
                boolean text = false;
                List<String> lines = Files.readAllLines(source);
                for (int i = 0; i < lines.size(); i++) {
                    boolean ends = lines.get(i).split(TEXT_BLOCK, -1).length % 2 == 0;
                    if (!text && !ends && lines.get(i).length() > WIDEST) wide.add(source + ":" + (i + 1));
                    text ^= ends;
                }
            }
        }
        assertEquals(List.of(), wide, "wider than " + WIDEST + " characters");
    }
}

package linnet.publish;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import linnet.Voices;
import linnet.chain.ChainReader;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What is made from the catalogue agrees with it; the schema is read by an independent validator. */
class PublishTest {
    private static final Path ROOT = Voices.repository();

    private static Schema schema() {
        String text = linnet.publish.Schema.of(Builtins.catalogue()).toString();
        return SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12).getSchema(text);
    }

    private static List<Path> chains() throws IOException {
        try (Stream<Path> files = Files.list(ROOT.resolve("chains"))) {
            return files.filter(f -> f.toString().endsWith(".yaml")).toList();
        }
    }

    @Test
    void thePageOfStepsIsUpToDate() throws IOException {
        assertEquals(Files.readString(ROOT.resolve("docs/steps.md")), StepsPage.of(Builtins.catalogue()),
                "docs/steps.md is out of date: engine/bin/linnet steps --markdown > docs/steps.md");
    }

    @Test
    void everyShippedChainIsValid() throws IOException {
        assertTrue(chains().size() >= 6);
        for (Path chain : chains()) {
            assertEquals(List.of(), schema().validate(Files.readString(chain), InputFormat.YAML), chain.toString());
        }
    }

    @Test
    void typingMistakesAreFound() {
        for (String steps : new String[] {
            "[ { gat: {} } ]", "[ { gate: { treshold: -50 dB } } ]", "[ { gate: { floor: 12 ms } } ]", "[ { gate: { floor: 40 } } ]",
            "[ { eq: [ { gain: 3 dB } ] } ]", "[ { eq: [ { bell: 1 kHz, notch: 2 kHz } ] } ]", "[ { compressor: { character: fats } } ]",
            "[ { gate: {}, eq: [] } ]", "[ sparkle ]", "[ { parallel: [ { gain: 1 dB } ] } ]"
        }) {
            assertFalse(schema().validate("steps: " + steps, InputFormat.YAML).isEmpty(), steps);
        }
    }

    @TempDir
    Path folder;

    private boolean isRead(String text) throws IOException {
        try {
            ChainReader.read(Files.writeString(folder.resolve("chain.yaml"), text), Builtins.catalogue());
            return true;
        } catch (ProblemsException e) {
            return false;
        }
    }

    /** What an editor marks is refused, and what it does not mark is taken, as far as forms go. */
    @ParameterizedTest
    @CsvSource(delimiter = '|', quoteCharacter = '`', value = {
        "true  | steps: [ { trim: { level: -1 dB, on: off } } ]",
        "true  | steps: [ { trim: { level: -1 dB, on: on } } ]",
        "true  | steps: [ { trim: { level: -1 dB, on: true } } ]",
        "true  | steps: [ { trim: { level: -1 dB, on: no } } ]",
        "false | steps: [ { trim: { level: -1 dB, on: never } } ]",
        "true  | steps: [ { breaths: { remove: true } } ]",
        "true  | steps: [ { breaths: { remove: on } } ]",
        "true  | steps: [ { breaths: { remove: no } } ]",
        "false | steps: [ { breaths: { remove: all } } ]",
        "true  | steps: [ { trim: { level: -1 dB, name: 3 } } ]",
        "false | steps: [ { trim: { level: -1 dB, name: \"\" } } ]",
        "false | steps: [ { parallel: [] } ]",
        "true  | steps: [ { parallel: [ { level: -9 dB } ] } ]",
        "true  | steps: [ { multiband: { splits: 1 kHz, bands: [ {}, {} ] } } ]",
        "false | steps: [ { use: a.txt } ]",
        "false | steps: [ { eq: [ { bell: 1 kHz } ] } ]",
        "true  | steps: [ { eq: [ { bell: 1 kHz, gain: 3 } ] } ]",
        "false | steps: [ { eq: [ { high-shelf: 8 kHz, steepness: 0.5 } ] } ]",
        "true  | steps: [ { eq: [ { high-pass: 80 Hz } ] } ]",
        "false | steps: [ { eq: [ { high-pass: 80 Hz, gain: 3 dB } ] } ]",
        "false | steps: [ { eq: [ { notch: 50 Hz, gain: -3 dB } ] } ]",
        "true  | { about: 3, steps: [ hum ] }",
        "true  | { chain: 3, steps: [ hum ] }"})
    void theSchemaAndTheReaderTakeTheSame(boolean taken, String text) throws IOException {
        assertEquals(taken, isRead(text), "read");
        assertEquals(taken, schema().validate(text, InputFormat.YAML).isEmpty(), "valid");
    }

    /** Of "1 ms … 5 s" nobody could tell what 120 means, of "3 kHz … 12 kHz" that 7 is no kHz. */
    @Test
    void aRangeSaysTheUnitOfABareNumber() {
        String page = StepsPage.of(Builtins.catalogue());
        assertTrue(page.contains("| `time` | 1 ms … 5 s (bare: ms) |") && page.contains("| `band` | 3 kHz … 12 kHz (bare: Hz) |"));
        assertTrue(page.contains("| `attack` | 0.1 ms … 20 ms |") && page.contains("| `ratio` | 1:1 … 100:1 |"));
        assertTrue(page.contains("| `mains` | 45 Hz … 65 Hz, auto |"));
        for (String row : page.lines().filter(l -> l.startsWith("| `") || l.startsWith("| · `")).toList()) {
            String range = row.split("\\|")[2];
            if (range.matches(".* kHz\\b.*|.* ms\\b.* s\\b.*")) assertTrue(range.contains("(bare: "), row);
        }
    }
}

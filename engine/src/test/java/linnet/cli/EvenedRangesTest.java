package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import org.junit.jupiter.api.Test;

/** Ranges of a comp that are brought to the level of others: the sheet says by how much. */
class EvenedRangesTest extends SongFolder {
    @Test
    void theSheetListsTheInto() throws Exception {
        Takes.tone(folder.resolve("lead-1.wav"), 220, 0.3, 5);
        Takes.tone(folder.resolve("lead-2.wav"), 220, 0.1, 5);
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, b: 2, end: 3 }\nparts:\n"
                + "  lead: { comp: [ { take: lead-1.wav, from: a }, { take: lead-2.wav, from: b, into: 9.5 dB } ] }\nprints: [ mix ]\n");
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        String sheet = Files.readString(prints.resolve("sheet.md"));
        assertTrue(sheet.contains("lead-2.wav, from 0:02.400 to 0:05.000, 9.5 dB into the comp\n"), sheet);
        assertFalse(sheet.contains("0 dB into"), sheet);
    }
}

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
        assertTrue(sheet.contains("Part, lead-2.wav 9.5 dB into the comp from 0:02.400 on, level"), sheet);
        assertFalse(sheet.contains("lead-1.wav 0 dB"), sheet);
    }

    /**
     * A take that is three times (9.5 dB) softer than the one before it is told with what evens it, also where part of that is there. Behind it the first take
     * comes back, which is as loud as it should be.
     */
    @Test
    void aStepInLevelNamesTheIntoThatEvensIt() throws Exception {
        Takes.tone(folder.resolve("lead-1.wav"), 220, 0.3, 8);
        Takes.tone(folder.resolve("lead-2.wav"), 220, 0.1, 8);
        for (String into : new String[] {"", ", into: 3 dB"}) {
            Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, b: 2, c: 3, end: 4 }\nparts:\n"
                    + "  lead: { comp: [ { take: lead-1.wav, from: a }, { take: lead-2.wav, from: b" + into
                    + " }, { take: lead-1.wav, from: c } ] }\nprints: [ mix ]\n");
            assertEquals(0, run("check", song), err::toString);
            String said = out.toString();
            assertEquals(3, said.split("; a step in level", -1).length, said);
            assertEquals(2, said.split("; a step in level, evened by 'into: 9.5 dB' in the range that begins there", -1).length, said);
            assertEquals(2, said.split("evened by", -1).length, said);
        }
    }
}

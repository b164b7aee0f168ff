package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import org.junit.jupiter.api.Test;

/** The sheet tells the distance between two as the finished mix has it, where its chain or a move makes that another than was asked. */
class FinishedBalanceTest extends SongFolder {
    private String sheet(String more) throws Exception {
        Takes.tone(folder.resolve("lead.wav"), 440, 0.1, 8);
        Takes.tone(folder.resolve("bed.wav"), 1000, 0.3, 8);
        Files.writeString(song, "song: x\ntempo: 120 bpm\nsections: { a: 1, b: 3, end: 5 }\nparts: { lead: { take: lead.wav } }\n"
                + "instrumental: { take: bed.wav }\nbalance: { lead: 1 LU over instrumental }\n" + more);
        assertEquals(0, run("render", song, "--out", prints, "--force"), err::toString);
        return Files.readString(prints.resolve("sheet.md"));
    }

    /** Powers add: half of the song 1 LU over and half 4 LU, by a move of 3 dB, are 10 lg((10^0.1 + 10^0.4) / 2) = 2.76 LU, less what the move takes. */
    @Test
    void aMoveIsInTheFinishedMix() throws Exception {
        String more = "moves: { b: { lead: +3 dB } }\nprints: [ mix, lead, instrumental ]\n";
        String told = "(?s).*- lead: 2\\.[78] LU over instrumental in the finished mix, where both sound: 8 s; 1 LU over instrumental were asked, before its "
                + "chain and moves\n.*";
        String sheet = sheet(more);
        assertTrue(sheet.matches(told), sheet);
        // The same of prints that are left, read again.
        Files.delete(prints.resolve("mix.wav"));
        assertTrue(sheet(more).matches(told));
        assertFalse(sheet("moves: { b: { lead: +3 dB } }\nprints: [ mix, lead ]\n").contains("finished mix"));
    }

    /** A level of the mix changes no distance; a bell that takes 6 dB off what one of them has does. */
    @Test
    void aFilterOfTheMixIsInTheFinishedMix() throws Exception {
        String sheet = sheet("mix: { chain: [ trim: { level: -12 dB } ] }\nprints: [ mix, lead, instrumental ]\n");
        assertFalse(sheet.contains("finished mix"), sheet);
        sheet = sheet("mix: { chain: [ { eq: [ { bell: 440 Hz, gain: -6 dB, q: 2 } ] } ] }\nprints: [ mix, lead, instrumental ]\n");
        // 1 LU over and 6 dB less is 5 LU under; the bell takes a little of 1 kHz, too.
        assertTrue(sheet.matches("(?s).*lead: [45]\\.\\d LU under instrumental in the finished mix, where both sound: 8 s.*"), sheet);
    }
}

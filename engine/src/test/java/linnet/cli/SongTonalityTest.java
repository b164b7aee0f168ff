package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import org.junit.jupiter.api.Test;

/** The key of a song and its pitch, on the sheet. */
class SongTonalityTest extends SongFolder {
    private void sheet(String tonality, String shown) throws Exception {
        Files.writeString(song, Files.readString(song).replaceAll("(?m)^(key|pitch):.*\n", "").replace("tempo:", tonality + "tempo:"));
        assertEquals(0, run("render", song, "--out", prints, "--force"), err::toString);
        for (String page : new String[] {"sheet.md", "sheet.html"}) {
            assertTrue(Files.readString(prints.resolve(page)).contains(shown), Files.readString(prints.resolve(page)));
        }
    }

    @Test
    void theSheetSaysWhatItIsSungIn() throws Exception {
        sheet("", "100 bpm; 4/4; A at 440 Hz; 0:0");
        sheet("key: A minor\n", "100 bpm; 4/4; A minor; A at 440 Hz; 0:0");
        sheet("key: Bb dorian\npitch: 442 Hz\n", "100 bpm; 4/4; Bb dorian; A at 442 Hz; 0:0");
    }
}

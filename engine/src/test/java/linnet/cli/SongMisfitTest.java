package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.Singer;
import linnet.demo.SevenLanterns;
import linnet.dsp.Cell;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** A song whose key is not that of its lead: the invented song, in D major. */
class SongMisfitTest extends SongFolder {
    private static final int RATE = 48_000;

    @BeforeEach
    void aLead() throws Exception {
        double[] x = Performance.sing(SevenLanterns.lead(), Singer.high(), Room.dry(), RATE).samples();
        int frames = Math.min(x.length, 20 * RATE);
        try (WavWriter writer = WavWriter.create(folder.resolve("take.wav"), Print.of(RATE, 1, SampleFormat.FLOAT_32).overwriting())) {
            double[][] block = new double[1][Cell.LENGTH];
            for (int from = 0; from < frames; from += Cell.LENGTH) {
                int n = Math.min(Cell.LENGTH, frames - from);
                System.arraycopy(x, from, block[0], 0, n);
                writer.write(block, n);
            }
            writer.finish();
        }
    }

    private void key(String key, String chain) throws Exception {
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 10 }\nkey: " + key + "\nparts: { lead: { take: take.wav, chain: [ " + chain
                + " ] } }\nprints: [ mix, lead dry ]\n");
    }

    private String said(Object... words) {
        out.getBuffer().setLength(0);
        err.getBuffer().setLength(0);
        assertEquals(0, run(words), err::toString);
        return out.toString() + err;
    }

    @Test
    void aKeyThatDoesNotFitIsTold() throws Exception {
        String told = "lead: tune: key F major leaves out ";
        key("F major", "hum, tune, compressor");
        String checked = said("check", song), rendered = said("render", song, "--out", prints);
        assertTrue(checked.contains(told) && checked.contains("as in 'key: D major'"), checked);
        // Once, though the dry print is tuned too.
        assertEquals(2, (rendered + ".").split(told, -1).length, rendered);
        assertTrue(Files.readString(prints.resolve("sheet.md")).contains(told.substring(6)));
        assertTrue(said("render", song, "--out", prints, "--json").contains("\"text\": \"F major leaves out"));
        key("D major", "hum, tune, compressor");
        assertFalse(said("check", song).contains("leaves out"));
        // Nothing goes by it.
        key("F major", "compressor");
        assertFalse(said("check", song).contains("leaves out"));
    }

    /** The message is kept, and the step is called another way since. */
    @Test
    void theStepIsCalledAsItIsNow() throws Exception {
        key("F major", "tune");
        assertTrue(said("check", song).contains("lead: tune: key F major"));
        key("F major", "{ tune: {}, name: pitch }");
        assertTrue(said("check", song).contains("lead: pitch: key F major"));
    }

    /** A part that follows another must be rendered before its chain can be asked; from then on it is told each time. */
    @Test
    void ofAPartThatIsMadeOfAnotherItIsToldEachTimeOnceItWasRendered() throws Exception {
        Files.writeString(song,
                "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 10 }\nkey: F major\n"
                + "parts: { lead: { take: take.wav }, double: { take: take.wav, tidy: { like: lead }, chain: [ tune ] } }\nprints: [ mix ]\n");
        String told = "double: tune: key F major leaves out ";
        assertFalse(said("check", song).contains(told));
        for (int k = 0; k < 2; k++) assertTrue(said("render", song, "--out", prints, "--force").contains(told), "render " + k);
        assertTrue(said("check", song).contains(told));
    }

    /** What reaches the step was moved there. */
    @Test
    void aShiftBeforeItCounts() throws Exception {
        key("F major", "shift: { by: 3 semitones }, tune");
        assertFalse(said("check", song).contains("leaves out"));
        key("D major", "shift: { by: 3 semitones }, tune");
        assertTrue(said("check", song).contains("as in 'key: F major'"));
    }
}

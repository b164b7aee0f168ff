package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What {@code check} finds odd at the takes is told by the render too, and stands on the sheet; JSON tells all of a print. */
class OddTakesTest extends SongFolder {
    private static final String DC = "a DC offset of -26 dBFS: a high-pass at 20 Hz takes it out";

    /** A mean of 0.05 is -26 dBFS. */
    @BeforeEach
    void anOffset() throws IOException {
        double[][] x = new double[2][96_000];
        for (int i = 0; i < x[0].length; i++) x[0][i] = x[1][i] = 0.05 + 0.2 * Math.sin(2 * Math.PI * 220 * i / 48_000);
        try (WavWriter writer = WavWriter.create(folder.resolve("off.wav"), Print.of(48_000, 2, SampleFormat.INT_24))) {
            writer.write(x, x[0].length);
            writer.finish();
        }
        Files.writeString(song, "song: x\ntempo: 120 bpm\nsections: { a: 1, b: 2, end: 3 }\nparts:\n  lead: { take: off.wav }\nchecks: { accept: [ tails ] }\n"
                + "prints: [ mix, { print: lead dry, name: bit, from: b, to: b, depth: float } ]\n");
    }

    @Test
    void badTakesAreToldByTheRender() throws IOException {
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        for (String told : new String[] {DC, "both channels are alike: mono saved as stereo"}) {
            assertTrue(err.toString().contains("lead: off.wav: " + told + "\n"), err::toString);
            String sheet = Files.readString(prints.resolve("sheet.md"));
            assertTrue(sheet.substring(sheet.indexOf("## To look at"), sheet.indexOf("## Checks")).contains("- lead: off.wav: " + told + "\n"), sheet);
        }
        assertEquals(err.toString().indexOf(DC), err.toString().lastIndexOf(DC));
    }

    @Test
    void andToAScript() throws IOException {
        assertEquals(0, run("render", song, "--out", prints, "--json"), err::toString);
        JsonObject take = json().getAsJsonArray("takes").get(0).getAsJsonObject();
        assertEquals("off.wav", take.get("take").getAsString());
        assertTrue(take.getAsJsonArray("odd").toString().contains(DC), take::toString);
    }

    @Test
    void aScriptIsToldDepthLengthStartAndChecksumOfAPrint() throws IOException {
        for (boolean written : new boolean[] {true, false}) {
            assertEquals(0, run("render", song, "--out", prints, "--json"), err::toString);
            JsonObject mix = json().getAsJsonArray("prints").get(0).getAsJsonObject(), bit = json().getAsJsonArray("prints").get(1).getAsJsonObject();
            assertEquals(written, bit.get("written").getAsBoolean());
            assertEquals(24, mix.get("depth_bits").getAsInt());
            assertFalse(mix.get("float").getAsBoolean());
            assertEquals(32, bit.get("depth_bits").getAsInt());
            assertTrue(bit.get("float").getAsBoolean());
            assertEquals(json().get("frames").getAsLong(), mix.get("frames").getAsLong());
            assertEquals(0, mix.get("start_s").getAsDouble());
            assertEquals(96_000, bit.get("frames").getAsLong());
            assertEquals(2, bit.get("seconds").getAsDouble());
            assertEquals(96_000, bit.get("start_frame").getAsLong());
            assertEquals(2, bit.get("start_s").getAsDouble());
            assertEquals(4, bit.get("end_s").getAsDouble());
            String sheet = Files.readString(prints.resolve("sheet.md"));
            for (JsonObject print : new JsonObject[] {mix, bit}) assertTrue(sheet.contains(" " + print.get("sound_sha256").getAsString() + " "), sheet);
        }
    }

    @Test
    void aRateIsAWholeNumberWhereverItIsTold() {
        assertEquals(0, run("check", song, "--json"), err::toString);
        assertEquals("48000", json().get("rate_hz").toString());
        assertEquals("48000", json().getAsJsonArray("takes").get(0).getAsJsonObject().get("rate_hz").toString());
    }

    private JsonObject json() {
        return JsonParser.parseString(out.toString()).getAsJsonObject();
    }
}

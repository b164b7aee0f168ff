package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonElement;
import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.util.Arrays;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.demo.Performance;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** A double that lies elsewhere as a whole: the user is told what to write, and once it is written nothing is told. */
class SlippedTakeTest extends SongFolder {
    private static final String SLIPPED = "the take lies 0.80 s late; moved as a whole, 2 of 2 phrases come within reach";
    private static final double[] LEAD = Performance.sing(SevenLanterns.lead(), Singer.high(), 48_000).samples(),
            DOUBLE = Performance.sing(SevenLanterns.lead(), Singer.high().seed(11), 48_000).samples();

    @BeforeEach
    void takes() throws IOException {
        take("lead.wav", LEAD, 0);
        take("double.wav", DOUBLE, 0.8);
    }

    /** Two lines, so much later. */
    private void take(String name, double[] sung, double later) throws IOException {
        double[][] x = {new double[(int) ((11.3 + later) * 48_000)]};
        System.arraycopy(sung, 0, x[0], (int) (later * 48_000), (int) (11.3 * 48_000));
        try (WavWriter writer = WavWriter.create(folder.resolve(name), Print.of(48_000, 1, SampleFormat.INT_24))) {
            writer.write(x, x[0].length);
            writer.finish();
        }
    }

    private String check(String nudge, String... more) throws IOException {
        Files.writeString(song,
                "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 6 }\nparts:\n  lead: { take: lead.wav }\n  double: { take: double.wav, " + nudge
                + "tidy: { like: lead } }\nprints: [ mix ]\n");
        String[] words = {"check", song.toString()}, all = Arrays.copyOf(words, 2 + more.length);
        System.arraycopy(more, 0, all, 2, more.length);
        assertEquals(0, run((Object[]) all), err::toString);
        return out.toString();
    }

    @Test
    void isToldWithWhatIsToBeWritten() throws IOException {
        String first = check("");
        assertTrue(first.contains("\n    " + SLIPPED + ": say 'nudge: 800 ms earlier' in double\n"), first);
        assertTrue(first.contains("0 of 2 phrases moved"), first);
        assertTrue(first.indexOf("as a whole") < first.indexOf("as it is"), "before the lines that it explains: " + first);
        assertEquals(first, check(""), "it is kept with what was decided");
        for (JsonElement d : JsonParser.parseString(check("", "--json")).getAsJsonObject().getAsJsonArray("tidied").get(0).getAsJsonObject()
                .getAsJsonArray("decisions")) {
            JsonObject o = d.getAsJsonObject();
            boolean take = o.get("what").getAsString().equals("take");
            assertEquals(take, o.has("nudge"));
            if (take) assertEquals("800 ms earlier", o.get("nudge").getAsString());
            if (take) assertEquals(-800, o.get("later_ms").getAsDouble(), 1);
        }
        String nudged = check("nudge: 800 ms earlier, ");
        assertFalse(nudged.contains("as a whole"), nudged);
        assertFalse(nudged.contains("as it is"), nudged);
    }

    /** What is told stands for what a part says already, not beside it. */
    @Test
    void aNudgeThatIsThereIsReckonedIn() throws IOException {
        assertTrue(check("nudge: 500 ms later, ")
                .contains("the take lies 1.30 s late; moved as a whole, 2 of 2 phrases come within reach: say 'nudge: 800 ms earlier' in double"),
                out::toString);
        assertTrue(check("nudge: 2.5 s earlier, ").contains("say 'nudge: 800 ms earlier' in double"), out::toString);
    }

    /** Farther than a nudge goes. */
    @Test
    void whatNoNudgeReachesIsSaidAnotherWay() throws IOException {
        take("far.wav", DOUBLE, 9.8);
        String text = "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 12 }\nparts:\n  lead: { take: lead.wav }\n"
                + "  double: { take: far.wav, nudge: %s, tidy: { like: lead } }\nprints: [ mix ]\n";
        Files.writeString(song, String.format(text, "500 ms earlier"));
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().contains("say 'nudge: 9.8 s earlier' in double"), out::toString);
        take("farther.wav", DOUBLE, 10.8);
        Files.writeString(song, String.format(text, "1.5 s earlier").replace("far.wav", "farther.wav"));
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString()
                .contains("the take lies 9.30 s late; moved as a whole, 2 of 2 phrases come within reach: a nudge is 10 s at most, so say with 'at' "
                        + "where it begins\n"), out::toString);
    }

    @Test
    void aRenderSaysItAndItsSheetToo() throws IOException {
        check("");
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertTrue(out.toString().contains(SLIPPED + ": say 'nudge: 800 ms earlier' in double"), out::toString);
        assertTrue(Files.readString(prints.resolve("sheet.md")).contains(SLIPPED + ": say 'nudge: 800 ms earlier' in double"));
    }
}

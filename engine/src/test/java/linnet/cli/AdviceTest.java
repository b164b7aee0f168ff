package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonArray;
import com.google.gson.JsonParser;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What is told beside a number that was found by hearing, as somebody should look at it: a render tells it as check does. */
class AdviceTest extends SongFolder {
    private static final String OPEN = "gate: threshold 26 dB under voice = -47.2 dBFS "
            + "(closes under the noise of -50.2 dBFS, so never in the pauses: write 10 dB over noise)";

    @BeforeEach
    void aRoom() throws Exception {
        Files.delete(folder.resolve("take.wav"));
        double[] x = new double[6 * 48_000];
        Random random = new Random(1);
        for (int i = 0; i < x.length; i++) {
            x[i] = Math.pow(10, -50 / 20.0) * random.nextGaussian();
            if (i >= 96_000 && i < 144_000) for (int k = 1; k < 8; k++) x[i] += 0.1 / k * Math.sin(2 * Math.PI * 200 * k * i / 48_000);
        }
        try (WavWriter writer = WavWriter.create(folder.resolve("take.wav"), Print.of(48_000, 1, SampleFormat.FLOAT_32))) {
            writer.write(new double[][] {x}, x.length);
            writer.finish();
        }
    }

    private static int times(String what, String in) {
        return in.split(java.util.regex.Pattern.quote(what), -1).length - 1;
    }

    @Test
    void theRenderOfATakeTellsIt() throws Exception {
        Files.writeString(folder.resolve("chain.yaml"), "chain: x\nsteps: [ gate: { threshold: 26 dB under voice } ]\n");
        assertEquals(Exit.DONE, run("render", folder.resolve("chain.yaml"), folder.resolve("take.wav"), "--out", folder.resolve("out.wav")), err.toString());
        assertEquals(1, times(OPEN, err.toString() + out), err.toString());
        Files.writeString(folder.resolve("chain.yaml"), "chain: x\nsteps: [ gate: { threshold: 20 dB under voice } ]\n");
        assertEquals(Exit.DONE, run("render", folder.resolve("chain.yaml"), folder.resolve("take.wav"), "--out", folder.resolve("out.wav"), "--force"));
        assertFalse(err.toString().contains("threshold"), "a number alone is not");
    }

    /** Among what is to be looked at, with a way to its step; of a number alone the page has none. */
    @Test
    void thePageHasItAtItsHead() throws Exception {
        for (String under : new String[] {"26", "20"}) {
            Files.writeString(folder.resolve("chain.yaml"), "chain: x\nsteps: [ gate: { threshold: " + under + " dB under voice } ]\n");
            assertEquals(Exit.DONE, run("render", folder.resolve("chain.yaml"), folder.resolve("take.wav"), "--out", folder.resolve("out.wav"), "--report",
                    folder.resolve("pages"), "--force"), err.toString());
            String page = Files.readString(folder.resolve("pages/report.html"));
            String look = page.substring(page.indexOf("To look at"), page.indexOf("The steps"));
            assertEquals(under.equals("26"),
                    look.contains("<a href=\"#step-1\">1, <bdi class=\"name\">gate</bdi></a></span><br>threshold: -47.2 dBFS (closes"), look);
        }
    }

    /** A script tells it from a number alone. */
    @Test
    void theJsonMarksIt() throws Exception {
        Files.writeString(folder.resolve("chain.yaml"), "chain: x\n"
                + "steps: [ gate: { threshold: 26 dB under voice }, gate: { threshold: 20 dB under voice } ]\n");
        for (String[] words : new String[][] {{"render", "--out", folder.resolve("out.wav").toString()}, {"check"}}) {
            List<Object> all = new ArrayList<>(List.of(words));
            all.addAll(List.of(folder.resolve("chain.yaml"), folder.resolve("take.wav"), "--json"));
            assertEquals(Exit.DONE, run(all.toArray()), err.toString());
            JsonArray resolved = JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("resolved");
            assertEquals(2, resolved.size(), resolved::toString);
            assertTrue(resolved.get(0).getAsJsonObject().has("advised") && resolved.get(0).getAsJsonObject().get("advised").getAsBoolean(), resolved::toString);
            assertFalse(resolved.get(1).getAsJsonObject().has("advised"), resolved::toString);
        }
    }

    /** A work whose step got a name, or another, is as it was and not made again; what is told of it has the name that there is now. */
    @Test
    void itIsToldOfTheStepAsItIsCalledNow() throws Exception {
        for (String name : new String[] {"", "name: room, ", "name: door, "}) {
            parts("lead: { take: take.wav, chain: [ trim: { level: -1 dB }, gate: { " + name + "threshold: 26 dB under voice } ] }");
            assertEquals(Exit.DONE, run("render", song, "--out", prints, "--force"), err.toString());
            String step = name.isEmpty() ? "gate" : name.substring(6, 10);
            assertTrue(err.toString().contains("lead: " + step + ": threshold 26 dB under voice = "), err.toString());
            assertEquals(1, times("closes under the noise", err.toString()), err.toString());
        }
    }

    @Test
    void theRenderOfASongTellsItAndTheCheckAfterIt() throws Exception {
        parts("lead: { take: take.wav, chain: [ gate: { threshold: 26 dB under voice } ] }");
        for (int again = 0; again < 2; again++) {
            assertEquals(Exit.DONE, run("render", song, "--out", prints, "--force"), err.toString());
            assertEquals(1, times("lead: " + OPEN, err.toString()), err.toString());
        }
        assertEquals(Exit.DONE, run("check", song), err.toString());
        assertTrue((out.toString() + err).contains("lead: " + OPEN), out.toString());
    }
}

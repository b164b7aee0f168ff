package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonArray;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A take whose one channel is the other turned over: nothing is left of it in mono, where takes are heard, and whoever hears it says so. */
class OpposedTakeTest extends Called {
    private static final String OPPOSED =
            "left and right oppose each other and cancel out in mono, where takes are heard: turn the polarity of one of them, or save one alone as the take";

    @TempDir
    Path folder;

    private Path take, chain;

    /** Two sung notes, with faint noise in the pause. */
    @BeforeEach
    void aTake() throws IOException {
        take = folder.resolve("take.wav");
        chain = folder.resolve("chain.yaml");
        double[][] x = new double[2][96_000];
        Random random = new Random(3);
        for (int i = 0; i < x[0].length; i++) {
            double t = i / 48_000.0, sung = t > 0.2 && t < 0.9 || t > 1.4 ? 0.2 : 0;
            for (int h = 1; h < 10; h++) x[0][i] += sung * Math.sin(2 * Math.PI * 220 * h * t) / h;
            x[0][i] += 1e-4 * random.nextGaussian();
            x[1][i] = -x[0][i];
        }
        try (WavWriter writer = WavWriter.create(take, Print.of(48_000, 2, SampleFormat.FLOAT_32))) {
            writer.write(x, x[0].length);
            writer.finish();
        }
    }

    @Test
    void whoeverIsGivenItSaysSo() throws IOException {
        Files.writeString(chain, "steps:\n  - trim: { level: -1 dB }\n");
        assertEquals(0, run("check", chain, take));
        assertEquals(take + ": " + OPPOSED + "\n", err.toString());
        assertEquals(0, run("render", chain, take, "--out", folder.resolve("print.wav")));
        assertEquals(take + ": " + OPPOSED + "\n", err.toString());
        for (String command : new String[] {"mark", "notes", "draft"}) {
            assertEquals(0, run(command, take, "--out", folder.resolve(command + ".yaml")), err::toString);
            assertEquals(take + ": " + OPPOSED + "\n", err.toString(), command);
            if (command.equals("draft")) continue;
            assertEquals(0, run(command, take, "--out", folder.resolve(command + ".yaml"), "--force", "--json"), err::toString);
            JsonArray remarks = JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("remarks");
            assertEquals(take + ": " + OPPOSED, remarks.get(0).getAsString());
        }
    }

    @Test
    void whatCannotBeMeasuredSaysWhy() throws IOException {
        Files.writeString(chain, "steps:\n  - compressor: { threshold: 6 dB under voice }\n");
        assertEquals(3, run("render", chain, take, "--out", folder.resolve("print.wav")));
        assertTrue(err.toString().contains("the voice of this take cannot be measured: " + OPPOSED), err.toString());
        assertEquals(0, run("measure", take));
        assertTrue(out.toString().contains("(" + OPPOSED + ")"), out.toString());
        assertFalse(out.toString().contains("Infinity"), out.toString());
        assertEquals(0, run("measure", take, "--json"));
        assertFalse(out.toString().contains("Infinity"), out.toString());
    }
}

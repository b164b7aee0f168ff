package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Base64;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.Voices;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.dsp.Samples;
import linnet.hear.Meters;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What compare and sweep write and refuse; how the page works in a browser is {@link ComparePageTest}. */
class CompareTest extends Called {
    @TempDir
    Path folder;

    /** A tone that swells and moves, so that no stretch is like another. */
    private Path wav(String name, int rate, double gain, double delay, int channels) throws IOException {
        Path file = folder.resolve(name);
        try (WavWriter writer = WavWriter.create(file, Print.of(rate, channels, SampleFormat.FLOAT_32))) {
            double[][] x = new double[channels][4 * rate];
            for (double[] channel : x) {
                for (int i = 0; i < channel.length; i++) {
                    double t = (double) i / rate - delay;
                    if (t >= 0) channel[i] = gain * (0.5 + 0.4 * Math.sin(7 * t * t)) * Math.sin(2 * Math.PI * (300 * t + 400 * t * t));
                }
            }
            writer.write(x, 4 * rate);
            writer.finish();
        }
        return file;
    }

    private JsonObject data(String page) {
        Matcher m = Pattern.compile("<script type=\"application/json\" id=\"data\">(.*?)</script>").matcher(page);
        assertTrue(m.find());
        return JsonParser.parseString(m.group(1)).getAsJsonObject();
    }

    /** The sound of a version as the page plays it. */
    private Samples heard(String page, int version) {
        JsonObject data = data(page);
        int channels = data.getAsJsonArray("versions").get(version).getAsJsonObject().get("channels").getAsInt();
        double[][] x = new double[channels][];
        for (int c = 0; c < channels; c++) {
            String id = "id=\"sound-" + version + "-" + c + "\">";
            int at = page.indexOf(id) + id.length();
            byte[] bytes = Base64.getDecoder().decode(page.substring(at, page.indexOf('<', at)));
            x[c] = new double[bytes.length / 2];
            for (int i = 0; i < x[c].length; i++) x[c][i] = (bytes[2 * i + 1] << 8 | bytes[2 * i] & 0xFF) / 32768.0 / data.get("scale").getAsDouble();
        }
        return new Samples(data.get("rate").getAsDouble(), x);
    }

    private String page(String name) throws IOException {
        return Files.readString(folder.resolve(name).resolve("compare.html"));
    }

    private double loudness(String page, int version) {
        return Meters.of(heard(page, version)).integrated().value().orElseThrow();
    }

    @Test
    void ratesThatShareNothingAreRefusedAndNotTried() throws IOException {
        assertEquals(4, run("compare", wav("a.wav", 48_000, 0.5, 0, 1), wav("b.wav", 47_999, 0.5, 0, 1), "--out", folder.resolve("out")));
        assertTrue(err.toString().contains("b.wav: 47.999 kHz and 48 kHz share so little"), err.toString());
    }

    @Test
    void whatIsOnThePageIsEquallyLoud() throws Exception {
        assertEquals(0, run("compare", wav("a.wav", 48_000, 0.9, 0, 1), wav("b.wav", 48_000, 0.02, 0, 1), "--from", "0.5", "--to", "3", "--out",
                folder.resolve("out")), err.toString());
        String page = page("out");
        assertEquals(loudness(page, 1), loudness(page, 0), 0.1);
        assertEquals(2.5 * 48_000, heard(page, 0).frames());
    }

    /** Real voices through a chain, beside the dry take: within 0.1 LU, as the trade asks. */
    @Test
    void voicesAreEquallyLoudWithinATenth() throws Exception {
        Voices.assumePresent();
        Path chain = folder.resolve("c.yaml");
        Files.writeString(chain, "steps:\n  - compressor: { ratio: 8:1, threshold: 6 dB under voice }\n  - reverb: { mix: 30 % }\n");
        for (Path voice : Voices.all().subList(0, 3)) {
            assertEquals(0, run("compare", chain, "--take", voice, "--dry", "--to", "8", "--out", folder.resolve("out"), "--force"), err.toString());
            String page = page("out");
            // Beside a stereo version a mono one comes out of both speakers, and counts 3.01 LU more.
            double dry = loudness(page, 0) + (heard(page, 0).channels() == 1 && heard(page, 1).channels() == 2 ? 3.0103 : 0);
            assertEquals(loudness(page, 1), dry, 0.1, voice.toString());
        }
    }

    @Test
    void ratesAreBroughtTogetherAndSaidSo() throws Exception {
        assertEquals(0, run("compare", wav("a.wav", 44_100, 0.5, 0, 1), wav("b.wav", 96_000, 0.5, 0, 2), "--out", folder.resolve("out")), err.toString());
        String page = page("out");
        assertEquals(96_000, heard(page, 0).rate());
        assertTrue(page.contains("Converted from 44100 Hz."));
        double[] low = heard(page, 0).data()[0], high = heard(page, 1).data()[0];
        double error = 0, power = 0;
        for (int i = 20_000; i < 300_000; i++) {
            error += (low[i] - high[i]) * (low[i] - high[i]);
            power += high[i] * high[i];
        }
        assertTrue(error < 1e-6 * power, "the same sound at two rates differs by " + 10 * Math.log10(error / power) + " dB");
    }

    @Test
    void aLateFileIsToldAndLinedUpWhereAsked() throws Exception {
        Path a = wav("a.wav", 48_000, 0.5, 0, 1), late = wav("late.wav", 48_000, 0.5, 0.25, 1);
        assertEquals(0, run("compare", a, late, "--out", folder.resolve("told")));
        assertTrue(page("told").contains("Its sound lies 12000 samples (250.0 ms) later than in the first; --align lines it up."), err.toString());
        assertEquals(0, run("compare", a, late, "--align", "--out", folder.resolve("aligned")));
        String page = page("aligned");
        assertTrue(page.contains("Lined up: it lay 12000 samples (250.0 ms) later than the first."));
        double[] one = heard(page, 0).data()[0], other = heard(page, 1).data()[0];
        double gain = Math.pow(10, (data(page).getAsJsonArray("versions").get(1).getAsJsonObject().get("gainDb").getAsDouble()
                - data(page).getAsJsonArray("versions").get(0).getAsJsonObject().get("gainDb").getAsDouble()) / 20);
        for (int i = 1000; i < 150_000; i += 37) assertEquals(one[i] * gain, other[i], 3e-4);
    }

    @Test
    void silenceIsSaidToBeUnmatched() throws Exception {
        assertEquals(0, run("compare", wav("a.wav", 48_000, 0.5, 0, 1), wav("silent.wav", 48_000, 0, 0, 1), "--out", folder.resolve("out")));
        assertTrue(page("out").contains("not matched: it is silent or too short for a loudness"));
        assertTrue(err.toString().contains("silent.wav: not matched in loudness"), err.toString());
    }

    @Test
    void aPageThatIsThereStaysUnlessForced() throws Exception {
        Path a = wav("a.wav", 48_000, 0.5, 0, 1), b = wav("b.wav", 48_000, 0.2, 0, 1), out = folder.resolve("out");
        Files.createDirectories(out);
        Files.writeString(out.resolve("compare.html"), "mine");
        Files.writeString(out.resolve("other.txt"), "mine");
        assertEquals(2, run("compare", a, b, "--out", out));
        assertEquals("mine", page("out"));
        assertEquals(0, run("compare", a, b, "--out", out, "--force"));
        assertEquals("mine", Files.readString(out.resolve("other.txt")));
        try (var files = Files.list(out)) {
            assertEquals(2, files.count());
        }
    }

    @Test
    void whatCannotBeComparedIsRefused() throws Exception {
        Path a = wav("a.wav", 48_000, 0.5, 0, 1), out = folder.resolve("out");
        Path chain = folder.resolve("c.yaml");
        Files.writeString(chain, "steps:\n  - trim: { level: -3 dB }\n");
        for (Object[] words : List.<Object[]>of(
                new Object[] {a}, new Object[] {a, chain}, new Object[] {a, a, "--dry"}, new Object[] {a, a, "--take", a}, new Object[] {a, a, "--from", "9"},
                new Object[] {a, a, "--from", "2", "--to", "1"}, new Object[] {a, a, a, a, a, a, a, a, a, a})) {
            Object[] all = Arrays.copyOf(words, words.length + 3);
            System.arraycopy(words, 0, all, 1, words.length);
            all[0] = "compare";
            all[words.length + 1] = "--out";
            all[words.length + 2] = out;
            assertEquals(2, run(all), Arrays.toString(words));
        }
        assertEquals(4, run("compare", a, folder.resolve("none.wav"), "--out", out));
        assertEquals(3, run("compare", chain, folder.resolve("none.yaml"), "--take", a, "--out", out));
        assertEquals(2, run("sweep", chain, a, "--vary", "trim.levle = 1 dB, 2 dB", "--out", out));
        assertEquals(2, run("sweep", chain, a, "--vary", "trim.level = 1 dB", "--out", out));
        assertFalse(Files.exists(out));
        assertFalse(err.toString().contains("\tat "), err.toString());
    }

    /** The dry take and the print of a passage are the same seconds of the take; else a switch between them would jump in the song. */
    @Test
    void aPassageOfThePrintIsThatOfTheTake() throws Exception {
        Path a = wav("a.wav", 48_000, 0.5, 0, 1), chain = folder.resolve("c.yaml");
        Files.writeString(chain, "steps:\n  - trim: { level: -3 dB }\n");
        assertEquals(0, run("compare", chain, "--take", a, "--dry", "--from", "1", "--to", "3", "--out", folder.resolve("out")), err.toString());
        String page = page("out");
        double[] dry = heard(page, 0).data()[0], print = heard(page, 1).data()[0];
        assertEquals(96_000, print.length);
        double gain = 0.5 * Math.pow(10, data(page).getAsJsonArray("versions").get(0).getAsJsonObject().get("gainDb").getAsDouble() / 20);
        // Both ends of the page are faded over 5 ms.
        for (int i = 300; i < 95_700; i += 97) {
            double t = 1 + i / 48_000.0, sung = gain * (0.5 + 0.4 * Math.sin(7 * t * t)) * Math.sin(2 * Math.PI * (300 * t + 400 * t * t));
            assertEquals(sung, dry[i], 1e-3, "dry, sample " + i);
            assertEquals(sung, print[i], 1e-3, "print, sample " + i);
        }
    }

    /** A level that is swept is taken back by the match: every value sounds alike, sample by sample. */
    @Test
    void aSweptLevelIsTakenBack() throws Exception {
        Path a = wav("a.wav", 48_000, 0.5, 0, 1), chain = folder.resolve("c.yaml");
        Files.writeString(chain, "steps:\n  - trim: { level: -3 dB }\n");
        assertEquals(0, run("sweep", chain, a, "--vary", "trim.level = -12 dB, 0 dB, 5 dB", "--from", "1", "--to", "3", "--out", folder.resolve("out")),
                err.toString());
        String page = page("out");
        double[] first = heard(page, 0).data()[0];
        for (int v = 1; v < 3; v++) {
            double[] x = heard(page, v).data()[0];
            for (int i = 0; i < 96_000; i += 97) assertEquals(first[i], x[i], 1e-4);
        }
        assertEquals(-17, data(page).getAsJsonArray("versions").get(2).getAsJsonObject().get("gainDb").getAsDouble(), 0.01);
    }
}

package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.Arrays;
import java.util.List;
import linnet.Rig;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.dsp.loudness.Loudness;
import linnet.render.Resolved;
import org.junit.jupiter.api.Test;

class CompressorStepTest {
    private static final double RATE = 48000;

    private static final List<String> MATCHED = List.of(
            "- compressor: { makeup: match }",
            "- compressor: { character: fast, aim: 8 dB, lookahead: 5 ms, makeup: match }",
            "- compressor: { character: optical, threshold: 10 dB under voice, makeup: match }");

    /** The meter is tested on its own against BS.1770. */
    @Test
    void matchMakesItAsLoudAsItCameIn() {
        for (String row : MATCHED) {
            assertLoudnessKept(phrases(1), row);
            assertLoudnessKept(phrases(2), row);
        }
    }

    @Test
    void matchMakesARealVoiceAsLoudAsItCameIn() throws IOException {
        Voices.assumePresent();
        try (WavFile voice = WavFile.open(Voices.file("male_sing_vocadito01.wav"))) {
            for (String row : MATCHED) assertLoudnessKept(voice, row);
        }
    }

    private static void assertLoudnessKept(Sound take, String row) {
        double[][] x = new double[take.channels()][(int) take.frames()];
        take.read(0, x, x[0].length);
        double[][] y = Rig.usual().exact().render(row, take).x();
        assertEquals(lufs(take.rate(), x), lufs(take.rate(), y), 0.1, row);
    }

    /** A long take is measured in halves; here the second is far louder, and begins in the middle of a phrase. */
    @Test
    void aLongTakeIsAsLoudAsItCameInToo() {
        assertLoudnessKept(new Samples(RATE, Arrays.copyOf(phrases(1).data()[0], 70_000)), "- compressor: { threshold: -40 dB, makeup: match }");
        for (int channels = 1; channels <= 2; channels++) {
            double[][] x = new double[channels][(int) (100.03 * 8000)];
            double[][] some = phrases(channels).data();
            for (int c = 0; c < channels; c++) {
                for (int i = 0; i < x[c].length; i++) x[c][i] = some[c][(6 * i + 24_000) % some[c].length] * (i < x[c].length / 2 ? 0.1 : 1.5);
            }
            for (String row : List.of("- compressor: { aim: 6 dB, makeup: match }",
                    "- compressor: { character: optical, ratio: 8:1, release: 5 s, threshold: -40 dB, makeup: match }",
                    "- compressor: { threshold: -40 dB, release: 5 s, makeup: match }")) {
                assertLoudnessKept(new Samples(8000, x), row);
            }
        }
    }

    /** Without settings: about 3 dB of reduction while someone sings, and the threshold told to the user. */
    @Test
    void aloneItTakesThreeDecibelsOff() {
        Samples take = phrases(1);
        Rig.Result result = Rig.usual().exact().render("- compressor", take);
        double[] taken = new double[5];
        for (int k = 0; k < taken.length; k++) {
            int from = (int) ((2 * k + 0.5) * RATE);
            taken[k] = 20 * Math.log10(rms(take.data()[0], from, from + 24000) / rms(result.mono(), from, from + 24000));
        }
        Arrays.sort(taken);
        assertEquals(3, taken[2], 1.5, Arrays.toString(taken));
        Resolved found = result.rendered().resolved().get(0);
        assertTrue(found.toString().contains("threshold"), found.toString());
    }

    /** A level of makeup is that level; a ratio of 1:1 is nothing else. */
    @Test
    void makeupIsPlainGain() {
        Samples take = phrases(1);
        double[] y = Rig.usual().exact().render("- compressor: { ratio: 1:1, threshold: -20 dB, makeup: 6 dB }", take).mono();
        double gain = StrictMath.pow(10, 0.3);
        assertArrayEquals(Arrays.stream(take.data()[0]).map(v -> v * gain).toArray(), y, 1e-15);
    }

    /** The planner takes the look-ahead out again: an onset stays where it is. */
    @Test
    void lookAheadDoesNotMoveTheTake() {
        double[] x = new double[9600];
        x[4800] = 0.01;
        double[] y = Rig.usual().exact().render("- compressor: { threshold: -20 dB, lookahead: 7 ms }", new Samples(RATE, x)).mono();
        assertArrayEquals(x, y);
    }

    @Test
    void saysWhenTheAimCannotBeReached() {
        Rig.Result result = Rig.usual().exact().render("- compressor: { aim: 30 dB, ratio: 1.2:1 }", phrases(1));
        assertTrue(result.rendered().resolved().toString().contains("cannot be reached"), result.rendered().resolved().toString());
    }

    /** Ten seconds of a buzz in phrases of different loudness, 1.5 s sung of every 2 s. */
    private static Samples phrases(int channels) {
        double[][] x = new double[channels][(int) (10 * RATE)];
        for (int i = 0; i < x[0].length; i++) {
            double t = i / RATE, s = 0;
            for (int k = 1; k <= 10; k++) s += Math.sin(2 * Math.PI * 170 * k * t + k * k) / k;
            double level = t % 2 < 1.5 ? 0.05 + 0.04 * (int) (t / 2) : 0;
            for (int c = 0; c < channels; c++) x[c][i] = level * s / (1 + c) + 1e-5 * Math.sin(i * 1.7 * i);
        }
        return new Samples(RATE, x);
    }

    /**
     * A word that the take is cut in, and one that is all there is: what comes out last, late by the look-ahead, counts too. Less than 400 ms has no loudness
     * but with silence behind it.
     */
    @Test
    void matchHearsAWordToItsEnd() {
        for (double before : new double[] {0.3, 0}) {
            for (double lookahead : new double[] {0, 90, 200}) {
                double[] x = word(before, 0.15, 0.05, 0.15, 0.5);
                double[] y = Rig.usual().exact().render("- compressor: { threshold: -40 dB, ratio: 8:1, lookahead: " + lookahead + " ms, makeup: match }",
                        new Samples(RATE, x)).mono();
                int whole = Math.max(x.length, (int) (0.4 * RATE));
                assertEquals(lufs(RATE, new double[][] {Arrays.copyOf(x, whole)}), lufs(RATE, new double[][] {Arrays.copyOf(y, whole)}), 0.1,
                        before + " s before it, " + lookahead + " ms");
            }
        }
    }

    /** Where the loud half of what is sung comes last, the median lies in it. */
    @Test
    void anAimHearsAWordToItsEnd() {
        double[] x = word(0.1, 0.68, 0.05, 0.52, 0.5);
        double[] y = Rig.usual().exact().render("- compressor: { aim: 4 dB, lookahead: 200 ms }", new Samples(RATE, x)).mono();
        double[] taken = new double[120];
        for (int k = 0; k < taken.length; k++) {
            int from = (int) ((0.1 + 0.01 * k) * RATE), to = from + (int) (0.01 * RATE);
            taken[k] = 20 * Math.log10(rms(x, from, to) / rms(y, from, to));
        }
        Arrays.sort(taken);
        assertEquals(4, taken[60], 0.5, Arrays.toString(taken));
    }

    /** A pause and a buzz, soft and then loud, to the end; in seconds. */
    private static double[] word(double pause, double soft, double low, double loud, double high) {
        double[] x = new double[(int) Math.round((pause + soft + loud) * RATE)];
        for (int i = 0; i < x.length; i++) {
            double t = i / RATE;
            if (t >= pause) for (int k = 1; k <= 10; k++) x[i] += (t < pause + soft ? low : high) / 3 * Math.sin(2 * Math.PI * 170 * k * t + k * k) / k;
            x[i] += 1e-5 * Math.sin(i * 1.7 * i);
        }
        return x;
    }

    private static double lufs(double rate, double[][] x) {
        Loudness meter = new Loudness(rate, x.length);
        meter.add(x, x[0].length);
        return meter.integrated();
    }

    private static double rms(double[] x, int from, int to) {
        return Math.sqrt(Arrays.stream(x, from, to).map(v -> v * v).average().orElseThrow());
    }

    /** The threshold jumps where the take becomes soft; the steps before only make it late. */
    @Test
    void matchMeasuresWhatMovesInTheTimeOfTheTake() {
        double[] x = new double[(int) (4 * RATE)];
        for (int i = 0; i < x.length; i++) for (int k = 1; k < 5; k++) x[i] += (i < 2 * RATE ? 0.27 : 0.07) / k * Math.sin(2 * Math.PI * 220 * k * i / RATE);
        Samples take = new Samples(RATE, x);
        String row = "- compressor: { threshold: { 0 s: -40 dB, 1.99 s: -40 dB, 2 s: 0 dB }, ratio: 10:1, makeup: match }",
                late = "- gate: { threshold: -60 dB, floor: 0 dB, lookahead: 200 ms }\n";
        double[] alone = Rig.usual().exact().render(row, take).mono(), behind = Rig.usual().exact().render(late + late + row, take).mono();
        assertEquals(lufs(RATE, new double[][] {alone}), lufs(RATE, new double[][] {behind}), 0.01);
    }
}

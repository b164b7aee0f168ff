package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.Rig;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.dsp.Samples;
import linnet.dsp.loudness.TruePeak;
import linnet.hear.Mark;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The steps without a setting, through the whole engine. Limits: the trade's acceptance checks; common practice. */
class GateDeEssLimitTest {
    private static final int RATE = 48000;

    private static Samples voice(String name) throws IOException {
        try (WavFile file = WavFile.open(Voices.file(name + ".wav"))) {
            double[][] x = new double[file.channels()][(int) file.frames()];
            file.read(0, x, x[0].length);
            return new Samples(file.rate(), x);
        }
    }

    private static double[] through(String row, Samples take) {
        return Rig.usual().exact().render(row, take).mono();
    }

    private static double rmsDb(double[] x, double rate, double from, double to) {
        double[] part = Arrays.copyOfRange(x, (int) (from * rate), (int) (to * rate));
        return 10 * Math.log10(Arrays.stream(part).map(v -> v * v).average().orElseThrow());
    }

    /** Two seconds of pause at that noise, one of voice, three of pause. */
    private static Samples phrase(double noiseDb) {
        double[] x = new double[6 * RATE];
        Random random = new Random(1);
        for (int i = 0; i < x.length; i++) {
            x[i] = Math.pow(10, noiseDb / 20) * random.nextGaussian();
            if (i >= 2 * RATE && i < 3 * RATE) for (int k = 1; k < 8; k++) x[i] += 0.1 / k * Math.sin(2 * Math.PI * 200 * k * i / RATE);
        }
        return new Samples(RATE, x);
    }

    @ParameterizedTest
    @ValueSource(doubles = {-45, -60, -80})
    void gateAloneLowersTheNoiseOfAnyRoom(double noiseDb) {
        Samples take = phrase(noiseDb);
        double[] x = take.data()[0], y = through("- gate", take);
        assertEquals(12, rmsDb(x, RATE, 0.5, 1.8) - rmsDb(y, RATE, 0.5, 1.8), 0.5);
        assertEquals(12, rmsDb(x, RATE, 5, 6) - rmsDb(y, RATE, 5, 6), 0.5);
        assertArrayEquals(Arrays.copyOfRange(x, 2 * RATE, 3 * RATE), Arrays.copyOfRange(y, 2 * RATE, 3 * RATE), 1e-5);
    }

    /** What it tells to write instead is told no more once it is written. */
    @ParameterizedTest
    @ValueSource(strings = {"4 dB", "12 dB", "17.5 dB", "24 dB"})
    void whatIsToldOfAGateCanBeWritten(String hysteresis) {
        String chain = "- gate: { threshold: %s, hysteresis: " + hysteresis + " }";
        String told = Rig.usual().render(chain.formatted("2 dB over noise"), phrase(-50)).rendered().resolved().toString();
        Matcher remedy = Pattern.compile("so never in the pauses: write (.*?)\\)").matcher(told);
        assertTrue(remedy.find(), told);
        String then = Rig.usual().render(chain.formatted(remedy.group(1)), phrase(-50)).rendered().resolved().toString();
        assertTrue(then.contains("threshold") && !then.contains("closes"), then);
    }

    /** A threshold against the voice may lie so near the room that what the gate closes under is never there. */
    @Test
    void gateThatNeverClosesInThePausesIsTold() {
        Samples take = phrase(-50);
        double[] x = take.data()[0];
        for (String under : new String[] {"20", "26"}) {
            Rig.Result result = Rig.usual().exact().render("- gate: { threshold: " + under + " dB under voice }", take);
            boolean never = rmsDb(x, RATE, 5, 6) - rmsDb(result.mono(), RATE, 5, 6) < 1;
            String found = result.rendered().resolved().toString();
            assertEquals(never, found.contains("(closes under the noise of -50.2 dBFS, so never in the pauses: write 10 dB over noise)"), found);
            assertEquals(under.equals("26"), never, found);
        }
        String near = Rig.usual().render("- gate: { threshold: 2 dB over noise }", take).rendered().resolved().toString();
        assertTrue(near.contains("closes under the noise"), near);
        String wide = Rig.usual().render("- gate: { threshold: 20 dB under voice, hysteresis: 12 dB }", take).rendered().resolved().toString();
        assertTrue(wide.contains("closes under the noise"), wide);
        String empty = Rig.usual().render("- gate: { threshold: 40 dB under voice }", phrase(-400)).rendered().resolved().toString();
        assertTrue(!empty.contains("closes"), empty);
    }

    @Test
    void gateAloneServesATakeWhosePausesWereEmptied() {
        Samples take = phrase(-400);
        Rig.Result result = Rig.usual().exact().render("- gate", take);
        assertArrayEquals(Arrays.copyOfRange(take.data()[0], 2 * RATE, 3 * RATE), Arrays.copyOfRange(result.mono(), 2 * RATE, 3 * RATE), 1e-5);
        String found = result.rendered().resolved().toString();
        assertTrue(found.contains("-60 dB") && found.contains("cannot be measured"), found);
    }

    @Test
    void theGateGoesDownToTheFloorAskedFor() {
        Samples take = phrase(-60);
        double[] x = take.data()[0], y = through("- gate: { threshold: -40 dB, floor: -20 dB }", take);
        assertEquals(20, rmsDb(x, RATE, 0.5, 1.8) - rmsDb(y, RATE, 0.5, 1.8), 0.5);
    }

    /** Sibilants and breaths: `voices/README.md`. */
    @ParameterizedTest
    @CsvSource({
        "male_sing_vocadito01, 4.69, 4.88", "male_sing_vocadito01, 24.90, 25.05", "male_sing_pjs063, 4.03, 4.17", "male_sing_pjs063, 8.67, 8.80",
        "male_sing_pjs063, 10.49, 10.63", "female_sing_nit004_take1, 7.45, 7.55", "male_speech_sibilant_pjs005, 0.76, 0.84"
    })
    void deEssAloneFindsTheSinger(String name, double from, double to) throws IOException {
        Voices.assumePresent();
        Samples take = voice(name);
        assertEquals(5, rmsDb(take.data()[0], take.rate(), from, to) - rmsDb(through("- de-ess", take), take.rate(), from, to), 1.5);
    }

    @Test
    void deEssAloneServesATakeWithoutSibilants() throws IOException {
        Voices.assumePresent();
        Samples take = voice("female_sing_aah_sms");
        double[] y = through("- de-ess", take);
        for (double from = 0.5; from < 5; from += 0.5) {
            assertEquals(rmsDb(take.data()[0], take.rate(), from, from + 0.5), rmsDb(y, take.rate(), from, from + 0.5), 0.01);
        }
    }

    /** Noise like an s at -50 dBFS, which nobody would lower, 0.3 s before the first word. */
    @ParameterizedTest
    @ValueSource(strings = {"- de-ess", "- de-ess: { band: 7 kHz }"})
    void deEssLeavesABreathBeforeTheFirstWord(String row) {
        double[] x = breathAndWord(-50);
        double[] y = through(row, new Samples(RATE, x));
        for (double at = 0.5; at < 0.78; at += 0.02) assertEquals(rmsDb(x, RATE, at, at + 0.02), rmsDb(y, RATE, at, at + 0.02), 0.3, "at " + at);
        assertEquals(5, rmsDb(x, RATE, 2.03, 2.1) - rmsDb(y, RATE, 2.03, 2.1), 0.5, "the s");
    }

    /** A breath as loud as an s is told by the list of marks alone. */
    @ParameterizedTest
    @ValueSource(strings = {"- de-ess", "- de-ess: { band: 7 kHz }"})
    void deEssLeavesWhatIsMarkedAsABreath(String row) {
        double[] x = breathAndWord(-30);
        Mark breath = new Mark(Mark.Kind.BREATH, (long) (0.5 * RATE), (long) (0.8 * RATE), 1, false);
        Mark sibilant = new Mark(Mark.Kind.SIBILANT, 2 * RATE, (long) (2.1 * RATE), 0.9, false);
        double[] y = Rig.usual().exact().render(row, new Samples(RATE, x), List.of(breath, sibilant)).mono();
        for (double at = 0.52; at < 0.78; at += 0.02) assertEquals(rmsDb(x, RATE, at, at + 0.02), rmsDb(y, RATE, at, at + 0.02), 0.05, "at " + at);
        assertEquals(5, rmsDb(x, RATE, 2.03, 2.1) - rmsDb(y, RATE, 2.03, 2.1), 0.5, "the s");
    }

    /** A room at -80 dBFS, hiss from 0.5 to 0.8 s, a vowel from there to 2 s and from 2.1 to 3 s, an s at -25 dBFS between. */
    private static double[] breathAndWord(double breathDb) {
        double[] x = new double[4 * RATE];
        Random random = new Random(1);
        double before = 0;
        for (int i = 0; i < x.length; i++) {
            double t = (double) i / RATE, noise = random.nextGaussian(), hiss = (noise - before) / Math.sqrt(2);
            before = noise;
            x[i] = 1e-4 * noise;
            if (t >= 0.5 && t < 0.8) x[i] += Math.pow(10, breathDb / 20) * hiss;
            else if (t >= 2 && t < 2.1) x[i] += Math.pow(10, -25 / 20.0) * hiss;
            else if (t >= 0.8 && t < 3) for (int k = 1; k < 8; k++) x[i] += 0.3 / k * Math.sin(2 * Math.PI * 200 * k * i / RATE);
        }
        return x;
    }

    /** Noise at -50 dBFS before the first vowel of a take that was recorded hot. */
    @ParameterizedTest
    @ValueSource(strings = {"- de-ess: { most: 6 dB }", "- de-ess: { band: 5 kHz, most: 6 dB }"})
    void deEssLeavesTheBreathBeforeTheFirstWordOfAVoice(String row) throws IOException {
        Voices.assumePresent();
        Samples take = voice("male_sing_hot_vocadito10");
        double[] x = take.data()[0], y = through(row, take);
        for (double at = 0.26; at < 0.37; at += 0.02) assertEquals(rmsDb(x, take.rate(), at, at + 0.02), rmsDb(y, take.rate(), at, at + 0.02), 0.3, "at " + at);
    }

    @Test
    void limitAloneHoldsTruePeaks() throws IOException {
        Voices.assumePresent();
        Samples take = voice("male_sing_hot_vocadito10");
        double[] y = through("- trim: { level: 8 dB }\n- limit", take);
        TruePeak meter = new TruePeak(1);
        meter.add(new double[][] {y}, y.length);
        assertTrue(meter.dbtp() <= -1 && meter.dbtp() > -1.5, "reads " + meter.dbtp());
    }

    @Test
    void limitLeavesAQuietTakeAlone() {
        Samples take = phrase(-60);
        assertArrayEquals(take.data()[0], through("- limit", take));
    }

    /** At 8 kHz there is no sibilance at 9 kHz, and nothing to lower. */
    @Test
    void aBandAboveHalfTheRateIsEmpty() {
        Random random = new Random(4);
        double[] x = new double[16_000];
        for (int i = 0; i < x.length; i++) x[i] = i % 2000 < 1000 ? 0.1 * Math.sin(2 * Math.PI * 220 * i / 8000) : 0.05 * random.nextGaussian();
        assertArrayEquals(x, through("- de-ess: { band: 9 kHz }", new Samples(8000, x)), 1e-9);
    }
}

package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import linnet.Rig;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.dsp.Samples;
import linnet.dsp.loudness.Loudness;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ReverbStepTest {
    private static final double RATE = 48000;

    /** Output sample 0 is take sample 0: a click at 0.1 s has its first reflection the pre-delay later, to 1 ms. */
    @ParameterizedTest
    @CsvSource({"network, 0 ms, 0", "network, 7 ms, 7", "network, 80 ms, 80", "combs, 5 ms, 5", "combs, 40 ms, 40", "combs, 1/64, 31.25"})
    void thePreDelayCountsFromTheTake(String build, String preDelay, double ms) {
        double[] click = new double[24000];
        click[4800] = 0.5;
        Rig.Result result = Rig.usual().render(Rig.usual().read(
                "tempo: 120\nsteps:\n- reverb: { build: " + build + ", pre-delay: " + preDelay + ", mix: 100 % }\n"), Rig.mono(RATE, click));
        assertEquals(2, result.x().length);
        double most = 0;
        for (double v : result.x()[0]) most = Math.max(most, Math.abs(v));
        int first = 0;
        while (Math.abs(result.x()[0][first]) < 0.05 * most) first++;
        assertEquals(ms, (first - 4800) * 1000 / RATE, 1);
    }

    @Test
    void anyBlockGivesTheSameBits() {
        String steps = "- reverb: { duck: 6 dB, duck threshold: -20 dB, width: { 0 s: 100 %, 0.4 s: 20 % }, high-pass: { 0 s: 100 Hz, 0.3 s: 800 Hz } }";
        double[][] whole = Rig.usual().render(steps, Rig.mono(RATE, burst())).x();
        double[][] cut = Rig.usual().block(37).render(steps, Rig.mono(RATE, burst())).x();
        assertArrayEquals(whole[0], cut[0], 0);
        assertArrayEquals(whole[1], cut[1], 0);
    }

    /** The print runs on until the tail of -60 dB in 1.4 s has sunk below -90 dBFS. */
    @Test
    void theTailIsNotCut() {
        double[][] y = Rig.usual().render("- reverb", Rig.mono(RATE, burst())).x();
        double end = 0;
        for (int i = y[0].length - 24000; i < y[0].length; i++) end = Math.max(end, Math.abs(y[0][i]));
        assertTrue(y[0].length > 1.4 * RATE);
        assertTrue(end < Math.pow(10, -90 / 20.0));
    }

    /** Brought to mono, two independent sides keep their loudness within 0.5 dB. */
    @Test
    void widthDoesNotChangeTheLoudness() {
        Samples take = Rig.mono(RATE, burst());
        double wide = loudness(Rig.usual().render("- reverb: { mix: 100 % }", take).x());
        double[][] narrow = Rig.usual().render("- reverb: { mix: 100 %, width: 0 % }", take).x();
        assertEquals(wide, loudness(narrow), 0.5);
        assertArrayEquals(narrow[0], narrow[1], 1e-12);
    }

    /**
     * A real sung take, all wet, is as loud as dry whatever the room: within 1.5 LU, as a gated loudness also counts the tails in
     * the rests.
     */
    @Test
    void aVoiceIsAsLoudWetAsDry() throws Exception {
        Voices.assumePresent();
        for (Path path : Voices.all()) {
            if (!path.getFileName().toString().matches("female_sing_nit004_take1.*|male_sing_pjs063.*")) continue;
            double[] dry;
            double rate;
            try (WavFile file = WavFile.open(path)) {
                rate = file.rate();
                dry = new double[(int) Math.min(file.frames(), 8 * rate)];
                double[][] into = new double[file.channels()][dry.length];
                file.read(0, into, dry.length);
                dry = into[0];
            }
            double reference = loudness(rate, new double[][] {dry, dry});
            for (String build : new String[] {"network", "combs"}) {
                for (String decay : new String[] {"0.4 s", "1.4 s", "3 s", "6 s"}) {
                    double[][] wet = Rig.usual().exact().render("- reverb: { build: " + build + ", decay: " + decay
                            + ", high-pass: 20 Hz, low-pass: 20 kHz, mix: 100 % }", Rig.mono(rate, dry)).x();
                    double difference = loudness(rate, wet) - reference;
                    assertEquals(0, difference, 1.5, path.getFileName() + " " + build + " " + decay);
                }
            }
        }
    }

    private static double loudness(double[][] y) {
        return loudness(RATE, y);
    }

    private static double loudness(double rate, double[][] y) {
        Loudness loudness = new Loudness(rate, 2);
        loudness.add(y, y[0].length);
        return loudness.integrated();
    }

    private static double[] burst() {
        java.util.Random random = new java.util.Random(2);
        double[] x = new double[48000];
        for (int i = 0; i < 24000; i++) x[i] = 0.1 * random.nextGaussian();
        return x;
    }
}

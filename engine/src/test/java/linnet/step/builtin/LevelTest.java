package linnet.step.builtin;

import static linnet.step.builtin.Tidied.RATE;
import static linnet.step.builtin.Tidied.found;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.Random;
import linnet.Rig;
import linnet.Voices;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** One gain for a take. -18 dBFS as the level to work at: common practice. */
class LevelTest {
    private static final Samples LEAD = Tidied.take(Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), RATE));

    private static Rig.Result through(String row, Samples take) {
        return Rig.usual().exact().render(row, take);
    }

    private static double voice(Samples take, double[]... y) {
        return new Ear(new Samples(take.rate(), y)).voice().value().orElseThrow();
    }

    @Test
    void whatIsSungComesToTheLevelAsked() {
        assertEquals(-18, voice(LEAD, through("- level", LEAD).mono()), 0.05);
        assertEquals(-27.5, voice(LEAD, through("- level: { to: -27.5 dBFS }", LEAD).mono()), 0.05);
    }

    @Test
    void itIsOneGain() {
        double[] x = LEAD.data()[0], y = through("- level", LEAD).mono();
        double gain = y[RATE] / x[RATE];
        for (int i = 0; i < x.length; i++) assertEquals(gain * x[i], y[i], 1e-12);
    }

    @ParameterizedTest
    @ValueSource(strings = {"female_sing_nit004_take1", "male_sing_pjs063", "male_sing_vocadito01", "male_sing_hot_vocadito10", "female_sing_aah_sms"})
    void everyVoiceComesToTheLevelAsked(String name) throws IOException {
        Voices.assumePresent();
        Samples take = Tidied.voice(name);
        assertEquals(-18, voice(take, through("- level", take).mono()), 0.05);
    }

    @Test
    void itLiftsNoFurtherThanItMay() {
        Rig.Result result = through("- level: { to: -10 dBFS, most: 6 dB }", quieter(LEAD, 0.1));
        assertEquals(voice(LEAD, quieter(LEAD, 0.1).data()) + 6, voice(LEAD, result.mono()), 0.05);
        assertTrue(found(result).contains("6 dB, the most it may do"), found(result));
    }

    /** Where the stereo voice stands is kept. */
    @Test
    void bothChannelsHaveTheSameGain() {
        Samples stereo = new Samples(RATE, LEAD.data()[0], quieter(LEAD, 0.3).data()[0]);
        double[][] y = through("- level", stereo).x();
        for (int i = 0; i < y[0].length; i++) assertEquals(0.3 * y[0][i], y[1][i], 1e-12);
        assertEquals(-18, voice(stereo, y), 0.05);
    }

    @Test
    void whereNobodySingsNothingIsDone() {
        double[] noise = new Random(1).doubles(3 * RATE, -0.01, 0.01).toArray();
        Rig.Result result = through("- level", new Samples(RATE, noise));
        assertArrayEquals(noise, result.mono(), 0);
        assertTrue(found(result).contains("nobody sings"), found(result));
    }

    private static Samples quieter(Samples take, double gain) {
        double[] x = take.data()[0].clone();
        for (int i = 0; i < x.length; i++) x[i] *= gain;
        return new Samples(take.rate(), x);
    }
}

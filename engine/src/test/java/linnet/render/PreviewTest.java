package linnet.render;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import linnet.dsp.Samples;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A stretch late in a song, heard in the mix that is begun shortly before it, against the same stretch of the print. */
class PreviewTest {
    private static final double FROM = 15, TO = 17;
    @TempDir
    Path folder;
    private double[] x;

    /** Eighteen seconds of hum, and hiss of -50 dBFS in the middle of each second; from 16.5 s on someone sings. */
    @BeforeEach
    void song() {
        double[] noise = SongRig.noise(1, 18, 1).data()[0];
        x = new double[noise.length];
        for (int i = 1; i < x.length; i++) {
            double t = i / SongRig.RATE;
            if (t % 1 > 0.3 && t % 1 < 0.6 && t < 16.5) x[i] += 0.003 * (noise[i] - noise[i - 1]);
            if (t > 16.5) for (int k = 1; k < 12; k++) x[i] += 0.2 / k * Math.sin(2 * Math.PI * 200 * k * t);
        }
    }

    private static String song(String chain) {
        return """
                parts: { one: { take: a.wav } }
                mix: { chain: [ CHAIN ] }
                prints: [ mix ]
                """.replace("CHAIN", chain);
    }

    /** The largest difference between both, in dBFS. */
    private double difference(String chain) throws Exception {
        Samples take = new Samples(SongRig.RATE, x);
        double[] print = new SongRig(folder).render(song(chain), 1, take).get("mix")[0], preview = new SongRig(folder).preview(song(chain), FROM, TO, take)[0];
        assertTrue(SongRig.db(preview, 0, TO - FROM) > -60, "nothing is heard");
        double most = 0;
        for (int i = 0; i < preview.length; i++) most = Math.max(most, Math.abs(preview[i] - print[(int) (FROM * SongRig.RATE) + i]));
        return 20 * Math.log10(most + 1e-15);
    }

    @Test
    void aPlainMixIsThatOfThePrint() throws Exception {
        assertTrue(difference("trim: { level: -1 dB }") < -200);
    }

    /** It leaves what is as soft as a breath beside the voice that is to come. */
    @Test
    void aDeEsserKnowsWhatIsToCome() throws Exception {
        assertTrue(difference("de-ess: { most: 12 dB }") < -90);
    }

    /** A hum is found by its phase, too. */
    @Test
    void aHumIsTakenAwayWhereItIs() throws Exception {
        for (int i = 0; i < x.length; i++) x[i] += 0.003 * Math.sin(2 * Math.PI * 50.01 * i / SongRig.RATE);
        Samples take = new Samples(SongRig.RATE, x);
        double[] preview = new SongRig(folder).preview(song("hum"), FROM, TO, take)[0], plain = new SongRig(folder).preview(song("trim: { level: 0 dB }"), FROM, TO, take)[0];
        assertTrue(low(plain) > -60, "no hum at " + low(plain));
        assertTrue(low(preview) < low(plain) - 20, "hum at " + low(preview) + " of " + low(plain));
    }

    /** Around 50 Hz, where nobody breathes or sings. */
    private static double low(double[] y) {
        double re = 0, im = 0;
        int n = (int) (0.3 * SongRig.RATE);
        for (int i = 0; i < n; i++) {
            double w = 1 - Math.cos(2 * Math.PI * i / n);
            re += w * y[i] * Math.cos(2 * Math.PI * 50.01 * i / SongRig.RATE) / n * 2;
            im += w * y[i] * Math.sin(2 * Math.PI * 50.01 * i / SongRig.RATE) / n * 2;
        }
        return 10 * Math.log10(re * re + im * im);
    }

    /** Backwards the end of the song is heard at its beginning. */
    @Test
    void whatIsPlayedBackwardsIsThatOfThePrint() throws Exception {
        for (int i = 0; i < x.length; i++) x[i] += 0.1 * Math.sin(i * 1e-2 + i * (double) i * 1e-8);
        assertTrue(difference("reverse") < -90);
    }

    /** By the list of what was heard in the stretch: a pop a second. */
    @Test
    void popsAreLoweredWhereTheyAre() throws Exception {
        for (int i = 0; i < x.length; i++) {
            double t = i / SongRig.RATE;
            x[i] = 0;
            for (int k = 1; k < 12; k++) if (t % 1 > 0.35) x[i] += 0.1 / k * Math.sin(2 * Math.PI * 200 * k * t);
            double p = t % 1 - 0.25;
            if (p > 0) x[i] += 0.5 * Math.sin(2 * Math.PI * 30 * p) * Math.exp(-p / 0.04) * (1 - Math.exp(-p / 0.003));
        }
        assertTrue(difference("pops: { lower: 20 dB }") < -60);
    }
}

package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import linnet.dsp.Samples;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

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

    /** It turns down before what is loud, which here comes 2 ms after the stretch. */
    @Test
    void aLimiterKnowsOfAPeakRightAfterTheStretch() throws Exception {
        for (double t = TO + 0.002; t < TO + 0.004; t += 1 / SongRig.RATE) x[(int) Math.round(t * SongRig.RATE)] = 0.99;
        assertTrue(difference("limit: { ceiling: -12 dBTP, lookahead: 5 ms }") < -90);
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
        double[] preview = new SongRig(folder).preview(song("hum"), FROM, TO, take)[0],
                plain = new SongRig(folder).preview(song("trim: { level: 0 dB }"), FROM, TO, take)[0];
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

    /** A stretch in the place of a work is heard by nobody who hears all of it: a later print finds nothing of it in the store. */
    @ParameterizedTest
    @ValueSource(strings = {
            "groups: { all: { parts: [ one ], chain: [ compressor: { ratio: 2:1, aim: 3 dB } ] } }",
            "groups: { all: { parts: [ one ], chain: [ compressor: { ratio: 2:1, threshold: 3 dB under voice } ] } }",
            "groups: { all: { parts: [ one ], chain: [ trim ], sends: { back: 0 dB } } }\nreturns: { back: { chain: [ reverse ] } }",
            "returns: { room: { chain: [ compressor: { aim: 3 dB } ] } }\nmoves: { chorus: { one to room: +2 dB } }"})
    void aPrintAfterItIsAsIfThereHadBeenNone(String rest) throws Exception {
        Samples take = SongRig.sung(1, 20, 0.1);
        for (int i = 0; i < 5 * SongRig.RATE; i++) take.data()[0][i] *= 0.1;
        afterPreview("parts: { one: { take: a.wav, chain: [ trim: { level: -1 dB } ]" + (rest.contains("room") ? ", sends: { room: -6 dB }" : "") + " } }\n"
                + rest + "\nprints: [ mix ]\n", take);
    }

    /** A double that is drawn onto the lead is so in a preview, and its own chain hears it so. */
    @ParameterizedTest
    @ValueSource(strings = {"tidy: { like: one }", "tidy: { like: one, level: -30 dBFS }, chain: [ compressor: { ratio: 2:1, aim: 3 dB } ]"})
    void aTidiedPartIsThatOfThePrint(String two) throws Exception {
        double[] sung = SongRig.sung(2, 20, 0.1).data()[0], late = new double[sung.length];
        int by = (int) (0.06 * SongRig.RATE);
        System.arraycopy(sung, 0, late, by, late.length - by);
        afterPreview("parts: { one: { take: a.wav }, two: { take: b.wav, " + two + " } }\nprints: [ mix ]\n", SongRig.sung(1, 20, 0.1),
                new Samples(SongRig.RATE, late));
    }

    /** Where the print of another part is cut, the join is looked for in all of it. */
    @Test
    void aPartOfAPrintIsThatOfThePrint() throws Exception {
        Samples take = SongRig.sung(1, 20, 0.1);
        for (int i = 0; i < 5 * SongRig.RATE; i++) take.data()[0][i] *= 0.1;
        afterPreview("parts: { one: { take: a.wav, chain: [ trim: { level: -1 dB } ] }, two: { from: one, edits: [ { cut: 1.1 s to 1.45 s, close: yes } ], "
                + "level: -6 dB } }\nprints: [ mix ]\n", take);
    }

    private void afterPreview(String song, Samples... takes) throws Exception {
        double[][] fresh = new SongRig(folder).render(song, 2, takes).get("mix"), preview = new SongRig(folder).preview(song, FROM, TO, takes);
        Files.move(folder.resolve("store of previews"), folder.resolve("store 1"));
        double[][] after = new SongRig(folder).render(song, 1, takes).get("mix");
        for (int c = 0; c < 2; c++) {
            assertArrayEquals(fresh[c], after[c], "a print after it");
            for (int i = 0; i < preview[c].length; i++) assertEquals(fresh[c][(int) (FROM * SongRig.RATE) + i], preview[c][i], 1e-4, "at " + i);
        }
    }
}

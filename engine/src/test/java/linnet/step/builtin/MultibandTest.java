package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import java.util.stream.Collectors;
import linnet.Rig;
import linnet.dsp.Samples;
import linnet.render.Resolved;
import linnet.render.SharesRig;
import org.junit.jupiter.api.Test;

class MultibandTest {
    private static final double RATE = 48000;

    /** At rest the bands sum to an all-pass: the level of a tone at, between and far from the splits stays. */
    @Test
    void atRestTheBandsSumFlat() {
        List<String> rows = List.of(
                "- multiband: { splits: [ 180 Hz ], bands: [ { threshold: 0 dB }, {} ] }",
                "- multiband: { splits: [ 500 Hz, 1.5 kHz ], bands: [ { threshold: 0 dB }, { threshold: 0 dB } ] }",
                "- multiband: { splits: [ 150 Hz, 400 Hz, 2 kHz, 6 kHz ], bands: [ {}, {}, {}, {}, {} ] }");
        for (String row : rows) {
            for (double hz : new double[] {40, 100, 150, 180, 300, 500, 900, 1500, 3000, 6000, 15000}) {
                double[] y = Rig.usual().exact().render(row, tone(hz, 0.1)).mono();
                assertEquals(20 * Math.log10(0.1), levelDb(y, hz), 0.01, row + " at " + hz);
            }
        }
    }

    /**
     * The bands of fourth-order Linkwitz-Riley crossovers sum to all-passes (Linkwitz, JAES 24(1), 1976): what is added to them must have passed the same, or
     * it cancels where they turn by half a round. Told by impulse responses: of a mix, of branches side by side, and of both one in the other.
     */
    @Test
    void besideItsDrySignalAMultibandThatDoesNothingIsFlat() {
        String bands = "multiband: { splits: [ 200 Hz, 2 kHz ], bands: [ {}, {}, {} ]", other = "multiband: { splits: [ 700 Hz ], bands: [ {}, {} ]";
        for (int mix : new int[] {0, 25, 50, 75, 100}) assertFlat(0, "- " + bands + ", mix: " + mix + " % }");
        assertFlat(0, "- multiband: { bands: [ { threshold: 0 dB } ], mix: 50 % }");
        assertFlat(20 * Math.log10(2), "- parallel: [ { level: 0 dB }, { steps: [ " + bands + " } ] } ]");
        assertFlat(20 * Math.log10(3), "- parallel: [ {}, { steps: [ " + bands + " } ] }, {} ]");
        assertFlat(20 * Math.log10(2), "- parallel: [ { steps: [ " + other + " }, " + bands + " } ] }, { steps: [ " + bands + ", mix: 30 % } ] } ]");
        assertFlat(20 * Math.log10(2),
                "- parallel: [ { steps: [ " + other + " } ] }, { steps: [ { parallel: [ { level: -6.0206 dB }, { level: -6.0206 dB, steps: [ " + bands
                + " } ] } ] } ] } ]");
        assertFlat(20 * Math.log10(1.5), "- { parallel: [ { steps: [ " + bands + " } ] }, { steps: [ " + other + " } ] } ], mix: 50 % }");
    }

    /** Each band's gain is then between 1 and its own, and so is that of what lies between two bands. */
    @Test
    void mixedEachBandIsBetweenDryAndWet() {
        String row = "- multiband: { splits: [ 500 Hz ], bands: [ { threshold: -26.0206 dB, ratio: 4:1, knee: 0 dB, key high-pass: off }, {} ]";
        for (double hz : new double[] {60, 300, 500, 800, 3000}) {
            double dry = Math.pow(10, levelDb(Rig.usual().exact().render("- trim", tone(hz, 0.5)).mono(), hz) / 20);
            double wet = Math.pow(10, levelDb(Rig.usual().exact().render(row + " }", tone(hz, 0.5)).mono(), hz) / 20);
            double mixed = Math.pow(10, levelDb(Rig.usual().exact().render(row + ", mix: 40 % }", tone(hz, 0.5)).mono(), hz) / 20);
            assertEquals(0.6 * dry + 0.4 * wet, mixed, 0.002 * dry, "at " + hz);
        }
    }

    /** As stems need it: of a mix, and of branches. */
    @Test
    void whatSharesOfASumAreMadeIntoAddsUpBesideTheDrySignalToo() {
        double[] low = tone(80, 0.3).data()[0], high = tone(3000, 0.1).data()[0], both = new double[low.length];
        for (int i = 0; i < both.length; i++) both[i] = low[i] + high[i];
        for (String row : List.of("- multiband: { bands: [ { threshold: -30 dB } ], mix: 60 % }",
                "- parallel: [ {}, { steps: [ multiband: { splits: [ 2 kHz ], bands: [ {}, { threshold: -30 dB } ] } ] } ]")) {
            Samples whole = new Samples(RATE, both);
            double[] sum = SharesRig.sum(Rig.usual().chain(row), whole, List.of(new Samples(RATE, low), new Samples(RATE, high))).orElseThrow()[0];
            assertArrayEquals(Rig.usual().exact().render(row, whole).mono(), Arrays.copyOf(sum, both.length), 1e-9, row);
        }
    }

    private static void assertFlat(double gainDb, String row) {
        double[] impulse = new double[(int) RATE];
        impulse[100] = 1;
        double[] y = Rig.usual().exact().render(row, new Samples(RATE, impulse)).x()[0];
        for (double hz = 20; hz <= 20_000; hz *= 1.02) {
            double re = 0, im = 0;
            for (int i = 0; i < impulse.length; i++) {
                re += y[i] * StrictMath.cos(2 * Math.PI * hz * i / RATE);
                im += y[i] * StrictMath.sin(2 * Math.PI * hz * i / RATE);
            }
            assertEquals(gainDb, 20 * Math.log10(Math.hypot(re, im)), 0.01, row + " at " + hz);
        }
    }

    /** A loud low tone is turned down by its band's static curve and takes nothing else with it. */
    @Test
    void eachBandMindsItself() {
        double[] low = tone(60, 0.5).data()[0], high = tone(4000, 0.1).data()[0];
        double[] both = new double[low.length];
        for (int i = 0; i < both.length; i++) both[i] = low[i] + high[i];
        String row = "- multiband: { splits: [ 500 Hz ], bands: [ { threshold: -26.0206 dB, ratio: 4:1, knee: 0 dB, key high-pass: off }, {} ] }";
        double[] y = Rig.usual().exact().render(row, new Samples(RATE, both)).mono();
        assertEquals(20 * Math.log10(0.1), levelDb(y, 4000), 0.01);
        // 20 dB over the threshold at 4:1 leave 5 dB over it.
        assertEquals(-21.02, levelDb(y, 60), 0.1);
    }

    /** Aim is heard on the band: a low tone 30 dB under a high one still gets its own reduction. */
    @Test
    void aimIsHeardOnTheBandsOwnSignal() {
        double[] low = tone(80, 0.01).data()[0], high = tone(4000, 0.3).data()[0];
        double[] both = new double[low.length];
        for (int i = 0; i < both.length; i++) both[i] = low[i] + high[i];
        String row = "- multiband: { splits: [ 600 Hz ], bands: [ { aim: 6 dB, ratio: 10:1, knee: 0 dB, key high-pass: off }, {} ] }";
        Rig.Result result = Rig.usual().exact().render(row, new Samples(RATE, both));
        assertEquals(-46, levelDb(result.mono(), 80), 0.4);
        assertTrue(result.rendered().resolved().toString().contains("threshold of band 1"), result.rendered().resolved().toString());
    }

    /** A voice that has little above 5 kHz but for a tenth of a second now and then, as an s: what an aim there takes off that is told, unless it is bound. */
    @Test
    void anAimWhereSibilantsAreIsTold() {
        double[] vowel = tone(200, 0.3).data()[0], air = tone(14_000, 0.003).data()[0], both = new double[vowel.length], even = new double[vowel.length];
        for (int i = 0; i < both.length; i++) {
            even[i] = vowel[i] + air[i];
            both[i] = vowel[i] + (i % 24_000 < 4800 ? 20 : 1) * air[i];
        }
        String told = odd("{ aim: 2 dB }", "5 kHz", both);
        assertTrue(told.contains("aim of band 2 is met over all that is heard"), told);
        assertTrue(told.contains("above 5 kHz, and takes ") && told.contains("'most: 4 dB'"), told);
        double[] y = Rig.usual().exact().render("- multiband: { splits: [ 5 kHz ], bands: [ {}, { aim: 2 dB } ] }", new Samples(RATE, both)).mono();
        // 20 ms at the end of an s, in which both tones have whole periods.
        double lost = levelDb(Arrays.copyOfRange(both, 51_840, 52_800), 14_000) - levelDb(Arrays.copyOfRange(y, 51_840, 52_800), 14_000);
        assertEquals(lost, Double.parseDouble(told.replaceAll(".* takes ([0-9.]+) dB off.*", "$1")), 1);
        assertTrue(odd("{ ratio: 3:1 }", "4 kHz", both).contains("'most: 5 dB'"), "an aim that is not written");
        assertEquals("", odd("{ aim: 2 dB, most: 4 dB }", "5 kHz", both));
        assertEquals("", odd("{ aim: 2 dB, most: 12 dB }", "5 kHz", both), "any bound that is written is meant");
        assertEquals("", odd("{ threshold: -50 dB }", "5 kHz", both));
        assertEquals("", odd("{ aim: 2 dB }", "3 kHz", both));
        assertEquals("", odd("{ aim: 2 dB }", "5 kHz", even));
    }

    /** An s of 70 to 150 ms loses 3 to 6 dB where it shall: common practice. Up to 6 dB, or 3 more than was asked for, nothing is told. */
    @Test
    void anAimThatTakesLittleMoreOffSibilantsIsNone() {
        double[] vowel = tone(200, 0.3).data()[0], air = tone(14_000, 0.003).data()[0];
        assertEquals("", odd("{ aim: 2 dB }", "5 kHz", withS(vowel, air, 2.5)));
        assertTrue(odd("{ aim: 2 dB }", "5 kHz", withS(vowel, air, 3)).contains("'most: 4 dB'"));
        assertEquals("", odd("{ aim: 5 dB }", "5 kHz", withS(vowel, air, 2)));
        assertTrue(odd("{ aim: 5 dB }", "5 kHz", withS(vowel, air, 2.5)).contains("'most: 7 dB'"));
    }

    private static double[] withS(double[] vowel, double[] air, double times) {
        double[] both = new double[vowel.length];
        for (int i = 0; i < both.length; i++) both[i] = vowel[i] + (i % 24_000 < 4800 ? times : 1) * air[i];
        return both;
    }

    /** A click of 20 ms, five times as loud as the s there: no sibilant is as short (70 ms or more: common practice), however slowly its reduction goes. */
    @Test
    void aClickIsNoSibilant() {
        double[] vowel = tone(200, 0.3).data()[0], air = tone(14_000, 0.003).data()[0], click = new double[vowel.length];
        for (int i = 0; i < click.length; i++) click[i] = vowel[i] + (i >= 48_000 && i < 48_960 ? 100 : 1) * air[i];
        for (String band : List.of("{ aim: 2 dB }", "{ aim: 2 dB, attack: 1 ms }", "{ aim: 2 dB, attack: 1 ms, release: 400 ms }",
                "{ aim: 2 dB, detector: rms }", "{ aim: 2 dB, character: optical }", "{ aim: 2 dB, character: fast }")) {
            assertEquals("", odd(band, "5 kHz", click), band);
        }
    }

    private static String odd(String band, String split, double[] x) {
        String row = "- multiband: { splits: [ " + split + " ], bands: [ {}, " + band + " ] }";
        return Rig.usual().render(row, new Samples(RATE, x)).rendered().resolved().stream().filter(Resolved::odd).map(r -> r.setting() + " " + r.value())
                .collect(Collectors.joining());
    }

    /**
     * The band of the test before the last, bound to 3 dB: a tone 20 dB over its threshold loses 3 dB and not 15, and an aim below the bound is found as
     * without it.
     */
    @Test
    void aBandTakesOffNoMoreThanItsBound() {
        String row = "- multiband: { splits: [ 500 Hz ], bands: [ { threshold: -26.0206 dB, ratio: 4:1, knee: 0 dB, key high-pass: off, most: 3 dB }, {} ] }";
        double[] y = Rig.usual().exact().render(row, tone(60, 0.5)).mono();
        assertEquals(20 * Math.log10(0.5) - 3, levelDb(y, 60), 0.05);
        String aimed = "- multiband: { splits: [ 500 Hz ], bands: [ { aim: 2 dB, ratio: 4:1, knee: 0 dB, key high-pass: off, most: 3 dB }, {} ] }";
        assertEquals(20 * Math.log10(0.5) - 2, levelDb(Rig.usual().exact().render(aimed, tone(60, 0.5)).mono(), 60), 0.1);
    }

    @Test
    void anAimBeyondTheBoundIsRefused() {
        assertComplaint("at most 2 dB are taken off, so an aim of 3 dB cannot be reached; give a smaller aim, or a threshold",
                "- multiband: { splits: [ 200 Hz ], bands: [ { most: 2 dB } ] }");
        assertComplaint("at most 4 dB are taken off, so an aim of 4 dB cannot be reached; give a smaller aim, or a threshold",
                "- compressor: { aim: 4 dB, most: 4 dB }");
        for (String wrong : List.of("threshold: -20 Hz", "aim: 1 Hz")) {
            String said = assertThrows(AssertionError.class, () -> Rig.usual().chain("- compressor: { " + wrong + ", most: 2 dB }")).getMessage();
            assertTrue(said.contains(wrong.substring(0, wrong.indexOf(':')) + " wants") && !said.contains("at most"), said);
        }
        Rig.usual().read("steps:\n- compressor: { threshold: -20 dB, most: 2 dB }\n- compressor: { most: 3.5 dB }\n");
    }

    @Test
    void wrongSplitsAndBandsAreSaid() {
        assertComplaint("splits must rise", "- multiband: { splits: [ 2 kHz, 200 Hz ] }");
        assertComplaint("3 bands need 2 splits", "- multiband: { splits: [ 200 Hz ], bands: [ {}, {}, {} ] }");
    }

    private static void assertComplaint(String message, String row) {
        AssertionError error = assertThrows(AssertionError.class, () -> Rig.usual().chain(row));
        assertTrue(error.getMessage().contains(message), error.getMessage());
    }

    private static Samples tone(double hz, double size) {
        double[] x = new double[(int) (2 * RATE)];
        for (int i = 0; i < x.length; i++) x[i] = size * StrictMath.sin(2 * Math.PI * hz * i / RATE);
        return new Samples(RATE, x);
    }

    /** Of the sine of that frequency, in the last second. */
    private static double levelDb(double[] y, double hz) {
        double re = 0, im = 0;
        for (int i = Math.max(0, y.length - (int) RATE); i < y.length; i++) {
            re += y[i] * StrictMath.cos(2 * Math.PI * hz * i / RATE);
            im += y[i] * StrictMath.sin(2 * Math.PI * hz * i / RATE);
        }
        return 20 * Math.log10(2 * Math.hypot(re, im) / RATE);
    }
}

package linnet.dsp.filter;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;

class MatchedTest {
    /** Furthest distance from the analogue curve, 20 Hz to 0.45 of the rate. */
    private static double worst(String shape, Biquad b, double hz, double q, double db) {
        double worst = 0;
        for (double f = 20; f <= 0.45 * b.rate(); f *= 1.005) {
            worst = Math.max(worst, Math.abs(b.responseDb(f) - BiquadTest.prototypeDb(shape, f / hz, q, db)));
        }
        return worst;
    }

    /** Source: the paper's formulae evaluated in double precision apart from this program. */
    @Test
    void coefficientsAreThePapers() {
        assertArrayEquals(new double[] {0.639583203271231, 0.176421516895905, 0, -0.292447944767337, 0.108452664934473},
                coefficients(Matched.lowPass(48000, 12000, Math.sqrt(0.5))), 1e-12);
        assertArrayEquals(new double[] {0.477397595029578, -0.954795190059155, 0.477397595029578, -0.70401965554767, 0.227419038333694},
                coefficients(Matched.highPass(48000, 8000, Math.sqrt(0.5))), 1e-12);
        assertArrayEquals(new double[] {0.364407083025359, -0.309586385506371, -0.0548206975189877, -0.430716670390817, 0.519702643964816},
                coefficients(Matched.bandPass(48000, 10000, 2)), 1e-12);
        double a = Math.pow(10, 6 / 40.0);
        assertArrayEquals(new double[] {1.30360310055948, -0.567600043215341, 0.352982916229856, -0.430716670390817, 0.519702643964816},
                coefficients(Matched.bell(48000, 10000, 2 / a, 6)), 1e-12);
    }

    private static double[] coefficients(Biquad b) {
        return new double[] {b.b0(), b.b1(), b.b2(), b.a1(), b.a2()};
    }

    /** Oracle: the analogue bell (s² + A s/q + 1)/(s² + s/(A q) + 1). */
    @Test
    void bellKeepsTheAnalogueCurve() {
        double worst = 0;
        for (double rate : new double[] {44100, 48000, 96000}) {
            for (double part : new double[] {0.02, 0.07, 0.13, 10.0 / 48}) {
                for (double q : new double[] {1.42, 2, 4}) {
                    for (double db : new double[] {-6, -3, 3, 6}) {
                        worst = Math.max(worst, worst("bell", Matched.bell(rate, part * rate, q, db), part * rate, q, db));
                    }
                }
            }
        }
        System.out.printf("matched bells up to 10/48 of the rate, q 1.42 up, 6 dB: worst %.3f dB%n", worst);
        assertTrue(worst < 0.3, "worst " + worst);
    }

    /** Wide and high bells stray most: bounded, and always nearer to the analogue curve than the cookbook's. */
    @Test
    void bellIsNearerThanTheCookbooksEverywhere() {
        for (double hz : new double[] {3000, 8000, 12000, 16000}) {
            for (double q : new double[] {0.5, 1, 3}) {
                for (double db : new double[] {-12, -6, 6, 12}) {
                    double matched = worst("bell", Matched.bell(48000, hz, q, db), hz, q, db);
                    assertTrue(matched < worst("bell", Biquad.bell(48000, hz, q, db), hz, q, db), hz + " " + q + " " + db);
                    assertTrue(matched < 1, hz + " " + q + " " + db + ": " + matched);
                }
            }
        }
    }

    /** Oracle: the analogue prototypes. The paper's low-pass is within 0.1 dB to 0.3 of the rate at these settings. */
    @Test
    void passesKeepTheAnalogueCurve() {
        assertTrue(worst("high-pass", Matched.highPass(48000, 8000, Biquad.BUTTERWORTH), 8000, Biquad.BUTTERWORTH, 0) < 0.05);
        for (double hz : new double[] {1000, 4000, 8000, 12000}) {
            for (double f = 20; f < 14400; f += 50) {
                assertEquals(BiquadTest.prototypeDb("low-pass", f / hz, Biquad.BUTTERWORTH, 0), Matched.lowPass(48000, hz, Biquad.BUTTERWORTH).responseDb(f),
                        0.5, hz + " at " + f);
            }
        }
        for (double hz : new double[] {100, 4000, 12000}) {
            for (Biquad b : List.of(Matched.onePoleLowPass(48000, hz), Matched.onePoleHighPass(48000, hz))) assertEquals(-3.0103, b.responseDb(hz), 1e-4);
            assertEquals(1, Matched.onePoleLowPass(48000, hz).response(0).gain(), 1e-9);
        }
    }

    @Test
    void bellAndItsNegativeUndoEachOther() {
        double[] x = Vectors.noise(48000, 1);
        for (double hz : new double[] {50, 3000, 15000, 21000}) {
            for (double db : new double[] {1, 12, 24}) {
                Cascade pair = new Cascade(Matched.bell(48000, hz, 0.7, db), Matched.bell(48000, hz, 0.7, -db));
                assertArrayEquals(x, Vectors.run(x, 480, pair), 1e-10, hz + " Hz, " + db + " dB");
            }
        }
    }

    /** At any frequency, not only at the one where a factor of the formula happens to be 1. */
    @Test
    void passesHaveTheGainOfTheirQAtTheirFrequency() {
        for (double hz : new double[] {200, 3000, 8000, 15000}) {
            for (double q : new double[] {0.5, Biquad.BUTTERWORTH, 3}) {
                assertEquals(q, Matched.highPass(48000, hz, q).response(hz).gain(), 1e-9, hz + " Hz, q " + q);
                if (hz < 10000) assertEquals(q, Matched.lowPass(48000, hz, q).response(hz).gain(), 1e-9, hz + " Hz, q " + q);
            }
        }
    }

    /** Over all that can be set: its peak was lost to cancellation where it is low and narrow, and with it up to 13 dB. */
    @Test
    void bandPassesAndBellsHaveTheirGainAtTheirFrequency() {
        for (double rate : new double[] {8000, 11025, 16000, 22050, 44100, 48000, 88200, 96000, 176400, 192000}) {
            for (double hz = 10; hz <= Math.min(20_000, Biquad.HIGHEST * rate); hz *= 1.25) {
                for (double q : new double[] {0.1, 0.127, 0.3, 0.5, Biquad.BUTTERWORTH, 1, 2, 5, 10, 20, 28.9, 40}) {
                    Biquad b = Matched.bandPass(rate, hz, q);
                    String which = rate + ", " + hz + " Hz, q " + q;
                    assertEquals(0, b.responseDb(hz), 0.05, which);
                    assertTrue(b.response(0).gain() < 1e-9, which);
                    if (hz < 0.02 * rate) assertEquals(BiquadTest.prototypeDb("band-pass", 0.5, q, 0), b.responseDb(hz / 2), 0.1, which + ", an octave below");
                    for (double db : new double[] {-24, -6, 6, 24}) assertEquals(db, Matched.bell(rate, hz, q, db).responseDb(hz), 0.05, which + ", " + db);
                }
            }
        }
    }

    /**
     * A pole or a zero mirrored at the unit circle leaves the magnitude as it is: only here it shows that a filter would run away, or turn the phase for
     * nothing.
     */
    @Test
    void polesAndZerosLieInsideTheUnitCircle() {
        for (double hz : new double[] {30, 1000, 12000, 20000}) {
            for (double q : new double[] {0.3, 0.5, 2}) {
                for (Biquad b : List.of(Matched.lowPass(48000, hz, q), Matched.highPass(48000, hz, q), Matched.bandPass(48000, hz, q),
                        Matched.bell(48000, hz, q, 9), Matched.bell(48000, hz, q, -9),
                        Matched.onePoleLowPass(48000, hz), Matched.onePoleHighPass(48000, hz))) {
                    assertTrue(Math.abs(b.a2()) < 1 && Math.abs(b.a1()) < 1 + b.a2(), hz + " Hz, q " + q + ": " + b);
                    assertTrue(Math.abs(b.b2()) <= b.b0() * (1 + 1e-9) && Math.abs(b.b1()) <= (b.b0() + b.b2()) * (1 + 1e-9) + 1e-12,
                            hz + " Hz, q " + q + ": " + b);
                }
            }
        }
    }

    @Test
    void refusesWhatIsNoFilter() {
        assertThrows(IllegalArgumentException.class, () -> Matched.lowPass(48000, 1000, 0));
        assertThrows(IllegalArgumentException.class, () -> Matched.lowPass(48000, 24000, 1));
        assertThrows(IllegalArgumentException.class, () -> Matched.bell(48000, 0, 1, 3));
    }

    @Test
    void aShapeIsDesignedAsItsNameSays() {
        double hz = 5000, q = 1.5, db = 4;
        assertEquals(Matched.bell(48000, hz, q, db), Design.MATCHED.biquad(Shape.BELL, 48000, hz, q, db));
        assertEquals(Matched.lowPass(48000, hz, q), Design.MATCHED.biquad(Shape.LOW_PASS, 48000, hz, q, db));
        assertEquals(Matched.highPass(48000, hz, q), Design.MATCHED.biquad(Shape.HIGH_PASS, 48000, hz, q, db));
        assertEquals(Matched.bandPass(48000, hz, q), Design.MATCHED.biquad(Shape.BAND_PASS, 48000, hz, q, db));
        assertEquals(Matched.onePoleLowPass(48000, hz), Design.MATCHED.biquad(Shape.ONE_POLE_LOW_PASS, 48000, hz, q, db));
        assertEquals(Matched.onePoleHighPass(48000, hz), Design.MATCHED.biquad(Shape.ONE_POLE_HIGH_PASS, 48000, hz, q, db));
        for (Shape shape : List.of(Shape.LOW_SHELF, Shape.HIGH_SHELF, Shape.NOTCH, Shape.ALL_PASS)) {
            assertThrows(IllegalArgumentException.class, () -> Design.MATCHED.biquad(shape, 48000, hz, q, db));
        }
    }
}

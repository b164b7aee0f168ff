package linnet.dsp.reverb;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

class AbsorptionTest {
    /** The loss formula at both design frequencies, by the filter's response written out. */
    @Test
    void theDecayIsExactInTheMiddleAndShorterByTheDampingAtTheTop() {
        for (double rate : new double[] {44100, 48000, 192000}) {
            for (double damping : new double[] {0, 0.1, 0.35, 0.6}) {
                Absorption loss = Absorption.of(rate, 2048 * rate / 48000, 2.5, damping);
                assertEquals(2.5, decay(loss, 2048 / 48000.0, rate, 1300), 1e-9);
                assertEquals(2.5 * (1 - damping), decay(loss, 2048 / 48000.0, rate, 8000), 1e-9);
            }
        }
    }

    /** At a low rate the top is 0.4 of it, and the damping there less by the square of its distance from 8 kHz, as in air. */
    @Test
    void atALowRateTheTopIsBelowTheLimit() {
        for (double rate : new double[] {8000, 16000, 19000}) {
            double top = 0.4 * rate, seconds = 0.003, decay = 12;
            Absorption loss = Absorption.of(rate, seconds * rate, decay, 0.35);
            double rates = 1 / decay * (1 + 0.35 / 0.65 * Math.pow(top / 8000, 2));
            assertEquals(1 / rates, decay(loss, seconds, rate, top), 1e-9);
            assertEquals(decay, decay(loss, seconds, rate, 1300), 1e-9);
        }
    }

    /** More than 0.45 of what a pole at 1 would take, in dB from 1300 Hz to 8 kHz, is not taken: the lows would bloom. */
    @Test
    void aShortDecayIsDampedNoFurtherThanALowPassCan() {
        Absorption loss = Absorption.of(48000, 9600, 0.4, 0.8);
        double cosMid = Math.cos(2 * Math.PI * 1300 / 48000), cosHigh = Math.cos(2 * Math.PI * 8000 / 48000);
        double most = 0.45 * 10 * Math.log10((1 - cosHigh) / (1 - cosMid));
        double taken = gainDb(loss, 48000, 1300) - gainDb(loss, 48000, 8000);
        assertEquals(most, taken, 1e-9);
        assertEquals(20 * Math.log10(loss.mid(48000)), gainDb(loss, 48000, 1300), 1e-9);
        assertEquals(0, Absorption.of(48000, 9600, 0.4, 0).pole());
    }

    private static double gainDb(Absorption loss, double rate, double hz) {
        return -60 * 1 / decay(loss, 1, rate, hz);
    }

    /** Lows must not bloom, let alone grow: at most 1.6 times the decay anywhere in the box of settings. */
    @Test
    void theLowsNeverOutliveTheMidsByMuch() {
        for (double rate : new double[] {8000, 16000, 44100, 192000}) {
            for (double seconds : new double[] {0.003, 0.03, 0.2}) {
                for (double decay : new double[] {0.1, 0.4, 2, 12}) {
                    for (double damping : new double[] {0, 0.35, 0.8}) {
                        double ratio = decay(Absorption.of(rate, seconds * rate, decay, damping), seconds, rate, 0) / decay;
                        assertTrue(ratio >= 0.999 && ratio < 1.6, rate + " " + seconds + " " + decay + " " + damping + ": " + ratio);
                    }
                }
            }
        }
    }

    /** The decay of a loop of so many seconds that loses what the filter takes. */
    private static double decay(Absorption loss, double seconds, double rate, double hz) {
        double w = 2 * Math.PI * hz / rate;
        double re = 1 - loss.pole() * Math.cos(w), im = loss.pole() * Math.sin(w);
        double gain = loss.gain() * (1 - loss.pole()) / Math.hypot(re, im);
        return -3 * seconds / Math.log10(gain);
    }
}

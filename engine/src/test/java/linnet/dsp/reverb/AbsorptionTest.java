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

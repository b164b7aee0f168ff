package linnet.dsp.reverb;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import linnet.dsp.Cell;
import linnet.dsp.dynamics.Duck;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;
import linnet.dsp.filter.Shape;
import linnet.dsp.filter.StateVariable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A reverb is put together from a lag, a band, a room and a duck in time with what is heard: the same laid out over the whole sound. */
class ReverbPartsTest {
    private static final double RATE = 8000;

    private static double[] noise(long seed) {
        Random random = new Random(seed);
        double[] x = new double[18 * Cell.LENGTH];
        for (int i = 300; i < x.length; i++) x[i] = i / 3600 % 2 == 0 ? random.nextDouble() - 0.5 : 0;
        return x;
    }

    private static double[] late(double[] x, int by) {
        double[] y = new double[x.length];
        System.arraycopy(x, 0, y, by, x.length - by);
        return y;
    }

    private interface Cellwise {
        void process(double[] l, double[] r, int n);
    }

    private static void cells(double[] l, double[] r, int cut, Cellwise kernel, Runnable settle) {
        for (int from = 0, n; from < l.length; from += n) {
            n = Math.min(cut, Cell.LENGTH - from % Cell.LENGTH);
            double[] a = Arrays.copyOfRange(l, from, from + n), b = Arrays.copyOfRange(r, from, from + n);
            kernel.process(a, b, n);
            System.arraycopy(a, 0, l, from, n);
            System.arraycopy(b, 0, r, from, n);
            if ((from + n) % Cell.LENGTH == 0) settle.run();
        }
    }

    @ParameterizedTest
    @CsvSource({"1, NETWORK, 400, 9, false, 480", "2, NETWORK, 400, 9, false, 480", "1, COMBS, 0, 9, false, 64", "2, COMBS, 30, 9, true, 480",
            "1, COMBS, 300, 0, true, 480",
        "2, NETWORK, 0, 0, false, 7"})
    void itIsItsPartsInTime(int channels, Build build, int preDelay, double duckDb, boolean moving, int cut) {
        Band band = moving ? Band.moving(RATE, 200, 3000) : Band.still(RATE, 200, 3000);
        Reverb reverb = new Reverb(RATE, channels, build, preDelay, 0.5, 1, 0.35, band);
        if (duckDb > 0) reverb.duck(duckDb, -12);
        Room room = build.room(RATE, 0.5, 1, 0.35);
        int lag = Math.max(0, preDelay - room.firstArrival()), latency = Math.max(0, room.firstArrival() - preDelay);
        assertEquals(latency, reverb.latency());
        assertEquals(preDelay + room.longestLine(), reverb.memory());

        double[] l = noise(1), r = channels == 2 ? noise(2) : l.clone();
        double[] gain = new double[l.length], wetL = late(l, lag), wetR = late(r, lag);
        Arrays.fill(gain, 1);
        int bridge = duckDb > 0 ? Duck.latency(RATE) : 0;
        if (duckDb > 0) {
            double[] other = r.clone();
            System.arraycopy(l, 0, gain, 0, gain.length);
            Duck heard = new Duck(RATE, latency);
            heard.set(duckDb, -12);
            cells(gain, other, 480, (a, b, n) -> {
                heard.hear(a, b, n);
                Arrays.fill(a, 1);
                heard.lower(a, n);
            }, heard::settle);
        }
        if (moving) {
            StateVariable high = new StateVariable(RATE, Shape.HIGH_PASS, 200, Math.sqrt(0.5), 0),
                    low = new StateVariable(RATE, Shape.LOW_PASS, 3000, Math.sqrt(0.5), 0);
            cells(wetL, wetR, 480, (a, b, n) -> {
                high.process(a, b, n);
                low.process(a, b, n);
            }, () -> {});
        } else {
            Cascade cascade = new Cascade(Butterworth.band(RATE, 200, 3000));
            cells(wetL, wetR, 480, cascade::process, () -> {});
        }
        cells(wetL, wetR, 480, room::process, room::settle);
        wetL = late(wetL, bridge);
        wetR = late(wetR, bridge);

        double[] outL = l.clone(), outR = channels == 2 ? r.clone() : new double[l.length];
        double[] told = new double[1];
        cells(outL, outR, cut, (a, b, n) -> {
            reverb.process(a, b, n);
            reverb.lower(a, b, n);
            told[0] = reverb.reductionDb();
        }, reverb::settle);
        for (int i = 0; i < l.length; i++) {
            assertEquals(wetL[i] * gain[i], outL[i], 1e-9, "left, " + i);
            assertEquals(wetR[i] * gain[i], outR[i], 1e-9, "right, " + i);
        }
        assertTrue(duckDb > 0 ? told[0] > 0.1 && told[0] < 9 : told[0] == 0, told[0] + " dB");
    }

    @Test
    void theDuckHearsBothSidesOfAStereoSound() {
        for (int side = 0; side < 2; side++) {
            Reverb reverb = new Reverb(RATE, 2, Build.COMBS, 0, 0.5, 1, 0.35, Band.still(RATE, 200, 3000));
            reverb.duck(6, -20);
            for (int at = 0; at < Duck.latency(RATE) + Cell.LENGTH; at += Cell.LENGTH) {
                double[][] x = new double[2][Cell.LENGTH];
                Arrays.fill(x[side], 0.5);
                reverb.process(x[0], x[1], Cell.LENGTH);
            }
            assertEquals(6, reverb.reductionDb(), 0.1);
        }
    }

    @Test
    void aDuckOfNothingIsNoDuck() {
        Reverb reverb = new Reverb(RATE, 1, Build.COMBS, 0, 0.5, 1, 0.35, Band.still(RATE, 200, 3000));
        reverb.duck(0, -20);
        double[] l = new double[Cell.LENGTH], r = new double[Cell.LENGTH];
        Arrays.fill(l, 0.5);
        reverb.process(l, r, Cell.LENGTH);
        assertEquals(0, reverb.reductionDb(), 0.0);
    }

    /** Resting through silence is running through it, to the bit; what is not over does not rest. */
    @ParameterizedTest
    @CsvSource({"1, NETWORK, 0, false", "2, COMBS, 2000, true", "1, COMBS, 2000, false", "2, NETWORK, 40, true"})
    void restingIsRunningThroughSilence(int channels, Build build, int preDelay, boolean moving) {
        Reverb[] pair = new Reverb[2];
        for (int k = 0; k < 2; k++) {
            pair[k] = new Reverb(RATE, channels, build, preDelay, 0.25, 0.1, 0.35, moving ? Band.moving(RATE, 200, 3000) : Band.still(RATE, 200, 3000));
            pair[k].duck(6, -20);
            assertTrue(pair[k].rests());
        }
        double[] silence = new double[Cell.LENGTH];
        int rested = 0;
        for (int cell = 0; cell < 80; cell++) {
            double[] l = new double[Cell.LENGTH], r = new double[Cell.LENGTH];
            boolean sounds = cell < 2 || cell >= 70;
            // A stereo sound on the right alone.
            if (sounds) for (int i = 0; i < l.length; i++) (channels == 1 ? l : r)[i] = Math.sin(i + cell);
            double[] left = l.clone(), right = r.clone();
            if (cell == 2) assertFalse(pair[0].rests());
            if (cell == 2 && preDelay == 2000) assertFalse(pair[1].rests(), "what waits in the pre-delay is not over");
            if (!sounds && pair[1].rests()) {
                pair[1].rest(silence);
                rested++;
                assertArrayEquals(silence, new double[Cell.LENGTH]);
                Arrays.fill(left, 0);
                Arrays.fill(right, 0);
            } else {
                pair[1].process(left, right, Cell.LENGTH);
                pair[1].lower(left, right, Cell.LENGTH);
                pair[1].settle();
            }
            pair[0].process(l, r, Cell.LENGTH);
            pair[0].lower(l, r, Cell.LENGTH);
            pair[0].settle();
            for (int i = 0; i < l.length; i++) {
                assertEquals(l[i], left[i], 0, "left of cell " + cell);
                assertEquals(r[i], right[i], 0, "right of cell " + cell);
            }
        }
        assertTrue(rested > 20, rested + " cells at rest");
    }

    /** The corners of a moving band go where they are sent, by the filters' own way of moving. */
    @Test
    void aBandMoves() {
        Band band = Band.moving(RATE, 200, 3000);
        StateVariable high = new StateVariable(RATE, Shape.HIGH_PASS, 200, Biquad.BUTTERWORTH, 0),
                low = new StateVariable(RATE, Shape.LOW_PASS, 3000, Biquad.BUTTERWORTH, 0);
        assertTrue(band.rests());
        double[] x = noise(1), other = noise(2), expected = x.clone(), otherExpected = other.clone();
        int[] cell = {0};
        cells(x, other, 480, (a, b, n) -> {
            if (cell[0] == 3) band.moveTo(500, 1e9);
            if (cell[0]++ % 2 == 0) {
                band.process(a, b, n);
            } else {
                band.process(a, n);
                band.process(b, 0);
            }
        }, band::settle);
        cell[0] = 0;
        cells(expected, otherExpected, 480, (a, b, n) -> {
            if (cell[0] == 3) {
                high.moveTo(500, Biquad.BUTTERWORTH, 0);
                low.moveTo(0.49 * RATE, Biquad.BUTTERWORTH, 0);
            }
            if (cell[0]++ % 2 == 0) {
                high.process(a, b, n);
                low.process(a, b, n);
            } else {
                high.process(a, n);
                low.process(a, n);
            }
        }, () -> {
            high.settle();
            low.settle();
        });
        assertArrayEquals(expected, x, 1e-12);
        assertArrayEquals(otherExpected, other, 1e-12);
        assertFalse(band.rests());
    }

    @Test
    void aStillBandIsAButterworthBand() {
        Band band = Band.still(RATE, 200, 3000);
        Cascade cascade = new Cascade(Butterworth.band(RATE, 200, 3000));
        double[] x = Arrays.copyOf(noise(1), 400), y = x.clone();
        x[0] = y[0] = 1;
        band.process(x, 400);
        cascade.process(y, 400);
        assertArrayEquals(y, x);
        assertFalse(band.rests());
        double[] silence = new double[Cell.LENGTH];
        for (int k = 0; k < 40; k++) {
            Arrays.fill(silence, 0);
            band.process(silence, Cell.LENGTH);
            band.settle();
        }
        assertTrue(band.rests());
        Band moving = Band.moving(RATE, 200, 3000);
        moving.process(x, 400);
        for (int k = 0; k < 40; k++) {
            Arrays.fill(silence, 0);
            moving.process(silence, Cell.LENGTH);
            moving.settle();
        }
        assertTrue(moving.rests());
    }
}

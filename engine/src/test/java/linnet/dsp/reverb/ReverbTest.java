package linnet.dsp.reverb;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import linnet.dsp.Cell;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

@Tag("listening")
class ReverbTest {
    private static final double RATE = 48000;

    /** From the sound to the first reflection, with the latency taken off: within 1 ms, also below what a room takes itself. */
    @ParameterizedTest
    @EnumSource(Build.class)
    void thePreDelayIsTheTimeToTheFirstReflection(Build build) {
        for (double rate : new double[] {8000, 44100, 48000, 96000}) {
            for (double ms : new double[] {0, 7, 20, 60, 200}) {
                Reverb reverb = new Reverb(rate, 1, build, (int) Math.round(ms * rate / 1000), 1, 1.4, 0.35, Band.still(rate, 20, 1e9));
                double[][] y = new double[2][(int) (rate * 0.5)];
                y[0][0] = 1;
                run(reverb, y);
                double most = 0;
                for (double v : y[0]) most = Math.max(most, Math.abs(v));
                int first = 0;
                while (Math.abs(y[0][first]) < 0.05 * most) first++;
                assertEquals(ms, (first - reverb.latency()) * 1000 / rate, 1, "at " + rate);
            }
        }
    }

    /** A steady tone as key: the wet noise of a wide room falls by the depth (0.5 dB) and comes back by itself. */
    @Test
    void theDryVoicePushesTheReverbDown() {
        double[][] open = dryAndGap(0), ducked = dryAndGap(6);
        // Both are 0.3 s late.
        assertEquals(-6, level(ducked, 0.8, 1.3) - level(open, 0.8, 1.3), 0.5);
        // 1.5 s after the voice six releases have passed.
        assertEquals(0, level(ducked, 2.8, 3.3) - level(open, 2.8, 3.3), 0.1);
    }

    private static double[][] dryAndGap(double duckDb) {
        Reverb reverb = new Reverb(RATE, 1, Build.COMBS, 0, 1, 3, 0.35, Band.still(RATE, 20, 1e9));
        reverb.duck(duckDb, -20);
        double[][] y = new double[2][(int) (RATE * 3.3)];
        for (int i = 0; i < RATE; i++) y[0][i] = 0.3 * Math.sin(2 * Math.PI * 220 * i / RATE);
        run(reverb, y);
        return y;
    }

    private static double level(double[][] y, double from, double to) {
        double sum = 0;
        for (int i = (int) (from * RATE); i < to * RATE; i++) sum += y[0][i] * y[0][i] + y[1][i] * y[1][i];
        return 10 * Math.log10(sum);
    }

    /** Combs stand still, so the spectra with and without the band differ by its response alone: -3.01 dB at the corners (2 %). */
    @Test
    void theBandHasItsCornersWhereTheyWereAskedFor() {
        double[] open = spectrum(Band.still(RATE, 1, 1e9)), narrow = spectrum(Band.still(RATE, 300, 6000));
        for (double[] corner : new double[][] {{300, 1}, {6000, -1}}) {
            double hz = corner[0] * (1 - 0.05 * corner[1]);
            while (narrow[bin(hz)] / open[bin(hz)] < Math.sqrt(0.5)) hz += 0.1 * corner[1];
            assertEquals(corner[0], hz, 0.02 * corner[0]);
        }
    }

    private static double[] spectrum(Band band) {
        double[][] y = new double[2][1 << 18];
        y[0][0] = 1;
        run(new Reverb(RATE, 1, Build.COMBS, 0, 1, 0.4, 0.35, band), y);
        linnet.dsp.spectral.Fft fft = new linnet.dsp.spectral.Fft(1 << 18);
        double[] re = new double[fft.bins()], im = new double[fft.bins()];
        fft.forward(y[0], re, im);
        for (int k = 0; k < re.length; k++) re[k] = Math.hypot(re[k], im[k]);
        return re;
    }

    private static int bin(double hz) {
        return (int) Math.round(hz * (1 << 18) / RATE);
    }

    @ParameterizedTest
    @EnumSource(Build.class)
    void anyCutGivesTheSameBits(Build build) {
        double[][] whole = phrases();
        run(kernel(build), whole, 480);
        for (int block : new int[] {1, 7, 64}) {
            double[][] cut = phrases();
            run(kernel(build), cut, block);
            for (int c = 0; c < 2; c++) for (int i = 0; i < cut[c].length; i++) {
                assertEquals(Double.doubleToLongBits(whole[c][i]), Double.doubleToLongBits(cut[c][i]));
            }
        }
    }

    private static Reverb kernel(Build build) {
        Reverb reverb = new Reverb(RATE, 2, build, 960, 0.7, 1, 0.35, Band.still(RATE, 200, 9000));
        reverb.duck(4, -20);
        return reverb;
    }

    /** The same bits from a still band and a moving one that does not move would be asking too much; 1e-9 is not. */
    @Test
    void aMovingBandAtRestIsTheStillBand() {
        double[][] still = phrases(), moving = phrases();
        run(new Reverb(RATE, 2, Build.COMBS, 0, 1, 1, 0.35, Band.still(RATE, 200, 9000)), still);
        run(new Reverb(RATE, 2, Build.COMBS, 0, 1, 1, 0.35, Band.moving(RATE, 200, 9000)), moving);
        assertArrayEquals(still[0], moving[0], 1e-9);
    }

    /** Sound, silence, sound: the cut into blocks must not show in when the room is found to be empty. */
    private static double[][] phrases() {
        double[][] y = new double[2][24000];
        java.util.Random random = new java.util.Random(8);
        for (int i = 1000; i < 20000; i++) {
            if (i / 4000 % 2 == 0) {
                y[0][i] = random.nextGaussian() * 0.2;
                y[1][i] = random.nextGaussian() * 0.2;
            }
        }
        return y;
    }

    /** The short way of a mono sound through a room is the long way of two equal sides. */
    @ParameterizedTest
    @EnumSource(Build.class)
    void aMonoSoundIsTwoEqualSides(Build build) {
        double[][] mono = phrases(), stereo = {mono[0].clone(), mono[0].clone()};
        run(new Reverb(RATE, 1, build, 960, 0.3, 1, 0.35, Band.still(RATE, 200, 9000)), mono);
        run(new Reverb(RATE, 2, build, 960, 0.3, 1, 0.35, Band.still(RATE, 200, 9000)), stereo);
        assertArrayEquals(stereo[0], mono[0]);
        assertArrayEquals(stereo[1], mono[1]);
    }

    @Test
    void silenceStaysSilent() {
        double[][] y = new double[2][4800];
        run(kernel(Build.NETWORK), y);
        for (double v : y[0]) assertTrue(v == 0);
    }

    private static void run(Reverb reverb, double[][] y) {
        run(reverb, y, Cell.LENGTH);
    }

    private static void run(Reverb reverb, double[][] y, int block) {
        Measured.run(new Room() {
            @Override
            public void process(double[] l, double[] r, int n) {
                reverb.process(l, r, n);
                reverb.lower(l, r, n);
            }

            @Override
            public void processMono(double[] l, double[] r, int n) {
                throw new UnsupportedOperationException();
            }

            @Override
            public void settle() {
                reverb.settle();
            }

            @Override
            public boolean rests() {
                return false;
            }

            @Override
            public int firstArrival() {
                return 0;
            }

            @Override
            public int longestLine() {
                return 0;
            }
        }, y, block);
    }
}

package linnet.render;

import static linnet.setting.Unit.MS;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import linnet.Rig;
import linnet.dsp.Lag;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.setting.Fixed;
import linnet.step.Catalogue;
import linnet.step.FixedValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** Every path arrives in time with the others, and nothing of a print is lost at either end. */
class AlignmentTest {
    /** Does nothing, later. */
    private static final class Late extends Step {
        private final Fixed by = fixed("by", MS).range(0, 1000).usual("10 ms").doc("How much later.");

        Late() {
            super("late", "Does nothing, later.");
        }

        @Override
        public Prepared prepare(FixedValues values, Setup setup) {
            int frames = setup.frames(values.get(by));
            return Prepared.of(frames, setup.channels(), v -> {
                Lag[] lags = {new Lag(frames), new Lag(frames)};
                return block -> {
                    for (int c = 0; c < setup.channels(); c++) lags[c].process(block.x(c), block.length());
                };
            });
        }
    }

    private static Rig rig() {
        List<Step> steps = new ArrayList<>(Builtins.catalogue().steps());
        steps.add(new Late());
        return Rig.usual().with(new Catalogue(steps));
    }

    private static Samples impulse(int n, int at) {
        double[] x = new double[n];
        x[at] = 1;
        return new Samples(48_000, x);
    }

    @Test
    void aLateBranchBesideADryOneIsNotASampleApart() {
        for (String late : List.of("0 ms", "0.02 ms", "3.7 ms", "10 ms", "90 ms", "400 ms")) {
            String steps = "- parallel: [ { level: 0 dB }, { steps: [ late: { by: " + late + " } ] }, { steps: [ late: { by: 7 ms }, late: { by: " + late
                    + " } ] } ]";
            double[] y = rig().exact().render(steps, impulse(9600, 100)).mono();
            for (int i = 0; i < y.length; i++) assertEquals(i == 100 ? 3 : 0, y[i], late + " at sample " + i);
        }
    }

    @Test
    void nestedBranchesAndMixesAreAligned() {
        String steps = """
                - late: { by: 5 ms, mix: 50 % }
                - parallel:
                    - { level: 0 dB, steps: [ { late: { by: 31 ms }, mix: 25 % } ] }
                    - steps:
                        - parallel: [ { steps: [ late ] }, { steps: [ late, late: { by: 100 ms } ] } ]
                """;
        double[] y = rig().exact().render(steps, impulse(9600, 4000)).mono();
        for (int i = 0; i < y.length; i++) assertEquals(i == 4000 ? 3 : 0, y[i], "sample " + i);
    }

    @Test
    void theFirstAndLastSampleOfTheTakeAreThere() {
        for (int at : new int[] {0, 9599}) {
            double[] y = rig().render("- late: { by: 33 ms }", impulse(9600, at)).mono();
            assertEquals(1, y[at]);
            assertTrue(y.length >= 9600);
        }
    }

    /** A6: common practice of the trade, the last 500 ms of a print below -90 dBFS. */
    @Test
    void aTailIsNeverCut() {
        Samples take = impulse(4800, 4700);
        double[][] y = Rig.usual().render("- reverb: { decay: 3 s, mix: 100 % }", take).x();
        int n = y[0].length;
        assertTrue(n > 48_000 * 3, "the tail is " + n / 48_000.0 + " s");
        double loudest = 0;
        double before = 0;
        for (double[] channel : y) {
            for (int i = n - 24_000; i < n; i++) loudest = Math.max(loudest, Math.abs(channel[i]));
            for (int i = n - 26_000; i < n - 24_000; i++) before = Math.max(before, Math.abs(channel[i]));
        }
        assertTrue(loudest < Math.pow(10, -90 / 20.0), "last half second at " + loudest);
        assertTrue(before >= Math.pow(10, -95 / 20.0), "the print runs on for longer than it must");
    }

    /** Echoes are further apart than the half second of quiet that ends a print. */
    @Test
    void aPrintDoesNotEndBetweenTwoEchoes() {
        double[][] y = Rig.usual().render("- delay: { time: 900 ms, feedback: 50 %, mix: 100 % }", impulse(4800, 100)).x();
        int echoes = 0;
        for (int k = 1; k <= 8; k++) if (Math.abs(y[0][100 + k * 43_200]) > 1e-5) echoes++;
        assertEquals(8, echoes);
    }

    @Test
    void aToldTailHasThatLengthAndFadesOut() {
        var rig = new Rig(Builtins.catalogue(), 480, 1, new Tail.Seconds(0.25));
        double[][] y = rig.render("- reverb: { decay: 3 s, mix: 100 % }", impulse(4800, 100)).x();
        assertEquals(4800 + 12_000, y[0].length);
        assertEquals(0, y[0][y[0].length - 1]);
    }

    @Test
    void anEmptyChainIsTheTake() {
        Samples take = impulse(1000, 3);
        assertArrayEquals(take.data()[0], Rig.usual().exact().render("  []", take).mono());
    }

    /** A signal kept between two stages is the same whether it lies in memory or in a file. */
    @Test
    void aSpoolReadsBackWhatWasWritten() {
        for (long budget : new long[] {0, 1_000_000, 1L << 30}) {
            Spool.Budget memory = new Spool.Budget(budget);
            try (Spool spool = new Spool(48_000, 2, 0, memory)) {
                double[][] x = new double[2][7001];
                int total = 0;
                for (int k = 0; k < 40; k++) {
                    for (int i = 0; i < 7001; i++) {
                        x[0][i] = total + i;
                        x[1][i] = -x[0][i];
                    }
                    spool.append(x, 7001);
                    total += 7001;
                }
                spool.finish();
                assertEquals(total, spool.frames());
                double[][] back = new double[2][100_000];
                for (int from : new int[] {0, 1, 47_999, 48_000, 100_123, total - 100_000}) {
                    spool.read(from, back, 100_000);
                    for (int i = 0; i < 100_000; i++) {
                        assertEquals(from + i, back[0][i]);
                        assertEquals(-from - i, back[1][i] + 0.0);
                    }
                }
            }
        }
    }

    /** Between two stages a sample is rounded to 24 bits of its own; a sum that shares add up to, to 48, of which 24 are heard. */
    @Test
    @Timeout(120)
    void aSpoolRoundsAndASumIsKeptMoreFinely() {
        var random = new SplittableRandom(7);
        double[][] x = new double[2][10_000], back = new double[2][10_000];
        for (double[] side : x) for (int i = 0; i < side.length; i++) side[i] = random.nextDouble(-1, 1) * StrictMath.pow(10, -random.nextInt(7));
        try (Spool spool = new Spool(48_000, 2, 0, new Spool.Budget(1 << 20)); FineTape kept = new FineTape(48_000, 2, 0, new Spool.Budget(1 << 20))) {
            spool.append(x, 10_000);
            kept.append(x, 10_000);
            spool.finish();
            kept.finish();
            for (int c = 0; c < 2; c++) {
                spool.read(0, back, 10_000);
                for (int i = 0; i < 10_000; i++) assertEquals((double) (float) x[c][i], back[c][i]);
                kept.read(0, back, 10_000);
                for (int i = 0; i < 10_000; i++) assertEquals(x[c][i], back[c][i], Math.abs(x[c][i]) * 0x1p-48);
                kept.heard().read(0, back, 10_000);
                for (int i = 0; i < 10_000; i++) assertEquals((double) (float) x[c][i], back[c][i]);
            }
        }
    }

    /** Of a block of two channels a mono sum fills one: what a float leaves of it lies beside it, and is not the other channel. */
    @Test
    void aSumOfOneChannelLeavesTheOtherAlone() {
        double[][] x = {new double[60_000]};
        for (int i = 0; i < 60_000; i++) x[0][i] = (i + 1) / 3.0;
        try (FineTape kept = new FineTape(48_000, 1, 0, new Spool.Budget(1 << 20))) {
            kept.append(x, 60_000);
            kept.finish();
            for (Sound sound : List.of(kept, kept.heard())) {
                double[][] back = {new double[60_000], {5}};
                sound.read(0, back, 60_000);
                assertEquals(x[0][59_999], back[0][59_999], 1e-2);
                assertEquals(5, back[1][0]);
            }
        }
    }

    /** What is silent takes neither memory nor a file; what is not goes to memory again when another gives it back. */
    @Test
    void aSpoolOfSilenceTakesNoRoom() {
        int chunk = 48_000;
        Spool.Budget two = new Spool.Budget(2L * chunk * Float.BYTES);
        double[][] silence = new double[1][chunk], sound = new double[1][chunk];
        Arrays.fill(sound[0], 0.5);
        Spool other = new Spool(48_000, 1, 0, two);
        try (Spool spool = new Spool(48_000, 1, 0, two)) {
            for (int k = 0; k < 500; k++) other.append(silence, chunk);
            // One that is being filled, and one that is kept: now the budget is spent.
            spool.append(sound, chunk);
            for (int k = 0; k < 500; k++) spool.append(silence, chunk);
            assertEquals(0, spool.chunksInFile());
            for (int k = 0; k < 3; k++) spool.append(sound, chunk);
            spool.append(new double[][] {{-0.0, 0.25}}, 2);
            assertEquals(3, spool.chunksInFile());
            other.close();
            for (int k = 0; k < 3; k++) spool.append(sound, chunk);
            spool.append(silence, 7);
            spool.finish();
            double[][] back = new double[1][chunk];
            for (int k = 0; k < 501; k++) {
                Arrays.fill(back[0], 9);
                spool.read((long) k * chunk, back, chunk);
                assertArrayEquals(k == 0 ? sound[0] : silence[0], back[0]);
            }
            for (int k = 501; k < 504; k++) {
                spool.read((long) k * chunk, back, chunk);
                assertArrayEquals(sound[0], back[0]);
            }
            spool.read(504L * chunk, back, chunk);
            assertEquals(Double.doubleToRawLongBits(-0.0), Double.doubleToRawLongBits(back[0][0]));
            assertEquals(0.25, back[0][1]);
            for (int i = 2; i < chunk; i++) assertEquals(0.5, back[0][i]);
            assertEquals(507L * chunk + 9, spool.frames());
            spool.read(507L * chunk, back, 9);
            assertArrayEquals(new double[] {0.5, 0.5, 0, 0, 0, 0, 0, 0, 0}, Arrays.copyOf(back[0], 9));
        }
    }

    /** Who hears ahead of the writer waits, and gets the same. */
    @Test
    @Timeout(120)
    void aSpoolIsReadWhileItIsWritten() throws Exception {
        for (long budget : new long[] {0, 1L << 30}) {
            try (Spool spool = new Spool(48_000, 1, 480_000, new Spool.Budget(budget))) {
                assertEquals(480_000, spool.frames());
                CompletableFuture<double[]> reader = CompletableFuture.supplyAsync(() -> {
                    double[][] heard = new double[1][480_000];
                    double[][] piece = new double[1][4096];
                    for (int at = 0; at < 480_000; at += 4096) {
                        int n = Math.min(4096, 480_000 - at);
                        spool.read(at, piece, n);
                        System.arraycopy(piece[0], 0, heard[0], at, n);
                    }
                    return heard[0];
                });
                double[] all = new double[500_160];
                for (int i = 0; i < all.length; i++) all[i] = i;
                for (int at = 0; at < all.length; at += 480) spool.append(new double[][] {Arrays.copyOfRange(all, at, at + 480)}, 480);
                spool.finish();
                assertArrayEquals(Arrays.copyOf(all, 480_000), reader.get());
                assertEquals(all.length, spool.frames());
            }
        }
    }

    /** A render that fails leaves nobody waiting. */
    @Test
    @Timeout(120)
    void aClosedSpoolWakesItsReaders() {
        Spool spool = new Spool(48_000, 1, 480_000, new Spool.Budget(0));
        CompletableFuture<Void> reader = CompletableFuture.runAsync(() -> spool.read(0, new double[1][10], 10));
        spool.close();
        assertThrows(ExecutionException.class, reader::get);
    }
}

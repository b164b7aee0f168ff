package linnet.dsp.repair;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import java.util.function.IntPredicate;
import linnet.dsp.Stretches;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Pulses that come again are a voice, one that does not is a click. */
class ClickFinderTest {
    /** Three formants struck 110 times a second, over half a millisecond as by a larynx, in a little noise; two seconds. */
    private static double[] voice(double rate) {
        double[] x = new double[(int) (2 * rate)];
        Random random = new Random(2);
        for (int i = 0; i < x.length; i++) x[i] = 0.0005 * random.nextGaussian();
        for (double t = 0; t < 2; t += 1 / 110.0) ring(x, rate, t, 0.5, 700, 1200, 2600);
        return x;
    }

    private static void ring(double[] x, double rate, double at, double peak, double... hz) {
        for (int i = (int) Math.ceil(at * rate); i < Math.min(x.length, (int) ((at + 0.02) * rate)); i++) {
            double t = i / rate - at;
            for (double f : hz) x[i] += peak / hz.length * Math.min(1, t / 0.0005) * Math.exp(-300 * t) * Math.sin(2 * Math.PI * f * t);
        }
    }

    private static void click(double[] x, double rate, double at, double peak, double hz, double seconds) {
        for (int i = (int) Math.ceil(at * rate); i < (int) ((at + seconds) * rate); i++) {
            double t = i / rate - at;
            x[i] += peak * Math.exp(-4 * t / seconds) * Math.sin(2 * Math.PI * hz * t);
        }
    }

    private static List<ClickFinder.Click> find(double[] x, double rate, boolean sung, int block) {
        return find(x, rate, null, sung, block);
    }

    private static List<ClickFinder.Click> find(double[] x, double rate, Stretches where, boolean sung, int block) {
        return find(new ClickFinder(rate, where, f -> sung, f -> sung, 0.003), x, block);
    }

    private static List<ClickFinder.Click> find(ClickFinder finder, double[] x, int block) {
        double[] b = new double[block];
        for (int at = 0; at < x.length; at += block) {
            int n = Math.min(block, x.length - at);
            System.arraycopy(x, at, b, 0, n);
            finder.add(b, n);
        }
        return finder.find();
    }

    @ParameterizedTest
    @ValueSource(doubles = {44_100, 48_000, 88_200, 96_000, 192_000})
    void aClickWeakerThanTheVoiceIsFoundAndNoPulseIs(double rate) {
        double[] x = voice(rate);
        assertEquals(List.of(), find(x, rate, true, 4800));
        click(x, rate, 1.0037, 0.15, 4000, 0.002);
        List<ClickFinder.Click> found = find(x, rate, true, 4800);
        assertEquals(1, found.size());
        assertEquals(1.0037, found.get(0).from() / rate, 0.001);
        assertEquals(1.0057, found.get(0).to() / rate, 0.002);
    }

    /** Whoever asks for a place is told what he would be told of it in the whole. */
    @ParameterizedTest
    @ValueSource(doubles = {44_100, 48_000, 96_000})
    void aPlaceIsHeardAsInTheWhole(double rate) {
        double[] x = voice(rate);
        Random random = new Random(8);
        for (int k = 0; k < 20; k++) {
            click(x, rate, 0.05 + 0.09 * k + 0.02 * random.nextDouble(), 0.05 + 0.3 * random.nextDouble(), 2000 + 6000 * random.nextDouble(),
                    0.001 + 0.004 * random.nextDouble());
        }
        for (boolean sung : new boolean[] {true, false}) {
            List<ClickFinder.Click> whole = find(x, rate, sung, 4800);
            assertTrue(whole.size() >= 5, "found " + whole.size());
            for (long at = 0; at < x.length; at += 3000) {
                long from = at, to = at + 700;
                List<ClickFinder.Click> here = find(x, rate, new Stretches(new long[] {from}, new long[] {to}), sung, 4800);
                // Its beginning lies up to five cells before the peak by which it is known.
                assertTrue(whole.containsAll(here), here + " in " + whole);
                List<ClickFinder.Click> wanted = whole.stream().filter(c -> c.from() >= from && c.from() + 0.003 * rate < to).toList();
                assertTrue(here.containsAll(wanted), wanted + " in " + here);
            }
        }
    }

    /** What is forgotten as soon as it is judged is not missed, wherever the take ends. */
    @Test
    void whatIsJudgedWhileItIsHeardIsTheSame() {
        Random random = new Random(12);
        for (int end : new int[] {9, 401, 4800, 47_000}) {
            double[] x = new double[20 * 48_000 + end], voice = voice(48_000);
            for (int i = 0; i < x.length; i++) x[i] = i / voice.length % 3 == 1 ? 1e-4 * random.nextGaussian() : voice[i % voice.length];
            for (int k = 0; k < 150; k++) {
                click(x, 48_000, 20 * random.nextDouble(), 0.02 + 0.3 * random.nextDouble(), 2000 + 6000 * random.nextDouble(),
                        0.001 + 0.02 * random.nextDouble());
            }
            IntPredicate sung = f -> f * 480 / voice.length % 3 != 1;
            ClickFinder after = new ClickFinder(48_000, null, sung, sung, 0.003);
            after.add(x, x.length);
            List<ClickFinder.Click> found = find(new ClickFinder(48_000, null, sung, sung, 0.003), x, 4800);
            assertTrue(found.size() > 40, "found " + found.size());
            assertEquals(after.find(), found);
        }
    }

    @Test
    void blocksLeaveNoTrace() {
        double[] x = voice(48_000);
        click(x, 48_000, 0.7, 0.2, 3000, 0.003);
        assertEquals(find(x, 48_000, true, 4800), find(x, 48_000, true, 77));
    }

    /** In a pause it may be longer: a smack. */
    @Test
    void aSmackOfTwentyMillisecondsIsFoundWhole() {
        double[] x = new double[96_000];
        Random random = new Random(5);
        for (int i = 0; i < x.length; i++) x[i] = 0.0002 * random.nextGaussian() + (i >= 50_000 && i < 50_960 ? 0.02 * random.nextGaussian() : 0);
        List<ClickFinder.Click> found = find(x, 48_000, false, 4800);
        assertEquals(1, found.size());
        assertTrue(found.get(0).from() < 50_300 && found.get(0).to() > 50_900 && found.get(0).to() < 51_100, found.toString());
    }

    @Test
    void steadyNoiseAndItsBeginningAreNoClicks() {
        double[] x = new double[96_000];
        Random random = new Random(6);
        for (int i = 30_000; i < 70_000; i++) x[i] = 0.1 * random.nextGaussian();
        assertEquals(List.of(), find(x, 48_000, true, 4800));
        assertEquals(List.of(), find(x, 48_000, false, 4800));
    }
}

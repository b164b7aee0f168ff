package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Random;
import linnet.Rig;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.plan.Planner;
import linnet.render.Renderer.Options;
import org.junit.jupiter.api.Test;

/** How a print begins whose take begins in a sound. */
class FadingInTest {
    private static final int RATE = 48_000, FADE = RATE / 200;
    private static final Options WHOLE = new Options(480, 1, new Tail.Seconds(0), 0, -1);

    /** Rumble whose cut is a step, and the hiss of a room. */
    private static Samples room() {
        Random random = new Random(3);
        double[] x = new double[RATE / 2];
        for (int i = 0; i < x.length; i++) x[i] = 0.01 * Math.cos(2 * Math.PI * 20 * i / RATE) + 1e-4 * random.nextGaussian();
        return new Samples(RATE, x);
    }

    private static double[] print(String steps, Sound take, Options options) throws Exception {
        List<double[]> pieces = new ArrayList<>();
        try (Renderer renderer = new Renderer(Planner.plan(Rig.usual().chain(steps), take.rate(), take.channels(), OptionalDouble.empty()), new Ear(take),
                options, Renderer.Progress.SILENT, Witness.NONE)) {
            renderer.render((x, n) -> pieces.add(Arrays.copyOf(x[0], n)));
        }
        return pieces.stream().flatMapToDouble(Arrays::stream).toArray();
    }

    @Test
    void whatTheChainChangesComesOutOfSilence() throws Exception {
        for (String steps : List.of("- eq: [ { high-pass: 80 Hz } ]", "- trim: { level: 6 dB }")) {
            double[] plain = print(steps, room(), WHOLE), faded = print(steps, room(), WHOLE.fadingIn());
            assertTrue(Math.abs(plain[0]) > 3e-3 && faded[0] == 0, plain[0] + " " + faded[0]);
            for (int i = 0; i < FADE; i++) assertEquals(plain[i] * i / FADE, faded[i], 1e-15);
            assertArrayEquals(Arrays.copyOfRange(plain, FADE, plain.length), Arrays.copyOfRange(faded, FADE, plain.length));
        }
    }

    @Test
    void whatNothingChangesKeepsItsBits() throws Exception {
        assertArrayEquals(room().data()[0],
                Arrays.copyOf(print("- trim: { level: 0 dB }", room(), new Options(480, 1, new Tail.Auto(), 0, RATE / 2).fadingIn()), RATE / 2));
        double[] late = room().data()[0].clone();
        late[0] = 0;
        String steps = "- trim: { level: 6 dB }";
        assertArrayEquals(print(steps, new Samples(RATE, late), WHOLE), print(steps, new Samples(RATE, late), WHOLE.fadingIn()));
    }

    /** Wherever the print begins, and into whatever blocks it is cut. */
    @Test
    void rangesAndBlocksHaveTheSameBits() throws Exception {
        String steps = "- eq: [ { high-pass: 80 Hz } ]\n- limit: { ceiling: -3 dBTP }";
        double[] whole = print(steps, room(), WHOLE.fadingIn());
        for (int block : new int[] {1, 77, 4800}) assertArrayEquals(whole, print(steps, room(), new Options(block, 1, new Tail.Seconds(0), 0, -1).fadingIn()));
        for (int from : new int[] {1, 100, FADE, 5000}) {
            assertArrayEquals(Arrays.copyOfRange(whole, from, 9000), print(steps, room(), new Options(480, 2, new Tail.Auto(), from, 9000).fadingIn()));
        }
    }

    /** The rumble of nit004 stands at -42 dBFS where the take is cut: a high-pass made a tick of it, 12 dB over the room. */
    @Test
    void aRealTakeBeginsWithoutATick() throws Exception {
        Voices.assumePresent();
        try (WavFile take = WavFile.open(Voices.file("female_sing_nit004_take1.wav"))) {
            double[] x = print("- eq: [ { high-pass: 150 Hz } ]", take, new Options(480, 1, new Tail.Auto(), 0, RATE / 5).fadingIn());
            assertEquals(0, x[0], 0);
            assertTrue(peak(x, 0, RATE / 50) < 2 * peak(x, RATE / 50, x.length), peak(x, 0, RATE / 50) + " " + peak(x, RATE / 50, x.length));
        }
    }

    private static double peak(double[] x, int from, int to) {
        return Arrays.stream(x, from, to).map(Math::abs).max().orElseThrow();
    }
}

package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.Callable;
import java.util.stream.IntStream;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.plan.Work;
import org.junit.jupiter.api.Test;

/** Several threads may read at once what only one may read. */
class ApieceTest {
    @Test
    void eachReadsItsOwn() throws Exception {
        double[] x = new double[400_000];
        SplittableRandom random = new SplittableRandom(7);
        for (int i = 0; i < x.length; i++) x[i] = random.nextDouble();
        Sound noise = new Samples(48_000, x);
        Sound sound = new Apiece(() ->
                new Mixture(48_000, 1, 0,
                        List.of(new Mixture.Voice(noise, 0, false, Splicer.curve(Work.Course.of(0)), new Pan(new Work.Pan(true, Work.Course.of(0.5)))))));
        double[] whole = new double[x.length];
        sound.read(0, new double[][] {whole}, x.length);
        SideBySide.run(IntStream.range(0, 4).<Callable<Void>>mapToObj(t -> () -> {
            double[][] piece = new double[1][1000];
            for (int at = 97_000 * t; at + 1000 <= x.length; at += 1000) {
                sound.read(at, piece, 1000);
                assertArrayEquals(Arrays.copyOfRange(whole, at, at + 1000), piece[0]);
            }
            return null;
        }).toList(), 4);
    }
}

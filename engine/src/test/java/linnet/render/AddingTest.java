package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.OptionalDouble;
import java.util.SplittableRandom;
import linnet.Rig;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Memory;
import linnet.plan.Planner;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** A sum that several threads add up is the sum, and where it cannot be added up nobody waits for it. */
@Timeout(120)
class AddingTest {
    private static final double RATE = 8000;

    private static Samples noise(int frames) {
        double[][] x = new double[2][frames];
        SplittableRandom random = new SplittableRandom(frames);
        for (double[] c : x) for (int i = 0; i < frames; i++) c[i] = random.nextDouble() - 0.5;
        return new Samples(RATE, x);
    }

    /** Cannot be read from some place on. */
    private record Torn(Sound of, long from, Throwable why) implements Sound {
        @Override
        public double rate() {
            return of.rate();
        }

        @Override
        public int channels() {
            return of.channels();
        }

        @Override
        public long frames() {
            return of.frames();
        }

        @Override
        public void read(long at, double[][] into, int n) {
            if (at + n > from) {
                if (why instanceof Error e) throw e;
                throw (RuntimeException) why;
            }
            of.read(at, into, n);
        }
    }

    @Test
    void itIsTheSumForAnyThreadsAndLengths() {
        for (int frames : new int[] {1, 19_200, 19_201, 200_000}) {
            Samples sum = noise(frames);
            double[][] plain = new double[2][frames], x = new double[2][frames];
            sum.read(0, plain, frames);
            for (int threads = 1; threads <= 3; threads++) {
                try (Adding adding = new Adding(() -> sum, threads, 1 << 20)) {
                    assertEquals(frames, adding.kept().frames());
                    // Who reads waits for it.
                    adding.kept().read(0, x, frames);
                    for (int c = 0; c < 2; c++) assertArrayEquals(plain[c], x[c], 1e-15);
                    adding.await();
                }
            }
        }
    }

    @Test
    void whereItCannotBeReadEverybodyIsTold() {
        UncheckedIOException cut = new UncheckedIOException(new IOException("cut"));
        for (long from : new long[] {0, 50_000, 199_999}) {
            for (int threads = 1; threads <= 3; threads++) {
                try (Adding adding = new Adding(() -> new Torn(noise(200_000), from, cut), threads, 1 << 20)) {
                    assertThrows(IllegalStateException.class, () -> adding.kept().read(199_000, new double[2][1000], 1000));
                    assertSame(cut, assertThrows(UncheckedIOException.class, adding::await));
                    assertSame(cut, adding.failure().orElseThrow());
                }
            }
        }
    }

    /** Who has no memory left for it stops without saying so to the others. */
    @Test
    void whereMemoryEndsNobodyWaits() {
        OutOfMemoryError none = new OutOfMemoryError("none");
        for (int threads = 1; threads <= 3; threads++) {
            try (Adding adding = new Adding(() -> new Torn(noise(200_000), 50_000, none), threads, 1 << 20)) {
                assertThrows(IllegalStateException.class, () -> adding.kept().read(199_000, new double[2][1000], 1000));
                assertSame(none, assertThrows(IllegalStateException.class, adding::await).getCause());
            }
        }
    }

    /** And the user is told why, not that somebody was waiting. */
    @Test
    void aChainThatHearsItSaysWhy() throws Exception {
        var plan = Planner.plan(Rig.usual().chain("- compressor: { aim: 3 dB }"), RATE, 2, OptionalDouble.empty());
        UncheckedIOException cut = new UncheckedIOException(new IOException("cut"));
        for (int threads = 1; threads <= 2; threads++) {
            int most = threads;
            try (Sums sums = new Sums()) {
                assertSame(cut, assertThrows(UncheckedIOException.class,
                        () -> new BusRun(plan, () -> new Torn(noise(200_000), 150_000, cut), sums, "", Ear::new, Memory.NONE, most, 1)));
            }
        }
    }
}

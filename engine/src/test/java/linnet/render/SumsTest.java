package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotSame;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.lang.ref.WeakReference;
import java.util.Arrays;
import java.util.Set;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

class SumsTest {
    private static Sound steady(double level) {
        double[] x = new double[60_000];
        Arrays.fill(x, level);
        return new Samples(48_000, x);
    }

    private static Adding adding(Sound sum) {
        return new Adding(() -> sum, 2, 1 << 20);
    }

    private static double last(Adding adding) {
        double[][] x = new double[1][1];
        adding.kept().read(59_999, x, 1);
        return x[0][0];
    }

    @Test
    void aSumIsAddedUpOnceForAllThatHearIt() {
        try (Sums sums = new Sums()) {
            Adding one = sums.of("one", () -> adding(steady(0.25))), other = sums.of("other", () -> adding(steady(0.5)));
            assertSame(one, sums.of("one", () -> adding(steady(0.75))));
            assertEquals(0.25, last(one));
            assertEquals(0.5, last(other));
        }
    }

    @Test
    void whatNobodyHearsAnyMoreIsLetGo() {
        try (Sums sums = new Sums()) {
            Adding one = sums.of("one", () -> adding(steady(0.25))), other = sums.of("other", () -> adding(steady(0.5)));
            sums.only(Set.of("other", "third"));
            assertThrows(IllegalStateException.class, () -> last(one));
            assertEquals(0.5, last(other));
            assertNotSame(one, sums.of("one", () -> adding(steady(0.25))));
            sums.only(Set.of());
            assertThrows(IllegalStateException.class, () -> last(other));
        }
    }

    /** Else the render that added it up, with all its sounds, would stay as long as the sum. */
    @Test
    @Timeout(120)
    void whatASumIsMadeOfMayGoWhenItIsThere() throws Exception {
        try (Sums sums = new Sums()) {
            WeakReference<Sound> made = held(sums);
            while (made.get() != null) {
                System.gc();
                Thread.sleep(10);
            }
            assertEquals(0.25, last(sums.of("one", () -> adding(steady(0.5)))));
        }
    }

    private static WeakReference<Sound> held(Sums sums) {
        Sound sound = steady(0.25);
        sums.of("one", () -> adding(sound)).await();
        return new WeakReference<>(sound);
    }

    @Test
    void oneThatFailedIsBegunAgain() {
        UncheckedIOException cut = new UncheckedIOException(new IOException("cut"));
        Sound torn = new Sound() {
            @Override
            public double rate() {
                return 48_000;
            }

            @Override
            public int channels() {
                return 1;
            }

            @Override
            public long frames() {
                return 60_000;
            }

            @Override
            public void read(long from, double[][] into, int n) {
                throw cut;
            }
        };
        try (Sums sums = new Sums()) {
            Adding failed = sums.of("one", () -> adding(torn));
            assertSame(cut, assertThrows(UncheckedIOException.class, failed::await));
            assertEquals(0.25, last(sums.of("one", () -> adding(steady(0.25)))));
        }
    }
}

package linnet.dsp;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class StretchesTest {
    /** Against asking each of them. */
    @Test
    void answersAsEachOfThemWould() {
        SplittableRandom random = new SplittableRandom(1);
        for (int round = 0; round < 300; round++) {
            int n = random.nextInt(12);
            long[] from = new long[n], to = new long[n];
            for (int i = 0; i < n; i++) {
                from[i] = random.nextInt(100) - 10;
                to[i] = from[i] + random.nextInt(15);
            }
            Stretches all = new Stretches(from, to);
            assertEquals(n == 0, all.isEmpty());
            for (int ask = 0; ask < 100; ask++) {
                long a = random.nextInt(120) - 20, b = a + 1 + random.nextInt(10);
                boolean meets = false;
                for (int i = 0; i < n; i++) meets |= from[i] < b && a < to[i];
                assertEquals(meets, all.meets(a, b));
                long until = Long.MAX_VALUE;
                for (int i = 0; i < n; i++) if (a < to[i]) until = Math.min(until, Math.max(0, from[i] - a));
                assertEquals(until, all.until(a));
            }
        }
    }

    @Test
    void whatOnlyTouchesDoesNotMeet() {
        Stretches all = new Stretches(new long[] {30, 10, 20}, new long[] {40, 20, 30});
        assertFalse(all.meets(0, 10));
        assertTrue(all.meets(9, 11));
        assertTrue(all.meets(39, 50));
        assertFalse(all.meets(40, 50));
    }

    @Test
    void thoseOfAListAreWhatItsOwnersSay() {
        Stretches all = Stretches.of(List.of("30-40", "10-20"), s -> Long.parseLong(s.substring(0, 2)), s -> Long.parseLong(s.substring(3)));
        assertEquals(10, all.until(0));
        assertEquals(10, all.until(20));
        assertTrue(all.meets(39, 40));
        assertEquals(Long.MAX_VALUE, all.until(40));
    }

    @Test
    void noneHasNotOneSample() {
        assertTrue(Stretches.NONE.isEmpty());
        assertFalse(Stretches.NONE.meets(Long.MIN_VALUE, Long.MAX_VALUE));
        assertEquals(Long.MAX_VALUE, Stretches.NONE.until(0));
    }
}

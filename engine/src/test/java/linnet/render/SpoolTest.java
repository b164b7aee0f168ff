package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class SpoolTest {
    private static final int CHUNK = 48_000;

    private record Written(Spool spool, int channels, int mark, int[] size) {
        double sample(int channel, int at) {
            return at / CHUNK % 7 == 3 ? 0 : mark * 1000 + channel * 100 + at % 97;
        }

        void more(int n) {
            double[][] x = new double[channels][n];
            for (int c = 0; c < channels; c++) for (int i = 0; i < n; i++) x[c][i] = sample(c, size[0] + i);
            spool.append(x, n);
            size[0] += n;
        }
    }

    /** Several that come and go, with memory for some slabs and a little, and silence between: each has its own samples, also where its channels are added. */
    @Test
    void whatSpoolsShareIsNeverTwoSpools() {
        int inFile = 0;
        for (int seed = 0; seed < 3; seed++) {
            var random = new SplittableRandom(seed);
            Spool.Budget budget = new Spool.Budget(97L * CHUNK * Float.BYTES + 11);
            List<Written> all = new ArrayList<>();
            for (int k = 0; k < 60; k++) {
                int what = random.nextInt(4);
                if (what == 0 || all.isEmpty()) {
                    int channels = 1 + random.nextInt(4);
                    all.add(new Written(new Spool(48_000, channels, 0, budget), channels, k + 1, new int[1]));
                } else if (what == 1 && all.size() > 3) {
                    all.remove(random.nextInt(all.size())).spool.close();
                } else {
                    all.get(random.nextInt(all.size())).more(random.nextInt(300_000));
                }
            }
            for (Written w : all) {
                int n = w.size[0], last = w.channels - 1;
                w.spool.finish();
                double[][] back = new double[w.channels][n], sum = new double[1][n];
                w.spool.read(0, back, n);
                w.spool.read(0, sum, n, 0, 1, false);
                w.spool.read(0, sum, n, last, 1, true);
                for (int i = 0; i < n; i++) {
                    for (int c = 0; c < w.channels; c++) assertEquals(w.sample(c, i), back[c][i]);
                    assertEquals(w.sample(0, i) + w.sample(last, i), sum[0][i]);
                }
                inFile += w.spool.chunksInFile();
            }
            all.forEach(w -> w.spool.close());
        }
        assertTrue(inFile > 0);
    }

    /** One passes into another, each of which is longer than the memory for both; what has passed is gone, what has not is there. */
    @Test
    void memoryOfWhatHasPassedServesAgain() {
        Spool.Budget budget = new Spool.Budget(20L * CHUNK * Float.BYTES);
        Written from = new Written(new Spool(48_000, 1, 0, budget), 1, 1, new int[1]), into = new Written(new Spool(48_000, 1, 0, budget), 1, 2, new int[1]);
        from.more(18 * CHUNK);
        from.spool.finish();
        double[][] x = new double[1][CHUNK / 2];
        for (int at = 0; at < 18 * CHUNK; at += CHUNK / 2) {
            from.spool.read(at, x, CHUNK / 2);
            for (int i = 0; i < CHUNK / 2; i++) assertEquals(from.sample(0, at + i), x[0][i]);
            from.spool.forget(at + CHUNK / 2);
            into.more(CHUNK / 2);
        }
        assertEquals(0, from.spool.chunksInFile() + into.spool.chunksInFile());
        assertThrows(IllegalStateException.class, () -> from.spool.read(0, x, 1));
        from.spool.close();
        double[][] back = new double[1][18 * CHUNK];
        into.spool.read(0, back, 18 * CHUNK);
        for (int i = 0; i < 18 * CHUNK; i++) assertEquals(into.sample(0, i), back[0][i]);
        into.spool.close();
    }
}

package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** Who listens on another thread hears what who listens on this one would hear. */
@Timeout(120)
class HandedOverTest {
    private static final int FRAMES = 22 * HandedOver.BLOCK + 3;

    private final double[][] x = {new double[FRAMES], new double[FRAMES]};
    private final double[][] heard = {new double[FRAMES], new double[FRAMES]};
    private final List<Thread> threads = new ArrayList<>();
    private int at;

    HandedOverTest() {
        SplittableRandom random = new SplittableRandom(3);
        for (double[] c : x) for (int i = 0; i < FRAMES; i++) c[i] = random.nextDouble();
    }

    private void hear(double[][] y, int n) {
        for (int c = 0; c < 2; c++) System.arraycopy(y[c], 0, heard[c], at, n);
        at += n;
        if (!threads.contains(Thread.currentThread())) threads.add(Thread.currentThread());
    }

    /** Writes all of it in pieces of many lengths, always in the same two arrays. */
    private void write(Renderer.Sink to, AtomicBoolean spare, int spareFrom) throws IOException {
        double[][] piece = new double[2][7000];
        for (int from = 0, n = 1; from < FRAMES; from += n, n = Math.min(FRAMES - from, n * 7 % 6997)) {
            if (from >= spareFrom) spare.set(true);
            for (int c = 0; c < 2; c++) System.arraycopy(x[c], from, piece[c], 0, n);
            to.write(piece, n);
        }
    }

    @Test
    void nothingIsLostAndNothingChangesPlaces() throws IOException {
        for (int spareFrom : new int[] {0, FRAMES / 3, FRAMES}) {
            at = 0;
            threads.clear();
            AtomicBoolean spare = new AtomicBoolean();
            try (HandedOver over = new HandedOver(this::hear, 2, spare::get)) {
                write(over, spare, spareFrom);
                over.finish();
            }
            assertEquals(FRAMES, at);
            assertArrayEquals(x, heard);
            if (spareFrom == FRAMES) assertEquals(List.of(Thread.currentThread()), threads);
            else assertNotEquals(Thread.currentThread(), threads.get(threads.size() - 1));
        }
    }

    @Test
    void whatTheListenerHasToSayIsHeard() {
        IOException full = new IOException("full");
        for (int writes : new int[] {0, 1, 5, 20}) {
            AtomicInteger left = new AtomicInteger(writes);
            try (HandedOver over = new HandedOver((y, n) -> {
                if (left.getAndDecrement() == 0) throw full;
            }, 2, () -> true)) {
                assertSame(full, assertThrows(IOException.class, () -> {
                    write(over, new AtomicBoolean(), FRAMES);
                    over.finish();
                }));
            }
        }
    }

    @Test
    void nobodyListensAnyMoreWhenItIsClosed() throws Exception {
        CountDownLatch listening = new CountDownLatch(1);
        AtomicBoolean stopped = new AtomicBoolean();
        HandedOver over = new HandedOver((y, n) -> {
            listening.countDown();
            try {
                Thread.sleep(60_000);
            } catch (InterruptedException e) {
                stopped.set(true);
            }
        }, 2, () -> true);
        over.write(x, 2 * HandedOver.BLOCK);
        listening.await();
        over.close();
        assertTrue(stopped.get());
    }
}

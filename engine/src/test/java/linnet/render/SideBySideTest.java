package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.Collections;
import java.util.List;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import linnet.Rig;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import linnet.plan.Planner;
import linnet.step.Catalogue;
import linnet.step.FixedValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** Nothing goes on beside what was given up. */
@Timeout(60)
class SideBySideTest {
    private final CountDownLatch begun = new CountDownLatch(1);
    private final AtomicBoolean over = new AtomicBoolean();

    /** Something that minds no interrupt, as what computes does. */
    private void compute() {
        begun.countDown();
        for (long end = System.nanoTime() + 300_000_000; System.nanoTime() < end; ) Thread.onSpinWait();
        over.set(true);
    }

    @Test
    void whatIsStoppedIsOverAlsoForWhoWasInterrupted() throws InterruptedException {
        ExecutorService pool = SideBySide.pool(1);
        pool.execute(this::compute);
        begun.await();
        Thread.currentThread().interrupt();
        SideBySide.stop(pool);
        assertTrue(Thread.interrupted(), "it is still told");
        assertTrue(over.get());
    }

    @Test
    void whatWasBegunIsOverAlsoForWhoWasInterrupted() throws InterruptedException {
        SideBySide.Begun<Void> beside = SideBySide.begin(() -> {
            compute();
            throw new IllegalStateException("of no interest");
        });
        begun.await();
        Thread.currentThread().interrupt();
        beside.close();
        assertTrue(Thread.interrupted(), "it is still told");
        assertTrue(over.get());
    }

    @Test
    void givesWhatCameOfEachInTheirOrder() throws IOException {
        List<Callable<Integer>> pieces = List.of(() -> {
            compute();
            return 1;
        }, () -> 2, () -> 3);
        assertEquals(List.of(1, 2, 3), SideBySide.run(pieces, 2));
        assertEquals(List.of(), SideBySide.run(List.<Callable<Integer>>of(), 2));
    }

    /** Hears, on another thread, while the stage before it runs. */
    private final class Hearing extends Step {
        Hearing() {
            super("hearing", "Hears for a while.");
        }

        @Override
        public Prepared prepare(FixedValues values, Setup setup) {
            return Prepared.hearing(0, setup.channels(), (v, ear) -> {
                compute();
                return block -> {};
            });
        }
    }

    /** What is under way where one fails comes to its end, uninterrupted, before that is told; what is not yet begun never is. */
    @Test
    void whereOneFailsNothingMoreIsBegunAndNothingGoesOn() {
        AtomicBoolean late = new AtomicBoolean(), interrupted = new AtomicBoolean();
        Callable<Void> failing = () -> {
            begun.await();
            throw new IOException("the disk is full");
        };
        Callable<Void> under = () -> {
            compute();
            interrupted.set(Thread.currentThread().isInterrupted());
            return null;
        };
        // The thread of the one that failed takes up the next before anybody knows.
        Callable<Void> next = () -> {
            Thread.sleep(1000);
            return null;
        };
        Callable<Void> last = () -> {
            late.set(true);
            return null;
        };
        IOException e = assertThrows(IOException.class, () -> SideBySide.run(List.of(failing, under, next, last), 2));
        assertEquals("the disk is full", e.getMessage());
        assertTrue(over.get(), "it goes on");
        assertFalse(interrupted.get() || late.get());
    }

    @Test
    void ofBothTheOtherIsOverWhereOneFails() {
        assertThrows(IllegalStateException.class, () -> SideBySide.both(() -> {
            throw new IllegalStateException("no");
        }, this::compute));
        assertTrue(over.get());
    }

    @Test
    void noMoreAreDoneAtOnceThanWasSaid() throws IOException {
        AtomicInteger now = new AtomicInteger(), most = new AtomicInteger();
        Callable<Void> piece = () -> {
            most.accumulateAndGet(now.incrementAndGet(), Math::max);
            Thread.sleep(20);
            now.decrementAndGet();
            return null;
        };
        SideBySide.run(Collections.nCopies(8, piece), 2);
        assertEquals(2, most.get());
    }

    @Test
    void aClosedRendererHearsNoMore() throws Exception {
        Rig rig = Rig.usual().with(new Catalogue(List.of(Builtins.catalogue().find("trim").orElseThrow(), new Hearing())));
        Ear take = new Ear(new Samples(48_000, new double[48_000]));
        Renderer.Progress failing = (stage, stages, share) -> {
            try {
                begun.await();
            } catch (InterruptedException e) {
                throw new AssertionError(e);
            }
            throw new IllegalStateException("the disk is full");
        };
        try (Renderer renderer = new Renderer(Planner.plan(rig.chain("- trim: { level: -1 dB }\n- hearing"), 48_000, 1, OptionalDouble.empty()), take,
                Renderer.Options.usual(), failing, Witness.NONE)) {
            assertThrows(IllegalStateException.class, () -> renderer.render((x, n) -> {}));
        }
        assertTrue(over.get(), "it was still heard when all was given up");
    }
}

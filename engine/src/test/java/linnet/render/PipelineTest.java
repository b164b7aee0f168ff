package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.SplittableRandom;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.Executors;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import linnet.Rig;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import linnet.plan.Node;
import linnet.plan.Planner;
import linnet.step.Catalogue;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Several threads on one stage: each may be slow for a while or fail, at any place of it. */
@Timeout(120)
class PipelineTest {
    private static final int RATE = 8000, FRAMES = 40_000;

    /** Takes now more and now less time, and fails at a sample that is told. */
    private static final class Uneven extends Step {
        private final String word;
        private final long fails;

        Uneven(String word, long fails) {
            super(word, "Passes all, in more or less time.");
            this.word = word;
            this.fails = fails;
        }

        @Override
        public Prepared prepare(FixedValues values, Setup setup) {
            return Prepared.of(0, setup.channels(), v -> {
                var random = new SplittableRandom(word.hashCode());
                return block -> {
                    if (block.start() <= fails && fails < block.start() + block.length()) throw new IllegalStateException("it stumbled");
                    if (random.nextInt(10) == 0) Thread.yield();
                    for (int c = 0; c < setup.channels(); c++) for (int i = 0; i < block.length(); i++) block.x(c)[i] = 0.5 * block.x(c)[i] + 0.25;
                };
            });
        }
    }

    private static Rig rig(long fails) {
        List<Step> steps = new ArrayList<>(Builtins.catalogue().steps());
        for (String word : List.of("one", "two", "three")) steps.add(new Uneven(word, -1));
        steps.add(new Uneven("stumble", fails));
        return new Rig(new Catalogue(steps), 60, 1, new Tail.Seconds(0));
    }

    private static Samples take() {
        double[] x = new double[FRAMES];
        var random = new SplittableRandom(5);
        for (int i = 0; i < FRAMES; i++) x[i] = random.nextDouble(-0.5, 0.5);
        return new Samples(RATE, x);
    }

    /** Chunks far shorter than usual: hundreds of them, in hundreds of orders. */
    @ParameterizedTest
    @ValueSource(ints = {2, 3, 5})
    void whoIsSlowMovesNoSample(int threads) {
        String steps = "- one\n- two\n- parallel: [ { level: 0 dB }, { steps: [ three ] } ]\n- two\n- compressor\n- one\n- three";
        double[] alone = rig(-1).render(steps, take()).mono();
        for (int k = 0; k < 5; k++) assertArrayEquals(alone, rig(-1).threads(threads).render(steps, take()).mono());
    }

    /** First in its stage and last, at the beginning and far in, before a step that hears and after it: who waits is told, and none hangs. */
    @ParameterizedTest
    @ValueSource(strings = {"- stumble\n- one\n- two", "- one\n- two\n- stumble", "- one\n- stumble\n- two\n- compressor\n- one",
            "- one\n- compressor\n- one\n- two\n- stumble"})
    void aStepThatFailsEndsTheRender(String steps) {
        for (long at : new long[] {0, 59, 20_000, FRAMES - 1}) {
            assertEquals("it stumbled", assertThrows(IllegalStateException.class, () -> rig(at).threads(2).render(steps, take())).getMessage());
        }
    }

    /**
     * A thread of the pool is in a chunk when the disk is full, and stays there a little longer: the render does not come back before it.
     * The pool is let in when the first chunk is written, so the one it works on is none that the caller waits for.
     */
    @Test
    void nobodyIsAtWorkWhenARenderHasEnded() throws Exception {
        var full = new AtomicBoolean();
        AtomicInteger atWork = new AtomicInteger();
        Thread caller = Thread.currentThread();
        Kernel slow = block -> {
            if (Thread.currentThread() == caller) return;
            atWork.incrementAndGet();
            while (!full.get()) Thread.onSpinWait();
            for (long end = System.nanoTime() + 50_000_000; System.nanoTime() < end; ) Thread.onSpinWait();
            atWork.decrementAndGet();
        };
        Node node = Planner.plan(rig(-1).chain("- one"), RATE, 1, OptionalDouble.empty()).nodes().get(1);
        var post = new Post(node, List.of(new Supply(new Supply.Source.There(take()), 1, 0, null)), slow, null);
        var pool = Executors.newSingleThreadExecutor();
        var open = new CountDownLatch(1);
        pool.submit(() -> {
            open.await();
            return null;
        });
        try {
            assertThrows(IOException.class, () -> new Pipeline(List.of(post), List.of(post), 60, 2, pool).run((chunk, at) -> {
                open.countDown();
                while (atWork.get() == 0) Thread.onSpinWait();
                full.set(true);
                throw new IOException("full");
            }));
            assertEquals(0, atWork.get());
        } finally {
            pool.shutdownNow();
        }
    }

    @ParameterizedTest
    @ValueSource(ints = {0, 1, 100})
    void aDiskThatIsFullEndsTheRender(int writes) throws Exception {
        Rig rig = rig(-1);
        var plan = Planner.plan(rig.chain("- one\n- two\n- three"), RATE, 1, OptionalDouble.empty());
        AtomicInteger left = new AtomicInteger(writes);
        try (Renderer renderer = new Renderer(plan, new Ear(take()), new Renderer.Options(60, 2, new Tail.Seconds(0), 0, -1), Renderer.Progress.SILENT,
                Witness.NONE)) {
            IOException full = assertThrows(IOException.class, () -> renderer.render((x, n) -> {
                if (left.getAndDecrement() == 0) throw new IOException("full");
            }));
            assertEquals("full", full.getMessage());
        }
        // Nothing more was asked to be written.
        assertEquals(-1, left.get());
    }
}

package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.util.List;
import java.util.OptionalDouble;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.BiConsumer;
import java.util.stream.Stream;
import linnet.Rig;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import linnet.hear.Memory;
import linnet.plan.Plan;
import linnet.plan.Planner;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/**
 * A chain of a mix finds its numbers first and is started once more then: whatever step stands before one that hears, what comes out is what the chain makes of
 * a take.
 */
class OnceMoreTest {
    private static final double RATE = 48_000;
    private static final int FRAMES = 4 * 48_000 + 77;

    private static Samples sung() {
        return new Samples(RATE, SongRig.sung(0, FRAMES / RATE, 0.1).data()[0], SongRig.sung(2, FRAMES / RATE, 0.1).data()[0]);
    }

    @TestFactory
    Stream<DynamicTest> aChainOfAMixRunsWithAnyStep() {
        return Builtins.catalogue().steps().stream().filter(s -> s.body() == null).map(step -> dynamicTest(step.word(), () -> {
            Samples sung = sung();
            Plan plan = Planner.plan(Rig.usual().chain("- trim: { level: -1 dB }\n- " + step.word() + "\n- compressor: { aim: 2 dB }"), RATE, 2,
                    OptionalDouble.empty());
            double[][] made, undivided;
            try (Sums sums = new Sums(); BusRun run = new BusRun(plan, () -> sung, sums, "", Ear::new, Memory.NONE, 2, 1)) {
                made = made((lane, sink) -> lane.add(run.sharedOut(sung, true, List.of()), sink, List.of()));
                undivided = made((lane, sink) -> lane.only(run.undivided(sung), sink, 2));
            }
            for (int c = 0; c < 2; c++) assertArrayEquals(made[c], undivided[c], "in pieces that work at once");
            double[][] alone = Rig.usual().exact().render("- trim: { level: -1 dB }\n- " + step.word() + "\n- compressor: { aim: 2 dB }", sung).x();
            // What a mix's chain hears is kept as floats.
            for (int c = 0; c < 2; c++) assertArrayEquals(alone[c], made[c], 1e-6);
        }));
    }

    /** In what is started once more, times of the text are those of a sum from its beginning: a take that begins elsewhere would move at other places. */
    @Test
    void onlyWhatBeginsAtTheBeginningIsStartedOnceMore() throws Exception {
        Plan plan = Planner.plan(Rig.usual().chain("- trim: { level: -1 dB }"), RATE, 2, OptionalDouble.empty());
        for (long start : new long[] {0, 480}) {
            try (Renderer renderer = new Renderer(plan, sung(), new Renderer.Options(0, 1, new Tail.Auto(), 0, -1, start), Renderer.Progress.SILENT)) {
                if (start == 0) renderer.resolve();
                else assertThrows(IllegalStateException.class, renderer::resolve);
            }
        }
    }

    private static double[][] made(BiConsumer<Lane, Renderer.Sink> task) throws Exception {
        double[][] made = new double[2][FRAMES];
        int[] at = {0};
        Lane lane = new Lane(FRAMES, new AtomicBoolean());
        task.accept(lane, (x, n) -> {
            for (int c = 0; c < 2; c++) System.arraycopy(x[c], 0, made[c], at[0], n);
            at[0] += n;
        });
        lane.call();
        assertEquals(FRAMES, at[0]);
        return made;
    }
}

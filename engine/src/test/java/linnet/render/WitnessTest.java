package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.OptionalDouble;
import linnet.Rig;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.plan.Planner;
import org.junit.jupiter.api.Test;

/** What a watch is shown is what the steps get and give, whatever the threads. */
class WitnessTest {
    private static final String CHAIN = "- trim: { level: -6 dB }\n- gate: { threshold: -30 dB, floor: -20 dB }\n- pan: { to: 50 % left }";

    private static final class Seen implements Witness.Watch {
        final double[] before, after;
        int channelsIn, channelsOut, end;
        double deepest;

        Seen(int frames) {
            before = new double[frames];
            after = new double[frames];
        }

        @Override
        public void before(double[][] x, int channels, int n, long at) {
            assertEquals(end, at);
            channelsIn = channels;
            if (at + n <= before.length) System.arraycopy(x[0], 0, before, (int) at, n);
        }

        @Override
        public void after(double[][] x, int channels, int n, double reductionDb) {
            channelsOut = channels;
            if (end + n <= after.length) System.arraycopy(x[0], 0, after, end, n);
            deepest = Math.max(deepest, reductionDb);
            end += n;
        }
    }

    @Test
    void seesEveryStepInOrder() throws Exception {
        double[] x = new double[48_000];
        for (int i = 0; i < x.length; i++) x[i] = i < 24_000 ? 0.5 * Math.sin(0.1 * i) : 1e-4 * Math.sin(0.1 * i);
        for (int threads = 1; threads <= 3; threads++) {
            Plan plan = Planner.plan(Rig.usual().chain(CHAIN), 48_000, 1, OptionalDouble.empty());
            Map<String, Seen> seen = new LinkedHashMap<>();
            Witness witness = node -> {
                if (node.work().isEmpty()) return null;
                return seen.computeIfAbsent(node.name(), name -> new Seen(48_000));
            };
            Renderer.Options options = Renderer.Options.whole(0, threads);
            try (Renderer renderer = new Renderer(plan, new Ear(new Samples(48_000, x)), options, Renderer.Progress.SILENT, witness)) {
                renderer.render((y, n) -> {});
            }
            assertEquals(plan.steps().stream().map(Node::name).toList(), seen.keySet().stream().toList());
            assertArrayEquals(x, seen.get("trim").before);
            assertArrayEquals(seen.get("trim").after, seen.get("gate").before);
            assertArrayEquals(seen.get("gate").after, seen.get("pan").before);
            assertEquals(0, seen.get("trim").deepest);
            assertEquals(20, seen.get("gate").deepest, 0.01);
            assertEquals(1, seen.get("pan").channelsIn);
            assertEquals(2, seen.get("pan").channelsOut);
        }
    }
}

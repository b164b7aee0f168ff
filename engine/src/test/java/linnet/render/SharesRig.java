package linnet.render;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.atomic.AtomicBoolean;
import linnet.chain.Chain;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Memory;
import linnet.plan.Plan;
import linnet.plan.Planner;
import linnet.step.Prepared;
import linnet.text.ProblemsException;

/** Renders what a chain makes of a sum as shares of its parts, for tests. */
public final class SharesRig {
    private SharesRig() {}

    /** What the shares add up to, in the length of the whole; empty if the chain cannot be shared out. */
    public static Optional<double[][]> sum(Chain chain, Sound whole, List<? extends Sound> parts) {
        try {
            return sum(Planner.plan(chain, whole.rate(), whole.channels(), OptionalDouble.empty()), whole, parts);
        } catch (ProblemsException e) {
            throw new AssertionError(e.getMessage(), e);
        }
    }

    public static Optional<double[][]> sum(Plan plan, Sound whole, List<? extends Sound> parts) {
        try {
            if (plan.steps().stream().anyMatch(n -> n.work().orElseThrow().prepared().sharing() == Prepared.Sharing.NONE)) return Optional.empty();
            double[][] sum = new double[plan.output().channels()][(int) whole.frames()];
            try (Sums sums = new Sums(); BusRun run = new BusRun(plan, () -> whole, sums, "", Ear::new, Memory.NONE, 1, 1)) {
                Lane lane = new Lane(whole.frames(), new AtomicBoolean());
                List<Renderer.Sink> sinks = new ArrayList<>();
                for (int p = 0; p < parts.size(); p++) {
                    int[] at = {0};
                    sinks.add((x, n) -> {
                        for (int c = 0; c < sum.length; c++) for (int i = 0; i < n; i++) sum[c][at[0] + i] += x[c][i];
                        at[0] += n;
                    });
                }
                lane.add(run.sharedOut(whole, false, List.copyOf(parts)), null, sinks);
                lane.call();
            }
            return Optional.of(sum);
        } catch (ProblemsException e) {
            throw new AssertionError(e.getMessage(), e);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}

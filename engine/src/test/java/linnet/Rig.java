package linnet;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.chain.Chain;
import linnet.chain.ChainReader;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Told;
import linnet.plan.Plan;
import linnet.plan.Planner;
import linnet.render.Rendered;
import linnet.render.Renderer;
import linnet.render.Tail;
import linnet.render.Witness;
import linnet.step.Catalogue;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;

/** Renders sounds through steps as a chain file gives them, for tests. */
public record Rig(Catalogue catalogue, int block, int threads, Tail tail) {
    /** What came out. */
    public record Result(double[][] x, Rendered rendered, Plan plan) {
        public double[] mono() {
            return x[0];
        }
    }

    public static Rig usual() {
        return new Rig(Builtins.catalogue(), 480, 1, new Tail.Auto());
    }

    public Rig block(int frames) {
        return new Rig(catalogue, frames, threads, tail);
    }

    public Rig threads(int n) {
        return new Rig(catalogue, block, n, tail);
    }

    /** The print then has the length of the take, and no fade. */
    public Rig exact() {
        return new Rig(catalogue, block, threads, null);
    }

    public Rig with(Catalogue other) {
        return new Rig(other, block, threads, tail);
    }

    /** {@code steps} as they stand under {@code steps:}, such as {@code "- gate: { floor: -12 dB }"}. */
    public Chain chain(String steps) {
        return read("steps:\n" + steps + "\n");
    }

    /** A whole chain file. */
    public Chain read(String text) {
        try {
            Path file = Files.createTempFile("chain", ".yaml");
            try {
                Files.writeString(file, text);
                return ChainReader.read(file, catalogue);
            } finally {
                Files.delete(file);
            }
        } catch (ProblemsException e) {
            throw new AssertionError(e.getMessage(), e);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    public Result render(String steps, Sound take) {
        return render(chain(steps), take);
    }

    public Result render(Chain chain, Sound take) {
        return render(chain, new Ear(take));
    }

    /** With these marks, whatever is heard. */
    public Result render(String steps, Sound take, List<Mark> marks) {
        return render(chain(steps), new Ear(take, new Told(Optional.of(new Marks(marks)))));
    }

    public Result render(Chain chain, Ear ear) {
        Sound take = ear.sound();
        try {
            Plan plan = Planner.plan(chain, take.rate(), take.channels(), OptionalDouble.empty());
            List<double[][]> pieces = new ArrayList<>();
            long end = tail == null ? take.frames() : -1;
            var options = new Renderer.Options(block, threads, tail == null ? new Tail.Auto() : tail, 0, end);
            try (Renderer renderer = new Renderer(plan, ear, options, Renderer.Progress.SILENT, Witness.NONE)) {
                Rendered rendered = renderer.render((x, n) -> pieces.add(Arrays.stream(x).map(c -> Arrays.copyOf(c, n)).toArray(double[][]::new)));
                return new Result(joined(pieces, rendered), rendered, plan);
            }
        } catch (ProblemsException e) {
            throw new AssertionError(e.getMessage(), e);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static double[][] joined(List<double[][]> pieces, Rendered rendered) {
        double[][] all = new double[rendered.channels()][(int) rendered.frames()];
        int at = 0;
        for (double[][] piece : pieces) {
            for (int c = 0; c < all.length; c++) System.arraycopy(piece[c], 0, all[c], at, piece[c].length);
            at += piece[0].length;
        }
        return all;
    }

    /** A sound of one channel. */
    public static Samples mono(double rate, double[] x) {
        return new Samples(rate, x);
    }
}

package linnet.render;

import java.io.IOException;
import java.util.List;
import java.util.function.Supplier;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Memory;
import linnet.hear.Told;
import linnet.plan.Plan;
import linnet.text.ProblemsException;

/** A chain over a sum, and over shares of that sum. What it must hear it hears once, in the whole. */
final class BusRun implements AutoCloseable {
    private final Plan chain;
    private final Supplier<Sound> whole;
    private final int beside;
    private final Renderer renderer;

    /**
     * @param whole the sum; each that it gives is read by one thread
     * @param memory takes note of what is heard in the whole
     * @param beside how many share the memory of the machine
     * @throws ProblemsException if a value stated against the singer cannot be measured in the whole
     */
    BusRun(Plan chain, Supplier<Sound> whole, Memory memory, int beside) throws ProblemsException, IOException {
        this.chain = chain;
        this.whole = whole;
        this.beside = beside;
        renderer = renderer(whole, memory);
        try {
            renderer.resolve();
        } catch (ProblemsException | IOException | RuntimeException e) {
            renderer.close();
            throw e;
        }
    }

    private BusRun(Plan chain, Supplier<Sound> whole, int beside, Renderer renderer) {
        this.chain = chain;
        this.whole = whole;
        this.beside = beside;
        this.renderer = renderer;
    }

    /** The chain, set as it was found to be, over another sum. Good until this is closed. */
    BusRun over(Supplier<Sound> other) {
        return new BusRun(chain, other, beside, renderer);
    }

    private Renderer renderer(Supplier<Sound> sum, Memory memory) {
        return new Renderer(chain, new Ear(sum.get(), Told.nothing(), memory), new Renderer.Options(0, 1, new Tail.Auto(), 0, -1), (stage, stages, share) -> {}, node -> null, beside);
    }

    /** Where what it makes has ended; not before {@code least}. */
    long end(long least) throws ProblemsException, IOException {
        if (renderer.memory() == 0) return least;
        try (Renderer plain = renderer(whole, Memory.NONE)) {
            return Math.max(least, plain.render((x, n) -> {}).frames());
        }
    }

    /** The chain once more, over the whole and its shares as they are read here. */
    SharedOut sharedOut(Sound whole, boolean wantsWhole, List<Sound> shares) {
        return renderer.sharedOut(whole, wantsWhole, shares);
    }

    @Override
    public void close() {
        renderer.close();
    }
}

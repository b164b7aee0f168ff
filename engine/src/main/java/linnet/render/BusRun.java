package linnet.render;

import java.io.IOException;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Memory;
import linnet.hear.Told;
import linnet.plan.Plan;
import linnet.text.ProblemsException;

/** A chain over a sum, and over shares of that sum. What it must hear it hears once, in the whole: that is added up once and kept meanwhile. */
final class BusRun implements AutoCloseable {
    private static final int BLOCK = 1 << 14;

    private final Plan chain;
    private final Supplier<Sound> whole;
    private final int beside;
    private final Renderer renderer;
    /** Empty where nothing is heard. */
    private final Optional<Kept> kept;

    /**
     * @param whole the sum; each that it gives is read by one thread
     * @param memory takes note of what is heard in the whole
     * @param threads how many may hear
     * @param beside how many share the memory of the machine
     * @throws ProblemsException if a value stated against the singer cannot be measured in the whole
     */
    BusRun(Plan chain, Supplier<Sound> whole, Memory memory, int threads, int beside) throws ProblemsException, IOException {
        this.chain = chain;
        this.beside = beside;
        kept = chain.stages() > 1 ? Optional.of(kept(whole.get(), beside)) : Optional.empty();
        this.whole = kept.<Supplier<Sound>>map(k -> () -> k).orElse(whole);
        renderer = renderer(this.whole, memory, threads);
        try {
            renderer.resolve();
        } catch (ProblemsException | IOException | RuntimeException e) {
            close();
            throw e;
        }
    }

    private BusRun(BusRun set, Supplier<Sound> whole) {
        chain = set.chain;
        this.whole = whole;
        beside = set.beside;
        renderer = set.renderer;
        kept = Optional.empty();
    }

    private static Kept kept(Sound sum, int beside) {
        Kept kept = new Kept(sum.rate(), sum.channels(), new Spool.Budget(Runtime.getRuntime().maxMemory() / 8 / beside));
        try {
            double[][] x = new double[sum.channels()][BLOCK];
            for (long at = 0; at < sum.frames(); at += BLOCK) {
                int n = (int) Math.min(BLOCK, sum.frames() - at);
                sum.read(at, x, n);
                kept.append(x, n);
            }
        } catch (RuntimeException e) {
            kept.close();
            throw e;
        }
        kept.finish();
        return kept;
    }

    /** The chain, set as it was found to be, over another sum. Good until this is closed. */
    BusRun over(Supplier<Sound> other) {
        return new BusRun(this, other);
    }

    /** The sum as it was kept; empty where it is to be added up. */
    Optional<Kept> kept() {
        return kept;
    }

    private Renderer renderer(Supplier<Sound> sum, Memory memory, int threads) {
        return new Renderer(chain, new Ear(sum.get(), Told.nothing(), memory), new Renderer.Options(0, threads, new Tail.Auto(), 0, -1), (stage, stages, share) -> {}, node -> null, beside);
    }

    /** Where what it makes has ended; not before {@code least}. */
    long end(long least) throws ProblemsException, IOException {
        if (renderer.memory() == 0) return least;
        try (Renderer plain = renderer(whole, Memory.NONE, 1)) {
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
        kept.ifPresent(Kept::close);
    }
}

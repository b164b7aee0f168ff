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
    private final Plan chain;
    private final Supplier<Sound> whole;
    private final Ears ears;
    private final int beside;
    private final Renderer renderer;
    /** Empty where nothing is heard. */
    private final Optional<Adding> adding;

    /** How a sum is heard. */
    interface Ears {
        Ear on(Sound sum, Told told, Memory memory);
    }

    /**
     * @param whole the sum; each that it gives is read by one thread
     * @param sums has the sum for whoever hears it before or after
     * @param signature of the sum among those
     * @param ears the kind of ear on the sum
     * @param memory what is known of the whole by hearing
     * @param threads how many may hear, and as many may add up what they hear
     * @param beside how many share the memory of the machine
     * @throws ProblemsException if a value stated against the singer cannot be measured in the whole
     */
    BusRun(Plan chain, Supplier<Sound> whole, Sums sums, String signature, Ears ears, Memory memory, int threads, int beside) throws ProblemsException,
            IOException {
        this.chain = chain;
        this.ears = ears;
        this.beside = beside;
        adding = chain.stages() > 1 ? Optional.of(sums.of(signature, () -> new Adding(whole, threads, memory(beside)))) : Optional.empty();
        this.whole = adding.<Supplier<Sound>>map(a -> a::kept).orElse(whole);
        renderer = renderer(adding.map(a -> a.kept().heard()).orElseGet(whole), memory, threads);
        try {
            renderer.resolve();
            adding.ifPresent(Adding::await);
        } catch (ProblemsException | IOException | RuntimeException e) {
            // Who waited for a sum that could not be added up does not know why.
            Optional<RuntimeException> why = adding.flatMap(Adding::failure);
            close();
            if (why.isPresent()) throw why.get();
            throw e;
        }
    }

    private BusRun(BusRun set, Supplier<Sound> whole) {
        chain = set.chain;
        this.whole = whole;
        ears = set.ears;
        beside = set.beside;
        renderer = set.renderer;
        adding = Optional.empty();
    }

    /** What a sum may take of the memory of the machine; the rest of it goes to a file. */
    private static long memory(int beside) {
        return Runtime.getRuntime().maxMemory() / 6 / beside;
    }

    /** The chain, set as it was found to be, over another sum. Good until this is closed. */
    BusRun over(Supplier<Sound> other) {
        return new BusRun(this, other);
    }

    /** The sum as it was kept; empty where it is to be added up. */
    Optional<FineTape> kept() {
        return adding.map(Adding::kept);
    }

    private Renderer renderer(Sound sum, Memory memory, int threads) {
        return new Renderer(chain, ears.on(sum, Told.nothing(), memory), Renderer.Options.whole(0, threads), Renderer.Progress.SILENT, Witness.NONE, beside);
    }

    /** Where what it makes has ended; not before {@code least}. */
    long end(long least) throws ProblemsException, IOException {
        if (renderer.memory() == 0) return least;
        try (Renderer plain = renderer(whole.get(), Memory.NONE, 1)) {
            return Math.max(least, plain.render((x, n) -> {}).frames());
        }
    }

    /** The chain once more, over the whole and its shares as they are read here. */
    SharedOut sharedOut(Sound whole, boolean wantsWhole, List<Sound> shares) {
        return renderer.sharedOut(whole, wantsWhole, shares);
    }

    /** The same where no shares are wanted. */
    Undivided undivided(Sound whole) {
        return renderer.undivided(whole);
    }

    @Override
    public void close() {
        renderer.close();
    }
}

package linnet.render;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.ExecutorCompletionService;
import java.util.concurrent.ExecutorService;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Memory;
import linnet.hear.Remembered;
import linnet.hear.Told;
import linnet.plan.Plan;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.text.Problems;
import linnet.text.ProblemsException;

/** Runs the plan of a song: works side by side as soon as what they hear is there, then the prints. Bits do not depend on how many run at once. */
public final class SongRenderer implements AutoCloseable {
    /** Where prints go. */
    public interface Prints {
        /** Who takes a print of so many frames, each of whom may do it on a thread of its own; nobody where it is there as it would be. */
        List<Renderer.Sink> open(SongPlan.SongPrint print, long frames) throws IOException;

        /** The length of a print that is there with these samples; empty where none is. */
        default OptionalLong there(SongPlan.SongPrint print) throws IOException {
            return OptionalLong.empty();
        }
    }

    private static final String LENGTH = "length";
    private static final Remembered<Long> FRAMES = new Remembered<>(n -> Long.BYTES, (n, to) -> to.putLong(n), ByteBuffer::getLong);

    private final SongPlan plan;
    private final List<Take> takes;
    private final int jobs;
    private final Signatures signatures;
    private final Shelf shelf;
    private final Sums sums;
    private final Passing passing = new Passing();
    private final Works works;
    private final Inputs inputs;

    /**
     * A take of a song.
     *
     * @param sound at the rate of the song
     * @param signature by which its samples are known again
     * @param intact fails where they may no longer be those of the signature
     */
    public record Take(Sound sound, Told told, String signature, Intact intact) {
        /** Whether what was read of a take is of one piece. */
        public interface Intact {
            void check() throws IOException;
        }

        /** A take that nobody else can change. */
        public Take(Sound sound, Told told, String signature) {
            this(sound, told, signature, () -> {});
        }

        /** By what all that is heard of it is known again. */
        public String whole() {
            StringBuilder text = new StringBuilder(signature);
            told.marks().ifPresent(m -> text.append(" marks ").append(Signature.digest(Remembered.MARKS.write(m.all()))));
            if (!told.clicks()) text.append(" without clicks");
            if (told.corrected()) text.append(" corrected");
            told.notes().ifPresent(n -> text.append(" notes ").append(Signature.digest(Remembered.NOTES.write(n.all()))));
            return text.toString();
        }
    }

    /**
     * @param takes of the song in the order the plan counts them
     * @param engine what renders: another version may make other samples
     * @param shelf where works are kept
     * @param sums what was added up for other renders of the song, and for this one
     * @param jobs works that may run at once, 1 or more
     */
    public SongRenderer(SongPlan plan, List<Take> takes, String engine, Shelf shelf, Sums sums, int jobs) {
        this.plan = plan;
        this.takes = List.copyOf(takes);
        this.sums = sums;
        this.jobs = jobs;
        signatures = new Signatures(plan, this.takes, engine);
        this.shelf = new Sparing(shelf, this::intact);
        works = new Works(plan, this.takes, signatures, this.shelf, passing, this::intact, jobs);
        inputs = works.inputs();
    }

    /**
     * Renders all works, then the prints.
     *
     * @return frames of each print
     * @throws ProblemsException if a value stated against the singer cannot be measured
     */
    public long render(Prints prints) throws ProblemsException, IOException {
        return render(prints, new BusFacts());
    }

    /** @param heard takes note of what is found by hearing all that is mixed */
    public long render(Prints prints, BusFacts heard) throws ProblemsException, IOException {
        // What makes all prints longer or shorter need not be heard in those that are there, so they cannot tell it.
        Shelf.Recollection length = shelf.recollection(signatures.length());
        Optional<Long> lasted = length.memory().recall(LENGTH).flatMap(FRAMES::read);
        if (lasted.isPresent() && PrintLanes.areThere(lasted.get(), plan, prints)) return lasted.get();
        ExecutorService pool = SideBySide.pool(jobs);
        List<BusRun> buses = new ArrayList<>(), open = new ArrayList<>();
        try {
            sums.only(plan.buses().stream().map(signatures::heard).collect(Collectors.toSet()));
            findings().unheard().check();
            works.render(pool, plan.wanted());
            for (SongPlan.Bus b : plan.buses()) {
                Supplier<Sound> whole = () -> inputs.mixture(b.input(), 2, 0);
                int same = same(b, buses.size());
                if (same < buses.size()) {
                    buses.add(buses.get(same).over(whole));
                    continue;
                }
                Shelf.Recollection known = shelf.recollection(signatures.heard(b));
                buses.add(run(b, heard.noting(buses.size(), known.memory())));
                open.add(buses.get(same));
                works.keep(known);
            }
            PrintLanes print = new PrintLanes(plan, inputs, buses, jobs);
            long frames = print.frames(Math.max(plan.least(), works.end()));
            var done = new ExecutorCompletionService<Void>(pool);
            List<Lane> lanes = print.lanes(frames, prints);
            lanes.forEach(done::submit);
            for (Lane l : lanes) SideBySide.outcome(done.take());
            intact();
            if (lasted.isEmpty()) length.memory().keep(LENGTH, FRAMES.write(frames));
            works.keep(length);
            return frames;
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted", e);
        } finally {
            SideBySide.stop(pool);
            open.forEach(BusRun::close);
        }
    }

    /**
     * Renders a stretch of the mix as soon as can be. Works that are not on the shelf and hear nothing are begun shortly before it, with
     * empty rooms; so is the chain of the mix, which goes by what was heard in it before. Steady sound is the same as in the print within -90 dB; a move or
     * a room that is longer than the lead is not.
     *
     * @param from first sample
     * @param to the sample after the last
     */
    public void preview(long from, long to, BusFacts heard, Renderer.Sink sink) throws ProblemsException, IOException {
        new Preview(plan, works, passing, jobs).render(from, to, heard, sink);
    }

    private BusRun run(SongPlan.Bus bus, Memory memory) throws ProblemsException, IOException {
        try {
            return new BusRun(bus.chain(), () -> inputs.mixture(bus.heard(), 2, 0), sums, signatures.heard(bus), Ear::ofMix, memory, jobs, 1);
        } catch (ProblemsException e) {
            Problems told = new Problems();
            inputs.unheard(bus, e, told);
            throw told.failed();
        }
    }

    /** The first bus that is set by hearing the same. */
    private int same(SongPlan.Bus bus, int before) {
        for (int b = 0; b < before; b++) if (plan.buses().get(b).chain() == bus.chain() && plan.buses().get(b).heard().equals(bus.heard())) return b;
        return before;
    }

    /** Time that the making of a work took, and its steps; of shares and of what is tidied no steps are told. */
    public record Cost(String work, double seconds, List<Rendered.Cost> steps) {}

    /** What the works cost that were made, in the order of the song. */
    public List<Cost> costs() {
        return works.costs();
    }

    /** Nothing is kept under a signature that its samples may not have: a take that was changed meanwhile would spoil all renders to come. */
    private void intact() throws IOException {
        for (Take t : takes) t.intact.check();
    }

    /**
     * A chain of the song once more, over what goes into it, for whoever watches what its steps do. It finds by hearing what it found before; what is heard
     * beyond that is remembered when this is closed.
     */
    public final class OnceMore implements AutoCloseable {
        private final Plan chain;
        private final Ear ear;
        private final Shelf.Recollection known;

        private OnceMore(Plan chain, Ear ear, Shelf.Recollection known) {
            this.chain = chain;
            this.ear = ear;
            this.known = known;
        }

        public Plan chain() {
            return chain;
        }

        /** What goes into the chain, in the time of the song. */
        public Sound input() {
            return ear.sound();
        }

        /** @param block as {@link Renderer.Options} has it */
        public Renderer renderer(Witness witness, int block) {
            return new Renderer(chain, ear, Renderer.Options.whole(block, 1), Renderer.Progress.SILENT, witness, jobs);
        }

        /** @throws IOException if a take was changed meanwhile */
        @Override
        public void close() throws IOException {
            works.keep(known);
            intact();
        }
    }

    /** The chain of a work that makes one sound. */
    public OnceMore onceMore(Work work) throws ProblemsException, IOException {
        works.bringInput(work);
        Shelf.Recollection known = shelf.recollection(signatures.input(work));
        return new OnceMore(work.chain(), inputs.ear(work, known.memory()), known);
    }

    /** The chain of a mix, over what it is set by. */
    public OnceMore onceMore(SongPlan.Bus bus) throws ProblemsException, IOException {
        works.bring(bus.heard().stream());
        Shelf.Recollection known = shelf.recollection(signatures.heard(bus));
        return new OnceMore(bus.chain(), Ear.ofMix(inputs.mixture(bus.heard(), 2, 0), Told.nothing(), known.memory()), known);
    }

    /** By what the samples of a print are known again; their number comes on top. */
    public String signature(SongPlan.SongPrint print) {
        return signatures.print(print);
    }

    /** What was found in the parts, and decided for them. */
    public SongFindings findings() {
        return new SongFindings(plan, works, signatures, shelf, jobs);
    }

    /** Names of the works that were taken from the shelf. */
    public List<String> found() {
        return works.found();
    }

    /** Why something could not be kept for the next run, if so. */
    public Optional<String> unkept() {
        return works.unkept();
    }

    @Override
    public void close() {
        passing.close();
    }
}

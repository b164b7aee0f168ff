package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Future;
import java.util.concurrent.FutureTask;
import linnet.dsp.Beside;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.plan.Feed;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.step.Curve;
import linnet.text.Problems;
import linnet.text.ProblemsException;

/**
 * Runs a plan. The nodes of a stage work chunk by chunk, so memory does not grow with the take; what a later stage hears
 * or needs again is spooled between them. With a second thread the
 * steps of the next stage hear what this one makes while it is made. Bits do not depend on the size of the chunks or on the
 * number of threads.
 */
public final class Renderer implements AutoCloseable {
    /** Below this a signal between two stages has ended: no gain that follows brings it up to be heard. */
    private static final double ENDED = 1e-7;
    /** Below this a print has ended. */
    public static final double QUIET_DBFS = -90;
    private static final double QUIET = Decibels.gain(QUIET_DBFS);

    private static final double QUIET_SECONDS = 0.5;
    /** An echo may be set to die hardly at all; a print does not run on for longer than this. */
    public static final double LONGEST_TAIL_SECONDS = 600;
    /** Chunk of a stage whose results another thread takes away: long beside the handing over. */
    static final int HANDED_OVER = 50 * Cell.LENGTH;

    /**
     * @param block samples worked on at a time, 1 or more; 0 for what suits
     * @param threads 1 or more
     * @param tail how long the print runs on
     * @param from first sample wanted
     * @param to end of the samples wanted; -1 for the end of the print
     * @param start from which sample of what the ear hears the take is rendered: what moves in the chain, and what was heard, stand where they are there
     * @param fadesIn whether the print fades in where the take begins in a sound of which the chain makes something else
     */
    public record Options(int block, int threads, Tail tail, long from, long to, long start, boolean fadesIn) {
        public Options(int block, int threads, Tail tail, long from, long to, long start) {
            this(block, threads, tail, from, to, start, false);
        }

        /** Of a take that begins at 0. */
        public Options(int block, int threads, Tail tail, long from, long to) {
            this(block, threads, tail, from, to, 0);
        }

        /** The same for a print that is handed over by itself. */
        public Options fadingIn() {
            return new Options(block, threads, tail, from, to, start, true);
        }

        /** One hears ahead, or takes the print away, while the other works on the chain. */
        public static final int USUAL_THREADS = 2;

        /** The whole print. */
        public static Options whole(int block, int threads) {
            return new Options(block, threads, new Tail.Auto(), 0, -1);
        }

        /** The whole print, as suits. */
        public static Options usual() {
            return whole(0, USUAL_THREADS);
        }
    }

    /** Takes the print, from the front, in pieces of any size. */
    public interface Sink {
        void write(double[][] x, int n) throws IOException;
    }

    /** Is told how far the render is. */
    public interface Progress {
        /** For whoever does not care. */
        Progress SILENT = (stage, stages, share) -> {};

        void at(int stage, int stages, double share);
    }

    private final Plan plan;
    /** From where it begins. */
    private final Sound take;
    private final Options options;
    private final Progress progress;
    private final Witness witness;
    private final Ear takeEar;
    private final Spool.Budget budget;
    private final Map<Integer, Spool> spools = new HashMap<>();
    private final Starts starts;
    private final ExecutorService pool;

    public Renderer(Plan plan, Sound take, Options options, Progress progress) {
        this(plan, new Ear(take), options, progress, Witness.NONE);
    }

    /** @param take the ear on the take, with what is known of it already */
    public Renderer(Plan plan, Ear take, Options options, Progress progress, Witness witness) {
        this(plan, take, options, progress, witness, 1);
    }

    /** @param beside how many renderers share the memory, this one among them: what finds no room in its part of it goes to the disk */
    Renderer(Plan plan, Ear take, Options options, Progress progress, Witness witness, int beside) {
        // An eighth of it for what is heard many times in a frame, the rest of a half for what is kept between stages.
        long room = Runtime.getRuntime().maxMemory() / 8 / beside;
        budget = new Spool.Budget(3 * room);
        Spool.Budget facts = new Spool.Budget(room);
        take.keepOn((rate, channels) -> new Spool(rate, channels, 0, facts));
        this.plan = plan;
        this.take = options.start() == 0 ? take.sound() : new Excerpt(take.sound(), options.start(), take.sound().frames() - options.start());
        this.takeEar = take;
        this.options = options;
        this.progress = progress;
        this.witness = witness;
        starts = new Starts(plan, take, options.start(), this::sound);
        this.pool = options.threads() > 1 ? SideBySide.pool(options.threads()) : null;
        if (pool != null) take.help(this::both);
    }

    /** The other thing is done here too if no thread of the pool has begun it by then. */
    private void both(Runnable one, Runnable other) {
        FutureTask<?> beside = new FutureTask<>(other, null);
        pool.execute(beside);
        try {
            one.run();
        } finally {
            // Where the one fails, too: nobody may be at work on what is given up then.
            beside.run();
            SideBySide.end(beside);
        }
        SideBySide.done(beside);
    }

    /**
     * Renders the take to a print.
     *
     * @throws ProblemsException if a value stated against the singer cannot be measured on this take
     */
    public Rendered render(Sink sink) throws ProblemsException, IOException {
        long frames = print(lastStage(), sink);
        return new Rendered(frames, plan.output().channels(), starts.resolved(), starts.costs());
    }

    /** Finds every number that is found by hearing, and prints nothing; of a take that begins at 0, since what is started once more does. */
    public Rendered resolve() throws ProblemsException, IOException {
        if (options.start() != 0) throw new IllegalStateException("a take that begins at " + options.start() + " is only rendered");
        starts.onceMore();
        lastStage();
        return new Rendered(0, plan.output().channels(), starts.resolved(), starts.costs());
    }

    /**
     * What the chain makes of the take, shared out among signals that add up to it; after {@link #resolve}. The steps begin anew, set as they
     * were found.
     *
     * @param whole the take once more, for this alone to read
     * @param wantsWhole whether the print of the whole is wanted too
     */
    SharedOut sharedOut(Sound whole, boolean wantsWhole, List<Sound> shares) {
        return new SharedOut(plan, starts::again, whole, wantsWhole, shares);
    }

    /** The same where no shares are wanted. */
    Undivided undivided(Sound whole) {
        return new Undivided(plan, starts::again, whole);
    }

    /** The longest silence, in samples, after which a step may still sound; after {@link #resolve}. */
    long memory() {
        return starts.memory();
    }

    /** The ear on the take; after {@link #resolve} or {@link #render}, with what it has heard so far. */
    public Ear ear() {
        return takeEar;
    }

    /** What the step of a node does to a steady signal; after {@link #resolve} or {@link #render}. */
    public List<Curve> curves(Node node) {
        return starts.curves(node);
    }

    /** The posts of the last stage, once those before it have run. */
    private List<Post> lastStage() throws ProblemsException, IOException {
        List<Post> posts = start(0);
        for (int stage = 1; stage < plan.stages(); stage++) posts = next(stage, posts);
        return posts;
    }

    /** Starts the kernels of a stage, when they have heard what they must. */
    private List<Post> start(int stage) throws ProblemsException {
        Problems problems = new Problems();
        Map<Integer, Post> posts = new LinkedHashMap<>();
        for (Node node : plan.nodes()) {
            if (node.stage() != stage || node.feeds().isEmpty() && stage > 0) continue;
            posts.put(node.id(), new Post(node, supplies(node, posts), starts.kernel(node, problems), witness.of(node)));
        }
        problems.check();
        return List.copyOf(posts.values());
    }

    private List<Supply> supplies(Node node, Map<Integer, Post> posts) {
        if (node.feeds().isEmpty()) return List.of(new Supply(new Supply.Source.There(wanted()), take.channels(), 0, null));
        List<Supply> supplies = new ArrayList<>();
        for (Feed feed : node.feeds()) {
            Node from = plan.nodes().get(feed.from());
            Post post = posts.get(feed.from());
            Supply.Source source = post != null ? new Supply.Source.Made(post) : new Supply.Source.There(sound(from));
            supplies.add(new Supply(source, from.channels(), feed.delay(), Supply.gain(feed.level(), plan.rate(), node.arrival() - options.start())));
        }
        return supplies;
    }

    /** The take; where the end is told and nobody hears ahead, no more of it than comes before that end: a thread that works ahead minds nothing beyond it. */
    private Sound wanted() {
        if (options.to() < 0 || plan.stages() > 1) return take;
        return new Excerpt(take, 0, Math.min(take.frames(), options.to() + plan.output().departure()));
    }

    /** What an earlier stage left of a node. */
    private Sound sound(Node node) {
        return node.id() == 0 ? take : spools.get(node.id());
    }

    /** A post whose result is kept for later stages, until it ends. */
    private record Spooled(Post post, Spool spool, Ending ending) {}

    /** Runs the posts of the stage before this one, and starts this one: it hears what they make. */
    private List<Post> next(int stage, List<Post> before) throws ProblemsException, IOException {
        long least = take.frames() + before.stream().mapToLong(p -> p.node().departure()).max().orElse(0);
        List<Spooled> kept = spooled(stage - 1, before, least);
        Future<List<Post>> started = pool == null ? null : pool.submit(() -> start(stage));
        if (!kept.isEmpty()) run(stage - 1, before, kept, least);
        List<Post> posts = started == null ? start(stage) : await(started);
        starts.ran(before);
        release(stage);
        return posts;
    }

    private List<Spooled> spooled(int stage, List<Post> posts, long least) {
        Set<Integer> needed = needed(stage);
        List<Spooled> kept = new ArrayList<>();
        for (Post post : posts) {
            if (!needed.contains(post.node().id())) continue;
            Spool spool = new Spool(plan.rate(), post.node().channels(), least, budget);
            spools.put(post.node().id(), spool);
            kept.add(new Spooled(post, spool, new Ending(ENDED, hold(posts), least, least + tailLimit())));
        }
        return kept;
    }

    private void run(int stage, List<Post> posts, List<Spooled> kept, long least) throws IOException {
        int length = chunk(stage);
        List<Spool> leftBehind = leftBehind(stage);
        pipeline(stage, posts, kept.stream().map(Spooled::post).toList()).run((chunk, at) -> {
            for (Spooled k : kept) {
                if (k.ending.hasEnded()) continue;
                double[][] x = k.post.out(chunk);
                k.ending.hear(x, at, length);
                k.spool.append(x, k.ending.hasEnded() ? (int) (k.ending.end() - at) : length);
            }
            leftBehind.forEach(s -> s.forget(at + length));
            progress.at(stage, plan.stages(), Math.min(1, (double) at / least));
            for (Spooled k : kept) if (!k.ending.hasEnded()) return true;
            return false;
        });
        kept.forEach(k -> k.spool.finish());
    }

    private static List<Post> await(Future<List<Post>> started) throws ProblemsException {
        try {
            return started.get();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted", e);
        } catch (ExecutionException e) {
            if (e.getCause() instanceof ProblemsException p) throw p;
            throw SideBySide.failed(e);
        }
    }

    private Pipeline pipeline(int stage, List<Post> posts, List<Post> taken) {
        return new Pipeline(posts, taken, chunk(stage), groups(stage), pool);
    }

    /** Groups of posts that work at once. */
    private int groups(int stage) {
        return options.threads() > 1 ? options.threads() : 0;
    }

    private int chunk(int stage) {
        if (options.block() > 0) return options.block();
        return groups(stage) == 0 ? Cell.LENGTH : HANDED_OVER;
    }

    /** Nodes of this stage that a later one reads; the take is there anyway. */
    private Set<Integer> needed(int stage) {
        Set<Integer> needed = new HashSet<>();
        for (Node node : plan.nodes()) {
            for (Feed feed : node.feeds()) {
                Node source = plan.nodes().get(feed.from());
                if (node.stage() > stage && source.stage() == stage && source.id() != 0) needed.add(source.id());
            }
        }
        return needed;
    }

    /** Closes the spools that neither this stage reads nor one after it. */
    private void release(int stage) {
        Set<Integer> later = new HashSet<>();
        for (Node node : plan.nodes()) if (node.stage() >= stage) node.feeds().forEach(f -> later.add(f.from()));
        later.addAll(starts.heardOnceMore());
        spools.entrySet().removeIf(e -> {
            if (later.contains(e.getKey())) return false;
            e.getValue().close();
            return true;
        });
    }

    /** The spools that this stage reads from front to end and nobody reads again: each chunk's memory serves for what the stage makes of it. */
    private List<Spool> leftBehind(int stage) {
        Set<Integer> wanted = starts.heardOnceMore();
        for (Node node : plan.nodes()) {
            if (node.stage() > stage) node.feeds().forEach(f -> wanted.add(f.from()));
            else if (node.stage() == stage && node.work().isPresent() && node.work().get().prepared().readsOn()) wanted.add(node.feeds().get(0).from());
        }
        return spools.entrySet().stream().filter(e -> !wanted.contains(e.getKey())).map(Map.Entry::getValue).toList();
    }

    /** Runs the last stage into the sink; returns the length of the print. */
    private long print(List<Post> posts, Sink sink) throws IOException {
        Post last = posts.get(posts.size() - 1);
        int stage = plan.stages() - 1, length = chunk(stage), latency = plan.output().departure();
        Printer printer = new Printer(sink, last.node().channels(), latency, length, options, take, plan.rate());
        long least = latency + printer.least();
        // Where the end is told, nothing is waited for.
        Ending ending = new Ending(QUIET, hold(posts), least, printer.fixedEnd() >= 0 ? least : least + tailLimit());
        long quiet = (long) (QUIET_SECONDS * plan.rate());
        List<Spool> leftBehind = leftBehind(stage);
        pipeline(stage, posts, List.of(last)).run((chunk, at) -> {
            double[][] x = last.out(chunk);
            ending.hear(x, at, length);
            printer.add(x, length, Math.max(0, ending.lastLoud() + 1 + quiet - latency));
            leftBehind.forEach(s -> s.forget(at + length));
            progress.at(stage, plan.stages(), Math.min(1, (double) at / least));
            return !ending.hasEnded();
        });
        starts.ran(posts);
        return printer.written();
    }

    private long tailLimit() {
        return (long) (LONGEST_TAIL_SECONDS * plan.rate());
    }

    /** How long a silence must last to be the end. */
    private long hold(List<Post> posts) {
        return (long) (QUIET_SECONDS * plan.rate()) + posts.stream().mapToLong(p -> p.memory() + p.node().latency()).sum();
    }

    @Override
    public void close() {
        takeEar.help(Beside.ONE_AFTER_THE_OTHER);
        // Who waits for what is still to come in a spool is told that nothing will.
        spools.values().forEach(Spool::close);
        if (pool != null) SideBySide.stop(pool);
    }
}

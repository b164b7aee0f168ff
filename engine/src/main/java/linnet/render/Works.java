package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorCompletionService;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.Stream;
import linnet.dsp.Sound;
import linnet.files.SystemWords;
import linnet.hear.Ear;
import linnet.hear.Memory;
import linnet.plan.Node;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.text.Problems;
import linnet.text.ProblemsException;

/** The works of a song: each is made as soon as what it hears is there, or comes from the shelf where it was made before. */
final class Works {
    /** Samples of a part handed on at a time. */
    private static final int BLOCK = 4800;
    private static final String ADVICE = "advice by place";

    private final SongPlan plan;
    private final Signatures signatures;
    private final Shelf shelf;
    private final Passing passing;
    private final SongRenderer.Take.Intact intact;
    private final Inputs inputs;
    private final int jobs;
    /** By id. */
    private final Map<Integer, List<Sound>> made = new ConcurrentHashMap<>();
    private final Set<Integer> found = ConcurrentHashMap.newKeySet();
    private final Map<Integer, SongRenderer.Cost> costs = new ConcurrentHashMap<>();
    private volatile Optional<String> unkept = Optional.empty();

    /**
     * @param passing where works are that find no room on the shelf
     * @param intact fails where a take was changed meanwhile
     * @param jobs works that may run at once, 1 or more
     */
    Works(SongPlan plan, List<SongRenderer.Take> takes, Signatures signatures, Shelf shelf, Passing passing, SongRenderer.Take.Intact intact, int jobs) {
        this.plan = plan;
        this.signatures = signatures;
        this.shelf = shelf;
        this.passing = passing;
        this.intact = intact;
        this.jobs = jobs;
        inputs = new Inputs(plan, takes, signatures, shelf, this::keep, this::made);
    }

    /** What goes into them. */
    Inputs inputs() {
        return inputs;
    }

    /**
     * Renders those that are wanted, side by side.
     *
     * @throws ProblemsException with what cannot be measured in any of them, once all are done that can be
     */
    void render(ExecutorService pool, Set<Integer> wanted) throws ProblemsException, IOException, InterruptedException {
        var done = new ExecutorCompletionService<Integer>(pool);
        List<Work> waiting = new ArrayList<>(plan.works().stream().filter(w -> wanted.contains(w.id())).toList());
        Set<Integer> finished = new HashSet<>();
        Problems problems = new Problems();
        int running = 0;
        while (true) {
            List<Work> ready = waiting.stream().filter(w -> hasInput(w, finished)).toList();
            waiting.removeIf(w -> hasInput(w, finished));
            ready.forEach(w -> done.submit(() -> {
                render(w);
                return w.id();
            }));
            running += ready.size();
            // What hears a work that has problems waits in vain.
            if (running-- == 0) break;
            await(done.take(), problems).ifPresent(finished::add);
        }
        problems.check();
    }

    /** Empty where a work has problems, which are told. */
    private static <T> Optional<T> await(Future<T> done, Problems problems) throws IOException, InterruptedException {
        try {
            return Optional.of(done.get());
        } catch (ExecutionException e) {
            if (e.getCause() instanceof ProblemsException p) {
                p.problems().forEach(q -> problems.report(q.at(), q.message()));
                return Optional.empty();
            }
            if (e.getCause() instanceof IOException i) throw i;
            throw SideBySide.failed(e);
        }
    }

    /** Whether all that a work hears is there. */
    boolean hasInput(Work work) {
        return hasInput(work, made.keySet());
    }

    private static boolean hasInput(Work work, Set<Integer> finished) {
        return heard(work).allMatch(t -> finished.containsAll(t.source().hears()));
    }

    /** What must be there for a work: what it is made of, and whom it follows. */
    static Stream<Work.Tap> heard(Work work) {
        Stream<Work.Tap> followed = work.tidying().stream().flatMap(t -> t.lead().stream());
        return Stream.of(work.input().stream(), work.shares().stream().flatMap(List::stream), followed).flatMap(s -> s);
    }

    /** Whether these are there. */
    boolean areMade(List<Integer> ids) {
        return made.keySet().containsAll(ids);
    }

    boolean isMade(Work work) {
        return made.containsKey(work.id());
    }

    /** Whether it need not be made. */
    boolean isKept(Work work) {
        return signatures.made(work).stream().allMatch(s -> shelf.find(s).isPresent());
    }

    /** Where the last of those ends that are there. */
    long end() {
        return made.values().stream().flatMap(List::stream).mapToLong(Sound::frames).max().orElse(0);
    }

    private Sound made(Work.Source.Made source) {
        return made.get(source.work()).get(source.share());
    }

    /** Has a sound in the place of what the work would make. */
    void put(Work work, Sound instead) {
        made.put(work.id(), List.of(instead));
    }

    /** From the shelf, where it was made before. */
    void render(Work work) throws ProblemsException, IOException {
        List<Optional<Sound>> kept = signatures.made(work).stream().map(shelf::find).toList();
        if (kept.stream().allMatch(Optional::isPresent)) {
            found.add(work.id());
            made.put(work.id(), kept.stream().map(Optional::get).toList());
            return;
        }
        try {
            made.put(work.id(), make(work, shelf));
        } catch (IOException e) {
            // A shelf that is full costs the next run its time, and this one nothing.
            unkept = Optional.of(SystemWords.reason(e));
            made.put(work.id(), make(work, passing));
        } catch (ProblemsException e) {
            Problems told = new Problems();
            inputs.unheard(work, e, told);
            throw told.failed();
        }
    }

    /** Keeps what was heard for the next run. */
    void keep(Shelf.Recollection known) {
        try {
            known.close();
        } catch (IOException e) {
            unkept = Optional.of(SystemWords.reason(e));
        }
    }

    /** What the works cost that were made, in the order of the song. */
    List<SongRenderer.Cost> costs() {
        return plan.works().stream().map(w -> costs.get(w.id())).filter(Objects::nonNull).toList();
    }

    private List<Sound> make(Work work, Shelf on) throws ProblemsException, IOException {
        long began = System.nanoTime();
        List<Rendered.Cost> steps = new ArrayList<>();
        List<Sound> sounds = make(work, on, steps);
        costs.put(work.id(), new SongRenderer.Cost(work.name(), (System.nanoTime() - began) * 1e-9, List.copyOf(steps)));
        return sounds;
    }

    private List<Sound> make(Work work, Shelf on, List<Rendered.Cost> steps) throws ProblemsException, IOException {
        if (!work.shares().isEmpty()) return shares(work, on);
        if (work.tidying().isPresent()) return List.of(tidied(work, on));
        Shelf.Recollection recollection = on.recollection(signatures.input(work));
        try (Shelf.Place place = on.place(signatures.made(work).get(0), plan.rate(), work.chain().output().channels());
                Renderer renderer = new Renderer(work.chain(), inputs.ear(work, recollection.memory()), Renderer.Options.whole(0, 1), Renderer.Progress.SILENT,
                        Witness.NONE, jobs)) {
            Rendered rendered = renderer.render(place::write);
            steps.addAll(rendered.costs());
            intact.check();
            keepAdvice(work, rendered.resolved().stream().filter(Resolved::advised).toList());
            return List.of(place.finish());
        } finally {
            keep(recollection);
        }
    }

    private void keepAdvice(Work work, List<Resolved> advice) {
        if (advice.isEmpty()) return;
        Shelf.Recollection known = shelf.recollection(signatures.advice(work));
        // A step may get another name, by which nothing sounds, and its work stays on the shelf.
        List<String> names = work.chain().steps().stream().map(Node::name).toList();
        known.memory().keep(ADVICE, Resolved.ALL.write(advice.stream().map(r -> r.of(Integer.toString(names.indexOf(r.step())))).toList()));
        keep(known);
    }

    /** What was found in its chain that somebody should look at when it was rendered, in this run or another. */
    List<Resolved> advice(Work work) {
        return shelf.recollection(signatures.advice(work)).memory().recall(ADVICE).flatMap(Resolved.ALL::read).orElse(List.of()).stream()
                .map(r -> r.of(work.chain().steps().get(Integer.parseInt(r.step())).name())).toList();
    }

    private Sound tidied(Work work, Shelf on) throws IOException {
        Sound sound = inputs.tidier().tidied(work).sound();
        double[][] x = new double[work.channels()][BLOCK];
        try (Shelf.Place place = on.place(signatures.made(work).get(0), plan.rate(), work.channels())) {
            for (long at = 0; at < sound.frames(); at += BLOCK) {
                int n = (int) Math.min(BLOCK, sound.frames() - at);
                sound.read(at, x, n);
                place.write(x, n);
            }
            intact.check();
            return place.finish();
        }
    }

    /** Sees to it that the works are there that are added up in something. */
    void bring(Stream<Work.Tap> heard) throws ProblemsException, IOException {
        bring(heard.flatMap(t -> t.source().hears().stream()).toList());
    }

    /** Sees to it that a work can be made, and what goes into its chain heard. */
    void bringInput(Work work) throws ProblemsException, IOException {
        bring(inputs.reads(work).toList());
    }

    private void bring(List<Integer> ids) throws ProblemsException, IOException {
        for (int id : ids) bring(plan.works().get(id));
    }

    /** Sees to it that a work is there, made or from the shelf, and what it is made of where it must be made. */
    synchronized void bring(Work work) throws ProblemsException, IOException {
        if (isMade(work)) return;
        if (!isKept(work)) bringInput(work);
        render(work);
    }

    /** What the chain of a work does to its input, done to shares of that. */
    private List<Sound> shares(Work work, Shelf on) throws ProblemsException, IOException {
        List<Shelf.Place> places = new ArrayList<>();
        try (Sums own = new Sums();
                BusRun run = new BusRun(work.chain(), () -> inputs.mixture(work.input(), work.channels(), 0), own, "",
                        (sum, told, memory) -> inputs.ear(work, sum, memory), Memory.NONE, 1, jobs)) {
            long frames = run.end(inputs.mixture(work.input(), work.channels(), 0).frames());
            for (String signature : signatures.made(work)) places.add(on.place(signature, plan.rate(), work.chain().output().channels()));
            List<Lane> lanes = new ArrayList<>();
            int most = Math.min(jobs, places.size());
            AtomicBoolean spare = new AtomicBoolean();
            for (int l = 0; l < most; l++) {
                Lane lane = new Lane(frames, spare);
                lanes.add(lane);
                List<Sound> sums = new ArrayList<>();
                List<Renderer.Sink> to = new ArrayList<>();
                for (int s = l; s < places.size(); s += most) {
                    sums.add(inputs.mixture(work.shares().get(s), work.channels(), 0, lane::reading));
                    to.add(lane.handing(places.get(s)::write, work.chain().output().channels()));
                }
                Sound sum = run.kept().<Sound>map(k -> k).orElseGet(() -> inputs.mixture(work.input(), work.channels(), 0, lane::reading));
                lane.add(run.sharedOut(sum, false, sums), null, to);
            }
            // Little else may be left to do when its turn comes.
            SideBySide.run(lanes, most);
            intact.check();
            List<Sound> sounds = new ArrayList<>();
            for (Shelf.Place place : places) sounds.add(place.finish());
            return sounds;
        } catch (ProblemsException | IOException | RuntimeException e) {
            throw e;
        } catch (Exception e) {
            throw new IllegalStateException(e);
        } finally {
            for (Shelf.Place place : places) place.close();
        }
    }

    /** Names of the works that were taken from the shelf. */
    List<String> found() {
        return plan.works().stream().filter(w -> found.contains(w.id())).map(Work::name).toList();
    }

    /** Why something could not be kept for the next run, if so. */
    Optional<String> unkept() {
        return unkept;
    }
}

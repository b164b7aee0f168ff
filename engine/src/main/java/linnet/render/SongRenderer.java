package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorCompletionService;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.BiConsumer;
import java.util.function.Supplier;
import java.util.function.ToIntFunction;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import linnet.dsp.Sound;
import linnet.plan.Plan;
import linnet.dsp.Excerpt;
import linnet.dsp.repair.GainCurve;
import linnet.hear.Ear;
import linnet.hear.Joint;
import linnet.hear.Marks;
import linnet.hear.Memory;
import linnet.hear.Told;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.text.ProblemsException;
import linnet.tidy.Decision;

/** Runs the plan of a song: works side by side as soon as what they hear is there, then the prints. Bits do not depend on how many run at once. */
public final class SongRenderer implements AutoCloseable {
    /** How long before a stretch its rooms are begun: longer than most of them ring. */
    private static final double LEAD_SECONDS = 10;

    /** Where prints go. */
    public interface Prints {
        /** Who takes a print of so many frames, each of whom may do it on a thread of its own; nobody where it is there as it would be. */
        List<Renderer.Sink> open(SongPlan.SongPrint print, long frames) throws IOException;

        /** The length of a print that is there with these samples; empty where none is. */
        default OptionalLong there(SongPlan.SongPrint print) throws IOException {
            return OptionalLong.empty();
        }
    }

    private final SongPlan plan;
    private final List<Take> takes;
    private final String engine;
    private final int jobs;
    private final Shelf shelf;
    private final Sums sums;
    /** Samples of a part handed on at a time. */
    private static final int BLOCK = 4800;

    /** By id: of what goes into each work, and of what leaves it. */
    private final List<String> inputs = new ArrayList<>();
    private final List<List<String>> signatures = new ArrayList<>();
    private final Map<Integer, List<Sound>> made = new ConcurrentHashMap<>();
    private final Set<Integer> found = ConcurrentHashMap.newKeySet();
    /** Of each work that was made. */
    private final Map<Integer, Cost> costs = new ConcurrentHashMap<>();
    private final Passing passing = new Passing();
    private final Splicer splicer;
    private final Tidier tidier;
    private volatile Optional<String> unkept = Optional.empty();

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
            return told.isNothing() ? signature : signature + " " + Signature.digest(told.toString());
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
        this.engine = engine;
        this.shelf = new Sparing(shelf);
        this.sums = sums;
        this.jobs = jobs;
        splicer = new Splicer(plan, this.takes, t -> this.shelf.recollection(Signature.ofTake(takes.get(t).whole(), engine, plan.rate())),
                e -> this.shelf.recollection(Signature.ofSource(e, engine, plan.rate(), t -> takes.get(t).whole(), signatures::get)), this::made, this::tidiedTold);
        tidier = new Tidier(this.shelf, this::mixture, splicer, w -> Signature.ofInput(w, engine, plan.rate(), t -> takes.get(t).whole(), signatures::get));
        for (Work w : plan.works()) {
            inputs.add(Signature.ofInput(w, engine, plan.rate(), t -> takes.get(t).whole(), signatures::get));
            signatures.add(Signature.of(w, engine, plan.rate(), t -> takes.get(t).whole(), signatures::get));
        }
    }

    /**
     * Renders all works, then the prints.
     *
     * @return frames of each print
     * @throws ProblemsException if a value stated against the singer cannot be measured
     */
    public long render(Prints prints) throws ProblemsException, IOException {
        return render(prints, new Heard());
    }

    /** @param heard takes note of what is found by hearing all that is mixed */
    public long render(Prints prints, Heard heard) throws ProblemsException, IOException {
        OptionalLong there = allThere(prints);
        if (there.isPresent()) return there.getAsLong();
        ExecutorService pool = Executors.newFixedThreadPool(jobs, work -> {
            Thread thread = new Thread(work, "song");
            thread.setDaemon(true);
            return thread;
        });
        List<BusRun> buses = new ArrayList<>(), open = new ArrayList<>();
        try {
            sums.only(plan.buses().stream().map(this::ofHeard).collect(Collectors.toSet()));
            works(pool, plan.wanted());
            for (SongPlan.Bus b : plan.buses()) {
                Supplier<Sound> whole = () -> mixture(b.input(), 2, 0);
                int same = same(b, buses.size());
                if (same < buses.size()) {
                    buses.add(buses.get(same).over(whole));
                    continue;
                }
                Shelf.Recollection known = shelf.recollection(ofHeard(b));
                buses.add(new BusRun(b.chain(), () -> mixture(b.heard(), 2, 0), sums, ofHeard(b), Ear::ofMix, heard.noting(buses.size(), known.memory()), jobs, 1));
                open.add(buses.get(same));
                keep(known);
            }
            long frames = frames(buses);
            var done = new ExecutorCompletionService<Void>(pool);
            List<Lane> lanes = lanes(buses, frames, prints);
            lanes.forEach(done::submit);
            for (Lane l : lanes) await(done.take());
            intact();
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
     * Renders a stretch of the mix as soon as can be. Works that are not on the shelf and hear nothing are begun {@link #LEAD_SECONDS} before it, with
     * empty rooms; so is the chain of the mix, which goes by what was heard in it before. Steady sound is the same as in the print within -90 dB; a move or
     * a room that is longer than the lead is not.
     *
     * @param from first sample
     * @param to the sample after the last
     */
    public void preview(long from, long to, Heard heard, Renderer.Sink sink) throws ProblemsException, IOException {
        long start = Math.max(0, from - (long) (LEAD_SECONDS * plan.rate()));
        SongPlan.Bus mix = plan.buses().get(0);
        for (int id : plan.wanted()) {
            Work work = plan.works().get(id);
            boolean kept = signatures.get(id).stream().allMatch(s -> shelf.find(s).isPresent());
            if (kept || work.chain().stages() > 1 || !work.shares().isEmpty()) render(work);
            else made.put(id, List.of(stretch(work.chain(), new Ear(mixture(work.input(), work.channels(), 0)), start, to)));
        }
        Sound input = window(mixture(mix.input(), 2, to), start, to);
        var options = new Renderer.Options(0, 1, new Tail.Seconds(0), from - start, to - start, start);
        try (Renderer renderer = new Renderer(mix.chain(), Ear.ofMix(input, Told.nothing(), heard.noted(0)), options, (stage, stages, share) -> {}, node -> null, jobs)) {
            renderer.render(sink);
        }
    }

    /** A work that is begun late, in the time of the song. */
    private Sound stretch(Plan chain, Ear ear, long start, long to) throws ProblemsException, IOException {
        var options = new Renderer.Options(0, 1, new Tail.Seconds(0), 0, to - start, start);
        try (Shelf.Place place = passing.place("", plan.rate(), chain.output().channels());
                Renderer renderer = new Renderer(chain, new Ear(window(ear.sound(), start, to)), options, (stage, stages, share) -> {}, node -> null, jobs)) {
            renderer.render(place::write);
            return new Excerpt(place.finish(), -start, to);
        }
    }

    /** A little more than the stretch, for what looks ahead. */
    private Sound window(Sound whole, long start, long to) {
        return new Excerpt(whole, start, to - start + (long) plan.rate());
    }

    /** The signature of what its chain hears. */
    private String ofHeard(SongPlan.Bus bus) {
        return Signature.ofHeard(bus, engine, plan.rate(), signatures::get);
    }

    /** The first bus that is set by hearing the same. */
    private int same(SongPlan.Bus bus, int before) {
        for (int b = 0; b < before; b++) if (plan.buses().get(b).chain() == bus.chain() && plan.buses().get(b).heard().equals(bus.heard())) return b;
        return before;
    }

    /** The length of the song, where all its prints are there. */
    private OptionalLong allThere(Prints prints) throws IOException {
        long whole = -1;
        for (SongPlan.SongPrint p : plan.prints()) {
            OptionalLong frames = prints.there(p);
            if (frames.isEmpty()) return OptionalLong.empty();
            boolean all = p.from() == 0 && p.to() == Long.MAX_VALUE;
            if (all && whole >= 0 && frames.getAsLong() != whole) return OptionalLong.empty();
            if (all) whole = frames.getAsLong();
        }
        return whole < 0 ? OptionalLong.empty() : OptionalLong.of(whole);
    }

    /** The length of all prints: a whole number of seconds, so that a tail a little longer than before does not change every print. */
    private long frames(List<BusRun> buses) throws ProblemsException, IOException {
        long frames = plan.least();
        for (List<Sound> sounds : made.values()) for (Sound s : sounds) frames = Math.max(frames, s.frames());
        long last = frames;
        for (BusRun bus : buses) last = Math.max(last, bus.end(frames));
        return (long) (Math.ceil(last / plan.rate()) * plan.rate());
    }

    /** What is wanted of all buses, dealt out. */
    private List<Lane> lanes(List<BusRun> buses, long frames, Prints prints) throws IOException {
        List<Lane> lanes = new ArrayList<>();
        AtomicBoolean spare = new AtomicBoolean();
        for (int l = 0; l < jobs; l++) lanes.add(new Lane(frames, spare));
        Map<SongPlan.SongPrint, List<Renderer.Sink>> opened = new LinkedHashMap<>();
        for (SongPlan.SongPrint p : plan.prints()) {
            List<Renderer.Sink> sinks = prints.open(p, Math.min(p.to(), frames) - Math.min(p.from(), frames));
            if (!sinks.isEmpty()) opened.put(p, sinks);
        }
        Map<Integer, List<SongPlan.SongPrint>> byBus = opened.keySet().stream().collect(Collectors.groupingBy(SongPlan.SongPrint::bus));
        if (jobs > 1 && byBus.size() == 1 && opened.keySet().stream().allMatch(SongPlan.SongPrint::whole)) {
            int bus = byBus.keySet().iterator().next();
            Lane lane = lanes.get(0);
            lane.only(buses.get(bus).undivided(sum(bus, buses.get(bus), lane)), whole(byBus.get(bus), opened, lane).orElseThrow(), jobs);
            return lanes;
        }
        // What is least to be divided comes first, and what is most fills up.
        byBus.keySet().stream().sorted(Comparator.comparingInt(b -> byBus.get(b).size())).forEach(b -> {
            Map<Lane, List<SongPlan.SongPrint>> dealt = dealt(byBus.get(b), lanes, SharedOut.load(plan.buses().get(b).chain()), p -> p.channels() * opened.get(p).size());
            dealt.forEach((lane, own) -> {
                Optional<Renderer.Sink> whole = whole(own, opened, lane);
                List<SongPlan.SongPrint> shares = own.stream().filter(p -> !p.whole()).toList();
                put(lane, b, buses.get(b), whole, shares, shares.stream().map(p -> sink(p, opened, lane)).toList());
            });
        });
        return lanes;
    }

    /**
     * Prints of one bus, on as many lanes as they are enough for, each on the one that has least to do.
     *
     * @param once what each lane has to do beside them
     * @param load of a print: its channels, as often as somebody takes them
     */
    static Map<Lane, List<SongPlan.SongPrint>> dealt(List<SongPlan.SongPrint> prints, List<Lane> lanes, int once, ToIntFunction<SongPlan.SongPrint> load) {
        Map<Lane, List<SongPlan.SongPrint>> dealt = new LinkedHashMap<>();
        List<Lane> least = lanes.stream().sorted(Comparator.comparingInt(Lane::load)).limit(prints.size()).toList();
        prints.stream().sorted(Comparator.comparingInt(load).reversed()).forEach(p -> {
            Lane lane = least.stream().min(Comparator.comparingInt(Lane::load)).orElseThrow();
            lane.load(load.applyAsInt(p) + (dealt.containsKey(lane) ? 0 : once));
            dealt.computeIfAbsent(lane, l -> new ArrayList<>()).add(p);
        });
        return dealt;
    }

    /** Where what a bus makes of the whole goes; empty where none of these prints want that. */
    private static Optional<Renderer.Sink> whole(List<SongPlan.SongPrint> prints, Map<SongPlan.SongPrint, List<Renderer.Sink>> opened, Lane lane) {
        return prints.stream().filter(SongPlan.SongPrint::whole).map(p -> sink(p, opened, lane)).reduce(SongRenderer::both);
    }

    /** What goes into the chain of a bus. */
    private Sound sum(int bus, BusRun run, Lane lane) {
        return run.kept().<Sound>map(k -> k).orElseGet(() -> mixture(plan.buses().get(bus).input(), 2, 0, lane::reading));
    }

    /** Where a print goes. */
    private static Renderer.Sink sink(SongPlan.SongPrint print, Map<SongPlan.SongPrint, List<Renderer.Sink>> opened, Lane lane) {
        Renderer.Sink all = opened.get(print).stream().map(s -> lane.handing(s, print.channels())).reduce(SongRenderer::both).orElseThrow();
        return Stretch.of(all, print.from(), print.to());
    }

    private void put(Lane lane, int bus, BusRun run, Optional<Renderer.Sink> whole, List<SongPlan.SongPrint> shares, List<Renderer.Sink> sinks) {
        List<Sound> sums = shares.stream().<Sound>map(p -> mixture(p.sum(), p.channels(), 0, lane::reading)).toList();
        lane.add(run.sharedOut(sum(bus, run, lane), whole.isPresent(), sums), whole.orElse(null), sinks);
    }

    private static Renderer.Sink both(Renderer.Sink one, Renderer.Sink other) {
        return (x, n) -> {
            one.write(x, n);
            other.write(x, n);
        };
    }

    private void works(ExecutorService pool, Set<Integer> wanted) throws ProblemsException, IOException, InterruptedException {
        var done = new ExecutorCompletionService<Integer>(pool);
        List<Work> waiting = new ArrayList<>(plan.works().stream().filter(w -> wanted.contains(w.id())).toList());
        Set<Integer> finished = new HashSet<>();
        while (finished.size() < wanted.size()) {
            waiting.removeIf(w -> {
                if (!hasInput(w, finished)) return false;
                done.submit(() -> {
                    render(w);
                    return w.id();
                });
                return true;
            });
            finished.add(await(done.take()));
        }
    }

    private static <T> T await(Future<T> done) throws ProblemsException, IOException, InterruptedException {
        try {
            return done.get();
        } catch (ExecutionException e) {
            if (e.getCause() instanceof ProblemsException p) throw p;
            if (e.getCause() instanceof IOException i) throw i;
            throw SideBySide.failed(e);
        }
    }

    private static boolean hasInput(Work work, Set<Integer> finished) {
        return heard(work).allMatch(t -> finished.containsAll(t.source().hears()));
    }

    private static Stream<Work.Tap> heard(Work work) {
        Stream<Work.Tap> followed = work.tidying().stream().flatMap(t -> t.lead().stream());
        return Stream.of(work.input().stream(), work.shares().stream().flatMap(List::stream), followed).flatMap(s -> s);
    }

    /** From the shelf, where it was made before. */
    private void render(Work work) throws ProblemsException, IOException {
        List<Optional<Sound>> kept = signatures.get(work.id()).stream().map(shelf::find).toList();
        if (kept.stream().allMatch(Optional::isPresent)) {
            found.add(work.id());
            made.put(work.id(), kept.stream().map(Optional::get).toList());
            return;
        }
        try {
            made.put(work.id(), make(work, shelf));
        } catch (IOException e) {
            // A shelf that is full costs the next run its time, and this one nothing.
            unkept = Optional.of(e.getMessage());
            made.put(work.id(), make(work, passing));
        }
    }

    private void keep(Shelf.Recollection known) {
        try {
            known.close();
        } catch (IOException e) {
            unkept = Optional.of(e.getMessage());
        }
    }

    /** Time that the making of a work took, and its steps; of shares and of what is tidied no steps are told. */
    public record Cost(String work, double seconds, List<Rendered.Cost> steps) {}

    /** What the works cost that were made, in the order of the song. */
    public List<Cost> costs() {
        return plan.works().stream().map(w -> costs.get(w.id())).filter(Objects::nonNull).toList();
    }

    private List<Sound> make(Work work, Shelf on) throws ProblemsException, IOException {
        long began = System.nanoTime();
        List<Rendered.Cost> steps = new ArrayList<>();
        List<Sound> sounds = make(work, on, steps);
        costs.put(work.id(), new Cost(work.name(), (System.nanoTime() - began) * 1e-9, List.copyOf(steps)));
        return sounds;
    }

    private List<Sound> make(Work work, Shelf on, List<Rendered.Cost> steps) throws ProblemsException, IOException {
        if (!work.shares().isEmpty()) return shares(work, on);
        if (work.tidying().isPresent()) return List.of(tidied(work, on));
        var options = new Renderer.Options(0, 1, new Tail.Auto(), 0, -1);
        try (Shelf.Place place = on.place(signatures.get(work.id()).get(0), plan.rate(), work.chain().output().channels());
                Shelf.Recollection recollection = on.recollection(inputs.get(work.id()));
                Renderer renderer = new Renderer(work.chain(), ear(work, recollection.memory()), options, (stage, stages, share) -> {}, node -> null, jobs)) {
            steps.addAll(renderer.render(place::write).costs());
            intact();
            return List.of(place.finish());
        }
    }

    /** Nothing is kept under a signature that its samples may not have: a take that was changed meanwhile would spoil all renders to come. */
    private void intact() throws IOException {
        for (Take t : takes) t.intact.check();
    }

    /** Keeps no fact that was heard in a take which was changed meanwhile; sounds are looked after where they are finished. */
    private final class Sparing implements Shelf {
        private final Shelf shelf;

        Sparing(Shelf shelf) {
            this.shelf = shelf;
        }

        @Override
        public Optional<Sound> find(String signature) {
            return shelf.find(signature);
        }

        @Override
        public Place place(String signature, double rate, int channels) throws IOException {
            return shelf.place(signature, rate, channels);
        }

        @Override
        public Recollection recollection(String signature) {
            Recollection facts = shelf.recollection(signature);
            return new Recollection() {
                @Override
                public Memory memory() {
                    return facts.memory();
                }

                @Override
                public void close() throws IOException {
                    intact();
                    facts.close();
                }
            };
        }
    }

    private Sound tidied(Work work, Shelf on) throws IOException {
        Sound sound = tidier.tidied(work).sound();
        double[][] x = new double[work.channels()][BLOCK];
        try (Shelf.Place place = on.place(signatures.get(work.id()).get(0), plan.rate(), work.channels())) {
            for (long at = 0; at < sound.frames(); at += BLOCK) {
                int n = (int) Math.min(BLOCK, sound.frames() - at);
                sound.read(at, x, n);
                place.write(x, n);
            }
            intact();
            return place.finish();
        }
    }

    private Told tidiedTold(Work work, Told before) {
        return tidier.told(work, signatures.get(work.id()).get(0), before);
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
            return new Renderer(chain, ear, new Renderer.Options(block, 1, new Tail.Auto(), 0, -1), (stage, stages, share) -> {}, witness, jobs);
        }

        /** @throws IOException if a take was changed meanwhile */
        @Override
        public void close() throws IOException {
            keep(known);
            intact();
        }
    }

    /** The chain of a work that makes one sound. */
    public OnceMore onceMore(Work work) throws ProblemsException, IOException {
        bring(heard(work));
        Shelf.Recollection known = shelf.recollection(inputs.get(work.id()));
        return new OnceMore(work.chain(), ear(work, known.memory()), known);
    }

    /** The chain of a mix, over what it is set by. */
    public OnceMore onceMore(SongPlan.Bus bus) throws ProblemsException, IOException {
        bring(bus.heard().stream());
        Shelf.Recollection known = shelf.recollection(ofHeard(bus));
        return new OnceMore(bus.chain(), Ear.ofMix(mixture(bus.heard(), 2, 0), Told.nothing(), known.memory()), known);
    }

    /** Sees to it that the works are there that are heard in something. */
    private synchronized void bring(Stream<Work.Tap> heard) throws ProblemsException, IOException {
        for (int id : heard.flatMap(t -> t.source().hears().stream()).toList()) {
            if (made.containsKey(id)) continue;
            Work work = plan.works().get(id);
            bring(heard(work));
            render(work);
        }
    }

    /** What the chain of a work does to its input, done to shares of that. */
    private List<Sound> shares(Work work, Shelf on) throws ProblemsException, IOException {
        List<Shelf.Place> places = new ArrayList<>();
        try (Sums own = new Sums(); BusRun run = new BusRun(work.chain(), () -> mixture(work.input(), work.channels(), 0), own, "", Ear::new, Memory.NONE, 1, jobs)) {
            long frames = run.end(mixture(work.input(), work.channels(), 0).frames());
            for (String signature : signatures.get(work.id())) places.add(on.place(signature, plan.rate(), work.chain().output().channels()));
            List<Lane> lanes = new ArrayList<>();
            int most = Math.min(jobs, places.size());
            AtomicBoolean spare = new AtomicBoolean();
            for (int l = 0; l < most; l++) {
                Lane lane = new Lane(frames, spare);
                lanes.add(lane);
                List<Sound> sums = new ArrayList<>();
                List<Renderer.Sink> to = new ArrayList<>();
                for (int s = l; s < places.size(); s += most) {
                    sums.add(mixture(work.shares().get(s), work.channels(), 0, lane::reading));
                    to.add(lane.handing(places.get(s)::write, work.chain().output().channels()));
                }
                Sound sum = run.kept().<Sound>map(k -> k).orElseGet(() -> mixture(work.input(), work.channels(), 0, lane::reading));
                lane.add(run.sharedOut(sum, false, sums), null, to);
            }
            // Little else may be left to do when its turn comes.
            SideBySide.run(lanes, most);
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

    /** The ear on what goes into the chain of a work. */
    private Ear ear(Work work, Memory memory) {
        Sound input = mixture(work.input(), work.channels(), 0);
        return work.played() ? Ear.ofMix(input, told(work), memory) : splicer.ear(work.input(), input, told(work), memory);
    }

    /** What is told of a take holds for the part that is made of it, wherever that begins; of a sum nothing is told. */
    private Told told(Work work) {
        Work.Source source = work.input().size() == 1 ? work.input().get(0).source() : Work.Source.Silence.SILENCE;
        boolean summed = source instanceof Work.Source.Made m && plan.works().get(m.work()).tidying().isEmpty();
        return summed ? Told.nothing() : splicer.told(source);
    }

    private Mixture mixture(List<Work.Tap> taps, int channels, long least) {
        return mixture(taps, channels, least, (sound, at) -> new Ahead(sound));
    }

    private Mixture mixture(List<Work.Tap> taps, int channels, long least, Mixture.Readers readers) {
        return new Mixture(plan.rate(), channels, least, taps.stream().map(this::voice).toList(), readers);
    }

    private Mixture.Voice voice(Work.Tap tap) {
        GainCurve level = Splicer.curve(tap.level());
        Pan pan = new Pan(tap.pan());
        if (tap.source() instanceof Work.Source.Take take) return new Mixture.Voice(takes.get(take.take()).sound, take.at(), take.flipped(), level, pan);
        if (tap.source() instanceof Work.Source.Edited e) return new Mixture.Voice(splicer.splice(e).sound(), 0, e.flipped(), level, pan);
        return new Mixture.Voice(made((Work.Source.Made) tap.source()), 0, false, level, pan);
    }

    private Sound made(Work.Source.Made source) {
        return made.get(source.work()).get(source.share());
    }

    /** By what the samples of a print are known again; their number comes on top. */
    public String signature(SongPlan.SongPrint print) {
        return Signature.of(print, plan.buses().get(print.bus()), plan.rate(), signatures::get);
    }

    /** What became of the borders of a part that is put together from pieces. */
    public record Join(String part, String where, Joint joint) {}

    /** How many marks were silenced in a part, as the text wants it. */
    public record Mute(String part, String where, int marks) {}

    /** What was silenced by marks, of the same parts as {@link #joins}. */
    public List<Mute> mutes() {
        List<Mute> mutes = new ArrayList<>();
        edited((w, e) -> splicer.splice(e).muted().forEach((m, n) -> mutes.add(new Mute(w.name(), m.where(), n))));
        return mutes;
    }

    /** How the takes of the parts are joined, in the order of the song. What lies in other works can be heard once it is rendered, and is left out before. */
    public List<Join> joins() {
        List<Join> joins = new ArrayList<>();
        edited((w, e) -> splicer.splice(e).joints().forEach((border, joint) -> joins.add(new Join(w.name(), border.where(), joint))));
        return joins;
    }

    private void edited(BiConsumer<Work, Work.Source.Edited> each) {
        Set<Work.Source> said = new HashSet<>();
        for (Work w : plan.works()) {
            // A dry print has the same edits as its part.
            for (Work.Tap t : w.input()) if (t.source() instanceof Work.Source.Edited e && made.keySet().containsAll(e.hears()) && said.add(e)) each.accept(w, e);
        }
    }

    /** What was decided for a part that follows another. */
    public record Followed(String part, String like, List<Decision> decisions) {}

    /**
     * What is done to the parts that follow others, and what is left alone, in the order of the song. What was not decided before, in this run or
     * another, is heard and decided now; parts made of works that must be rendered first are left out.
     *
     * @param all whether those are told too that no print wants
     */
    public List<Followed> followed(boolean all) throws IOException {
        List<Work> tidied = plan.works().stream().filter(w -> w.tidying().isPresent() && (all || plan.wanted().contains(w.id())) && hasInput(w, made.keySet())).toList();
        SideBySide.run(tidied.stream().<Callable<Void>>map(w -> () -> {
            tidier.decisions(w);
            return null;
        }).toList(), jobs);
        return tidied.stream().map(w -> new Followed(w.tidying().get().part(), w.tidying().get().like(), tidier.decisions(w))).toList();
    }

    /** The marks of a part but for its clicks, in the time of the song; empty where it is made of works that must be rendered first. */
    public Optional<Marks> marks(String part) {
        Work work = plan.works().stream().filter(w -> w.name().equals(part)).findFirst().orElseThrow();
        if (work.input().stream().anyMatch(t -> !t.source().hears().isEmpty())) return Optional.empty();
        Sound input = new Apiece(() -> mixture(work.input(), work.channels(), 0));
        String signature = inputs.get(work.id());
        // Beside what its chain remembers, which lets go of what the chain does not use.
        try (Shelf.Recollection own = shelf.recollection(Signature.digest(signature + " " + Memory.SPEECH)); Shelf.Recollection chain = shelf.recollection(signature)) {
            // The chain of the instrumental asks an ear of another kind, and what that remembers goes by other frames.
            return Optional.of(speech(input, work, work.played() ? own.memory() : own.memory().keeping(Memory.SPEECH, chain.memory())));
        } catch (IOException e) {
            // Nothing is lost but time.
            return Optional.of(speech(input, work, Memory.NONE));
        }
    }

    private Marks speech(Sound input, Work work, Memory memory) {
        Ear ear = work.played() ? new Ear(input, told(work), memory) : splicer.ear(work.input(), input, told(work), memory);
        if (jobs > 1) ear.help(SideBySide::both);
        return ear.speech();
    }

    /** Names of the works that were taken from the shelf. */
    public List<String> found() {
        return plan.works().stream().filter(w -> found.contains(w.id())).map(Work::name).toList();
    }

    /** Why something could not be kept for the next run, if so. */
    public Optional<String> unkept() {
        return unkept;
    }

    @Override
    public void close() {
        passing.close();
    }
}

package linnet.render;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorCompletionService;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import linnet.dsp.Sound;
import linnet.dsp.repair.GainCurve;
import linnet.hear.Ear;
import linnet.hear.Told;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.text.ProblemsException;

/** Runs the plan of a song: works side by side as soon as what they hear is there, then the prints. Bits do not depend on how many run at once. */
public final class SongRenderer implements AutoCloseable {
    /** Samples of a print handed on at a time. */
    private static final int BLOCK = 4800;

    /** Where prints go. */
    public interface Prints {
        /** The sink of a print of so many frames. */
        Renderer.Sink open(SongPlan.SongPrint print, long frames) throws IOException;
    }

    private final SongPlan plan;
    private final List<Take> takes;
    private final int jobs;
    private final Shelf shelf;
    private final List<String> signatures = new ArrayList<>();
    private final Map<Integer, Sound> made = new ConcurrentHashMap<>();
    private final Set<Integer> found = ConcurrentHashMap.newKeySet();
    private final Passing passing = new Passing();
    private volatile Optional<String> unkept = Optional.empty();

    /**
     * A take of a song.
     *
     * @param sound at the rate of the song
     * @param signature by which its samples are known again
     */
    public record Take(Sound sound, Told told, String signature) {
        private String whole() {
            return signature + " " + Signature.digest(told.toString().getBytes(StandardCharsets.UTF_8));
        }
    }

    /**
     * @param takes of the song in the order the plan counts them
     * @param engine what renders: another version may make other samples
     * @param shelf where works are kept
     * @param jobs works that may run at once, 1 or more
     */
    public SongRenderer(SongPlan plan, List<Take> takes, String engine, Shelf shelf, int jobs) {
        this.plan = plan;
        this.takes = List.copyOf(takes);
        this.shelf = shelf;
        this.jobs = jobs;
        for (Work w : plan.works()) signatures.add(Signature.of(w, engine, plan.rate(), t -> takes.get(t).whole(), signatures::get, m -> plan.works().get(m).sides()));
    }

    /**
     * Renders all works, then the prints.
     *
     * @return frames of each print
     * @throws ProblemsException if a value stated against the singer cannot be measured
     */
    public long render(Prints prints) throws ProblemsException, IOException {
        works();
        long frames = plan.least();
        for (Sound s : made.values()) frames = Math.max(frames, s.frames());
        // A whole number of seconds, so that a tail a little longer than before does not change the length of every print.
        frames = (long) (Math.ceil(frames / plan.rate()) * plan.rate());
        for (SongPlan.SongPrint p : plan.prints()) print(p, frames, prints);
        return frames;
    }

    private void works() throws ProblemsException, IOException {
        ExecutorService pool = Executors.newFixedThreadPool(jobs, work -> {
            Thread thread = new Thread(work, "song");
            thread.setDaemon(true);
            return thread;
        });
        try {
            var done = new ExecutorCompletionService<Integer>(pool);
            List<Work> waiting = new ArrayList<>(plan.works());
            Set<Integer> finished = new HashSet<>();
            while (finished.size() < plan.works().size()) {
                waiting.removeIf(w -> {
                    if (!hasInput(w, finished)) return false;
                    done.submit(() -> {
                        render(w);
                        return w.id();
                    });
                    return true;
                });
                finished.add(done.take().get());
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted", e);
        } catch (ExecutionException e) {
            if (e.getCause() instanceof ProblemsException p) throw p;
            if (e.getCause() instanceof IOException i) throw i;
            throw e.getCause() instanceof RuntimeException r ? r : new IllegalStateException(e.getCause());
        } finally {
            pool.shutdownNow();
        }
    }

    private static boolean hasInput(Work work, Set<Integer> finished) {
        return work.input().stream().allMatch(t -> !(t.source() instanceof Work.Source.Made m) || finished.contains(m.work()));
    }

    /** From the shelf, where it was made before. */
    private void render(Work work) throws ProblemsException, IOException {
        String signature = signatures.get(work.id());
        Optional<Sound> kept = shelf.find(signature);
        if (kept.isPresent()) {
            found.add(work.id());
            made.put(work.id(), kept.get());
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

    private Sound make(Work work, Shelf on) throws ProblemsException, IOException {
        Sound input = mixture(work.input(), work.channels(), 0);
        var options = new Renderer.Options(0, 1, new Tail.Auto(), 0, -1);
        try (Shelf.Place place = on.place(signatures.get(work.id()), plan.rate(), work.chain().output().channels());
                Renderer renderer = new Renderer(work.chain(), new Ear(input, told(work)), options, (stage, stages, share) -> {}, node -> null, jobs)) {
            renderer.render(place::write);
            return place.finish();
        }
    }

    /** What is told of a take holds for the part that is made of it, wherever that begins; of a sum nothing is told. */
    private Told told(Work work) {
        if (work.input().size() != 1 || !(work.input().get(0).source() instanceof Work.Source.Take take)) return Told.nothing();
        return takes.get(take.take()).told.moved(take.at());
    }

    private Mixture mixture(List<Work.Tap> taps, int channels, long least) {
        List<Mixture.Voice> voices = new ArrayList<>();
        for (Work.Tap t : taps) {
            GainCurve.Builder level = new GainCurve.Builder();
            t.level().points().forEach(p -> level.point(p.at(), p.value()));
            if (t.source() instanceof Work.Source.Take take) {
                voices.add(new Mixture.Voice(takes.get(take.take()).sound, take.at(), take.flipped(), level.build(), new Pan(true, t.pan())));
            } else {
                int work = ((Work.Source.Made) t.source()).work();
                voices.add(new Mixture.Voice(made.get(work), 0, false, level.build(), new Pan(plan.works().get(work).sides(), t.pan())));
            }
        }
        return new Mixture(plan.rate(), channels, least, voices);
    }

    private void print(SongPlan.SongPrint print, long frames, Prints prints) throws IOException {
        Mixture sum = mixture(print.sum(), print.channels(), frames);
        Renderer.Sink sink = prints.open(print, frames);
        double[][] x = new double[print.channels()][BLOCK];
        for (long at = 0; at < frames; at += BLOCK) {
            int n = (int) Math.min(BLOCK, frames - at);
            sum.read(at, x, n);
            sink.write(x, n);
        }
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

package linnet.weigh;

import java.io.IOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Memory;
import linnet.hear.Remembered;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.render.Shelf;
import linnet.render.SongRenderer;
import linnet.render.Sums;
import linnet.text.ProblemsException;

/** Renders what must be measured of a song; the works go to the shelf, where the render of the song itself finds them, and so does what was measured. */
public final class RenderedScales implements Weighing.Scales {
    private static final String SCALE = "scale and sides by stretch";

    private final List<SongRenderer.Take> takes;
    private final String engine;
    private final Shelf shelf;
    private final Sums sums;
    private final int jobs;
    private final Memory answers;
    private final Set<String> made = new HashSet<>();
    private final List<SongRenderer.Cost> costs = new ArrayList<>();

    /** As for a {@link SongRenderer}. */
    public RenderedScales(List<SongRenderer.Take> takes, String engine, Shelf shelf, Sums sums, int jobs) {
        this(takes, engine, shelf, sums, jobs, Memory.NONE);
    }

    /** @param answers what was found of this very song before, with the same takes and by the same engine; then it need not even be planned */
    public RenderedScales(List<SongRenderer.Take> takes, String engine, Shelf shelf, Sums sums, int jobs, Memory answers) {
        this.answers = answers;
        this.takes = takes;
        this.engine = engine;
        this.shelf = shelf;
        this.sums = sums;
        this.jobs = jobs;
    }

    /** Names of the works that had to be made for it. */
    public Set<String> made() {
        return made;
    }

    /** What they cost. */
    public List<SongRenderer.Cost> costs() {
        return costs;
    }

    @Override
    public Map<String, Scale> weigh(String question, Aiming.Planned planned) throws ProblemsException, IOException {
        Optional<Map<String, Scale>> answer = answers.recall(question).flatMap(Scale.BY_NAME::read);
        if (answer.isPresent()) return answer.get();
        Map<String, Scale> scales = weigh(planned.plan());
        answers.keep(question, Scale.BY_NAME.write(scales));
        return scales;
    }

    private Map<String, Scale> weigh(SongPlan plan) throws ProblemsException, IOException {
        try (SongRenderer renderer = new SongRenderer(plan, takes, engine, shelf, sums, jobs)) {
            Map<String, Scale> known = new HashMap<>();
            for (SongPlan.SongPrint p : plan.prints()) {
                try (Shelf.Recollection before = recollection(renderer, p)) {
                    before.memory().recall(SCALE).flatMap(Scale.FORM::read).ifPresent(scale -> known.put(p.name(), scale));
                }
            }
            return known.size() == plan.prints().size() ? known : heard(plan, renderer);
        }
    }

    private Map<String, Scale> heard(SongPlan plan, SongRenderer renderer) throws ProblemsException, IOException {
        Map<String, Pointer> pointers = new ConcurrentHashMap<>();
        renderer.render((print, frames) -> {
            Pointer pointer = new Pointer(plan.rate(), print.channels());
            pointers.put(print.name(), pointer);
            return List.of(pointer::add);
        });
        plan.works().stream().map(Work::name).filter(n -> !renderer.found().contains(n)).forEach(made::add);
        costs.addAll(renderer.costs());
        Map<String, Scale> heard = new HashMap<>();
        for (SongPlan.SongPrint p : plan.prints()) {
            Scale scale = pointers.get(p.name()).scale();
            heard.put(p.name(), scale);
            keep(renderer, p, scale);
        }
        return heard;
    }

    @Override
    public Optional<Marks> marks(String question, Aiming.Planned planned, String part) throws ProblemsException, IOException {
        Optional<List<Mark>> answer = answers.recall(question).flatMap(Remembered.MARKS::read);
        if (answer.isPresent()) return answer.map(Marks::new);
        try (SongRenderer renderer = new SongRenderer(planned.plan(), takes, engine, shelf, sums, jobs)) {
            Optional<Marks> marks = renderer.findings().marks(part);
            marks.ifPresent(m -> answers.keep(question, Remembered.MARKS.write(m.all())));
            return marks;
        }
    }

    /** What cannot be kept is measured again the next time. */
    private void keep(SongRenderer renderer, SongPlan.SongPrint print, Scale scale) {
        try (Shelf.Recollection now = recollection(renderer, print)) {
            now.memory().keep(SCALE, Scale.FORM.write(scale));
        } catch (IOException e) {
            // The render itself says so.
        }
    }

    private Shelf.Recollection recollection(SongRenderer renderer, SongPlan.SongPrint print) {
        return shelf.recollection(renderer.signature(print));
    }
}

package linnet.weigh;

import java.io.IOException;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import linnet.hear.Marks;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.render.Shelf;
import linnet.render.SongRenderer;
import linnet.text.ProblemsException;

/** Renders what must be measured of a song; the works go to the shelf, where the render of the song itself finds them. */
public final class RenderedScales implements Weighing.Scales, Aiming.Ears {
    private final List<SongRenderer.Take> takes;
    private final String engine;
    private final Shelf shelf;
    private final int jobs;
    private final Set<String> made = new HashSet<>();

    /** As for a {@link SongRenderer}. */
    public RenderedScales(List<SongRenderer.Take> takes, String engine, Shelf shelf, int jobs) {
        this.takes = takes;
        this.engine = engine;
        this.shelf = shelf;
        this.jobs = jobs;
    }

    /** Names of the works that had to be made for it. */
    public Set<String> made() {
        return made;
    }

    @Override
    public Map<String, Scale> weigh(SongPlan plan) throws ProblemsException, IOException {
        Map<String, Scale> heard = new ConcurrentHashMap<>();
        try (SongRenderer renderer = new SongRenderer(plan, takes, engine, shelf, jobs)) {
            renderer.render((print, frames) -> {
                Scale scale = new Scale(plan.rate(), print.channels());
                heard.put(print.name(), scale);
                return scale::add;
            });
            plan.works().stream().map(Work::name).filter(n -> !renderer.found().contains(n)).forEach(made::add);
        }
        return heard;
    }

    @Override
    public Optional<Marks> marks(SongPlan plan, String part) throws IOException {
        try (SongRenderer renderer = new SongRenderer(plan, takes, engine, shelf, jobs)) {
            return renderer.marks(part);
        }
    }
}

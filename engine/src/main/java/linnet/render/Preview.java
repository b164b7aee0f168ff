package linnet.render;

import java.io.IOException;
import java.util.List;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Told;
import linnet.plan.Plan;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.text.ProblemsException;

/**
 * A stretch of the mix as soon as can be: works that are not on the shelf, and in which nobody hears anything from end to end, are begun
 * {@link #LEAD_SECONDS} before it, with empty rooms.
 */
final class Preview {
    /** How long before a stretch its rooms are begun: longer than most of them ring. */
    private static final double LEAD_SECONDS = 10;
    /** How much of what comes after a stretch is there, for what looks ahead. */
    private static final double AHEAD_SECONDS = 1;

    private final SongPlan plan;
    private final Works works;
    private final Inputs inputs;
    private final Passing passing;
    private final int jobs;

    /** @param passing where the stretches of works are */
    Preview(SongPlan plan, Works works, Passing passing, int jobs) {
        this.plan = plan;
        this.works = works;
        inputs = works.inputs();
        this.passing = passing;
        this.jobs = jobs;
    }

    /** As {@link SongRenderer#preview} has it. */
    void render(long from, long to, BusFacts heard, Renderer.Sink sink) throws ProblemsException, IOException {
        SongPlan.Bus mix = plan.buses().get(0);
        // What plays backwards has other stretches of the song in this one.
        boolean inTime = mix.chain().steps().stream().allMatch(n -> n.work().orElseThrow().use().step().keepsTime());
        long start = inTime ? Math.max(0, from - (long) (LEAD_SECONDS * plan.rate())) : 0, end = to + (long) (AHEAD_SECONDS * plan.rate());
        List<Work> wanted = plan.wanted().stream().map(plan.works()::get).toList();
        // First all that must be whole: what is made or heard of a stretch would lie on the shelf as if it were of everything.
        for (Work work : wanted) if (!inTime || works.isKept(work) || hears(work)) works.bring(work);
        for (Work work : wanted) if (!works.isMade(work)) works.put(work, stretch(work.chain(), inputs.mixture(work.input(), work.channels(), 0), start, end));
        Sound whole = inputs.mixture(mix.input(), 2, to), input = inTime ? window(whole, start, end) : whole;
        var options = new Renderer.Options(0, 1, new Tail.Seconds(0), from - start, to - start, start);
        try (Renderer renderer = new Renderer(mix.chain(), Ear.ofMix(input, Told.nothing(), heard.noted(0)), options, Renderer.Progress.SILENT,
                Witness.NONE, jobs)) {
            renderer.render(sink);
        }
    }

    /** Whether it must hear all of what it is made of. */
    private static boolean hears(Work work) {
        boolean edits = work.input().stream().anyMatch(t -> t.source() instanceof Work.Source.Edited edited && !edited.hears().isEmpty());
        return edits || work.chain().stages() > 1 || !work.shares().isEmpty() || work.tidying().isPresent();
    }

    /** A work that is begun late, in the time of the song. */
    private Sound stretch(Plan chain, Sound input, long start, long end) throws ProblemsException, IOException {
        var options = new Renderer.Options(0, 1, new Tail.Seconds(0), 0, end - start, start);
        try (Shelf.Place place = passing.place("", plan.rate(), chain.output().channels());
                Renderer renderer = new Renderer(chain, new Ear(window(input, start, end)), options, Renderer.Progress.SILENT, Witness.NONE, jobs)) {
            renderer.render(place::write);
            return new Excerpt(place.finish(), -start, end);
        }
    }

    /** Nothing but a stretch, in the time of the song: what is heard in it and what was heard in all of it have one clock. */
    private static Sound window(Sound whole, long start, long end) {
        return new Excerpt(new Excerpt(whole, start, end - start), -start, end);
    }
}

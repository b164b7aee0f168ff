package linnet.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.ConcurrentHashMap;
import linnet.audio.Bext;
import linnet.chain.Chain;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.plan.Work;
import linnet.render.Rendered;
import linnet.render.Renderer;
import linnet.render.SideBySide;
import linnet.render.SongRenderer;
import linnet.report.RenderReport;
import linnet.report.ReportPage;
import linnet.report.SongReportPage;
import linnet.song.Song;
import linnet.text.ProblemsException;

/**
 * Pages on what every step of a song did: one for each part, group and return that has a chain and for the mix, and one that leads to them. Each chain is run
 * once more for its page, so that prints know nothing of it.
 *
 * @param folder of the pages
 */
record SongReporting(Path folder, boolean force) {
    private static final String MIX = "mix";

    /**
     * What was written.
     *
     * @param index the page that leads to the others
     * @param warnings of all pages, each with the name of what it is about before it
     */
    record Pages(Path index, List<String> warnings) {}

    /** All that is done to something of a song. */
    private record Strip(String name, Chain chain, boolean sung) {}

    /** What can be refused before anything is heard. */
    void refuse(Song song) {
        index().refuse();
        strips(song).forEach(s -> page(song, s).refuse());
    }

    /** In the order of the song; levels that are found by ear make no other steps. */
    private static List<Strip> strips(Song song) {
        List<Strip> all = new ArrayList<>();
        SongPlanner.parts(song).forEach(p -> all.add(new Strip(p.name().text(), SongPlanner.chain(song, p), true)));
        song.groups().forEach(g -> all.add(new Strip(g.name().text(), g.chain(), true)));
        song.returns().forEach(r -> all.add(new Strip(r.name().text(), r.chain(), false)));
        all.add(new Strip(MIX, song.mix(), false));
        return all.stream().filter(s -> !s.chain.links().isEmpty()).toList();
    }

    private PageFile index() {
        return new PageFile(folder, Reporting.PAGE, force);
    }

    /** A name of a song is fit to be that of a file, and another in every file system than each other name; and none ends with a dot. */
    private PageFile page(Song song, Strip strip) {
        boolean taken = (strip.name + ".html").equalsIgnoreCase(Reporting.PAGE) || strip.name.equalsIgnoreCase(SongSheet.name(song));
        return new PageFile(folder, strip.name + (taken ? "..html" : ".html"), force);
    }

    /** Writes those of what the prints of a plan were made of. */
    Pages write(PlannedSong planned, SongPlan plan, int jobs) throws ProblemsException, IOException {
        Song song = planned.song();
        List<Strip> strips = strips(song).stream().filter(s -> s.name.equals(MIX) || plan.wanted().contains(work(plan, s).id())).toList();
        Map<String, RenderReport> reports = new ConcurrentHashMap<>();
        try (SongRenderer renderer = planned.renderer(plan)) {
            SideBySide.run(strips.stream().<Callable<Void>>map(s -> () -> {
                reports.put(s.name, report(renderer, plan, s));
                return null;
            }).toList(), jobs);
        }
        List<SongReportPage.Row> rows = new ArrayList<>();
        List<String> warnings = new ArrayList<>();
        for (Strip s : strips) {
            RenderReport report = reports.get(s.name);
            String title = s.name + (s.chain.title().isEmpty() ? "" : ": " + s.chain.title());
            Path file = page(song, s).write(new ReportPage(title, song.title(), report, List.of())::write);
            rows.add(new SongReportPage.Row(s.name, file.getFileName().toString(), report));
            report.warningTexts().forEach(w -> warnings.add(s.name + ": " + w));
        }
        return new Pages(index().write(new SongReportPage(song.title(), rows)::write), warnings);
    }

    /** Works of parts, groups and returns come before all that prints need beside them, and what is tidied has no chain: whatever those are called. */
    private static Work work(SongPlan plan, Strip strip) {
        return plan.works().stream().filter(w -> w.name().equals(strip.name) && w.tidying().isEmpty()).findFirst().orElseThrow();
    }

    private static RenderReport report(SongRenderer renderer, SongPlan plan, Strip strip) throws ProblemsException, IOException {
        boolean mix = strip.name.equals(MIX);
        try (SongRenderer.OnceMore once = mix ? renderer.onceMore(plan.buses().get(0)) : renderer.onceMore(work(plan, strip))) {
            long began = System.nanoTime();
            Reporting reporting = new Reporting(strip.chain, once.chain(), once.input(), 0, -1);
            Meter meter = new Meter(plan.rate(), once.chain().output().channels());
            try (Renderer run = once.renderer(reporting, reporting.block())) {
                Rendered rendered = run.render(meter::hear);
                // The page of the mix says what its print says.
                Bext.Loudness told = new Bext.Loudness(meter.lufs(), Double.NaN, meter.truePeakDbtp(), Double.NaN, Double.NaN).asRead();
                reporting.finish(run, rendered,
                        new RenderReport.Printed(rendered.frames() / plan.rate(), rendered.channels(), told.integrated(), told.truePeak(), meter.peakDb(),
                                meter.endDbfs(),
                        (System.nanoTime() - began) * 1e-9, mix, strip.sung));
            }
            return reporting.report();
        }
    }
}

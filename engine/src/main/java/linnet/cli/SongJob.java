package linnet.cli;

import com.google.gson.JsonObject;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import linnet.audio.SampleFormat;
import linnet.deliver.Delivery;
import linnet.deliver.ToDisk;
import linnet.deliver.WantedPrint;
import linnet.plan.SongPlan;
import linnet.render.Renderer;
import linnet.render.SongFindings;
import linnet.render.SongRenderer;
import linnet.report.Clock;
import linnet.report.Sheet;
import linnet.song.Place;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.Nearest;
import linnet.text.ProblemsException;
import linnet.text.SourceText;
import linnet.text.Span;
import linnet.text.Word;
import linnet.weigh.FinishedBalance;
import linnet.weigh.Weighing;
import picocli.CommandLine.Model.CommandSpec;

/** Renders a song: every print into one folder, all of them or none. */
final class SongJob {
    private static final int MOST_NAMES = 12;

    private final Path file;
    private final Path folder;
    private final SampleFormat format;
    private final boolean force;
    private final int jobs;
    private final PrintWriter err;
    private List<String> only = List.of();
    private String begin, end;
    /** Of what was done as JSON; empty where it is told in words. */
    private Optional<Function<JsonObject, String>> json = Optional.empty();
    private Optional<SongReporting> reporting = Optional.empty();
    private Session session = new Session();
    /** What was told on the way that is to be looked at. */
    private final List<String> warned = new ArrayList<>();
    private Remarks remarks;

    SongJob(Path file, Path folder, SampleFormat format, boolean force, int jobs, PrintWriter err) {
        // A folder of that name would be taken for the print itself.
        if (folder.toString().toLowerCase(Locale.ROOT).endsWith(".wav") && !Files.isDirectory(folder)) {
            throw new Refusal(Exit.USAGE, "--out wants the folder for the prints of a song, not a file such as " + folder);
        }
        this.file = file;
        this.folder = folder;
        this.format = format;
        this.force = force;
        this.jobs = jobs;
        this.err = err;
    }

    /** Asks for these prints alone, by what the song calls them; for all where there are none. */
    SongJob only(List<String> names) {
        only = names.stream().map(String::strip).toList();
        return this;
    }

    /** Goes on with what an earlier render of this run knows. */
    SongJob with(Session session) {
        this.session = session;
        return this;
    }

    /** Asks for what was done as JSON. */
    SongJob asJson(boolean wanted) {
        json = wanted ? Optional.of(Json::of) : Optional.empty();
        return this;
    }

    /** Asks for that in a form of its own. */
    SongJob asJson(Function<JsonObject, String> form) {
        json = Optional.of(form);
        return this;
    }

    /** Asks for a stretch of the prints; null where an end of it is not told. */
    SongJob within(String begin, String end) {
        this.begin = begin;
        this.end = end;
        return this;
    }

    /** Asks for pages on what every step did, in a folder; null for none. */
    SongJob report(Path pages) {
        reporting = Optional.ofNullable(pages).map(p -> new SongReporting(p, force));
        return this;
    }

    private Song asked(Song song) {
        List<Song.Wanted> prints = song.prints();
        List<String> names = prints.stream().flatMap(w -> Stream.of(w.one(), w.called())).distinct().toList();
        for (String name : only) {
            if (!names.contains(name)) {
                throw new Refusal(Exit.USAGE,
                        "--only: " + file + " has no print '" + name + "'" + (Song.trade(name).isEmpty() ? Nearest.hint(name, names) : Song.trade(name))
                        + " (it has " + String.join(", ", names) + ")");
            }
        }
        if (!only.isEmpty()) prints = prints.stream().filter(w -> only.stream().anyMatch(w::isMeantBy)).toList();
        if (begin == null && end == null) return song.printing(prints);
        Optional<Word> from = place("--from", begin), to = place("--to", end);
        Place.Range stretch = stretch(song, from, to);
        String words = Place.words(stretch, from, to);
        List<Song.Wanted> within = new ArrayList<>(), outside = new ArrayList<>();
        for (Song.Wanted w : prints) w.within(stretch, words).ifPresentOrElse(within::add, () -> outside.add(w));
        if (within.isEmpty()) {
            throw new Refusal(Exit.USAGE, "nothing is left to print: nothing of "
                    + outside.stream().map(w -> "'" + w.called() + "'").collect(Collectors.joining(", ")) + " lies in the stretch '" + words + "'");
        }
        outside.forEach(w -> remarks.say(w.called() + ": nothing of it lies in the stretch '" + words + "', so it is left out"));
        return song.printing(within);
    }

    /** What is wrong with the options is a matter of the command, not of the song. */
    private static Place.Range stretch(Song song, Optional<Word> from, Optional<Word> to) {
        try {
            return Place.stretch(song.time(), from, to);
        } catch (ProblemsException e) {
            throw new Refusal(Exit.USAGE, e.getMessage());
        }
    }

    private static Optional<Word> place(String option, String text) {
        return text == null ? Optional.empty() : Optional.of(new Word(text, new Span(new SourceText(option, List.of(text)), 1, 1, text.length())));
    }

    /** Refuses a chain that no take is named for. What is not there or no text is no chain either, and is told by its reader. */
    static void refuseChain(Path file) {
        if (SongReader.isNoSong(file)) throw new Refusal(Exit.USAGE, file + " is no song: name the take that this chain is for");
    }

    /** Refuses options that only a chain has. */
    static void refuse(CommandSpec command, String... options) {
        for (String option : options) {
            if (!command.commandLine().getParseResult().hasMatchedOption(option)) continue;
            throw new Refusal(Exit.USAGE, option + " goes with a chain and its take, not with a song" + switch (option) {
                case "--marks", "--notes" -> ": the list that lies beside each take is used";
                case "--rate", "--tempo" -> ": say '" + option.substring(2) + ":' in the song";
                default -> "";
            });
        }
    }

    void render(PrintWriter out) throws ProblemsException, IOException {
        PrintedSong printed = new PrintedSong();
        render(SongReader.read(file, Builtins.catalogue(), new Cues()), printed, out);
    }

    /** The song as it was read already: what is saved meanwhile comes with the next render. */
    void render(Song whole, PrintWriter out) throws ProblemsException, IOException {
        render(whole, new PrintedSong(), out);
    }

    /** What was rendered, and how. */
    private record Outcome(Song song, PlannedSong planned, Weighing weighing, SongPlan plan, SongPrints prints, long frames, SongIntake takes, Joins joins,
            Followed followed, OddSettings odd, List<String> found, List<SongRenderer.Cost> costs) {}

    private void render(Song whole, PrintedSong printed, PrintWriter out) throws ProblemsException, IOException {
        if (whole.prints().isEmpty()) throw new Refusal(Exit.TEXT, file + ": no print is wanted; add 'prints: [ mix ]'");
        remarks = new Remarks(err);
        Song song = asked(whole);
        if (isWhole() && !force) SongSheet.refuse(folder, song);
        if (reporting.isPresent()) reporting.get().refuse(song);
        warned.clear();
        try (SongPrints prints = new SongPrints(folder, format, force); PlannedSong planned = PlannedSong.open(file, song, session, jobs, err::println)) {
            printed.did("reading");
            SongPlan plan = planned(song, planned);
            printed.did("weighing");
            Outcome outcome = rendered(song, planned, plan, prints);
            printed.did("rendering");
            List<Delivery.Finding> findings = checked(outcome);
            prints.release();
            printed.did("checking");
            double seconds = printed.seconds();
            Optional<SongReporting.Pages> pages = Optional.empty();
            try {
                if (reporting.isPresent()) {
                    pages = Optional.of(pages(planned, plan));
                    printed.did("reporting");
                }
            } catch (ProblemsException | IOException | RuntimeException e) {
                // The prints are there, whatever becomes of the pages.
                try {
                    finish(outcome, findings, printed, seconds, pages, out);
                } catch (ProblemsException | IOException | RuntimeException later) {
                    e.addSuppressed(later);
                }
                throw e;
            }
            finish(outcome, findings, printed, seconds, pages, out);
        }
    }

    /** Says what was rendered, whether or not that can be written down. */
    private void finish(Outcome outcome, List<Delivery.Finding> findings, PrintedSong printed, double seconds, Optional<SongReporting.Pages> pages,
            PrintWriter out) throws ProblemsException, IOException {
        try {
            describe(outcome, findings);
            remember(outcome.planned);
            printed.did("describing");
        } finally {
            if (json.isPresent()) tellAsJson(outcome, findings, printed, pages, out);
            else tell(outcome, findings, seconds, pages, out);
        }
    }

    /** Tells what is to be looked at, which the sheet says too. */
    private void warn(String line) {
        warned.add(line);
        remarks.say(line);
    }

    /** The same of what has a place of its own in the JSON. */
    private void warnOfPlaced(String line) {
        warned.add(line);
        err.println(line);
    }

    /** Whether all of the song is rendered. */
    private boolean isWhole() {
        return only.isEmpty() && begin == null && end == null;
    }

    /** Has the song heard for what it wants by ear, and tells what to think about. */
    private SongPlan planned(Song song, PlannedSong planned) throws ProblemsException, IOException {
        planned.takes().converted().forEach(this::warn);
        planned.takes().remarks().forEach(this::warn);
        new TimeReferences(song, planned.takes()).later().forEach(l -> warn(l.part() + ": " + l.file().path().getFileName() + ": " + l.told()));
        return new SongRemarks(this::warn).plan(song, planned);
    }

    private Outcome rendered(Song song, PlannedSong planned, SongPlan plan, SongPrints prints) throws ProblemsException, IOException {
        double rate = planned.takes().rate();
        try (SongRenderer renderer = planned.renderer(plan)) {
            prints.want(song, planned, plan, renderer::signature);
            long frames;
            try (ToDisk disk = new ToDisk()) {
                frames = renderer.render(prints.sinks(song, disk), session.heard());
            }
            List<String> found = new ArrayList<>(renderer.found());
            found.removeAll(planned.scales().made());
            List<SongRenderer.Cost> costs = new ArrayList<>(planned.scales().costs());
            costs.addAll(renderer.costs());
            SongFindings inParts = renderer.findings();
            Joins joins = new Joins(inParts.joins(), inParts.mutes(), rate);
            Followed followed = new Followed(inParts.followed(false), song, rate);
            OddSettings odd = new OddSettings(inParts.odd(false));
            renderer.unkept().ifPresent(why ->
                    remarks.say(file.resolveSibling(PlannedSong.STORE) + ": not all could be kept for the next render (" + why + "); it will be made again"));
            odd.lines().forEach(this::warnOfPlaced);
            new SongRemarks(this::warn).found(planned, inParts);
            // Not beside the works: those take all threads there are.
            SongIntake takes = new SongIntake(song, planned, jobs);
            takes.heard().forEach(this::warnOfPlaced);
            return new Outcome(song, planned, planned.weighing(), plan, prints, frames, takes, joins, followed, odd, found, costs);
        }
    }

    /** What is found at the prints before they get their names, which they get only if that is as it should be. */
    private List<Delivery.Finding> checked(Outcome o) throws IOException {
        o.prints.refuseClipped(file, o.song);
        o.prints.seal();
        List<Delivery.Finding> findings = new Delivery(o.song, o.plan, o.prints.written(), o.prints.left()).findings(jobs);
        refuse(file, findings);
        return findings;
    }

    /** Stops here if a check fails. */
    static void refuse(Path song, List<Delivery.Finding> findings) {
        List<Delivery.Finding> failed = findings.stream().filter(f -> f.state() == Delivery.State.BROKEN).toList();
        if (failed.isEmpty()) return;
        String names = failed.stream().map(f -> f.check().word()).distinct().collect(Collectors.joining(", "));
        throw Refusal.ofChecks(song + ": nothing was printed, because " + (failed.size() == 1 ? "a check fails" : failed.size() + " checks fail") + "\n"
                + failed.stream().map(f -> "  " + f.check().word() + ": " + f.text() + "\n").collect(Collectors.joining())
                        + "what is meant to be so is accepted by 'checks: { accept: [ " + names + " ] }' in the song", findings);
    }

    /** Writes the sheet that goes with the prints, and their checksums. A part of them has none: it would not be what the sheet says of the rest. */
    private void describe(Outcome o, List<Delivery.Finding> findings) throws IOException {
        List<Path> files = o.prints.wanted().values().stream().map(WantedPrint::path).toList();
        if (!isWhole() || o.prints.areAsTheyWere() && SongSheet.isThere(folder, o.song, files)) return;
        List<String> levels = new ArrayList<>(o.weighing.found().stream().map(f -> f.what() + " " + f.value() + ": " + f.why()).toList());
        levels.addAll(FinishedBalance.lines(o.song, o.prints::stretches));
        List<Sheet.Chapter> heard = new ArrayList<>(List.of(Sheet.Chapter.of("Levels", Sheet.items(levels))));
        heard.addAll(o.joins.chapters());
        heard.add(o.followed.chapter());
        heard.add(Sheet.Chapter.of("Settings", Sheet.items(o.odd.lines())));
        List<String> warnings = new ArrayList<>(warned);
        warnings.addAll(o.joins.odd());
        warnings.addAll(o.followed.wrong());
        warnings.addAll(unheard(o));
        warnings.addAll(unkept(findings));
        List<String> addingUp = new Delivery(o.song, o.plan, o.prints.written(), o.prints.left()).addingUp(findings);
        new SongSheet(o.weighing.song(), o.plan.rate(), o.frames).prints(o.prints, addingUp)
                .warnings(warnings).checks(findings, !o.prints.left().isEmpty()).parts(o.planned.takes()).chains().moves().thrown()
                .heard(heard).sources(o.prints.sources()).versions(o.planned.engine()).write(folder, files, jobs);
    }

    /** For the next render: in this run, and beside the song. */
    private void remember(PlannedSong planned) throws ProblemsException, IOException {
        session.turned(planned.weighing().turned());
        session.tidy();
        planned.store().tidy();
    }

    private void tellAsJson(Outcome o, List<Delivery.Finding> findings, PrintedSong printed, Optional<SongReporting.Pages> pages, PrintWriter out) {
        printed.song(o.song, file.toString(), folder.toString(), o.planned.takes().rate(), o.frames);
        for (String name : o.prints.wanted().keySet()) {
            o.prints.say(name, (lufs, dbtp) -> printed.print(name, o.prints.wanted().get(name), o.prints.extent(name), lufs, dbtp,
                    o.prints.written().containsKey(name)));
        }
        printed.sheet(isWhole() ? SongSheet.there(folder, o.song) : List.of());
        printed.heard(o.weighing, o.takes, o.joins, o.followed, o.odd);
        printed.checks(findings);
        unheard(o).forEach(remarks::say);
        printed.remarks(remarks);
        printed.works(o.found, o.costs);
        pages.ifPresent(printed::pages);
        out.println(json.get().apply(printed.json()));
    }

    private void tell(Outcome o, List<Delivery.Finding> findings, double seconds, Optional<SongReporting.Pages> pages, PrintWriter out) {
        double length = o.frames / o.planned.takes().rate();
        int count = o.prints.wanted().size();
        out.printf(Locale.ROOT, "%s: %s, %d print%s in %s, %.0f times faster than it plays%s%n", file, Clock.tenths(length), count,
                count == 1 ? "" : "s", folder, length / seconds,
                notAgain(o.found));
        o.prints.wanted().forEach((name, wanted) -> o.prints.say(name,
                (lufs, dbtp) -> out.printf("  %-24s %s%s%n", wanted.path().getFileName(), Meter.words("%6.1f LUFS, true peak %5.1f dBTP", lufs, dbtp),
                        o.prints.written().containsKey(name) ? "" : ", left as it was")));
        levels(o.weighing, out);
        o.joins.say(out);
        o.followed.say(out, false);
        unheard(o).forEach(err::println);
        unkept(findings).forEach(err::println);
        pages.ifPresent(p -> out.println("What every step did: " + p.index()));
    }

    /** Returns, and what they make of thrown words, of which nothing can be heard: what is sent there is silence, or nearly. */
    private static List<String> unheard(Outcome o) {
        List<String> unheard = new ArrayList<>();
        if (o.frames < SongSheet.BLOCK_SECONDS * o.plan.rate()) return unheard;
        for (Song.Wanted w : o.song.prints()) {
            boolean wet = w.content() instanceof Song.Content.Throws || w.content() instanceof Song.Content.Strip s && o.song.returns().stream()
                    .anyMatch(r -> r.name().text().equals(s.name()));
            if (!wet || w.range().isPresent()) continue;
            o.prints.say(w.called(), (lufs, dbtp) -> {
                if (!Double.isFinite(lufs)) {
                    unheard.add(w.called() + ": nothing can be heard in it"
                            + (dbtp >= Renderer.QUIET_DBFS ? String.format(Locale.ROOT, ", its true peak is %.1f dBTP", dbtp) : "")
                            + "; listen to what is sent or thrown there");
                }
            });
        }
        return unheard;
    }

    /** Checks that are not kept, and may stay so. */
    private static List<String> unkept(List<Delivery.Finding> findings) {
        return findings.stream().filter(f -> f.state() != Delivery.State.KEPT)
                .map(f -> f.check().word() + ": " + f.text() + (f.state() == Delivery.State.ACCEPTED ? "; accepted" : "")).toList();
    }

    private SongReporting.Pages pages(PlannedSong planned, SongPlan plan) throws ProblemsException, IOException {
        SongReporting.Pages pages = reporting.get().write(planned, plan, jobs);
        pages.warnings().forEach(this::warnOfPlaced);
        return pages;
    }

    /** Levels that were found by ear. */
    static void levels(Weighing weighing, PrintWriter out) {
        if (weighing.found().isEmpty()) return;
        out.printf("%nLevels:%n");
        for (Weighing.Found f : weighing.found()) out.printf("  %-24s %s: %s%n", f.what(), f.value(), f.why());
    }

    private static String notAgain(List<String> found) {
        if (found.isEmpty()) return "";
        return "; not rendered again: " + String.join(", ", found.subList(0, Math.min(MOST_NAMES, found.size())))
                + (found.size() > MOST_NAMES ? " and " + (found.size() - MOST_NAMES) + " more" : "");
    }
}

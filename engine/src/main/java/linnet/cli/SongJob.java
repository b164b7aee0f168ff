package linnet.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.function.Consumer;
import linnet.audio.Bext;
import linnet.audio.Dither;
import linnet.audio.Origin;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.plan.SongPlan;
import linnet.render.Renderer;
import linnet.render.SideBySide;
import linnet.render.SongFindings;
import linnet.render.SongRenderer;
import linnet.song.Place;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.Nearest;
import linnet.text.ProblemsException;
import linnet.weigh.Weighing;
import linnet.text.Source;
import linnet.text.Span;
import linnet.text.Word;
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
    /** All prints, by name; those that are written; and those that were there. */
    private final Map<String, Wanted> wanted = new LinkedHashMap<>();
    private final Map<String, PrintFile> prints = new LinkedHashMap<>();
    private List<String> only = List.of();
    private String begin, end;
    private boolean json;
    private Optional<SongReporting> reporting = Optional.empty();
    private final Map<String, Wanted.There> left = new LinkedHashMap<>();
    private Session session = new Session();

    SongJob(Path file, Path folder, SampleFormat format, boolean force, int jobs, PrintWriter err) {
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
    SongJob asJson(boolean json) {
        this.json = json;
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

    private Song asked(Song song) throws ProblemsException {
        List<Song.Wanted> prints = song.prints();
        List<String> names = prints.stream().map(Song.Wanted::called).toList();
        for (String name : only) {
            if (!names.contains(name)) throw new Refusal(Exit.USAGE, "--only: " + file + " has no print '" + name + "'" + Nearest.hint(name, names) + " (it has " + String.join(", ", names) + ")");
        }
        if (!only.isEmpty()) prints = prints.stream().filter(w -> only.contains(w.called())).toList();
        if (begin == null && end == null) return song.printing(prints);
        Place.Range stretch = Place.stretch(song.time(), place("--from", begin), place("--to", end));
        return song.printing(prints.stream().map(w -> w.within(stretch)).toList());
    }

    private static Optional<Word> place(String option, String text) {
        return text == null ? Optional.empty() : Optional.of(new Word(text, new Span(new Source(option, List.of(text)), 1, 1, text.length())));
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

    private void render(Song whole, PrintedSong printed, PrintWriter out) throws ProblemsException, IOException {
        if (whole.prints().isEmpty()) throw new Refusal(Exit.TEXT, file + ": no print is wanted; add 'prints: [ mix ]'");
        Song song = asked(whole);
        boolean all = only.isEmpty() && begin == null && end == null;
        if (all && !force) SongSheet.refuse(folder, song);
        if (reporting.isPresent()) reporting.get().refuse(song);
        try (PlannedSong planned = PlannedSong.open(file, song, session, jobs, err)) {
            SongTakes takes = planned.takes();
            double rate = takes.rate();
            printed.did("reading");
            String engine = planned.engine();
            planned.aiming().told().forEach(err::println);
            Weighing weighing = planned.weighing();
            SongPlan plan = planned.plan();
            song.time().remarks().forEach(err::println);
            plan.notes().forEach(err::println);
            printed.did("weighing");
            List<String> found;
            List<SongRenderer.Cost> costs = new ArrayList<>(planned.scales().costs());
            final Joins joins;
            final Followed followed;
            final OddSettings settings;
            final long frames;
            try (SongRenderer renderer = planned.renderer(plan)) {
                Provenance provenance = new Provenance(folder, song, takes);
                for (SongPlan.SongPrint p : plan.prints()) wanted.put(p.name(), wanted(song, plan, p, renderer.signature(p), engine, provenance, takes));
                for (Wanted w : wanted.values()) if (!w.seemsThere()) refuseToReplace(w);
                Files.createDirectories(folder);
                try (ToDisk disk = new ToDisk()) {
                    frames = renderer.render(new Sinks(song, disk), session.heard());
                }
                found = new ArrayList<>(renderer.found());
                found.removeAll(planned.scales().made());
                costs.addAll(renderer.costs());
                SongFindings inParts = renderer.findings();
                joins = new Joins(inParts.joins(), inParts.mutes(), rate);
                followed = new Followed(inParts.followed(false), song, rate);
                settings = new OddSettings(inParts.odd(false));
                renderer.unkept().ifPresent(why -> err.println(file.resolveSibling(PlannedSong.STORE) + ": not all could be kept for the next render (" + why + "); it will be made again"));
            }
            settings.lines().forEach(err::println);
            printed.did("rendering");
            clips();
            for (PrintFile p : prints.values()) p.seal();
            List<Delivery.Finding> findings = new Delivery(song, plan, prints, left).findings(jobs);
            Delivery.refuse(file, findings);
            release();
            printed.did("checking");
            if (all && !(prints.isEmpty() && SongSheet.isThere(folder, song))) sheet(song, plan, takes, frames, findings, to -> {
                levels(weighing, to);
                joins.say(to);
                followed.say(to, true);
                settings.lines().forEach(to::println);
            }, engine);
            session.turned(weighing.turned());
            session.tidy();
            planned.store().tidy();
            printed.did("describing");
            if (json) {
                printed.song(file.toString(), folder.toString(), rate, frames);
                for (String name : wanted.keySet()) say(name, (lufs, dbtp) -> printed.print(name, wanted.get(name), lufs, dbtp, prints.containsKey(name)));
                printed.heard(weighing, joins, followed, settings);
                printed.checks(findings);
                printed.works(found, costs);
                try {
                    if (reporting.isPresent()) printed.pages(pages(planned, plan));
                } finally {
                    // The prints are there, whatever becomes of the pages.
                    out.println(printed.json());
                }
                return;
            }
            double seconds = printed.seconds(), length = frames / rate;
            int count = wanted.size();
            out.printf(Locale.ROOT, "%s: %d:%04.1f, %d print%s in %s, %.0f times faster than it plays%s%n", file, (int) (length / 60), length % 60, count, count == 1 ? "" : "s", folder, length / seconds,
                    notAgain(found));
            for (String name : wanted.keySet()) {
                say(name, (lufs, dbtp) -> out.printf("  %-24s %s%s%n", wanted.get(name).path().getFileName(), Meter.words("%6.1f LUFS, true peak %5.1f dBTP", lufs, dbtp), prints.containsKey(name) ? "" : ", left as it was"));
            }
            levels(weighing, out);
            joins.say(out);
            followed.say(out, false);
            findings.stream().filter(f -> f.state() != Delivery.State.KEPT).forEach(f -> err.println(f.check().word() + ": " + f.text() + (f.state() == Delivery.State.ACCEPTED ? "; accepted" : "")));
            if (reporting.isPresent()) out.println("What every step did: " + pages(planned, plan).index());
        } finally {
            for (PrintFile p : prints.values()) p.close();
        }
    }

    private SongReporting.Pages pages(PlannedSong planned, SongPlan plan) throws ProblemsException, IOException {
        SongReporting.Pages pages = reporting.get().write(planned, plan, jobs);
        pages.warnings().forEach(err::println);
        return pages;
    }

    /** What is there with other samples is replaced only where that was asked for. */
    private void refuseToReplace(Wanted w) {
        if (!force && Files.exists(w.path(), LinkOption.NOFOLLOW_LINKS)) throw new Refusal(Exit.USAGE, w.path() + " is there already; say --force to replace it");
    }

    /** Gives all of them their names; those that were there say what is new of them. */
    private void release() throws IOException {
        SideBySide.run(prints.values().stream().<Callable<Void>>map(p -> () -> {
            p.release();
            return null;
        }).toList(), prints.size());
        for (Wanted.There there : left.values()) there.describe();
    }

    /** What goes with the prints. A part of them has none: it would not be what the sheet says of the rest. */
    private void sheet(Song song, SongPlan plan, SongTakes takes, long frames, List<Delivery.Finding> findings, Consumer<PrintWriter> heard, String engine) throws IOException {
        StringWriter text = new StringWriter();
        heard.accept(new PrintWriter(text, true));
        List<String> warnings = new ArrayList<>(song.time().remarks());
        warnings.addAll(plan.notes());
        findings.stream().filter(f -> f.state() != Delivery.State.KEPT).forEach(f -> warnings.add(f.check().word() + ": " + f.text() + (f.state() == Delivery.State.ACCEPTED ? "; accepted" : "")));
        Set<Origin.Source> sources = new LinkedHashSet<>();
        wanted.values().forEach(w -> sources.addAll(w.origin().files()));
        new SongSheet(song, plan.rate(), frames).prints(SongSheet.rows(wanted, prints, left)).warnings(warnings).checks(findings, !left.isEmpty()).chains()
                .lines("Heard", "What was found by ear, and what was done at joins and to parts that follow another.", text.toString().lines().map(String::strip).filter(l -> !l.isEmpty()).toList())
                .sources(List.copyOf(sources)).versions(engine).write(folder);
    }

    /** Levels that were found by ear. */
    static void levels(Weighing weighing, PrintWriter out) {
        for (Weighing.Found f : weighing.found()) out.printf("  %-24s %s: %s%n", f.what(), f.value(), f.why());
    }

    /** Says how loud a print is and how high it goes, in LUFS and dBTP. */
    private interface Levels {
        void are(double lufs, double dbtp);
    }

    private void say(String name, Levels to) {
        PrintFile p = prints.get(name);
        Bext.Loudness l = p == null ? left.get(name).bext().loudness() : null;
        to.are(p == null ? l.integrated() : p.integratedLufs(), p == null ? l.truePeak() : p.truePeakDbtp());
    }

    /** Prints are written; what is there already with the same samples is left. */
    private final class Sinks implements SongRenderer.Prints {
        private final Song song;
        private final ToDisk disk;
        private final Map<String, Optional<Wanted.There>> looked = new HashMap<>();

        Sinks(Song song, ToDisk disk) {
            this.song = song;
            this.disk = disk;
        }

        private Optional<Wanted.There> look(String name) throws IOException {
            if (!looked.containsKey(name)) looked.put(name, wanted.get(name).there());
            return looked.get(name);
        }

        /** A mix is left only where nothing at all has changed: what is checked of it may have. Else it is printed again, with the samples that are there. */
        private boolean stays(SongPlan.SongPrint print, Wanted.There there) throws IOException {
            return print.whole() ? there.isDescribed() : there.canBeDescribed();
        }

        @Override
        public OptionalLong there(SongPlan.SongPrint print) throws IOException {
            Optional<Wanted.There> there = look(print.name());
            if (there.isEmpty() || !stays(print, there.get())) return OptionalLong.empty();
            left.put(print.name(), there.get());
            return OptionalLong.of(there.get().frames());
        }

        @Override
        public List<Renderer.Sink> open(SongPlan.SongPrint print, long frames) throws IOException {
            Optional<Wanted.There> there = look(print.name());
            boolean same = there.isPresent() && there.get().frames() == frames;
            if (same && stays(print, there.get())) {
                left.put(print.name(), there.get());
                return List.of();
            }
            left.remove(print.name());
            Wanted made = wanted.get(print.name());
            if (!same) refuseToReplace(made);
            boolean mix = song.prints().stream().anyMatch(w -> w.called().equals(print.name()) && w.content().equals(new Song.Content.Mix(true)));
            PrintFile file = new PrintFile(same ? made.overwriting() : made, mix);
            prints.put(print.name(), file);
            disk.add(file);
            return file.sinks();
        }
    }

    private static String notAgain(List<String> found) {
        if (found.isEmpty()) return "";
        return "; not rendered again: " + String.join(", ", found.subList(0, Math.min(MOST_NAMES, found.size()))) + (found.size() > MOST_NAMES ? " and " + (found.size() - MOST_NAMES) + " more" : "");
    }

    /** One print that clips is no longer what it is in the mix, so none is written. */
    private void clips() {
        List<String> over = prints.values().stream().filter(p -> p.clips())
                .map(p -> p.path().getFileName() + " with " + Meter.over(p.peakDbfs())).toList();
        if (over.isEmpty()) return;
        throw new Refusal(Exit.CHECK, file + ": prints would clip, " + String.join(", ", over) + "; nothing was printed: lower 'level:' of parts, groups and returns, "
                + "put '- limit' at the end of the chain of the mix where only that clips, or print with --depth float");
    }

    private static SampleFormat format(Song.Depth depth) {
        return switch (depth) {
            case INT_16 -> SampleFormat.INT_16;
            case INT_24 -> SampleFormat.INT_24;
            case FLOAT -> SampleFormat.FLOAT_32;
        };
    }

    /** What a print is called. */
    static String description(String song, String print, int revision) {
        return song + ": " + print + (revision == 0 ? "" : ", revision " + revision);
    }

    private Wanted wanted(Song song, SongPlan plan, SongPlan.SongPrint print, String signature, String engine, Provenance provenance, SongTakes takes) {
        Song.Label label = song.label();
        Song.Wanted asked = song.prints().stream().filter(w -> w.called().equals(print.name())).findFirst().orElseThrow();
        Origin origin = Origin.of(engine, print.name(), label.revision(), signature, provenance.of(plan.takes(print)));
        List<Path> inputs = new ArrayList<>(takes.paths());
        inputs.addAll(label.texts());
        // Alike in all prints, dither would add up in step where they are put together again.
        Print form = Print.of((int) plan.rate(), print.channels(), asked.depth().map(SongJob::format).orElse(format)).from(print.from()).dither(Dither.triangular(print.name().hashCode())).sparing(inputs);
        form = form.described(new Bext(description(song.title(), print.name(), label.revision()), Main.VERSION, signature.substring(0, 32), label.date(), label.time(), print.from(), Bext.Loudness.UNTOLD, origin.history(form)));
        return new Wanted(folder.resolve(song.fileName(asked) + ".wav"), force ? form.overwriting() : form, origin);
    }
}

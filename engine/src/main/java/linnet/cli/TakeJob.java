package linnet.cli;

import com.google.gson.JsonObject;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.StringJoiner;
import linnet.audio.Origin;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import linnet.chain.Chain;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.plan.Plan;
import linnet.render.Rendered;
import linnet.render.Renderer;
import linnet.render.Resolved;
import linnet.render.Signature;
import linnet.render.Tail;
import linnet.render.Witness;
import linnet.report.Clock;
import linnet.report.RenderReport;
import linnet.report.ReportPage;
import linnet.setting.Unit;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.Problems;
import linnet.text.ProblemsException;

/** Renders a take through a chain: one print. */
final class TakeJob {
    /** Until nothing rings on that could be heard. */
    static final Tail USUAL_TAIL = new Tail.Auto();

    /**
     * A place in a take.
     *
     * @param written as the user did
     */
    record Moment(String written, double seconds) {}

    private final long began = System.nanoTime();
    private final Job job;
    private final Path take;
    private final Path target;
    private final SampleFormat format;
    private final boolean force;
    private final int threads;
    private final PrintWriter err;
    private final Remarks remarks;
    /** Null for those that lie beside the take. */
    private Path marks, notes;
    /** Null for that of the take, and for the usual one. */
    private Integer rate, block;
    private Tail tail = USUAL_TAIL;
    /** Null where that end of the print is not told. */
    private Moment from, to;
    private boolean json;
    /** The folder for pages; null for none. */
    private Path report;
    private boolean listen;

    TakeJob(Job job, Path take, Path target, SampleFormat format, boolean force, int threads, PrintWriter err) {
        if (SongReader.isSong(job.file)) throw new Refusal(Exit.USAGE, job.file + " is a song and names its own takes: leave out " + take);
        if (!target.toString().toLowerCase(Locale.ROOT).endsWith(".wav")) {
            throw new Refusal(Exit.USAGE, "--out wants a file ending in .wav, not " + target);
        }
        this.job = job;
        this.take = take;
        this.target = target;
        this.format = format;
        this.force = force;
        this.threads = threads;
        this.err = err;
        remarks = new Remarks(err);
    }

    /** Goes by these lists; null for one that lies beside the take, if it does. */
    TakeJob with(Path marks, Path notes) {
        this.marks = marks;
        this.notes = notes;
        return this;
    }

    /** Has the take converted first, to so many samples per second; null for those it has. */
    TakeJob at(Integer rate) {
        this.rate = rate;
        return this;
    }

    /** Asks for a print that runs on so long. */
    TakeJob ringing(Tail tail) {
        this.tail = tail;
        return this;
    }

    /** Asks for a stretch of the print; null where an end of it is not told. */
    TakeJob within(Moment from, Moment to) {
        this.from = from;
        this.to = to;
        return this;
    }

    /** Works on so many samples at a time; null for the usual number. */
    TakeJob inBlocks(Integer frames) {
        block = frames;
        return this;
    }

    /** Asks for what was done as JSON. */
    TakeJob asJson(boolean json) {
        this.json = json;
        return this;
    }

    /**
     * Asks for a page on what every step did, in a folder; null for none.
     *
     * @param listen whether a second one is to play it
     */
    TakeJob report(Path pages, boolean listen) {
        report = pages;
        this.listen = listen;
        return this;
    }

    void render(PrintWriter out) throws ProblemsException, IOException {
        try (Arriving arriving = new Arriving(take, rate == null && threads > 1)) {
            Problems texts = new Problems();
            Chain chain = job.chain(Builtins.catalogue(), texts);
            if (report != null) new PageFile(report, Reporting.PAGE, force).refuse();
            if (listen) new PageFile(report, Listening.PAGE, force).refuse();
            if (Files.exists(target, LinkOption.NOFOLLOW_LINKS) && !force) {
                throw Refusal.there(target);
            }
            WavFile file = arriving.file();
            remarks.sayOf(take, file);
            TakeLists.Known known = TakeLists.Known.of(marks, notes, take, file, remarks::say);
            known.say(remarks::say);
            Sound sound = converted(file);
            // What a step did is told of the take; and no print rings on for longer than that.
            if (isBehind(sound) && (report != null || from.seconds >= sound.frames() / sound.rate() + Renderer.LONGEST_TAIL_SECONDS)) throw behind(sound, "");
            Origin origin = origin(chain, arriving, texts, known);
            render(chain, job.plan(chain, sound.rate(), sound.channels()), arriving, sound, known, origin, out);
        }
    }

    private Sound converted(WavFile file) {
        if (rate == null || rate == (int) file.rate()) return file;
        if (rate < 8000 || rate > 192_000) throw new Refusal(Exit.USAGE, "--rate is outside 8000 … 192000");
        Sound sound = Conversion.of(file, rate, take.toString());
        remarks.say(take + ": converted from " + (int) file.rate() + " to " + rate + " Hz before the chain");
        return sound;
    }

    private boolean isBehind(Sound take) {
        return from != null && from.seconds * take.rate() >= take.frames();
    }

    private static Refusal behind(Sound take, String more) {
        return new Refusal(Exit.USAGE, "--from lies behind the end of the take, at " + Unit.SECONDS.format(take.frames() / take.rate()) + more);
    }

    private Origin origin(Chain chain, Arriving take, Problems texts, TakeLists.Known lists) throws IOException {
        String print = this.take.getFileName() + " through " + chain.title(), engine = Engine.name(Provenance::digest), options = told(take.file());
        List<Origin.Source> files = new Provenance(target.toAbsolutePath().getParent(), texts.digests()).of(this.take, take.digest(), lists.lists());
        StringBuilder known = new StringBuilder(engine + options);
        for (Origin.Source f : files) known.append(' ').append(f.kind()).append(' ').append(f.digest());
        return Origin.ofChain(engine, print, options, Signature.digest(known.toString()), files);
    }

    /** Those of its options that the print hangs on, beside files and what its head tells. */
    private String told(WavFile take) {
        StringJoiner told = new StringJoiner(" ");
        if (job.tempo != null) told.add("--tempo " + Unit.PLAIN.format(job.tempo));
        if (rate != null && rate != (int) take.rate()) told.add("--rate " + rate);
        if (from != null) told.add("--from " + from.written);
        if (to != null) told.add("--to " + to.written);
        if (tail instanceof Tail.Seconds s) told.add("--tail " + (s.seconds() == 0 ? "none" : Unit.PLAIN.format(s.seconds())));
        return told.toString();
    }

    private void render(Chain chain, Plan plan, Arriving take, Sound sound, TakeLists.Known known, Origin origin, PrintWriter out)
            throws ProblemsException, IOException {
        long first = from == null ? 0 : Math.round(from.seconds * sound.rate());
        long end = to == null ? -1 : Math.round(to.seconds * sound.rate());
        if (end >= 0 && end <= first) {
            throw new Refusal(Exit.USAGE, "--to leaves no sample to print; it must be later than " + (from == null ? "0 s" : "--from"));
        }
        Reporting reporting = report == null ? null : new Reporting(chain, plan, sound, first, end);
        int frames = block != null ? block : reporting == null ? 0 : reporting.block();
        var options = new Renderer.Options(frames, threads, tail, first, end).fadingIn();
        Print print = Print.of((int) sound.rate(), plan.output().channels(), format).carrying(take.file().header()).from(first)
                .madeBy(origin).sparing(List.of(this.take, job.file));
        boolean shown = json || System.console() != null;
        Meter meter = new Meter(sound.rate(), plan.output().channels());
        // A chain that hears nothing waits for nothing, nor does it mind what lies beyond the stretch that is wanted.
        Ear ear = plan.stages() > 1 ? take.ear(sound, known) : known.ear(sound);
        try (Renderer renderer = new Renderer(plan, ear, options, Progress.onTerminal("rendering", json), reporting == null ? Witness.NONE : reporting);
                WavWriter writer = WavWriter.create(target, force ? print.overwriting() : print)) {
            Rendered rendered = renderer.render((x, n) -> {
                meter.hear(x, n);
                writer.write(x, n);
            });
            refuse(sound, meter);
            take.file().checkUnchanged();
            writer.finish(meter.told());
            double seconds = (System.nanoTime() - began) * 1e-9;
            // Where the end is told, it is meant.
            double ending = to == null ? meter.endDbfs() : Double.NEGATIVE_INFINITY;
            if (reporting != null) {
                reporting.finish(renderer, rendered,
                        new RenderReport.Printed(rendered.frames() / sound.rate(), rendered.channels(), meter.lufs(), meter.truePeakDbtp(), meter.peakDb(),
                                ending, seconds, true, true));
            }
            try {
                if (reporting != null) report(reporting, meter, chain, sound, known);
            } finally {
                // The print is there, whatever becomes of the page.
                for (Resolved r : rendered.resolved()) if (r.odd() || r.advised() && (json || !shown)) err.println(r.words());
                if (shown) show(rendered, meter, sound, known, reporting, seconds, out);
            }
        }
    }

    /** A print that nobody wants, as it is silent or clips, is none. */
    private void refuse(Sound take, Meter meter) {
        if (isBehind(take) && !(meter.peakDb() >= Renderer.QUIET_DBFS)) throw behind(take, ", and nothing rings on there");
        if (!format.clips(meter.peakDb())) return;
        throw new Refusal(Exit.CHECK, String.format(Locale.ROOT, "%s: the print would clip, its highest sample is %s; put '- limit' at the end of the chain, "
                + "lower it there with '- trim: { level: %.1f dB }', or print with --depth float", target, Meter.over(meter.peakDb()),
                        -Math.ceil(10 * meter.peakDb() + 1) / 10));
    }

    private void report(Reporting reporting, Meter meter, Chain chain, Sound sound, TakeLists.Known known) throws ProblemsException, IOException {
        Listening listening = !listen ? null : Listening.of(job, chain, sound, known, reporting, meter.shortTermLufs(), wanted(), err);
        String title = target.getFileName() + ": " + chain.title();
        new PageFile(report, Reporting.PAGE, force)
                .write(new ReportPage(title, take.getFileName().toString(), reporting.report(), listening == null ? List.of() : listening.steps())::write);
        if (listening != null) listening.write(title);
        reporting.report().warningTexts().forEach(err::println);
    }

    private Listening.Wanted wanted() {
        return new Listening.Wanted(report, force, from == null ? null : from.seconds, to == null ? null : to.seconds);
    }

    private void show(Rendered rendered, Meter meter, Sound sound, TakeLists.Known known, Reporting reporting, double seconds, PrintWriter to) {
        if (json) showJson(rendered, meter, sound, known, reporting, seconds, to);
        else showText(rendered, meter, sound, seconds, to);
    }

    private void showJson(Rendered rendered, Meter meter, Sound sound, TakeLists.Known known, Reporting reporting, double seconds, PrintWriter to) {
        JsonObject o = new JsonObject();
        o.addProperty("print", target.toString());
        o.addProperty("frames", rendered.frames());
        Json.rate(o, sound.rate());
        o.addProperty("channels", rendered.channels());
        Json.level(o, "integrated_lufs", meter.lufs());
        Json.level(o, "true_peak_dbtp", meter.truePeakDbtp());
        Json.level(o, "sample_peak_dbfs", meter.peakDb());
        known.tell(o);
        o.add("resolved", Json.resolved(rendered.resolved()));
        JsonObject costs = new JsonObject();
        for (Rendered.Cost c : rendered.costs()) costs.addProperty(c.step(), Math.round((c.seconds() + c.hearingSeconds()) * 1e6) / 1e6);
        o.add("seconds_by_step", costs);
        if (reporting != null) reporting.tell(o);
        o.add(Remarks.KEY, remarks.json());
        Json.taken(o, seconds);
        to.println(Json.of(o));
    }

    private void showText(Rendered rendered, Meter meter, Sound sound, double seconds, PrintWriter to) {
        double length = rendered.frames() / sound.rate();
        to.printf(Locale.ROOT, "%s: %s, %s, %s, rendered %.0f times faster than it plays%n", target, Clock.tenths(length),
                rendered.channels() == 1 ? "mono" : "stereo", Meter.words("%.1f LUFS, true peak %.1f dBTP", meter.lufs(), meter.truePeakDbtp()),
                        length / seconds);
        for (Resolved r : rendered.resolved()) if (!r.odd()) to.println("  " + r.words());
    }
}

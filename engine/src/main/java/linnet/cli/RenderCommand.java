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
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
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
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;
import picocli.CommandLine.TypeConversionException;

@Command(
        name = "render",
        description = "Renders a take through a chain to a print. Start playback low: a print can be much louder than its take.",
        mixinStandardHelpOptions = true)
final class RenderCommand implements Callable<Integer> {
    private static final int LARGEST_BLOCK = 1_000_000;

    /** Word lengths of a print. */
    enum Depth {
        D16(SampleFormat.INT_16),
        D24(SampleFormat.INT_24),
        FLOAT(SampleFormat.FLOAT_32);

        private final SampleFormat format;

        Depth(SampleFormat format) {
            this.format = format;
        }

        static Depth read(String text) {
            return switch (text) {
                case "16" -> D16;
                case "24" -> D24;
                case "float" -> FLOAT;
                default -> throw new TypeConversionException("wants 16, 24 or float, not '" + text + "'");
            };
        }
    }

    @Spec
    CommandSpec spec;

    @Mixin
    Job job;

    @Mixin
    TakeLists lists;

    @Parameters(index = "1", arity = "0..1", paramLabel = "TAKE.wav", description = "The take; a song names its own.")
    Path take;

    @Option(names = "--out", required = true, paramLabel = "PRINT.wav|DIR", description = "The file to write; for a song, the folder for its prints.")
    Path out;

    @Option(names = "--force", description = "Replace a print, or a report, that is there.")
    boolean force;

    @Option(names = "--rate", paramLabel = "HZ", description = "Samples per second of the print; the take is converted first. Usual: those of the take.")
    Integer rate;

    @Option(names = "--depth", paramLabel = "16|24|float", defaultValue = "24", converter = DepthReader.class,
            description = "Word length of the print. Usual: 24.")
    Depth depth;

    @Option(names = "--tail", paramLabel = "auto|none|SECONDS", defaultValue = "auto", converter = TailReader.class,
            description = "How long the print runs on after the take. Usual: until the last half second stays below -90 dBFS. Where it is cut, its last 10 ms "
                    + "fade out, those of the take with none. A take that begins in a sound fades in over 5 ms where the chain changes it.")
    Tail tail;

    @Option(names = "--from", paramLabel = "PLACE",
            description = "Begin the print here, such as 12.5, 1:02.5 or, in a song, \"chorus 1 bar 3\"; it equals the same span of the whole print.")
    String begin;

    @Option(names = "--to", paramLabel = "PLACE", description = "End the print here; of a song, from a section (or the beginning) to a section takes in both.")
    String end;

    @Option(names = "--only", paramLabel = "PRINT,…", split = ",", description = "Of a song: write these prints alone.")
    List<String> only = List.of();

    @Option(names = {"--threads", "--jobs"}, paramLabel = "N", defaultValue = Threads.USUAL_TEXT,
            description = "Threads that work at once, of a song works; the bits stay the same. Usual: 2.")
    int threads;

    @Option(names = "--block", paramLabel = "FRAMES", hidden = true, description = "Samples worked on at a time; the bits stay the same.")
    Integer block;

    @Option(names = "--report", paramLabel = "DIR",
            description = "The folder for a page that tells what every step did, report.html; of a song, one that leads to those of its chains. It is made "
            + "where it is missing.")
    Path report;

    @Option(names = "--listen", description = "With --report: a second page, listen.html, plays the passage with each step switched off, at equal loudness.")
    boolean listen;

    @Option(names = "--json", description = "Print what was done as JSON.")
    boolean json;

    static final class DepthReader implements picocli.CommandLine.ITypeConverter<Depth> {
        @Override
        public Depth convert(String text) {
            return Depth.read(text);
        }
    }

    static final class TailReader implements picocli.CommandLine.ITypeConverter<Tail> {
        @Override
        public Tail convert(String text) {
            if (text.equals("auto")) return new Tail.Auto();
            if (text.equals("none")) return new Tail.Seconds(0);
            var seconds = Unit.SECONDS.parse(text);
            if (seconds.isEmpty() || seconds.getAsDouble() < 0 || seconds.getAsDouble() > 600) {
                throw new TypeConversionException("wants auto, none or up to 600 seconds, not '" + text + "'");
            }
            return new Tail.Seconds(seconds.getAsDouble());
        }
    }

    /** The stretch of a take that is printed, in seconds; null where it is not told. */
    private Double from, to;
    /** Where it was not the library that understood the command; else null. */
    private PrintWriter results, remarks;

    RenderCommand() {}

    /** As its options usually are. */
    RenderCommand(Path file, Path take, Path out, boolean force, PrintWriter results, PrintWriter remarks) {
        job = new Job();
        job.file = file;
        lists = new TakeLists();
        this.take = take;
        this.out = out;
        this.force = force;
        depth = Depth.D24;
        tail = new Tail.Auto();
        threads = Threads.USUAL;
        this.results = results;
        this.remarks = remarks;
    }

    @Override
    public Integer call() throws ProblemsException, IOException {
        long began = System.nanoTime();
        Threads.check("--threads, or --jobs,", threads);
        if (block != null && (block < 1 || block > LARGEST_BLOCK)) throw new Refusal(Exit.USAGE, "--block is outside 1 … " + LARGEST_BLOCK);
        if (take == null) song();
        else take(began);
        return Exit.DONE;
    }

    private void song() throws ProblemsException, IOException {
        // What is not there or no text is no chain either, and is told by its reader.
        if (SongReader.isNoSong(job.file)) {
            throw new Refusal(Exit.USAGE, job.file + " is no song: name the take that this chain is for");
        }
        if (spec != null) ofAChain();
        new SongJob(job.file, out, depth.format, force, threads, remarks()).only(only).within(begin, end).asJson(json).report(report).render(results());
    }

    private void take(long began) throws ProblemsException, IOException {
        checkCommand();
        try (Arriving arriving = new Arriving(take, rate == null && threads > 1)) {
            Problems texts = new Problems();
            Chain chain = job.chain(Builtins.catalogue(), texts);
            if (report != null) new PageFile(report, Reporting.PAGE, force).refuse();
            if (listen) new PageFile(report, Listening.PAGE, force).refuse();
            if (Files.exists(out, LinkOption.NOFOLLOW_LINKS) && !force) throw new Refusal(Exit.USAGE, out + " is there already; say --force to replace it");
            WavFile file = arriving.file();
            Remarks.say(take, file, remarks());
            TakeLists.Known known = lists.of(take, file, remarks());
            known.say(remarks());
            Sound sound = converted(file);
            // What a step did is told of the take; and no print rings on for longer than that.
            if (isBehind(sound) && (report != null || from >= sound.frames() / sound.rate() + Renderer.LONGEST_TAIL_SECONDS)) throw behind(sound, "");
            Origin origin = origin(chain, arriving, texts, known);
            render(chain, job.plan(chain, sound.rate(), sound.channels()), arriving, sound, known, origin, began);
        }
    }

    /** Understands its times, and refuses what can be seen from it alone. */
    private void checkCommand() {
        if (SongReader.isSong(job.file)) throw new Refusal(Exit.USAGE, job.file + " is a song and names its own takes: leave out " + take);
        if (!out.toString().toLowerCase(Locale.ROOT).endsWith(".wav")) throw new Refusal(Exit.USAGE, "--out wants a file ending in .wav, not " + out);
        if (!only.isEmpty()) throw new Refusal(Exit.USAGE, "--only goes with a song, which has several prints");
        from = time("--from", begin);
        to = time("--to", end);
        if (from != null && to != null && from >= to) throw new Refusal(Exit.USAGE, "--from must be before --to");
        if (listen && report == null) throw new Refusal(Exit.USAGE, "--listen wants the folder for its page: say --report DIR too");
    }

    /** What a song has no use for is refused: passed over in silence, its print would not be what was asked for. */
    private void ofAChain() {
        SongJob.refuse(spec, "--block", "--listen", "--marks", "--notes", "--rate", "--tail", "--tempo");
    }

    private PrintWriter results() {
        return results != null ? results : spec.commandLine().getOut();
    }

    private PrintWriter remarks() {
        return remarks != null ? remarks : spec.commandLine().getErr();
    }

    private static Double time(String option, String text) {
        if (text == null) return null;
        try {
            return new Time().convert(text);
        } catch (TypeConversionException e) {
            throw new Refusal(Exit.USAGE, "Invalid value for option '" + option + "': " + e.getMessage());
        }
    }

    private Sound converted(WavFile file) {
        if (rate == null || rate == (int) file.rate()) return file;
        if (rate < 8000 || rate > 192_000) throw new Refusal(Exit.USAGE, "--rate is outside 8000 … 192000");
        Sound sound = Conversion.of(file, rate, take.toString());
        remarks().println(take + ": converted from " + (int) file.rate() + " to " + rate + " Hz before the chain");
        return sound;
    }

    private boolean isBehind(Sound take) {
        return from != null && from * take.rate() >= take.frames();
    }

    private static Refusal behind(Sound take, String more) {
        return new Refusal(Exit.USAGE, "--from lies behind the end of the take, at " + Unit.SECONDS.format(take.frames() / take.rate()) + more);
    }

    private Origin origin(Chain chain, Arriving take, Problems texts, TakeLists.Known known) throws IOException {
        String print = this.take.getFileName() + " through " + chain.title(), engine = Engine.name(Provenance::digest), options = told(take.file());
        List<Origin.Source> files = new Provenance(out.toAbsolutePath().getParent(), texts.digests()).of(this.take, take.digest(), known.lists());
        String signature = Signature.digest(engine + options + files.stream().map(f -> " " + f.kind() + " " + f.digest()).collect(Collectors.joining()));
        return Origin.ofChain(engine, print, options, signature, files);
    }

    /** Those of its options that the print hangs on, beside files and what its head tells. */
    private String told(WavFile take) {
        StringJoiner told = new StringJoiner(" ");
        if (job.tempo != null) told.add("--tempo " + Unit.PLAIN.format(job.tempo));
        if (rate != null && rate != (int) take.rate()) told.add("--rate " + rate);
        if (begin != null) told.add("--from " + begin);
        if (end != null) told.add("--to " + end);
        if (tail instanceof Tail.Seconds s) told.add("--tail " + (s.seconds() == 0 ? "none" : Unit.PLAIN.format(s.seconds())));
        return told.toString();
    }

    private void render(Chain chain, Plan plan, Arriving take, Sound sound, TakeLists.Known known, Origin origin, long began)
            throws ProblemsException, IOException {
        long first = from == null ? 0 : Math.round(from * sound.rate());
        long end = to == null ? -1 : Math.round(to * sound.rate());
        if (end >= 0 && end <= first) {
            throw new Refusal(Exit.USAGE, "--to leaves no sample to print; it must be later than " + (from == null ? "0 s" : "--from"));
        }
        Reporting reporting = report == null ? null : new Reporting(chain, plan, sound, first, end);
        int frames = block != null ? block : reporting == null ? 0 : reporting.block();
        var options = new Renderer.Options(frames, threads, tail, first, end).fadingIn();
        Print print = Print.of((int) sound.rate(), plan.output().channels(), depth.format).carrying(take.file().header()).from(first)
                .madeBy(origin).sparing(List.of(this.take, job.file));
        boolean shown = json || System.console() != null;
        Meter meter = new Meter(sound.rate(), plan.output().channels(), shown || reporting != null);
        // A chain that hears nothing waits for nothing, nor does it mind what lies beyond the stretch that is wanted.
        Ear ear = plan.stages() > 1 ? take.ear(sound, known) : known.ear(sound);
        try (Renderer renderer = new Renderer(plan, ear, options, Progress.onTerminal("rendering", json), reporting == null ? Witness.NONE : reporting);
                WavWriter writer = WavWriter.create(out, force ? print.overwriting() : print)) {
            Rendered rendered = renderer.render((x, n) -> {
                meter.hear(x, n);
                writer.write(x, n);
            });
            refuse(sound, meter);
            take.file().checkUnchanged();
            writer.finish();
            double seconds = seconds(began);
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
                for (Resolved r : rendered.resolved()) if (r.odd()) remarks().println(r.words());
                if (shown) show(rendered, meter, sound, known, reporting, seconds);
            }
        }
    }

    /** A print that nobody wants, as it is silent or clips, is none. */
    private void refuse(Sound take, Meter meter) {
        if (isBehind(take) && !(meter.peakDb() >= Renderer.QUIET_DBFS)) throw behind(take, ", and nothing rings on there");
        if (!depth.format.clips(meter.peakDb())) return;
        throw new Refusal(Exit.CHECK, String.format(Locale.ROOT, "%s: the print would clip, its highest sample is %s; put '- limit' at the end of the chain, "
                + "lower it there with '- trim: { level: %.1f dB }', or print with --depth float", out, Meter.over(meter.peakDb()),
                        -Math.ceil(10 * meter.peakDb() + 1) / 10));
    }

    private static double seconds(long began) {
        return (System.nanoTime() - began) * 1e-9;
    }

    private void report(Reporting reporting, Meter meter, Chain chain, Sound sound, TakeLists.Known known) throws ProblemsException, IOException {
        Listening listening = !listen ? null
                : Listening.of(job, chain, sound, known, reporting, meter.shortTermLufs(), new Listening.Wanted(report, force, from, to), remarks());
        String title = out.getFileName() + ": " + chain.title();
        new PageFile(report, Reporting.PAGE, force)
                .write(new ReportPage(title, take.getFileName().toString(), reporting.report(), listening == null ? List.of() : listening.steps())::write);
        if (listening != null) listening.write(title);
        reporting.report().warningTexts().forEach(w -> remarks().println(w));
    }

    private void show(Rendered rendered, Meter meter, Sound sound, TakeLists.Known known, Reporting reporting, double seconds) {
        if (json) showJson(rendered, meter, sound, known, reporting, seconds);
        else showText(rendered, meter, sound, seconds);
    }

    private void showJson(Rendered rendered, Meter meter, Sound sound, TakeLists.Known known, Reporting reporting, double seconds) {
        JsonObject o = new JsonObject();
        o.addProperty("print", out.toString());
        o.addProperty("frames", rendered.frames());
        o.addProperty("rate_hz", (int) sound.rate());
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
        o.addProperty("seconds", Math.round(seconds * 1000) / 1000.0);
        results().println(Json.of(o));
    }

    private void showText(Rendered rendered, Meter meter, Sound sound, double seconds) {
        PrintWriter to = results();
        double length = rendered.frames() / sound.rate();
        to.printf(Locale.ROOT, "%s: %s, %s, %s, rendered %.0f times faster than it plays%n", out, Clock.tenths(length),
                rendered.channels() == 1 ? "mono" : "stereo", Meter.words("%.1f LUFS, true peak %.1f dBTP", meter.lufs(), meter.truePeakDbtp()),
                        length / seconds);
        for (Resolved r : rendered.resolved()) if (!r.odd()) to.println("  " + r.words());
    }
}

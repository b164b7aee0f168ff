package linnet.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import linnet.render.Tail;
import linnet.setting.Unit;
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

    @Option(names = "--depth", paramLabel = "16|24|float", converter = DepthReader.class, description = "Word length of the print. Usual: 24.")
    Depth depth = Depth.USUAL;

    @Option(names = "--tail", paramLabel = "auto|none|SECONDS", converter = TailReader.class,
            description = "How long the print runs on after the take. Usual: until the last half second stays below -90 dBFS. Where it is cut, its last 10 ms "
                    + "fade out, those of the take with none. A take that begins in a sound fades in over 5 ms where the chain changes it.")
    Tail tail = TakeJob.USUAL_TAIL;

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
            for (Depth d : Depth.values()) if (d.toString().equals(text)) return d;
            throw new TypeConversionException("wants 16, 24 or float, not '" + text + "'");
        }
    }

    static final class TailReader implements picocli.CommandLine.ITypeConverter<Tail> {
        @Override
        public Tail convert(String text) {
            if (text.equals("auto")) return TakeJob.USUAL_TAIL;
            if (text.equals("none")) return new Tail.Seconds(0);
            var seconds = Unit.SECONDS.parse(text);
            if (seconds.isEmpty() || seconds.getAsDouble() < 0 || seconds.getAsDouble() > 600) {
                throw new TypeConversionException("wants auto, none or up to 600 seconds, not '" + text + "'");
            }
            return new Tail.Seconds(seconds.getAsDouble());
        }
    }

    @Override
    public Integer call() throws ProblemsException, IOException {
        Threads.check("--threads, or --jobs,", threads);
        if (block != null && (block < 1 || block > LARGEST_BLOCK)) throw new Refusal(Exit.USAGE, "--block is outside 1 … " + LARGEST_BLOCK);
        PrintWriter results = spec.commandLine().getOut(), remarks = spec.commandLine().getErr();
        if (take == null) song(results, remarks);
        else take(results, remarks);
        return Exit.DONE;
    }

    private void song(PrintWriter results, PrintWriter remarks) throws ProblemsException, IOException {
        SongJob.refuseChain(job.file);
        ofAChain();
        new SongJob(job.file, out, depth.format(), force, threads, remarks).only(only).within(begin, end).asJson(json).report(report).render(results);
    }

    private void take(PrintWriter results, PrintWriter remarks) throws ProblemsException, IOException {
        TakeJob one = new TakeJob(job, take, out, depth.format(), force, threads, remarks);
        if (!only.isEmpty()) throw new Refusal(Exit.USAGE, "--only goes with a song, which has several prints");
        TakeJob.Moment from = time("--from", begin), to = time("--to", end);
        if (from != null && to != null && from.seconds() >= to.seconds()) throw new Refusal(Exit.USAGE, "--from must be before --to");
        if (listen && report == null) throw new Refusal(Exit.USAGE, "--listen wants the folder for its page: say --report DIR too");
        one.with(lists.marks, lists.notes).at(rate).ringing(tail).within(from, to).inBlocks(block).asJson(json).report(report, listen).render(results);
    }

    /** What a song has no use for is refused: passed over in silence, its print would not be what was asked for. */
    private void ofAChain() {
        SongJob.refuse(spec, "--block", "--listen", "--marks", "--notes", "--rate", "--tail", "--tempo");
    }

    private static TakeJob.Moment time(String option, String text) {
        if (text == null) return null;
        try {
            return new TakeJob.Moment(text, new Time().convert(text));
        } catch (TypeConversionException e) {
            throw new Refusal(Exit.USAGE, "Invalid value for option '" + option + "': " + e.getMessage());
        }
    }
}

package linnet.cli;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import java.util.concurrent.TimeUnit;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
        name = "watch",
        description = {
            "Renders a song, and again whenever it, one of its chains or takes, or a list beside a take is saved, until it is stopped (Ctrl-C).",
            "The stretch that changed comes first, as changed.wav in the folder of the prints; then every print that the change touches."
        },
        mixinStandardHelpOptions = true)
final class WatchCommand implements Callable<Integer> {
    /** Between two looks: short beside a render, and no load. */
    private static final long LOOK_MS = 40;

    @Spec
    CommandSpec spec;

    @Parameters(index = "0", paramLabel = "SONG.yaml", description = "The song.")
    Path song;

    @Option(names = "--out", required = true, paramLabel = "DIR", description = "The folder for its prints; those that are there are replaced.")
    Path out;

    @Option(names = {"--threads", "--jobs"}, paramLabel = "N", defaultValue = Threads.USUAL_TEXT,
            description = "Works that may run at once; the bits stay the same. Usual: 2.")
    int jobs;

    @Option(names = "--json",
            description = "Print a JSON object a line, each with its 'event': a round that begins, a stretch ready to hear, prints, or what failed.")
    boolean json;

    @Override
    public Integer call() throws InterruptedException, ProblemsException {
        Threads.check("--jobs, or --threads,", jobs);
        // Waited for is a song that is there.
        if (Files.notExists(song)) SongReader.read(song, Builtins.catalogue());
        if (!SongReader.isSong(song)) throw new Refusal(Exit.USAGE, song + " is no song, which has 'parts:'; a chain is heard with 'linnet render CHAIN TAKE'");
        Watching watching = new Watching(song, out, Depth.USUAL.format(), jobs, spec.commandLine().getOut(), spec.commandLine().getErr()).asJson(json);
        // Who reads what is printed may have gone, which shows when more is printed.
        while (!spec.commandLine().getOut().checkError()) {
            if (!watching.look()) TimeUnit.MILLISECONDS.sleep(LOOK_MS);
        }
        return Exit.DONE;
    }
}

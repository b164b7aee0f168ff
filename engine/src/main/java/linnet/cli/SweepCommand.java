package linnet.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import linnet.audio.WavFile;
import linnet.chain.Chain;
import linnet.chain.Variation;
import linnet.report.ComparePage;
import linnet.song.SongReader;
import linnet.text.ProblemsException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
        name = "sweep",
        description = {
            "Renders a passage with one setting at several values, onto a page that plays them at equal loudness, each at the same sample, with the "
            + "curve of each.",
            "Try the extremes first, then ease back:",
            "  --vary \"compressor.ratio = 2:1, 4:1, 20:1\""
        },
        mixinStandardHelpOptions = true)
final class SweepCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Mixin
    Job job;

    @Mixin
    Passage passage;

    @Mixin
    TakeLists lists;

    @Parameters(index = "1", paramLabel = "TAKE.wav", description = "The take.")
    Path take;

    @Option(names = "--vary", required = true, paramLabel = "\"STEP.SETTING = V1, V2, …\"", description = {
        "Which setting, and two to nine values for it.",
        "STEP is the name of a step as 'check' lists them: eq, compressor 2.",
        "SETTING is a word of that step, or mix; in a list: gain of band 3, split 2, level of branch 1."
    })
    String vary;

    @Override
    public Integer call() throws ProblemsException, IOException {
        passage.refuse();
        if (SongReader.isSong(job.file)) {
            throw new Refusal(Exit.USAGE, job.file + " is a song, and 'sweep' varies a chain: write the other value into a copy beside it, and 'linnet diff "
                    + job.file + " COPY.yaml' says what that does; to hear it, 'linnet render " + job.file
                    + " --only PRINT --out OLD', 'linnet render COPY.yaml --only PRINT --out NEW' and 'linnet compare OLD/PRINT.wav NEW/PRINT.wav --out PAGE'");
        }
        List<Variation> variations = variations(job.chain());
        int count = variations.size();
        if (count < 2 || count > ComparePage.MOST_VERSIONS) {
            throw new Refusal(Exit.USAGE, "--vary wants from 2 to " + ComparePage.MOST_VERSIONS + " values, not " + count);
        }
        try (Comparison comparison = new Comparison(passage, spec.commandLine().getErr())) {
            WavFile raw = comparison.open(take);
            TakeLists.Known known = lists.of(take, raw, spec.commandLine().getErr()::println);
            for (Variation v : variations) comparison.render(v.value(), job.plan(v.chain(), raw), known.ear(raw), v.step());
            Variation first = variations.get(0);
            comparison.write(first.setting() + " of " + first.step() + " · " + first.chain().title() + " · " + take.getFileName());
        }
        return Exit.DONE;
    }

    /** What is wrong with the option is a matter of the command, not of the chain file. */
    private List<Variation> variations(Chain chain) {
        try {
            return Variation.read(vary, "--vary", chain);
        } catch (ProblemsException e) {
            throw new Refusal(Exit.USAGE, e.getMessage());
        }
    }
}

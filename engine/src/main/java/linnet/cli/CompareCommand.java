package linnet.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import linnet.audio.WavFile;
import linnet.chain.Chain;
import linnet.dsp.Sound;
import linnet.plan.Planner;
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
        name = "compare",
        description = {
            "Writes a page that plays versions at equal loudness, switches between them at the same sample, shows how they differ and tests the ear blind.",
            "A version is a WAV file, or a chain that is rendered with the take named by --take."
        },
        mixinStandardHelpOptions = true)
final class CompareCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Mixin
    Passage passage;

    @Mixin
    TakeLists lists;

    @Parameters(arity = "1..*", paramLabel = "VERSION", description = "WAV files or chain files, two to nine in all.")
    List<Path> files;

    @Option(names = "--take", paramLabel = "TAKE.wav", description = "The take for the chains.")
    Path take;

    @Option(names = "--dry", description = "Include the take itself, as the first version.")
    boolean dry;

    @Option(names = "--tempo", paramLabel = "BPM", description = "Beats per minute, for times given as note values; wins over the chains' own.")
    Double tempo;

    @Option(names = "--align", description = "Line WAV files up with the first, where their sound shows by how much they are off.")
    boolean align;

    @Override
    public Integer call() throws ProblemsException, IOException {
        passage.refuse();
        for (Path f : files) {
            if (!isSound(f) && SongReader.isSong(f)) {
                throw new Refusal(Exit.USAGE, f + " is a song: render both versions with 'linnet render', and compare their prints: 'linnet render " + f
                        + " --only PRINT --out OLD', the same of the other with '--out NEW', and 'linnet compare OLD/PRINT.wav NEW/PRINT.wav --out PAGE'");
            }
        }
        int count = files.size() + (dry ? 1 : 0);
        if (count < 2) throw new Refusal(Exit.USAGE, "a comparison wants two versions or more" + (take == null ? "" : "; --dry adds the take itself"));
        if (count > ComparePage.MOST_VERSIONS) {
            throw new Refusal(Exit.USAGE, "a comparison holds at most " + ComparePage.MOST_VERSIONS + " versions, not " + count);
        }
        if (dry && take == null) throw new Refusal(Exit.USAGE, "--dry wants the take: name it with --take");
        if (take == null && files.stream().anyMatch(f -> !isSound(f))) {
            throw new Refusal(Exit.USAGE, "a chain wants a take to render: name it with --take TAKE.wav");
        }
        if (take != null && files.stream().allMatch(CompareCommand::isSound)) throw new Refusal(Exit.USAGE, "--take is for chains, and none is named");
        if (take == null && lists.marks != null) throw new Refusal(Exit.USAGE, "--marks are of a take: name it with --take TAKE.wav");
        List<Chain> chains = new ArrayList<>();
        for (Path file : files) chains.add(isSound(file) ? null : Job.chain(file));
        try (Comparison comparison = new Comparison(passage, spec.commandLine().getErr())) {
            WavFile raw = take == null ? null : comparison.open(take);
            TakeLists.Known known = raw == null ? null : lists.of(take, raw, spec.commandLine().getErr()::println);
            if (dry) comparison.add(take.getFileName() + ", the take", raw, List.of());
            for (int i = 0; i < files.size(); i++) {
                Path file = files.get(i);
                if (isSound(file)) comparison.addFile(file, align);
                else comparison.render(name(file, chains.get(i)), Planner.plan(chains.get(i), raw.rate(), raw.channels(), tempo()), known.ear(raw));
            }
            comparison.write(title());
        }
        return Exit.DONE;
    }

    private static boolean isSound(Path file) {
        String name = String.valueOf(file.getFileName()).toLowerCase(Locale.ROOT);
        return !name.endsWith(".yaml") && !name.endsWith(".yml");
    }

    private static String name(Path file, Chain chain) {
        String own = file.getFileName().toString();
        return chain.title().equals(own) ? own : chain.title() + " (" + own + ")";
    }

    private OptionalDouble tempo() {
        return tempo == null ? OptionalDouble.empty() : OptionalDouble.of(tempo);
    }

    private String title() {
        return take != null ? take.getFileName().toString() : String.join(" · ", files.stream().map(f -> f.getFileName().toString()).toList());
    }
}

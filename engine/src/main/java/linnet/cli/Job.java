package linnet.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.OptionalDouble;
import linnet.audio.WavFile;
import linnet.chain.Chain;
import linnet.chain.ChainReader;
import linnet.plan.Plan;
import linnet.plan.Planner;
import linnet.setting.Unit;
import linnet.song.SongReader;
import linnet.step.Catalogue;
import linnet.step.builtin.Builtins;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** A chain file and the tempo it is used at: what render, check and curve have in common. */
final class Job {
    @Parameters(index = "0", paramLabel = "CHAIN.yaml", description = "The chain file.")
    Path file;

    @Option(names = "--tempo", paramLabel = "BPM", description = "Beats per minute, for times given as note values; wins over the chain's own.")
    Double tempo;

    Job() {}

    /** At the tempo that the chain has itself. */
    Job(Path file) {
        this.file = file;
    }

    Chain chain() throws ProblemsException {
        return chain(Builtins.catalogue(), new Problems());
    }

    /** @param problems told which files are read */
    Chain chain(Catalogue steps, Problems problems) throws ProblemsException {
        if (tempo != null && !(tempo >= 20 && tempo <= 400)) {
            throw new Refusal(Exit.USAGE, "--tempo is outside " + Unit.BPM.format(20) + " … " + Unit.BPM.format(400));
        }
        return chain(file, steps, problems);
    }

    /** A song in the place of a chain would be called wrong in every line. */
    static Chain chain(Path file) throws ProblemsException {
        return chain(file, Builtins.catalogue(), new Problems());
    }

    private static Chain chain(Path file, Catalogue steps, Problems problems) throws ProblemsException {
        if (SongReader.isSong(file)) {
            throw new Refusal(Exit.USAGE, file + " is a song, and a chain is wanted here; 'render' and 'check' take a song, without a take: it names its own");
        }
        return ChainReader.read(file, steps, problems);
    }

    Plan plan(Chain chain, double rate, int channels) throws ProblemsException {
        return Planner.plan(chain, rate, channels, tempo == null ? OptionalDouble.empty() : OptionalDouble.of(tempo));
    }

    Plan plan(Chain chain, WavFile take) throws ProblemsException, IOException {
        return plan(chain, take.rate(), take.channels());
    }
}

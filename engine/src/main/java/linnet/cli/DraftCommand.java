package linnet.cli;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import linnet.audio.WavFile;
import linnet.draft.Draft;
import linnet.text.ProblemsException;
import linnet.yaml.Yaml;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
        name = "draft",
        description = {"Writes a first chain for the singer of a take, each step with the measured reason above it. It says what it left out and what it did "
                + "not dare to decide."},
        mixinStandardHelpOptions = true)
final class DraftCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Parameters(index = "0", paramLabel = "TAKE.wav", description = "The take to draft a chain for.")
    Path take;

    @Mixin
    TakeLists lists;

    @Option(names = "--out", required = true, paramLabel = "CHAIN.yaml", description = "The chain file to write.")
    Path out;

    @Option(names = "--force", description = "Replace a file that is there.")
    boolean force;

    @Override
    public Integer call() throws ProblemsException, IOException {
        // A chain is known by this ending, and a take that is named here by mistake stays what it is.
        if (!Yaml.isName(out.toString())) throw new Refusal(Exit.USAGE, "--out wants a file ending in .yaml or .yml, not " + out);
        WholeFile chain = new WholeFile(out, force);
        chain.refuse();
        try (WavFile sound = WavFile.open(take)) {
            Remarks remarks = new Remarks(spec.commandLine().getErr());
            remarks.sayOf(take, sound);
            byte[] text = Draft.of(lists.of(take, sound, remarks::say).facts(sound), take.getFileName().toString())
                    .getBytes(StandardCharsets.UTF_8);
            chain.write(to -> to.write(text));
        }
        return Exit.DONE;
    }
}

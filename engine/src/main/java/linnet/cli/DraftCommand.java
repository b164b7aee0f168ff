package linnet.cli;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.concurrent.Callable;
import linnet.audio.WavFile;
import linnet.draft.Draft;
import linnet.hear.Facts;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
        name = "draft",
        description = {"Writes a first chain for the singer of a take, each step with the measured reason above it. It says what it left out and what it did not dare to decide."},
        mixinStandardHelpOptions = true)
final class DraftCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Parameters(index = "0", paramLabel = "TAKE.wav", description = "The take to draft a chain for.")
    Path take;

    @Option(names = "--out", required = true, paramLabel = "CHAIN.yaml", description = "The chain file to write.")
    Path out;

    @Option(names = "--force", description = "Replace a file that is there.")
    boolean force;

    @Override
    public Integer call() throws IOException {
        if (!force && Files.exists(out, LinkOption.NOFOLLOW_LINKS)) throw there();
        if (Files.isDirectory(out)) throw new Refusal(Exit.USAGE, out + " is a folder; give the chain a file name");
        try (WavFile sound = WavFile.open(take)) {
            for (String remark : sound.header().remarks()) spec.commandLine().getErr().println(take + ": " + remark);
            write(Draft.of(new Facts(sound), take.getFileName().toString()));
        }
        return Exit.DONE;
    }

    /** Under another name first, so that no half chain is left and an old one is lost only to a whole one. */
    private void write(String chain) throws IOException {
        Path part = out.resolveSibling(".linnet-" + ProcessHandle.current().pid() + ".part");
        try {
            Files.writeString(part, chain, StandardCharsets.UTF_8);
            if (force) Files.move(part, out, StandardCopyOption.REPLACE_EXISTING);
            else Files.move(part, out);
        } catch (FileAlreadyExistsException e) {
            throw there();
        } finally {
            Files.deleteIfExists(part);
        }
    }

    private Refusal there() {
        return new Refusal(Exit.USAGE, out + " is there already; say --force to replace it");
    }
}

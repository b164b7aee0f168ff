package linnet.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(name = "demo", description = "Writes the example into a folder: takes with known truth, the ready chains, and what to try.", mixinStandardHelpOptions = true)
final class DemoCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Parameters(index = "0", paramLabel = "DIR", description = "A folder; it is made if it is not there.")
    Path folder;

    @Override
    public Integer call() throws IOException {
        throw new Refusal(Exit.USAGE, "demo is not there yet");
    }
}

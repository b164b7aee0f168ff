package linnet.cli;

import java.util.concurrent.Callable;
import picocli.AutoComplete;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;

@Command(name = "completion", description = "Prints the completion for bash and zsh: source <(linnet completion)", mixinStandardHelpOptions = true)
final class CompletionCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Override
    public Integer call() {
        spec.commandLine().getOut().print(AutoComplete.bash("linnet", spec.parent().commandLine()));
        return Exit.DONE;
    }
}

package linnet.cli;

import java.util.concurrent.Callable;
import linnet.publish.Schema;
import linnet.step.builtin.Builtins;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;

@Command(name = "schema", description = "Prints the JSON Schema of chain files, for editors.", mixinStandardHelpOptions = true)
final class SchemaCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Override
    public Integer call() {
        spec.commandLine().getOut().println(Json.of(Schema.of(Builtins.catalogue())));
        return Exit.DONE;
    }
}

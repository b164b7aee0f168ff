package linnet.cli;

import java.util.concurrent.Callable;
import linnet.publish.Schema;
import linnet.publish.SongSchema;
import linnet.step.builtin.Builtins;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

@Command(name = "schema", description = "Prints the JSON Schema of chain files or of song files: with it an editor completes and checks them.",
        mixinStandardHelpOptions = true)
final class SchemaCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Option(names = "--song", description = "The schema of song files, with the chains in them.")
    boolean song;

    @Override
    public Integer call() {
        spec.commandLine().getOut().println(Json.of(song ? SongSchema.of(Builtins.catalogue()) : Schema.of(Builtins.catalogue())));
        return Exit.DONE;
    }
}

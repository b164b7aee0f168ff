package linnet.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import linnet.demo.Demo;
import linnet.render.SideBySide;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(name = "demo", description = "Writes the example into a folder: takes with known truth, the ready chains, and what to try.",
        mixinStandardHelpOptions = true)
final class DemoCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Parameters(index = "0", paramLabel = "DIR", description = "A folder; it is made if it is not there.")
    Path folder;

    @Option(names = "--force", description = "Replace the example that is there.")
    boolean force;

    @Option(names = "--threads", paramLabel = "N", defaultValue = Threads.USUAL_TEXT,
            description = "Threads that work at once; the bits stay the same. Usual: 2.")
    int threads;

    @Override
    public Integer call() throws IOException {
        Threads.check("--threads", threads);
        if (Files.exists(folder.resolve("lead.wav")) && !force) {
            throw new Refusal(Exit.USAGE, folder.resolve("lead.wav") + " is there already; say --force to replace the example");
        }
        for (String within : Demo.FOLDERS) {
            if (Files.isSymbolicLink(folder.resolve(within))) {
                throw new Refusal(Exit.USAGE,
                        folder.resolve(within) + " is a link, and the example is not written where a link leads; delete it, or choose another folder");
            }
        }
        // What cannot be a folder is refused before anybody sings.
        Files.createDirectories(folder);
        List<Callable<Void>> pieces = new ArrayList<>();
        for (Demo.Piece p : Demo.pieces(folder, chains())) {
            pieces.add(() -> {
                p.write();
                return null;
            });
        }
        SideBySide.run(pieces, threads);
        if (System.console() != null) {
            spec.commandLine().getOut().println("The example lies in " + folder + "; read " + folder.resolve("README.md") + " for what to try.");
        }
        return Exit.DONE;
    }

    /** The ready chains of this checkout; the launcher says where it is. */
    private static List<Path> chains() throws IOException {
        String home = System.getProperty("linnet.home");
        if (home == null) return List.of();
        try (Stream<Path> files = Files.list(Path.of(home, "chains"))) {
            return files.filter(f -> f.toString().endsWith(".yaml")).sorted().toList();
        }
    }
}

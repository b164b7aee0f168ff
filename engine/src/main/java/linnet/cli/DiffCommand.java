package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import linnet.chain.ChainReader;
import linnet.revision.Change;
import linnet.revision.Version;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(name = "diff", description = "Says what a newer version of a song or chain has different, as revision notes: what a listener will hear, and where.", mixinStandardHelpOptions = true)
final class DiffCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Parameters(index = "0", paramLabel = "OLD.yaml", description = "The song or chain as it was.")
    Path old;

    @Parameters(index = "1", paramLabel = "NEW.yaml", description = "As it is now.")
    Path now;

    @Option(names = "--json", description = "Print the result as JSON.")
    boolean json;

    @Override
    public Integer call() throws ProblemsException {
        List<Change> changes = changes();
        PrintWriter out = spec.commandLine().getOut();
        if (json) {
            JsonArray array = new JsonArray();
            for (Change c : changes) {
                JsonObject o = new JsonObject();
                o.addProperty("where", c.where());
                o.addProperty("what", c.what());
                o.addProperty("how", c.how());
                array.add(o);
            }
            out.println(Json.of(array));
        } else if (changes.isEmpty()) {
            out.println("Nothing that sounds is different.");
        } else {
            changes.forEach(c -> out.println(c.sentence()));
        }
        return Exit.DONE;
    }

    private List<Change> changes() throws ProblemsException {
        boolean songs = SongReader.isSong(old);
        if (songs != SongReader.isSong(now)) throw new Refusal(Exit.USAGE, "one is a song, the other a chain: nothing can be said of both");
        if (songs) return version(now).since(version(old));
        ChainReader.read(old, Builtins.catalogue());
        ChainReader.read(now, Builtins.catalogue());
        return Version.ofChain(now).since(Version.ofChain(old));
    }

    private static Version version(Path song) throws ProblemsException {
        return Version.of(song, SongReader.read(song, Builtins.catalogue(), new Cues()));
    }
}

package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import linnet.chain.ChainReader;
import linnet.revision.Change;
import linnet.revision.Version;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.yaml.Yaml;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(name = "diff",
        description = "Says what a newer version of a song or chain has different, as revision notes: what a listener will hear, and where; of songs also "
        + "which prints change.", mixinStandardHelpOptions = true)
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
        if (Stream.of(old, now).anyMatch(f -> f.toString().toLowerCase(Locale.ROOT).endsWith(".wav"))) {
            throw new Refusal(Exit.USAGE, "'diff' says what differs in the texts of two songs or chains; 'linnet compare' is for sounds");
        }
        boolean songs = SongReader.isSong(old);
        if (songs != SongReader.isSong(now)) {
            // What cannot be read is no song either, and says so itself.
            for (Path text : List.of(old, now)) Yaml.read("song or chain", text, text.toString(), new Problems());
            throw new Refusal(Exit.USAGE, (songs ? old : now) + " is a song, " + (songs ? now : old) + " a chain: name two of one kind");
        }
        PrintWriter out = spec.commandLine().getOut();
        if (songs) songs(out);
        else say(chains(), Optional.empty(), out);
        return Exit.DONE;
    }

    private List<Change> chains() throws ProblemsException {
        Version before = chain(old);
        return chain(now).since(before);
    }

    private static Version chain(Path file) throws ProblemsException {
        Problems problems = new Problems();
        ChainReader.read(file, Builtins.catalogue(), problems);
        return Version.ofChain(file, problems);
    }

    private void songs(PrintWriter out) throws ProblemsException {
        Song was = SongReader.read(old, Builtins.catalogue(), new Cues()), is = SongReader.read(now, Builtins.catalogue(), new Cues());
        List<Change> changes = new ArrayList<>(Version.of(now, is).since(Version.of(old, was)));
        ChangedPrints prints = ChangedPrints.between(old, was, now, is);
        changes.addAll(prints.takes());
        say(changes, Optional.of(prints), out);
    }

    private void say(List<Change> changes, Optional<ChangedPrints> prints, PrintWriter out) {
        if (json) {
            out.println(Json.of(asJson(changes, prints)));
            return;
        }
        if (changes.isEmpty()) out.println("Nothing that sounds is different in the texts.");
        changes.forEach(c -> out.println(c.sentence()));
        prints.ifPresent(p -> p.say(out));
    }

    static JsonArray asJson(List<Change> changes) {
        JsonArray array = new JsonArray();
        for (Change c : changes) {
            JsonObject o = new JsonObject();
            o.addProperty("where", c.where());
            o.addProperty("what", c.what());
            o.addProperty("how", c.how());
            array.add(o);
        }
        return array;
    }

    private static JsonObject asJson(List<Change> changes, Optional<ChangedPrints> prints) {
        JsonObject all = new JsonObject();
        all.add("changes", asJson(changes));
        prints.ifPresent(p -> {
            all.add("prints", p.json());
            if (!p.unknown().isEmpty()) all.addProperty("prints_unknown", p.unknown());
        });
        return all;
    }
}

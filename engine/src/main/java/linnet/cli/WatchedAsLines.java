package linnet.cli;

import com.google.gson.JsonObject;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import linnet.revision.Change;
import linnet.song.Place;

/** For a script: one JSON object a line, each with its {@code event}, and there as soon as it is so. */
record WatchedAsLines(PrintWriter out) implements Watched {
    /** An event in one line, with what is told of it. */
    static String line(String event, JsonObject told) {
        JsonObject all = new JsonObject();
        all.addProperty("event", event);
        told.entrySet().forEach(e -> all.add(e.getKey(), e.getValue()));
        return Json.line(all);
    }

    static String failure(Fault fault) {
        return line("failed", fault.json());
    }

    private void tell(String event, JsonObject told) {
        out.println(line(event, told));
        out.flush();
    }

    @Override
    public void waiting(List<Path> files) {
        JsonObject told = new JsonObject();
        told.add("files", Json.strings(files.stream().map(Path::toString).toList()));
        tell("waiting", told);
    }

    @Override
    public void begun(List<Change> changes) {
        JsonObject told = new JsonObject();
        told.add("changes", DiffCommand.asJson(changes));
        tell("begun", told);
    }

    @Override
    public void same() {
        tell("same", new JsonObject());
    }

    @Override
    public void ready(Path file, Place.Range stretch, double seconds) {
        JsonObject told = new JsonObject();
        told.addProperty("file", file.toString());
        told.addProperty("from_s", Json.rounded(stretch.from(), 4));
        told.addProperty("to_s", Json.rounded(stretch.to(), 4));
        Json.taken(told, seconds);
        tell("stretch", told);
    }

    @Override
    public SongJob telling(SongJob round) {
        return round.asJson(done -> line("rendered", done));
    }

    @Override
    public void failed(Fault fault) {
        out.println(failure(fault));
        out.flush();
    }
}

package linnet.cli;

import com.google.gson.JsonArray;
import java.io.PrintWriter;
import java.nio.file.Path;
import linnet.audio.WavFile;
import linnet.hear.Intake;

/** What a command tells beside its answer, a line each, as soon as it is known; whoever asks for JSON finds the same lines there. */
final class Remarks {
    /** What they are called in the JSON of every command. */
    static final String KEY = "remarks";

    private final PrintWriter err;
    private final JsonArray lines = new JsonArray();

    Remarks(PrintWriter err) {
        this.err = err;
    }

    void say(String line) {
        lines.add(line);
        err.println(line);
    }

    /** What is odd about a take that a command is given, before anything is done with it. */
    void sayOf(Path take, WavFile file) {
        sayOfFile(take, file);
        if (Intake.isOpposed(file)) say(take + ": " + Intake.OPPOSING);
    }

    /** The same of its header alone, for who hears the rest anyway. */
    void sayOfFile(Path take, WavFile file) {
        for (String remark : file.header().remarks()) say(take + ": " + remark);
    }

    /** What was said so far. */
    JsonArray json() {
        return lines.deepCopy();
    }
}

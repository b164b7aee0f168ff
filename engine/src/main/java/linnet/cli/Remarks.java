package linnet.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import linnet.audio.WavFile;
import linnet.hear.Intake;

/** What is odd about a take that a command is given, before anything is done with it. */
final class Remarks {
    private Remarks() {}

    static void say(Path take, WavFile file, PrintWriter err) {
        sayOfFile(take, file, err);
        if (Intake.isOpposed(file)) err.println(take + ": " + Intake.OPPOSING);
    }

    /** The same of its header alone, for who hears the rest anyway. */
    static void sayOfFile(Path take, WavFile file, PrintWriter err) {
        for (String remark : file.header().remarks()) err.println(take + ": " + remark);
    }
}

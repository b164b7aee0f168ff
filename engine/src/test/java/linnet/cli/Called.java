package linnet.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Path;
import java.util.Arrays;
import linnet.audio.WavFile;
import picocli.CommandLine;

/** The program as a user calls it, and what it said when it was called last. */
abstract class Called {
    final StringWriter out = new StringWriter();
    final StringWriter err = new StringWriter();

    int run(Object... words) {
        out.getBuffer().setLength(0);
        err.getBuffer().setLength(0);
        CommandLine line = Main.commandLine();
        line.setOut(new PrintWriter(out, true));
        line.setErr(new PrintWriter(err, true));
        return line.execute(Arrays.stream(words).map(Object::toString).toArray(String[]::new));
    }

    /** By what the sound of a print is known, whatever else it says of itself. */
    static String sound(Path print) throws IOException {
        try (WavFile file = WavFile.open(print)) {
            return file.soundDigest();
        }
    }
}

package linnet.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.NoSuchFileException;
import linnet.audio.SoundFileException;
import linnet.text.ProblemsException;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Help.Ansi;

/** The program. */
@Command(
        name = "linnet",
        version = "linnet 0.1.0",
        mixinStandardHelpOptions = true,
        synopsisSubcommandLabel = "COMMAND",
        description = {
            "Turns a raw vocal take into a finished vocal, from a text file.",
            "",
            "Start playback low: a render can be much louder than the take it came from."
        },
        footer = {
            "",
            "Exit codes: 0 done, 1 a defect of ours, 2 usage, 3 the text file, 4 the sound file, 5 a check failed.",
        },
        subcommands = {
            RenderCommand.class,
            CheckCommand.class,
            CurveCommand.class,
            StepsCommand.class,
            SchemaCommand.class,
            DemoCommand.class,
            CompletionCommand.class
        })
public final class Main {
    private Main() {}

    public static void main(String[] args) {
        CommandLine line = commandLine();
        int code = line.execute(args);
        line.getOut().flush();
        System.exit(code);
    }

    static CommandLine commandLine() {
        CommandLine line = new CommandLine(new Main());
        line.setColorScheme(CommandLine.Help.defaultColorScheme(System.getenv("NO_COLOR") != null ? Ansi.OFF : Ansi.AUTO));
        line.setCaseInsensitiveEnumValuesAllowed(true);
        line.setExecutionExceptionHandler((e, command, parsed) -> report(e, command.getErr()));
        return line;
    }

    /** Every failure ends here: one message, one exit code, no stack trace unless the fault is ours. */
    private static int report(Exception e, PrintWriter err) {
        if (e instanceof ProblemsException) return say(err, e.getMessage(), Exit.TEXT);
        if (e instanceof Refusal r) return say(err, r.getMessage(), r.code());
        if (e instanceof UncheckedIOException u) return report(u.getCause(), err);
        if (e instanceof SoundFileException) return say(err, e.getMessage(), Exit.SOUND);
        if (e instanceof NoSuchFileException n) return say(err, n.getFile() + ": there is no such file or folder", Exit.USAGE);
        if (e instanceof IOException) return say(err, "could not read or write: " + e.getMessage(), Exit.SOUND);
        err.println("A defect of Linnet, not of your files. Please report it with the chain file and this text:");
        e.printStackTrace(err);
        return Exit.DEFECT;
    }

    private static int say(PrintWriter err, String message, int code) {
        err.println(message);
        return code;
    }
}

package linnet.cli;

import java.io.BufferedOutputStream;
import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintStream;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.Callable;
import java.util.function.Function;
import java.util.function.Supplier;
import linnet.files.Unfinished;
import linnet.render.SideBySide;
import linnet.render.Signature;
import linnet.setting.Unit;
import linnet.song.SongReader;
import linnet.step.Catalogue;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Help.Ansi;
import picocli.CommandLine.IExecutionExceptionHandler;
import picocli.CommandLine.IExecutionStrategy;
import picocli.CommandLine.IParameterExceptionHandler;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.ParseResult;
import picocli.CommandLine.RunLast;
import picocli.CommandLine.TypeConversionException;
import picocli.CommandLine.UnmatchedArgumentException;

/** The program. */
@Command(
        name = "linnet",
        version = Main.VERSION,
        mixinStandardHelpOptions = true,
        synopsisSubcommandLabel = "COMMAND",
        description = {
            "Turns a raw vocal take into a finished vocal, from a text file.",
            "",
            "Start playback low: a render can be much louder than the take it came from."
        },
        footer = {
            "",
            "Exit codes: 0 done, 1 a defect of ours, 2 usage, 3 the text file, 4 a sound file, or no room to write, 5 a check failed.",
        })
public final class Main {
    static final String VERSION = "linnet 0.1.0";
    private static final String JSON = "--json";

    private static final String[] HELP = {"--help"};

    private record Known(String word, Class<?> command) {}

    /**
     * What the library is given are classes and no lambdas of its interfaces: those are too old for the class archive, and each would be made anew in every
     * run.
     */
    private record Converter<T>(Function<String, T> of) implements ITypeConverter<T> {
        @Override
        public T convert(String text) {
            return of.apply(text);
        }
    }

    /**
     * Makes what a check needs whatever it reads, while its text or the command line is read. That shares no class with this which is first used here or there:
     * two threads could wait for each other.
     */
    private static final class Preparing implements Callable<Catalogue> {
        @Override
        public Catalogue call() {
            Catalogue steps = Builtins.catalogue();
            SongReader.shape();
            Signature.digest("");
            return steps;
        }
    }

    /**
     * A render as its options usually are.
     *
     * @param take null for a song
     */
    private record UsualRender(Path file, Path take, Path print, boolean force, PrintWriter out, PrintWriter err) implements Callable<Integer> {
        @Override
        public Integer call() throws ProblemsException, IOException {
            if (take == null) {
                SongJob.refuseChain(file);
                new SongJob(file, print, Depth.USUAL.format(), force, Threads.USUAL, err).render(out);
            } else {
                new TakeJob(new Job(file), take, print, Depth.USUAL.format(), force, Threads.USUAL, err).render(out);
            }
            return Exit.DONE;
        }
    }

    /** Every failure ends here. */
    private static final class Faults implements IParameterExceptionHandler, IExecutionStrategy, IExecutionExceptionHandler {
        @Override
        public int handleParseException(ParameterException e, String[] words) {
            if (wantsJson(e.getCommandLine(), words)) tell(new Fault(Exit.USAGE, e.getMessage()), e.getCommandLine(), e.getCommandLine().getOut());
            return misused(e, words);
        }

        @Override
        public int execute(ParseResult parsed) {
            CommandLine line = parsed.commandSpec().commandLine();
            line.setOut(new Answer(line.getOut()));
            try {
                return new RunLast().execute(parsed);
            } catch (OutOfMemoryError e) {
                List<CommandLine> commands = parsed.asCommandLineList();
                return tell(Fault.noMemory(), commands.get(commands.size() - 1));
            }
        }

        @Override
        public int handleExecutionException(Exception e, CommandLine command, ParseResult parsed) {
            return tell(Fault.of(e), command);
        }

        /** What was told before the fault stays the one answer, but for a command that goes on telling. */
        private static int tell(Fault fault, CommandLine command) {
            boolean answers = command.getOut() instanceof Answer answer && (!answer.isBegun() || isWatch(command));
            if (answers && command.getParseResult().hasMatchedOption(JSON)) tell(fault, command, command.getOut());
            return fault.say(command.getErr());
        }

        private static boolean wantsJson(CommandLine command, String[] words) {
            return command.getCommandSpec().findOption(JSON) != null && Arrays.stream(words).takeWhile(w -> !w.equals("--")).anyMatch(JSON::equals);
        }

        private static boolean isWatch(CommandLine command) {
            return command.getCommand() instanceof WatchCommand;
        }

        private static void tell(Fault fault, CommandLine command, PrintWriter out) {
            out.println(isWatch(command) ? WatchedAsLines.failure(fault) : Json.of(fault.json()));
        }
    }

    /** In the order of the help. */
    private static final List<Known> COMMANDS = List.of(
            new Known("render", RenderCommand.class),
            new Known("check", CheckCommand.class),
            new Known("measure", MeasureCommand.class),
            new Known("mark", MarkCommand.class),
            new Known("notes", NotesCommand.class),
            new Known("draft", DraftCommand.class),
            new Known("curve", CurveCommand.class),
            new Known("compare", CompareCommand.class),
            new Known("sweep", SweepCommand.class),
            new Known("watch", WatchCommand.class),
            new Known("diff", DiffCommand.class),
            new Known("explain", ExplainCommand.class),
            new Known("steps", StepsCommand.class),
            new Known("schema", SchemaCommand.class),
            new Known("demo", DemoCommand.class),
            new Known("completion", CompletionCommand.class));

    private Main() {}

    public static void main(String[] args) {
        SideBySide.atEnd(Unfinished.FILES::end);
        Output output = new Output(new FileOutputStream(FileDescriptor.out));
        System.setOut(new PrintStream(new BufferedOutputStream(output), false, charset("sun.stdout.encoding")));
        PrintWriter out = plain(System.out, "sun.stdout.encoding"), err = plain(System.err, "sun.stderr.encoding");
        int code;
        try {
            code = run(args, out, err);
        } catch (OutOfMemoryError e) {
            code = Fault.noMemory().say(err);
        }
        out.flush();
        if (output.isIncomplete()) code = say(err, "what was printed is not whole (" + output.reason() + "); free some space or print elsewhere", Exit.FILE);
        System.exit(code);
    }

    /** The inner writer is given the stream itself, as only of that it knows whether it failed. */
    private static PrintWriter plain(PrintStream to, String encoding) {
        return new PrintWriter(new Plain(new PrintWriter(to, true, charset(encoding))), true);
    }

    private static Charset charset(String property) {
        return Charset.forName(System.getProperty(property, Charset.defaultCharset().name()));
    }

    /** What the program does with the words it is called with. */
    static int run(String[] words, PrintWriter out, PrintWriter err) {
        if (Arrays.equals(words, HELP) && !colours().enabled()) return help(out);
        if (words.length > 0 && words[0].equals("check")) return check(words, out, err);
        Callable<Integer> plain = words.length > 0 && words[0].equals("render") ? asUsual(words, out, err) : null;
        return plain == null ? execute(commandLine(words), words, out, err) : call(plain, err);
    }

    /** Where it is refused before its steps are asked for, nothing of them is made any more when this comes back. */
    private static int check(String[] words, PrintWriter out, PrintWriter err) {
        try (SideBySide.Begun<Catalogue> steps = SideBySide.begin(new Preparing())) {
            Callable<Integer> plain = ofAFileAlone(words, out, err, steps);
            if (plain != null) return call(plain, err);
            CommandLine line = commandLine(words);
            steps.get();
            return execute(line, words, out, err);
        }
    }

    private static int call(Callable<Integer> plain, PrintWriter err) {
        try {
            return plain.call();
        } catch (Exception e) {
            return Fault.of(e).say(err);
        }
    }

    private static Ansi colours() {
        return System.getenv("NO_COLOR") != null ? Ansi.OFF : Ansi.AUTO;
    }

    /** The help as the library writes it, for {@code -h} and in colours, takes twice as long to write as to print. That both are alike is tested. */
    private static int help(PrintWriter out) {
        try (InputStream text = Main.class.getResourceAsStream("help.txt")) {
            out.print(new String(Objects.requireNonNull(text).readAllBytes(), StandardCharsets.UTF_8));
            return Exit.DONE;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static int execute(CommandLine line, String[] words, PrintWriter out, PrintWriter err) {
        line.setOut(out);
        line.setErr(err);
        return line.execute(words);
    }

    /**
     * A check of a file and nothing else, which is asked for over and over, is understood without the library: that would take as long as a third of the check.
     * Null where it is something else.
     */
    private static CheckCommand ofAFileAlone(String[] words, PrintWriter out, PrintWriter err, Supplier<Catalogue> steps) {
        if (words.length != 2 || isNoFile(words[1])) return null;
        try {
            return new CheckCommand(path(words[1]), out, err, steps);
        } catch (TypeConversionException e) {
            return null;
        }
    }

    /**
     * So is a render whose options are the usual ones, {@code render FILE [TAKE] --out PRINT [--force]} in any order: the library would take a thirtieth of
     * that of four minutes, and more of a shorter one.
     */
    private static Callable<Integer> asUsual(String[] words, PrintWriter out, PrintWriter err) {
        List<String> files = new ArrayList<>();
        String print = null;
        boolean force = false;
        for (int i = 1; i < words.length; i++) {
            boolean isOut = words[i].equals("--out") && print == null && i + 1 < words.length, isForce = words[i].equals("--force") && !force;
            if (isForce) force = true;
            else if (isNoFile(isOut ? words[i + 1] : words[i])) return null;
            else if (isOut) print = words[++i];
            else files.add(words[i]);
        }
        if (print == null || files.isEmpty() || files.size() > 2) return null;
        try {
            return new UsualRender(path(files.get(0)), files.size() == 1 ? null : path(files.get(1)), path(print), force, out, err);
        } catch (TypeConversionException e) {
            return null;
        }
    }

    /** A word that begins so is an option. */
    private static boolean isNoFile(String word) {
        return word.startsWith("-");
    }

    /**
     * Where the first word is a command, the others are left out: to look through them all takes longer than most of what they do. The one that completes words
     * knows all.
     */
    private static CommandLine commandLine(String[] words) {
        for (Known c : COMMANDS) if (words.length > 0 && c.word.equals(words[0]) && c.command != CompletionCommand.class) return commandLine(List.of(c));
        return commandLine(COMMANDS);
    }

    static CommandLine commandLine() {
        return commandLine(COMMANDS);
    }

    private static CommandLine commandLine(List<Known> commands) {
        CommandLine line = new CommandLine(new Main());
        for (Known c : commands) line.addSubcommand(c.word, c.command);
        line.setColorScheme(CommandLine.Help.defaultColorScheme(colours()));
        line.setCaseInsensitiveEnumValuesAllowed(true);
        // A name may begin so.
        line.setExpandAtFiles(false);
        line.registerConverter(Path.class, new Converter<>(Main::path));
        line.registerConverter(Integer.class, new Converter<>(Main::whole));
        line.registerConverter(int.class, new Converter<>(Main::whole));
        line.registerConverter(Double.class, new Converter<>(Main::number));
        Faults faults = new Faults();
        line.setParameterExceptionHandler(faults);
        line.setExecutionStrategy(faults);
        line.setExecutionExceptionHandler(faults);
        return line;
    }

    private static Path path(String text) {
        if (text.isEmpty()) throw new TypeConversionException("wants the name of a file or folder, not an empty text");
        try {
            return Path.of(text);
        } catch (InvalidPathException e) {
            throw new TypeConversionException("wants the name of a file or folder: " + e.getReason());
        }
    }

    private static int whole(String text) {
        try {
            return Integer.parseInt(text);
        } catch (NumberFormatException e) {
            throw new TypeConversionException("wants a whole number, not '" + text + "'");
        }
    }

    private static double number(String text) {
        return Unit.PLAIN.parse(text).orElseThrow(() -> new TypeConversionException("wants a number, not '" + text + "'"));
    }

    /** No option has such an end, but for one with its value. */
    private static boolean isDashedFile(String word) {
        return word.matches("(?is)-[^=]*[.](wav|ya?ml)");
    }

    /** What is wrong with the words of the command, and where to read more; the whole help would push it off the screen. */
    private static int misused(ParameterException e, String[] words) {
        CommandLine command = e.getCommandLine();
        say(command.getErr(), e.getMessage(), Exit.USAGE);
        UnmatchedArgumentException.printSuggestions(e, command.getErr());
        Arrays.stream(words).takeWhile(w -> !w.equals("--")).filter(Main::isDashedFile).findFirst()
                .ifPresent(w -> command.getErr().println("If " + w + " is a file, say ./" + w + ", or -- before it."));
        return say(command.getErr(), "See " + command.getCommandSpec().qualifiedName() + " --help", Exit.USAGE);
    }

    private static int say(PrintWriter err, String message, int code) {
        err.println(message);
        return code;
    }
}

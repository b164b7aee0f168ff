package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import linnet.audio.Bext;
import linnet.audio.Origin;
import linnet.audio.WavFile;
import linnet.report.Clock;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.yaml.Siblings;
import linnet.yaml.Tree;
import linnet.yaml.Yaml;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(name = "explain", description = "Says of a print which texts, takes and version made it, and whether they and its sound are as they were.",
        mixinStandardHelpOptions = true,
        footer = {"", "Exits with 5 if something is changed. What is not found is said, and is no change."})
final class ExplainCommand implements Callable<Integer> {
    private static final int SHOWN_DIGITS = 12;

    @Spec
    CommandSpec spec;

    @Parameters(index = "0", paramLabel = "PRINT.wav", description = "The print.")
    Path print;

    @Option(names = "--json", description = "Print the result as JSON.")
    boolean json;

    /** How something is, beside how it was. */
    private enum State {
        SAME("as it was"), CHANGED("changed"), MISSING("not found");

        private final String words;

        State(String words) {
            this.words = words;
        }
    }

    private record Found(Origin.Source source, State state) {}

    /**
     * Where in the song it begins and ends, in seconds; where in its take one of a chain does, its options tell.
     *
     * @param clock time reference of the song, in seconds
     */
    private record Lies(double from, double to, double clock) {}

    @Override
    public Integer call() throws IOException {
        Bext bext;
        Origin origin;
        State sound;
        Optional<Lies> lies;
        try (WavFile wav = WavFile.open(print)) {
            bext = Bext.of(wav.header()).orElseThrow(() -> foreign("it has no broadcast extension"));
            origin = Origin.of(bext).orElseThrow(() -> foreign("its broadcast extension tells of none"));
            long from = bext.timeReference() - origin.clock();
            lies = origin.options().isPresent() ? Optional.empty() : Optional.of(new Lies(from / wav.rate(), (from + wav.frames()) / wav.rate(),
                    origin.clock() / wav.rate()));
            sound = wav.soundDigest().equals(origin.sound().sha256()) ? State.SAME : State.CHANGED;
        }
        List<Found> files = new ArrayList<>();
        for (Origin.Source s : origin.files()) files.add(new Found(s, state(s)));
        PrintWriter out = spec.commandLine().getOut();
        Optional<String> called = called(bext, origin);
        if (json) out.println(Json.of(asJson(called.orElse(bext.description()), bext, origin, lies, sound, files)));
        else say(out, called.orElse(bext.description() + " (in ASCII, as no text of that title is found)"), bext, origin, lies, sound, files);
        boolean changed = sound == State.CHANGED || files.stream().anyMatch(f -> f.state == State.CHANGED);
        return changed ? Exit.CHECK : Exit.DONE;
    }

    private Refusal foreign(String why) {
        return new Refusal(Exit.FILE, print + ": is no print of Linnet's, or was written again by something else since: " + why);
    }

    private State state(Origin.Source source) throws IOException {
        Optional<Path> file = file(source);
        if (file.isEmpty()) return State.MISSING;
        return Provenance.digest(file.get()).equals(source.digest()) ? State.SAME : State.CHANGED;
    }

    /** Beside the print, the way the print tells. */
    private Optional<Path> file(Origin.Source source) {
        try {
            return Optional.of(Siblings.named(print.toAbsolutePath().resolveSibling(source.path()).normalize())).filter(Files::isRegularFile);
        } catch (InvalidPathException e) {
            return Optional.empty();
        }
    }

    /** Its description with all letters of the title, which only the song has; empty where none of its texts has the title that is described. */
    private Optional<String> called(Bext bext, Origin origin) {
        if (origin.options().isPresent()) return Optional.of(origin.print());
        return origin.files().stream().filter(s -> s.kind() == Origin.Kind.TEXT).flatMap(s -> file(s).stream()).flatMap(text -> title(text).stream())
                .map(title -> SongPrints.description(title, origin.print(), origin.revision()))
                .filter(d -> new Bext(d, "", "", "", "", 0, Bext.Loudness.UNTOLD, "").asRead().description().equals(bext.description())).findFirst();
    }

    private static Optional<String> title(Path text) {
        try {
            return Yaml.read("song file", text, text.toString(), new Problems())
                    .flatMap(t -> t instanceof Tree.Table top && top.entries().containsKey("song") && top.entries().get("song")
                            .value() instanceof Tree.Leaf title ? Optional.of(title.word().text()) : Optional.empty());
        } catch (ProblemsException e) {
            return Optional.empty();
        }
    }

    private void say(PrintWriter out, String called, Bext bext, Origin origin, Optional<Lies> lies, State sound, List<Found> files) throws IOException {
        out.println(print + ": " + called);
        out.println("  made by  " + version(origin));
        origin.options().filter(o -> !o.isEmpty()).ifPresent(o -> out.println("  with     " + o));
        // What a chain made tells when its take was recorded.
        if (origin.options().isEmpty() && !bext.date().isEmpty()) out.println("  dated    " + (bext.date() + " " + bext.time()).strip());
        lies.ifPresent(l -> out.println("  lies     from " + Clock.of(l.from) + " to " + Clock.of(l.to) + " of the song"
                + (l.clock == 0 ? "" : ", whose time reference is " + Clock.ofDay(l.clock))));
        Bext.Loudness l = bext.loudness();
        out.printf(Locale.ROOT, "  sound    %s%s%s%n", sound == State.SAME ? "as printed" : "changed since it was printed",
                figure(l.integrated(), ", %.1f LUFS"), figure(l.truePeak(), ", true peak %.1f dBTP"));
        int longest = files.stream().mapToInt(f -> f.source.path().length()).max().orElse(0);
        for (Found f : files) {
            out.printf(Locale.ROOT, "  %-8s %-" + Math.max(1, longest) + "s  %s%n", f.source.kind().name().toLowerCase(Locale.ROOT), f.source.path(),
                    f.state.words);
        }
    }

    private static String figure(double value, String form) {
        return Double.isNaN(value) ? "" : String.format(Locale.ROOT, form, value);
    }

    private static String version(Origin origin) throws IOException {
        String build = origin.build();
        return origin.version() + ", build " + build.substring(0, Math.min(SHOWN_DIGITS, build.length()))
                + (engineIsThis(origin) ? ", as this is" : "; this is " + Main.VERSION + ", another build");
    }

    private JsonObject asJson(String called, Bext bext, Origin origin, Optional<Lies> lies, State sound, List<Found> files) throws IOException {
        JsonObject o = new JsonObject();
        o.addProperty("file", print.toString());
        o.addProperty("description", called);
        o.addProperty("print", origin.print());
        o.addProperty("options", origin.options().orElse(null));
        o.addProperty("revision", origin.options().isPresent() ? null : origin.revision());
        o.addProperty("engine", origin.engine());
        o.addProperty("this_engine", engineIsThis(origin));
        o.addProperty("date", bext.date());
        o.addProperty("time", bext.time());
        o.addProperty("time_reference", bext.timeReference());
        o.addProperty("song_time_reference", lies.isPresent() ? origin.clock() : null);
        o.addProperty("from_s", lies.map(l -> Json.rounded(l.from, 4)).orElse(null));
        o.addProperty("to_s", lies.map(l -> Json.rounded(l.to, 4)).orElse(null));
        o.addProperty("signature", origin.signature());
        JsonObject printed = new JsonObject();
        printed.addProperty("state", word(sound));
        printed.addProperty("sha256", origin.sound().sha256());
        value(printed, "integrated_lufs", bext.loudness().integrated());
        value(printed, "range_lu", bext.loudness().range());
        value(printed, "true_peak_dbtp", bext.loudness().truePeak());
        o.add("sound", printed);
        JsonArray sources = new JsonArray();
        for (Found f : files) {
            JsonObject source = new JsonObject();
            source.addProperty("kind", f.source.kind().name().toLowerCase(Locale.ROOT));
            source.addProperty("path", f.source.path());
            source.addProperty("sha256", f.source.digest());
            source.addProperty("state", word(f.state));
            sources.add(source);
        }
        o.add("made_from", sources);
        return o;
    }

    private static boolean engineIsThis(Origin origin) throws IOException {
        return origin.engine().equals(Engine.name(Provenance::digest));
    }

    private static String word(State state) {
        return state.name().toLowerCase(Locale.ROOT);
    }

    private static void value(JsonObject o, String key, double value) {
        o.addProperty(key, Double.isNaN(value) ? null : value);
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonElement;
import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import linnet.Voices;
import linnet.demo.Demo;
import linnet.render.SideBySide;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/** What the README says of how loud the example is, beside what the example is: sung and rendered whole, as a reader does it, which takes some minutes. */
@Tag("bench")
class ReadmeFiguresTest {
    private static final Path README = Voices.repository().resolve("README.md");
    private static final Pattern NAME = Pattern.compile("`([^`]+)`"), LUFS = Pattern.compile("(-?[\\d., -]+) LUFS"),
            DBTP = Pattern.compile("(-?[\\d., -]+) dBTP"), SECONDS = Pattern.compile("([\\d.]+) s\\b");

    @TempDir
    static Path folder;

    /**
     * What a line says of a print.
     *
     * @param seconds its length as it is told; empty where that is not
     */
    private record Told(int line, String print, double lufs, double dbtp, String seconds) {}

    @BeforeAll
    static void theExampleIsSung() throws Exception {
        List<Callable<Void>> pieces = new ArrayList<>();
        try (Stream<Path> chains = Files.list(Voices.repository().resolve("chains"))) {
            for (Demo.Piece p : Demo.pieces(folder, chains.toList())) {
                pieces.add(() -> {
                    p.write();
                    return null;
                });
            }
        }
        SideBySide.run(pieces, 2);
    }

    @Test
    void printsOfTheSongAreAsLoudAsTheReadmeSays() throws IOException {
        JsonObject song = run("render", folder.resolve("song.yaml").toString(), "--out", folder.resolve("song").toString(), "--json");
        List<String> wrong = new ArrayList<>();
        String length = tenths(song.get("frames").getAsDouble() / song.get("rate_hz").getAsDouble());
        assertTrue(Files.readString(README).contains("all from the same start, " + length + " s"), "length of the prints in README.md: " + length + " s");
        List<Told> told = told("## The song");
        Set<String> named = new HashSet<>(), made = new HashSet<>();
        told.forEach(t -> named.add(t.print));
        for (JsonElement e : song.getAsJsonArray("prints")) {
            JsonObject print = e.getAsJsonObject();
            String name = print.get("name").getAsString();
            made.add(name);
            for (Told t : told) if (t.print.equals(name)) compare(t, print, song.get("rate_hz").getAsDouble(), wrong);
        }
        assertEquals(made, named, "prints in the table of README.md, 'The song'");
        assertEquals(List.of(), wrong);
    }

    @Test
    void theLeadThroughEveryChainIsAsLoudAsTheReadmeSays() throws IOException {
        List<String> wrong = new ArrayList<>();
        for (Told t : told("## The chains")) {
            Path chain = Voices.repository().resolve("chains").resolve(t.print.replace(".wav", ".yaml"));
            JsonObject print = run("render", chain.toString(), folder.resolve("lead.wav").toString(), "--out",
                    folder.resolve(t.print).toString().replace(".wav", " print.wav"), "--json");
            compare(t, print, print.get("rate_hz").getAsDouble(), wrong);
        }
        assertEquals(List.of(), wrong);
    }

    /** Rows of the table under a heading; a figure that stands alone is that of every print of its row. */
    private static List<Told> told(String heading) throws IOException {
        List<String> lines = Files.readAllLines(README);
        List<Told> told = new ArrayList<>();
        for (int i = lines.indexOf(heading) + 1; i < lines.size() && !lines.get(i).startsWith("## "); i++) {
            String row = lines.get(i);
            if (!row.startsWith("| `")) continue;
            String[] lufs = figures(LUFS, row), dbtp = figures(DBTP, row);
            Matcher seconds = SECONDS.matcher(row);
            String length = seconds.find() ? seconds.group(1) : "";
            Matcher name = NAME.matcher(row.split("\\|")[1]);
            for (int k = 0; name.find(); k++) {
                told.add(new Told(i + 1, name.group(1), Double.parseDouble(lufs[Math.min(k, lufs.length - 1)]),
                        Double.parseDouble(dbtp[Math.min(k, dbtp.length - 1)]), length));
            }
        }
        assertFalse(told.isEmpty(), heading);
        return told;
    }

    private static String[] figures(Pattern unit, String row) {
        Matcher m = unit.matcher(row);
        assertTrue(m.find(), row);
        return m.group(1).strip().split(", ");
    }

    private static void compare(Told told, JsonObject print, double rateHz, List<String> wrong) {
        String lufs = tenths(print.get("integrated_lufs").getAsDouble()), dbtp = tenths(print.get("true_peak_dbtp").getAsDouble());
        if (!tenths(told.lufs).equals(lufs) || !tenths(told.dbtp).equals(dbtp)) {
            wrong.add(String.format(Locale.ROOT, "README.md:%d says %.1f LUFS, %.1f dBTP of '%s', which has %s LUFS, %s dBTP: correct it there", told.line,
                    told.lufs, told.dbtp, told.print, lufs, dbtp));
        }
        double seconds = print.get("frames").getAsDouble() / rateHz;
        if (!told.seconds.isEmpty() && !told.seconds.equals(tenths(seconds))) {
            wrong.add(String.format(Locale.ROOT, "README.md:%d says %s s of '%s', which lasts %.1f s: correct it there", told.line, told.seconds, told.print,
                    seconds));
        }
    }

    /** As a sheet tells it. */
    private static String tenths(double value) {
        return String.format(Locale.ROOT, "%.1f", value);
    }

    private static JsonObject run(String... command) {
        StringWriter out = new StringWriter(), err = new StringWriter();
        CommandLine line = Main.commandLine();
        line.setOut(new PrintWriter(out, true));
        line.setErr(new PrintWriter(err, true));
        assertEquals(0, line.execute(command), err::toString);
        return JsonParser.parseString(out.toString()).getAsJsonObject();
    }
}

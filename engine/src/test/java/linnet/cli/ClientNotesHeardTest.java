package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonParser;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.demo.Demo;
import linnet.dsp.Cell;
import linnet.dsp.Samples;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;
import linnet.dsp.loudness.Loudness;
import linnet.dsp.loudness.TruePeak;
import linnet.dsp.pitch.PitchTrack;
import linnet.hear.Ear;
import linnet.render.SideBySide;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInfo;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/**
 * The example, sung and rendered before and after each note of a client: the prints that the note names have other samples, all others the same
 * to the bit, and the effect is what the note wanted. The mix is without its chain there: its compressor and limiter hear everything, and turn every print
 * down by another hair when anything is another. The note that is about the loudness of the mix has them.
 */
@Tag("bench")
class ClientNotesHeardTest {
    private static final int RATE = 48_000;
    private static final double BAR = 2.4;
    /** Bars at which the sections begin. */
    private static final int VERSE_1 = 2, CHORUS_1 = 10, VERSE_2 = 18, CHORUS_2 = 26, END = 35;

    @TempDir
    static Path folder;

    /** What was read of the version that is rendered now. */
    private final Map<String, double[][]> read = new TreeMap<>();
    private final List<String> figures = new ArrayList<>();

    @BeforeAll
    static void theExampleIsSung() throws Exception {
        List<Path> chains;
        try (Stream<Path> files = Files.list(Voices.repository().resolve("chains"))) {
            chains = files.toList();
        }
        List<Callable<Void>> pieces = new ArrayList<>();
        for (Demo.Piece p : Demo.pieces(folder, chains)) {
            pieces.add(() -> {
                p.write();
                return null;
            });
        }
        SideBySide.run(pieces, 2);
    }

    @AfterEach
    void figures(TestInfo info) throws IOException {
        figures.forEach(f -> System.out.println(info.getDisplayName() + ": " + f));
        // Floats of all prints are half a gigabyte.
        try (Stream<Path> versions = Files.list(folder)) {
            for (Path v : versions.filter(v -> v.getFileName().toString().startsWith("with ")).toList()) {
                try (Stream<Path> files = Files.list(v)) {
                    for (Path f : files.toList()) Files.delete(f);
                }
                Files.delete(v);
            }
        }
    }

    @Test
    void lessReverbInVerse2() throws IOException {
        ClientNote note = changes("less reverb in verse 2");
        Map<String, double[]> where = Map.of("verse 1", new double[] {VERSE_1, CHORUS_1}, "chorus 1", new double[] {CHORUS_1, VERSE_2 - 0.05}, "verse 2",
                new double[] {VERSE_2 + 0.5, CHORUS_2 - 0.3}, "chorus 2", new double[] {CHORUS_2 + 1, END});
        for (var e : where.entrySet()) {
            double by = wetter("plate", note, e.getValue()[0], e.getValue()[1]);
            figure(e.getKey() + ": plate against the dry lead", by, "LU");
            if (e.getKey().equals("verse 2")) assertEquals(-3, by, 0.5);
            else assertEquals(0, by, 0.1, e.getKey());
        }
    }

    @Test
    void leadUp() throws IOException {
        ClientNote note = changes("lead up 0.5 dB");
        for (String print : List.of("lead", "lead wet", "throws")) {
            double by = db(after(note, print), VERSE_1, END) - db(before(note, print), VERSE_1, END);
            figure(print, by, "dB");
            assertEquals(0.5, by, 0.001, print);
        }
        for (double[] s : new double[][] {{VERSE_1, CHORUS_1}, {CHORUS_1, VERSE_2}, {VERSE_2, CHORUS_2}, {CHORUS_2, END}}) {
            assertEquals(0, wetter("lead wet", note, s[0], s[1]), 0.001);
        }
    }

    @Test
    void tooFarAway() throws IOException {
        ClientNote note = changes("too far away");
        // There nobody else sings into the plate.
        double by = wetter("plate", note, VERSE_1, CHORUS_1);
        figure("verse 1: plate against the dry lead", by, "LU");
        assertEquals(-3, by, 0.1);
    }

    @Test
    void tooHarsh() throws IOException {
        ClientNote note = changes("too harsh");
        double[][] was = before(note, "lead"), is = after(note, "lead");
        double harsh = band(is, 2200, 5000, CHORUS_1, VERSE_2) - band(was, 2200, 5000, CHORUS_1, VERSE_2);
        double air = band(is, 9000, 16000, CHORUS_1, VERSE_2) - band(was, 9000, 16000, CHORUS_1, VERSE_2);
        double all = lufs(is, CHORUS_1, VERSE_2) - lufs(was, CHORUS_1, VERSE_2);
        figure("chorus 1: lead, 2.2 to 5 kHz", harsh, "dB");
        figure("chorus 1: lead, 9 to 16 kHz", air, "dB");
        figure("chorus 1: lead", all, "LU");
        assertTrue(harsh < -1.5, "harsh by " + harsh);
        assertEquals(0, air, 0.5);
        assertEquals(0, all, 1);
    }

    /** Half as far, and slower. */
    @Test
    void soundsTuned() throws IOException {
        ClientNote pitch = changes("one word is flat"), note = changes("sounds tuned");
        PitchTrack sung = pitch(before(pitch, "lead dry")), tuned = pitch(before(note, "lead dry")), gentle = pitch(after(note, "lead dry"));
        double hard = moved(sung, tuned, tuned, 0.5), soft = moved(sung, gentle, tuned, 0.5), hardest = moved(sung, tuned, tuned, 0.9),
                softest = moved(sung, gentle, tuned, 0.9);
        figure("lead dry, median where it was tuned before", hard, "cents");
        figure("and after", soft, "cents");
        figure("90th percentile before", hardest, "cents");
        figure("and after", softest, "cents");
        assertTrue(soft < 0.7 * hard && softest < 0.7 * hardest);
        assertTrue(soft > 0.2 * hard, "nothing is tuned any more");
    }

    @Test
    void chorusNotBig() throws IOException {
        ClientNote note = changes("chorus not big");
        for (int from : new int[] {CHORUS_1, CHORUS_2}) {
            int to = from == CHORUS_1 ? VERSE_2 : END - 1;
            double louder = lufs(after(note, "mix"), from, to) - lufs(before(note, "mix"), from, to);
            double wider = sides(after(note, "vocals"), from, to) - sides(before(note, "vocals"), from, to);
            figure("bar " + from + " on: mix", louder, "LU");
            figure("bar " + from + " on: sides of the vocals against their middle", wider, "dB");
            assertTrue(louder > 0.3, "louder by " + louder);
            assertTrue(wider > 1, "wider by " + wider);
        }
        // The verse before it is the same to the bit, until the ramp begins.
        int ramp = (int) ((CHORUS_1 - 1.26) * BAR * RATE);
        for (int c = 0; c < 2; c++) assertArrayEquals(Arrays.copyOf(before(note, "mix")[c], ramp), Arrays.copyOf(after(note, "mix")[c], ramp));
    }

    @Test
    void cannotHearTheWords() throws IOException {
        ClientNote note = changes("can't hear the words");
        // Seven beats of the first line; in the count-in she does not sing.
        double words = band(after(note, "instrumental"), 1000, 5000, VERSE_1 + 0.1, VERSE_1 + 1.7) - band(before(note, "instrumental"), 1000, 5000,
                VERSE_1 + 0.1, VERSE_1 + 1.7);
        figure("first line: 1 to 5 kHz of the instrumental under the lead", words, "dB");
        assertEquals(-2, words, 0.3);
        assertEquals(0, db(after(note, "instrumental"), 1, VERSE_1 - 0.3) - db(before(note, "instrumental"), 1, VERSE_1 - 0.3), 0.01);
    }

    @Test
    void harmoniesTooLoud() throws IOException {
        ClientNote note = changes("harmonies too loud");
        double by = lufs(after(note, "high"), CHORUS_1, END) - lufs(before(note, "high"), CHORUS_1, END);
        figure("high", by, "LU");
        assertEquals(-2, by, 0.1);
    }

    @Test
    void tooMuchEchoOnThatWord() throws IOException {
        ClientNote note = changes("too much echo on that word");
        double by = db(after(note, "far"), CHORUS_1 - 1, CHORUS_1 + 2) - db(before(note, "far"), CHORUS_1 - 1, CHORUS_1 + 2);
        figure("far, of that word", by, "dB");
        assertEquals(-3, by, 0.01);
        int next = at(CHORUS_1 + 5) - RATE / 2;
        double[][] was = before(note, "far"), is = after(note, "far");
        // The return opens again for the next word, and what is left of the first tail in it is heard again.
        double left = 0;
        for (int c = 0; c < 2; c++) for (int i = next; i < was[c].length; i++) left = Math.max(left, Math.abs(was[c][i] - is[c][i]));
        figure("far, of the other words", 20 * Math.log10(left), "dBFS");
        assertTrue(left < 1e-6, "left of it: " + left);
    }

    /** Here the mix has its chain, and all that goes through it is another; what does not stays. */
    @Test
    void makeItLouder() throws IOException {
        ClientNote note = ClientNote.of("make it louder");
        String prints = "prints: [ mix, mix without bus, stems, lead dry ]\n";
        for (int i = 0; i < 2; i++) {
            String song = i == 0 ? note.before() : note.song();
            render(song.substring(0, song.indexOf("\nprints:\n") + 1) + prints, i == 0 ? "bus" : "louder");
        }
        Set<String> same = new TreeSet<>(names("bus"));
        same.removeAll(changed("bus", "louder"));
        assertEquals(Set.of("mix without bus", "lead dry"), same);
        double[][] was = read("bus", "mix"), is = read("louder", "mix");
        double loud = lufs(is, 1, END + 1);
        TruePeak peak = new TruePeak(2);
        peak.add(is, is[0].length);
        figure("mix before", lufs(was, 1, END + 1), "LUFS");
        figure("mix after", loud, "LUFS");
        figure("its true peak", peak.dbtp(), "dBTP");
        assertEquals(-12, loud, 0.2);
        assertTrue(peak.dbtp() <= -1);
    }

    /** Renders both versions and sees which prints are others. */
    private ClientNote changes(String says) throws IOException {
        ClientNote note = ClientNote.of(says);
        if (!Files.exists(folder.resolve(old(note)))) render(ClientNote.unmixed(note.before()), old(note));
        render(ClientNote.unmixed(note.song()), now(note));
        assertEquals(new TreeSet<>(note.changed()), changed(old(note), now(note)), says);
        // What the lead has of a room is as long as all that rings there, to which diff holds itself: it may name one of these two too often, and none too
        // seldom.
        Set<String> told = told(note);
        assertTrue(told.containsAll(note.changed()), () -> says + ": diff names " + told);
        told.removeAll(note.changed());
        told.removeAll(Set.of("lead wet", "mix without lead"));
        assertEquals(Set.of(), told, says);
        return note;
    }

    /** Prints that change, as {@code diff} says. */
    private Set<String> told(ClientNote note) throws IOException {
        Path was = Files.writeString(folder.resolve("was.yaml"), ClientNote.unmixed(note.before())),
                is = Files.writeString(folder.resolve("is.yaml"), ClientNote.unmixed(note.song()));
        StringWriter out = new StringWriter();
        CommandLine line = Main.commandLine();
        line.setOut(new PrintWriter(out));
        assertEquals(0, line.execute("diff", was.toString(), is.toString(), "--json"));
        Set<String> changed = new TreeSet<>();
        JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonObject("prints").getAsJsonArray("changed").forEach(p -> changed.add(p.getAsString()));
        return changed;
    }

    private static String old(ClientNote note) {
        return note.after().isEmpty() ? "before" : now(ClientNote.of(note.after()));
    }

    private static String now(ClientNote note) {
        return "with " + note.says();
    }

    private void render(String text, String prints) throws IOException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, text);
        StringWriter err = new StringWriter();
        CommandLine line = Main.commandLine();
        line.setErr(new PrintWriter(err));
        line.setOut(new PrintWriter(new StringWriter()));
        assertEquals(0, line.execute("render", file.toString(), "--out", folder.resolve(prints).toString(), "--depth", "float"), err::toString);
    }

    private static Set<String> names(String prints) throws IOException {
        try (Stream<Path> files = Files.list(folder.resolve(prints))) {
            return new TreeSet<>(files.map(f -> f.getFileName().toString()).filter(f -> f.endsWith(".wav"))
                    .map(f -> f.replace("Seven Lanterns r1 ", "").replace(".wav", "")).toList());
        }
    }

    private Set<String> changed(String old, String now) throws IOException {
        assertEquals(names(old), names(now));
        Set<String> changed = new TreeSet<>();
        for (String name : names(old)) if (!Arrays.deepEquals(sound(old, name), sound(now, name))) changed.add(name);
        return changed;
    }

    private double[][] before(ClientNote note, String print) throws IOException {
        return read(old(note), print);
    }

    private double[][] after(ClientNote note, String print) throws IOException {
        return read(now(note), print);
    }

    private double[][] read(String prints, String name) throws IOException {
        String key = prints + "/" + name;
        if (!read.containsKey(key)) read.put(key, sound(prints, name));
        return read.get(key);
    }

    private static double[][] sound(String prints, String name) throws IOException {
        try (WavFile wav = WavFile.open(folder.resolve(prints).resolve("Seven Lanterns r1 " + name + ".wav"))) {
            double[][] x = new double[wav.channels()][(int) wav.frames()];
            wav.read(0, x, x[0].length);
            return x;
        }
    }

    private void figure(String what, double value, String unit) {
        figures.add(what + " " + String.format(java.util.Locale.ROOT, "%+.2f ", value) + unit);
    }

    /** By how much a print lies less far under the dry lead than it did. */
    private double wetter(String print, ClientNote note, double fromBar, double toBar) throws IOException {
        double is = lufs(after(note, print), fromBar, toBar) - lufs(after(note, "lead"), fromBar, toBar);
        return is - (lufs(before(note, print), fromBar, toBar) - lufs(before(note, "lead"), fromBar, toBar));
    }

    private static int at(double bar) {
        return (int) Math.round((bar - 1) * BAR * RATE);
    }

    private static double[][] bars(double[][] x, double fromBar, double toBar) {
        return Arrays.stream(x).map(c -> Arrays.copyOfRange(c, at(fromBar), Math.min(c.length, at(toBar)))).toArray(double[][]::new);
    }

    private static double lufs(double[][] x, double fromBar, double toBar) {
        Loudness meter = new Loudness(RATE, x.length);
        double[][] part = bars(x, fromBar, toBar);
        meter.add(part, part[0].length);
        return meter.integrated();
    }

    private static double db(double[][] x, double fromBar, double toBar) {
        double power = 0;
        double[][] part = bars(x, fromBar, toBar);
        for (double[] c : part) for (double v : c) power += v * v / part[0].length;
        return 10 * Math.log10(power);
    }

    private static double band(double[][] x, double fromHz, double toHz, double fromBar, double toBar) {
        double[][] part = bars(x, fromBar, toBar);
        for (double[] c : part) {
            Cascade filter = new Cascade(Stream.concat(Butterworth.highPass(RATE, fromHz, 8).stream(), Butterworth.lowPass(RATE, toHz, 8).stream()).toList());
            double[] cell = new double[Cell.LENGTH];
            for (int i = 0; i < c.length; i += Cell.LENGTH) {
                int n = Math.min(Cell.LENGTH, c.length - i);
                System.arraycopy(c, i, cell, 0, n);
                filter.process(cell, n);
                filter.settle();
                System.arraycopy(cell, 0, c, i, n);
            }
        }
        return db(part, 1, 1000);
    }

    /** Sides against middle, in dB. */
    private static double sides(double[][] x, double fromBar, double toBar) {
        double[][] part = bars(x, fromBar, toBar);
        double side = 0, middle = 0;
        for (int i = 0; i < part[0].length; i++) {
            side += Math.pow(part[0][i] - part[1][i], 2);
            middle += Math.pow(part[0][i] + part[1][i], 2);
        }
        return 10 * Math.log10(side / middle);
    }

    private static PitchTrack pitch(double[][] x) {
        return new Ear(new Samples(RATE, x[0])).pitch();
    }

    /** Cents by which the pitch was moved where {@code there} moved it by more than a few, at a quantile; octaves are left out. */
    private static double moved(PitchTrack sung, PitchTrack tuned, PitchTrack there, double quantile) {
        double[] cents = new double[Math.min(sung.frames(), tuned.frames())];
        int n = 0;
        for (int f = 0; f < cents.length; f++) {
            if (!sung.voiced(f) || !tuned.voiced(f) || !there.voiced(f)) continue;
            double c = cents(sung, tuned, f);
            if (c < 200 && cents(sung, there, f) > 4) cents[n++] = c;
        }
        Arrays.sort(cents, 0, n);
        return cents[(int) (quantile * (n - 1))];
    }

    private static double cents(PitchTrack one, PitchTrack other, int frame) {
        return 1200 * Math.abs(Math.log(other.fine()[frame] / one.fine()[frame]) / Math.log(2));
    }
}

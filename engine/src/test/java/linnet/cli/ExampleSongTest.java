package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.SplittableRandom;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import linnet.Voices;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import linnet.demo.Demo;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/**
 * The song file of the example, with its chains, at four times its tempo and with tones in place of its takes: quick to
 * render, and all that is told in bars stays where it is. What the tests render is made once, and then comes from the store.
 */
class ExampleSongTest {
    private static final int RATE = 24_000;
    private static final double BAR = 0.6;
    private static final int BARS = 34, CHORUS_1 = 9, VERSE_2 = 17, CHORUS_2 = 25;

    @TempDir
    static Path folder;

    private static String song;

    private final StringWriter err = new StringWriter();

    @BeforeAll
    static void aQuickCopy() throws IOException {
        try (InputStream in = Demo.class.getResourceAsStream("song.yaml")) {
            song = changed(new String(in.readAllBytes(), StandardCharsets.UTF_8), "tempo: 100 bpm", "tempo: 400 bpm");
        }
        Path chains = Files.createDirectories(folder.resolve("chains"));
        try (Stream<Path> files = Files.list(Voices.repository().resolve("chains"))) {
            for (Path f : files.toList()) Files.copy(f, chains.resolve(f.getFileName()));
        }
        Matcher take = Pattern.compile("take: ([a-z0-9-]+)\\.wav").matcher(song);
        TreeSet<String> names = new TreeSet<>();
        while (take.find()) names.add(take.group(1));
        int seed = 0;
        for (String name : names) take(name, seed++);
    }

    /** Lines of seven beats and a pause of one; verses 9 dB under choruses. */
    private static void take(String name, int seed) throws IOException {
        int firstBar = name.equals("ad-lib") ? CHORUS_2 : name.equals("lead-verse-2") ? VERSE_2 - 1 : 0;
        int lastBar = name.equals("lead-verse-2") ? CHORUS_2 : BARS;
        boolean chorusOnly = name.startsWith("high") || name.startsWith("low") || name.equals("ad-lib");
        double[][] x = new double[name.equals("bed") ? 2 : 1][(int) ((lastBar - firstBar) * BAR * RATE)];
        SplittableRandom random = new SplittableRandom(seed);
        double pitch = name.startsWith("lead") ? 240 : 200 + 25 * seed, turn = 0;
        for (int i = 0; i < x[0].length; i++) {
            double t = i / (double) RATE, bar = firstBar + t / BAR, line = (bar - 1) % 2 / 2 * 8;
            boolean chorus = bar >= CHORUS_1 && bar < VERSE_2 || bar >= CHORUS_2;
            boolean sings = bar >= 1 && bar < BARS - 1 && line < 7 && (chorus || !chorusOnly);
            // Each beat another pitch, and a room that rings at 1.3 kHz.
            double hz = pitch * (1 + 0.06 * ((int) line % 4) + 0.01 * Math.sin(2 * Math.PI * 5.5 * t));
            turn += 2 * Math.PI * hz / RATE;
            double edge = Math.min(1, Math.min(line, 7 - line) / 0.2);
            for (int c = 0; c < x.length; c++) {
                x[c][i] = 0.0005 * (random.nextDouble() - 0.5);
                if (sings) {
                    for (int k = 1; k < 12; k++) {
                        x[c][i] += (chorus ? 0.12 : 0.04) * edge / k * (1 + 2.5 / (1 + Math.pow((k * hz - 1300) / 90, 2))) * Math.sin(k * turn + c);
                    }
                }
            }
        }
        try (WavWriter writer = WavWriter.create(folder.resolve(name + ".wav"), Print.of(RATE, x.length, SampleFormat.INT_24))) {
            writer.write(x, x[0].length);
            writer.finish();
        }
    }

    @Test
    void allPrintsOfTheExampleAreMadeAndBelongTogether() throws IOException {
        Path prints = render(song, "prints");
        long frames = 0;
        int whole = 0;
        try (Stream<Path> files = Files.list(prints)) {
            for (Path f : files.filter(f -> f.toString().endsWith(".wav")).toList()) {
                try (WavFile wav = WavFile.open(f)) {
                    if (f.getFileName().toString().contains("last chorus")) {
                        assertEquals((BARS - CHORUS_2) * BAR * RATE, wav.frames(), 1);
                        continue;
                    }
                    if (frames == 0) frames = wav.frames();
                    assertEquals(frames, wav.frames(), f.toString());
                    whole++;
                }
            }
        }
        assertEquals(19, whole);
        assertTrue(Files.exists(prints.resolve("Seven Lanterns r1 sheet.md")));
        assertEquals(20, Files.readAllLines(prints.resolve("Seven Lanterns r1 sheet.sha256")).size());
        double[][] rest = read(prints, "mix");
        for (String stem : List.of("lead", "ad-lib", "instrumental", "doubles", "high", "low", "slap", "echo", "plate", "far")) {
            double[][] x = read(prints, stem);
            for (int c = 0; c < 2; c++) for (int i = 0; i < x[c].length; i++) rest[c][i] -= x[c][i];
        }
        assertTrue(peak(rest, 0, rest[0].length) < 1e-6, "the stems are not the mix by " + peak(rest, 0, rest[0].length));

        // No word is thrown before the end of the first verse, and each throw has given way where it is stopped.
        double[][] far = read(prints, "far");
        assertEquals(0, peak(far, 0, at(8) - RATE / 5));
        assertTrue(peak(far, at(8), at(CHORUS_1)) > 0.001);
        // The next one begins on a vowel, up to 150 ms earlier than it says.
        double between = peak(far, at(CHORUS_1 + 2) + RATE / 2, at(CHORUS_1 + 5) - RATE / 5);
        assertTrue(between < 1e-5, "the first throw goes on: " + between);
        assertTrue(peak(far, at(CHORUS_1 + 5), at(CHORUS_1 + 6)) > 0.001);
    }

    /** The plate alone, and what the lead sends to it: 4 dB more in the first chorus, 5 dB in the second. */
    @Test
    void chorusesAreWetterByWhatTheMovesSay() throws IOException {
        Path prints = render(alone(unthrown(changed(song, "sends: { slap: 17 LU under, plate: 15 LU under, echo: 18 LU under }",
                "sends: { plate: -17 dB }"))), "plate");
        double[][] lead = read(prints, "lead"), wet = read(prints, "lead wet");
        for (int c = 0; c < 2; c++) for (int i = 0; i < wet[c].length; i++) wet[c][i] -= lead[c][i];
        double verse1 = level(wet, 3, CHORUS_1 - 1) - level(lead, 3, CHORUS_1 - 1);
        double chorus1 = level(wet, CHORUS_1 + 2, VERSE_2 - 1) - level(lead, CHORUS_1 + 2, VERSE_2 - 1);
        double verse2 = level(wet, VERSE_2 + 4, CHORUS_2 - 1) - level(lead, VERSE_2 + 4, CHORUS_2 - 1);
        double chorus2 = level(wet, CHORUS_2 + 2, BARS - 2) - level(lead, CHORUS_2 + 2, BARS - 2);
        assertEquals(4, chorus1 - verse1, 0.5);
        assertEquals(5, chorus2 - verse2, 0.5);
        assertEquals(verse1, verse2, 0.5);
    }

    @Test
    void throwsLeaveTheLeadAsItIs() throws IOException {
        Path with = render(alone(song), "with");
        Path without = render(alone(unthrown(song)), "without");
        assertTrue(peak(read(with, "far"), 0, at(BARS)) > 0.001);
        assertEquals(0, peak(read(without, "far"), 0, at(BARS)));
        assertArrayEquals(read(with, "lead"), read(without, "lead"));
        assertArrayEquals(read(with, "lead dry"), read(without, "lead dry"));
    }

    /** The mix turns everything down by what everything is; without its chain each print is itself. */
    private static String alone(String song) {
        String rest = song.substring(0, song.indexOf("\nmix:\n") + 1);
        return rest + "prints: [ lead, lead wet, lead dry, far ]\n";
    }

    private static String unthrown(String song) {
        return song.substring(0, song.indexOf("\nthrows:\n") + 1) + song.substring(song.indexOf("\nmix:\n"));
    }

    private static String changed(String text, String was, String is) {
        assertTrue(text.contains(was), was);
        return text.replace(was, is);
    }

    private Path render(String text, String prints) throws IOException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, text);
        CommandLine line = Main.commandLine();
        line.setErr(new PrintWriter(err));
        line.setOut(new PrintWriter(new StringWriter()));
        assertEquals(0, line.execute("render", file.toString(), "--out", folder.resolve(prints).toString(), "--depth", "float"), err::toString);
        return folder.resolve(prints);
    }

    private static double[][] read(Path prints, String name) throws IOException {
        Path named = prints.resolve("Seven Lanterns r1 " + name + ".wav");
        try (WavFile wav = WavFile.open(named)) {
            double[][] x = new double[wav.channels()][(int) wav.frames()];
            wav.read(0, x, x[0].length);
            return x;
        }
    }

    /** The first sample of a bar, counted from 0. */
    private static int at(int bar) {
        return (int) Math.round(bar * BAR * RATE);
    }

    private static double peak(double[][] x, int from, int to) {
        double peak = 0;
        for (double[] side : x) for (int i = from; i < Math.min(to, side.length); i++) peak = Math.max(peak, Math.abs(side[i]));
        return peak;
    }

    private static double level(double[][] x, int fromBar, int toBar) {
        double power = 0;
        for (double[] side : x) for (int i = at(fromBar); i < at(toBar); i++) power += side[i] * side[i];
        return 10 * Math.log10(power);
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Stems as files, put together again as a mix engineer would. */
class StemFilesTest extends Called {
    private static final List<String> STEMS = List.of("lead", "instrumental", "backing", "room");

    @TempDir
    Path folder;

    @BeforeEach
    void aSong() throws IOException {
        for (int t = 0; t < 4; t++) take("take" + t + ".wav", t);
        Files.writeString(folder.resolve("song.yaml"), """
                song: x
                tempo: 240 bpm
                sections: { verse: 1, chorus: 3, end: 5 }
                parts:
                  lead: { take: take0.wav, sends: { room: -9 dB } }
                  low: { take: take1.wav, pan: 60 % left }
                  high: { take: take2.wav, pan: 60 % right }
                instrumental: { take: take3.wav }
                groups: { backing: { parts: [ low, high ], chain: [ compressor: { aim: 4 dB } ], sends: { room: -6 dB } } }
                returns: { room: { chain: [ reverb: { decay: 0.6 s } ] } }
                mix: { chain: [ compressor: { aim: 4 dB, makeup: match }, trim: { level: 6 dB }, limit: { ceiling: -1 dBTP } ] }
                prints: [ mix, lead, instrumental, backing, room ]
                """);
    }

    private void take(String name, int seed) throws IOException {
        double[][] x = new double[1][3 * 48_000];
        SplittableRandom random = new SplittableRandom(seed);
        for (int i = 0; i < x[0].length; i++) {
            double t = i / 48_000.0;
            x[0][i] = 0.001 * (random.nextDouble() - 0.5);
            if (t % 1 < 0.7) for (int k = 1; k < 10; k++) x[0][i] += 0.2 / k * Math.sin(2 * Math.PI * (160 + 30 * seed) * k * t);
        }
        try (WavWriter writer = WavWriter.create(folder.resolve(name), Print.of(48_000, 1, SampleFormat.INT_24))) {
            writer.write(x, x[0].length);
            writer.finish();
        }
    }

    /** What the trade asks: -120 dBFS in float, -110 dBFS at 24 bits, the largest sample. */
    @Test
    void stemsAddUpToTheMix() throws IOException {
        double asFloat = residue("float", ""), asIntegers = residue("24", "");
        assertTrue(asFloat < -120, "float: " + asFloat);
        assertTrue(asIntegers <= -110, "24-bit: " + asIntegers);
    }

    /** The same limits where they are printed as they go into the chain of the mix. */
    @Test
    void stemsWithoutBusAddUpToTheMixWithoutBus() throws IOException {
        prints("mix, mix without bus, stems without bus");
        double asFloat = residue("float", " without bus"), asIntegers = residue("24", " without bus");
        assertTrue(asFloat < -120, "float: " + asFloat);
        assertTrue(asIntegers <= -110, "24-bit: " + asIntegers);
        String sheet = Files.readString(folder.resolve("24").resolve("sheet.md"));
        assertTrue(sheet.lines().anyMatch(l -> l.matches(".*stems .* 4 stems without bus add up to the mix without bus within -1[1-9]\\d\\.\\d dBFS "
                + "\\(-110 dBFS or less is wanted\\).*")), sheet);
        assertFalse(sheet.contains("add up to the mix within"), sheet);
    }

    /** One entry, one word: those that stand in the list by themselves are meant too. */
    @Test
    void stemsAreMeantByOneWord() throws IOException {
        prints("mix, { print: lead without bus, depth: float }, room, stems, stems without bus, { print: stems without bus, from: chorus, to: chorus bar 2 }");
        for (String word : List.of("stems", "stems without bus", "stems without bus chorus to chorus bar 2")) {
            Path only = folder.resolve(word);
            assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", only, "--only", word), err::toString);
            try (Stream<Path> there = Files.list(only)) {
                assertEquals(STEMS.stream().map(s -> s + word.substring("stems".length()) + ".wav").sorted().toList(),
                        there.map(f -> f.getFileName().toString()).sorted().toList());
            }
        }
        Path part = folder.resolve("part");
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", part, "--only", "stems without bus", "--from", "verse bar 2", "--to", "chorus"),
                err::toString);
        assertTrue(Files.exists(part.resolve("room without bus verse bar 2 to chorus.wav")));
    }

    private void prints(String wanted) throws IOException {
        Path song = folder.resolve("song.yaml");
        Files.writeString(song, Files.readString(song).replaceFirst("prints: .*", "prints: [ " + wanted + " ]"));
    }

    /**
     * The dither of each print is its own: what is left of a mix less its sixteen stems has the power of seventeen (q^2/4 each: Lipshitz, Wannamaker,
     * Vanderkooy, JAES 40(5), 1992). In step it would have that of fifteen squared, 11 dB more.
     */
    @Test
    void theDitherOfSixteenStemsDoesNotAddUpInStep() throws IOException {
        Takes.tone(folder.resolve("silence.wav"), 220, 0, 1);
        String parts = IntStream.range(0, 16).mapToObj(p -> "  p" + p + ": { take: silence.wav }\n").collect(Collectors.joining());
        Path prints = folder.resolve("prints");
        Files.writeString(folder.resolve("song.yaml"), "song: x\ntempo: 240 bpm\nsections: { a: 1, end: 5 }\nparts:\n" + parts + "prints: [ mix, stems ]\n");
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints, "--depth", "16"), err::toString);
        double[][] rest = read(prints.resolve("mix.wav"));
        for (int p = 0; p < 16; p++) {
            double[][] x = read(prints.resolve("p" + p + ".wav"));
            for (int c = 0; c < 2; c++) for (int i = 0; i < x[c].length; i++) rest[c][i] -= x[c][i];
        }
        double q = 0x1p-15, power = Arrays.stream(rest).flatMapToDouble(Arrays::stream).map(v -> v * v).average().orElseThrow();
        // Half a million samples: four standard deviations.
        assertEquals(17 * q * q / 4, power, 0.01 * 17 * q * q / 4);
    }

    private double residue(String depth, String without) throws IOException {
        Path prints = folder.resolve(depth);
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints, "--depth", depth), err::toString);
        double[][] rest = read(prints.resolve("mix" + without + ".wav"));
        for (String stem : STEMS) {
            double[][] x = read(prints.resolve(stem + without + ".wav"));
            assertEquals(rest[0].length, x[0].length, stem);
            for (int c = 0; c < 2; c++) for (int i = 0; i < x[c].length; i++) rest[c][i] -= x[c][i];
        }
        double most = Arrays.stream(rest).flatMapToDouble(Arrays::stream).map(Math::abs).max().orElseThrow();
        return 20 * Math.log10(most);
    }

    private static double[][] read(Path file) throws IOException {
        try (WavFile wav = WavFile.open(file)) {
            double[][] x = new double[2][(int) wav.frames()];
            wav.read(0, x, x[0].length);
            return x;
        }
    }
}

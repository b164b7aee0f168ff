package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Against libebur128, an independent library, on made signals and on the real voices: reference-vectors/loudness-library. */
class LoudnessLibraryTest {
    private static final double LU = 0.02, TRUE_PEAK = 0.3;

    /** A line of the table. */
    record Row(String name, int rate, int channels, double integrated, double momentaryMax, double shortTermMax, double[] momentary,
            double[] shortTerm, double range, double truePeak, double samplePeak) {
        static Row of(String line) {
            String[] c = line.split(",");
            return new Row(c[0], Integer.parseInt(c[1]), Integer.parseInt(c[2]), number(c[3]), number(c[4]), number(c[5]), numbers(c[6]),
                    numbers(c[7]), number(c[8]), number(c[9]), number(c[10]));
        }

        private static double number(String cell) {
            return cell.equals("-inf") ? Double.NEGATIVE_INFINITY : Double.parseDouble(cell);
        }

        private static double[] numbers(String cell) {
            return Arrays.stream(cell.split(" ")).filter(s -> !s.isEmpty()).mapToDouble(Row::number).toArray();
        }

        boolean made() {
            return name.startsWith("signal");
        }
    }

    static List<Row> rows() throws IOException {
        return Files.readAllLines(Voices.repository().resolve("reference-vectors/loudness-library/expected.csv")).stream().skip(1).map(Row::of).toList();
    }

    static List<Row> made() throws IOException {
        return rows().stream().filter(Row::made).toList();
    }

    @ParameterizedTest
    @MethodSource("made")
    void agreesOnMadeSignals(Row row) {
        agrees(row, signal(row));
    }

    @Test
    void agreesOnRealVoices() throws IOException {
        Voices.assumePresent();
        for (Row row : rows()) {
            if (row.made()) continue;
            try (WavFile voice = WavFile.open(Voices.file(row.name))) {
                agrees(row, voice);
            }
        }
    }

    private static void agrees(Row row, Sound sound) {
        Meters read = Meters.of(sound);
        near(row, "integrated", row.integrated, read.integrated(), LU);
        near(row, "momentary", row.momentaryMax, read.momentaryMax(), LU);
        near(row, "short-term", row.shortTermMax, read.shortTermMax(), LU);
        near(row, "sample peak", row.samplePeak, read.samplePeak(), 1e-4);
        // From 192 kHz on the library takes the samples alone, as the standard allows; a peak between them is higher.
        if (row.rate < 192_000) near(row, "true peak", row.truePeak, read.truePeak(), TRUE_PEAK);
        else assertTrue(MetersTest.value(read.truePeak()) >= row.truePeak - 1e-4, row.name);
        series(row, row.momentary, read.momentary(), 20);
        series(row, row.shortTerm, read.shortTerm(), 50);
        if (read.shortTerm().known()) near(row, "range", row.range, Measured.of(rangeOnTheLibrarysGrid(read.shortTerm().value().get()), 1), LU);
    }

    private static void series(Row row, double[] expected, Measured<LoudnessSeries> read, int every) {
        assertEquals(expected.length == 0, !read.known(), row.name);
        if (!read.known()) return;
        LoudnessSeries series = read.value().get();
        assertEquals(expected.length, (series.size() + every - 1) / every, row.name);
        for (int i = 0; i < expected.length; i++) assertEquals(expected[i], series.lufs(i * every), LU, row.name + " at " + series.seconds(i * every));
    }

    /**
     * EBU Tech 3342 written out on the short-term loudness of every full second: the library takes one value a second, which the document
     * allows, and Linnet ten.
     */
    private static double rangeOnTheLibrarysGrid(LoudnessSeries shortTerm) {
        double[] all = IntStream.iterate(0, i -> i < shortTerm.size(), i -> i + 10).mapToDouble(shortTerm::lufs).filter(l -> l >= -70).toArray();
        double mean = 10 * Math.log10(Arrays.stream(all).map(l -> Math.pow(10, l / 10)).average().orElse(0));
        double[] kept = Arrays.stream(all).filter(l -> l >= mean - 20).sorted().toArray();
        return kept[(int) Math.round(0.95 * (kept.length - 1))] - kept[(int) Math.round(0.10 * (kept.length - 1))];
    }

    private static void near(Row row, String what, double expected, Measured<Double> read, double within) {
        if (expected == Double.NEGATIVE_INFINITY) assertTrue(!read.known(), row.name + ": " + what);
        else assertEquals(expected, MetersTest.value(read), within, row.name + ": " + what);
    }

    /** Coloured noise of which the level moves; the same numbers as make.py has, bit for bit. */
    private static Sound signal(Row row) {
        int number = Integer.parseInt(row.name.substring("signal ".length()));
        int[] seconds = {40, 20, 17, 15, 30, 12, 8, 7};
        double[][] x = new double[row.channels][row.rate * seconds[number]];
        for (int c = 0; c < row.channels; c++) {
            int state = 1 + 10 * number + c;
            double coloured = 0;
            for (int i = 0; i < x[c].length; i++) {
                state = state * 1_664_525 + 1_013_904_223;
                double noise = state / 2_147_483_648.0;
                coloured = i == 0 ? noise : 0.25 * noise + 0.75 * coloured;
                x[c][i] = coloured * Math.pow(2, -(1 + i / (row.rate * 13 / 10) * 5 % 7));
            }
        }
        return new Samples(row.rate, x);
    }
}

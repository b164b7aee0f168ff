package linnet.dsp.filter;

import java.io.IOException;
import java.nio.file.Files;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import linnet.Voices;
import linnet.dsp.Cuts;

/** What the tests of this package share: the vectors, noise, and blocks cut as an executor might cut them. */
final class Vectors {
    private Vectors() {}

    /** Rows of reference-vectors/eq, without the heading. */
    static List<String[]> rows(String name) throws IOException {
        return Files.readAllLines(Voices.repository().resolve("reference-vectors/eq").resolve(name + ".csv")).stream()
                .skip(1).map(line -> line.split(",")).toList();
    }

    static double[] doubles(String[] row, int from) {
        return Arrays.stream(row).skip(from).mapToDouble(Double::parseDouble).toArray();
    }

    static double[] noise(int n, long seed) {
        return new Random(seed).doubles(n, -1, 1).toArray();
    }

    static double[] run(double[] x, int cut, Cascade cascade) {
        return Cuts.run(x, cut, cascade::process, cascade::settle);
    }
}

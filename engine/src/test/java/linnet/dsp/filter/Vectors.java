package linnet.dsp.filter;

import java.io.IOException;
import java.nio.file.Files;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import linnet.Voices;
import linnet.dsp.Cell;

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

    interface Work {
        void process(double[] x, int n);
    }

    /** Runs {@code x} in blocks of at most {@code cut} samples that never cross a cell's border. */
    static double[] run(double[] x, int cut, Runnable begin, Work work, Runnable settle) {
        double[] y = new double[x.length], block = new double[Cell.LENGTH];
        for (int at = 0; at < x.length; ) {
            if (at % Cell.LENGTH == 0) begin.run();
            int n = Math.min(Math.min(cut, x.length - at), Cell.LENGTH - at % Cell.LENGTH);
            System.arraycopy(x, at, block, 0, n);
            work.process(block, n);
            System.arraycopy(block, 0, y, at, n);
            at += n;
            if (at % Cell.LENGTH == 0) settle.run();
        }
        return y;
    }

    static double[] run(double[] x, int cut, Cascade cascade) {
        return run(x, cut, () -> {}, cascade::process, cascade::settle);
    }
}

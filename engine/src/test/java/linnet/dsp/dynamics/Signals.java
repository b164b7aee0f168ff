package linnet.dsp.dynamics;

import java.io.IOException;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.dsp.Cell;
import linnet.dsp.Cuts;

/** Signals for the tests of dynamics. */
final class Signals {
    private Signals() {}

    /** A stretch of a voice between two labels, in seconds. */
    record Phone(double start, double end, String name) {}

    static double[] tone(double rate, double seconds, double hz, double peak) {
        double[] x = new double[(int) Math.round(seconds * rate)];
        for (int i = 0; i < x.length; i++) x[i] = peak * Math.sin(2 * Math.PI * hz * i / rate);
        return x;
    }

    static double[] noise(double rate, double seconds, double rmsDb, long seed) {
        Random random = new Random(seed);
        double[] x = new double[(int) Math.round(seconds * rate)];
        for (int i = 0; i < x.length; i++) x[i] = amplitude(rmsDb) * random.nextGaussian();
        return x;
    }

    static double[] join(double[]... parts) {
        return java.util.Arrays.stream(parts).flatMapToDouble(java.util.Arrays::stream).toArray();
    }

    static double amplitude(double db) {
        return Math.pow(10, db / 20);
    }

    static double db(double amplitude) {
        return 20 * Math.log10(Math.abs(amplitude) + 1e-15);
    }

    static double rmsDb(double[] x, int from, int to) {
        double sum = 0;
        for (int i = from; i < to; i++) sum += x[i] * x[i];
        return 10 * Math.log10(sum / (to - from) + 1e-30);
    }

    static double[] through(Cuts.Work kernel, Runnable settle, double[] x, int block) {
        return Cuts.run(x, block, kernel, settle);
    }

    /** A real voice with its rate; call only where voices are present. */
    static Voice voice(String name) throws IOException {
        try (WavFile file = WavFile.open(Voices.file(name + ".wav"))) {
            double[][] x = new double[file.channels()][(int) file.frames()], block = new double[file.channels()][4096];
            for (int at = 0; at < x[0].length; at += 4096) {
                int n = Math.min(4096, x[0].length - at);
                file.read(at, block, n);
                System.arraycopy(block[0], 0, x[0], at, n);
            }
            return new Voice(name, file.rate(), x[0]);
        }
    }

    record Voice(String name, double rate, double[] x) {
        /** RMS of stretches of that length above 100 Hz, in dBFS. */
        double[] levels(double seconds) {
            var highPass = new linnet.dsp.filter.Cascade(linnet.dsp.filter.Butterworth.highPass(rate, 100, 4));
            double[] y = through(highPass::process, highPass::settle, x, Cell.LENGTH);
            int hop = (int) (seconds * rate);
            double[] level = new double[y.length / hop];
            for (int f = 0; f < level.length; f++) level[f] = rmsDb(y, f * hop, (f + 1) * hop);
            return level;
        }

        /** The noise of its pauses as the ear measures it: RMS above 100 Hz of the quietest twentieth of 50 ms frames. */
        double noiseDb() {
            double[] sorted = levels(0.05);
            java.util.Arrays.sort(sorted);
            return sorted[sorted.length / 20];
        }

        int at(double seconds) {
            return (int) Math.round(seconds * rate);
        }

        /** The labels beside it. */
        List<Phone> phones() throws IOException {
            List<Phone> phones = new ArrayList<>();
            if (Files.exists(Voices.file(name + ".lab"))) {
                for (String line : Files.readAllLines(Voices.file(name + ".lab"))) {
                    String[] w = line.split(" ");
                    phones.add(new Phone(Double.parseDouble(w[0]) * 1e-7, Double.parseDouble(w[1]) * 1e-7, w[2]));
                }
            } else {
                for (String line : Files.readAllLines(Voices.file(name + "_phones.csv"))) {
                    String[] w = line.split(",");
                    if (!w[0].startsWith("start")) phones.add(new Phone(Double.parseDouble(w[0]), Double.parseDouble(w[1]), w[2]));
                }
            }
            return phones;
        }
    }
}

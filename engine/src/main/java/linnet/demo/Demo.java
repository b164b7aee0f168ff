package linnet.demo;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.dsp.Cell;

/** Writes the example: a raw take, what is played under it, all that is true of it, and what to try. */
public final class Demo {
    static final int RATE = 48_000;
    private static final int DOUBLES = 2;

    private Demo() {}

    /**
     * Writes {@code lead.wav} and two doubles of it (24 bit, one channel), {@code bed.wav} (24 bit, stereo), {@code lead.truth.yaml},
     * {@code lead.pitch.csv}, {@code song.yaml}, {@code README.md} and copies of the chains into the folder {@code chains}. The folder is made
     * if need be; the example's own files are replaced.
     *
     * @throws IOException where a file cannot be read or written
     */
    public static void write(Path folder, List<Path> chains) throws IOException {
        Files.createDirectories(folder);
        Score score = Song.lead();
        Performance lead = Performance.sing(score, Singer.high(), RATE);
        print(folder.resolve("lead.wav"), lead.samples());
        for (int k = 1; k <= DOUBLES; k++) print(folder.resolve("double-" + k + ".wav"), Performance.sing(score, Singer.high().seed(10 + k), RATE).samples());
        print(folder.resolve("bed.wav"), Bed.play(score, RATE));
        Files.writeString(folder.resolve("lead.truth.yaml"), lead.truth().yaml());
        Files.writeString(folder.resolve("lead.pitch.csv"), lead.truth().pitchCsv());
        Files.writeString(folder.resolve("song.yaml"), text("song.yaml"));
        Files.writeString(folder.resolve("README.md"), text("guide.md"));
        if (chains.isEmpty()) return;
        Path beside = Files.createDirectories(folder.resolve("chains"));
        for (Path chain : chains) Files.write(beside.resolve(chain.getFileName()), Files.readAllBytes(chain));
    }

    private static void print(Path file, double[]... sound) throws IOException {
        try (WavWriter writer = WavWriter.create(file, Print.of(RATE, sound.length, SampleFormat.INT_24).overwriting())) {
            double[][] block = new double[sound.length][Cell.LENGTH];
            for (int from = 0; from < sound[0].length; from += Cell.LENGTH) {
                int n = Math.min(Cell.LENGTH, sound[0].length - from);
                for (int c = 0; c < sound.length; c++) System.arraycopy(sound[c], from, block[c], 0, n);
                writer.write(block, n);
            }
            writer.finish();
        }
    }

    private static String text(String name) {
        try (InputStream in = Demo.class.getResourceAsStream(name)) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}

package linnet.demo;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.dsp.Cell;

/** Writes the example: raw takes of a whole song, what is played under them, all that is true of them, and what to try. */
public final class Demo {
    static final int RATE = 48_000;
    private static final String CHAINS = "chains", TRUTH = "truth";
    /** Folders in that of the example. */
    public static final List<String> FOLDERS = List.of(CHAINS, TRUTH);

    private Demo() {}

    /** Some of the files; it knows nothing of the others. */
    public interface Piece {
        void write() throws IOException;
    }

    /**
     * Who write into the folder the takes (24 bit, one channel), {@code bed.wav} (24 bit, stereo), what is true of each take into
     * {@code truth}, {@code song.yaml}, {@code README.md}, and copies of the chains into {@code chains}; the longest first. In any order, and
     * at once, they come to the same bits. The example's own files are replaced.
     */
    public static List<Piece> pieces(Path folder, List<Path> chains) {
        List<Piece> pieces = new ArrayList<>();
        pieces.add(() -> play(folder));
        for (Cast.Take t : Cast.takes()) pieces.add(() -> sing(folder, t));
        pieces.add(() -> texts(folder, chains));
        return pieces;
    }

    private static void texts(Path folder, List<Path> chains) throws IOException {
        Files.createDirectories(folder);
        put(folder.resolve("song.yaml"), text("song.yaml"));
        put(folder.resolve("README.md"), text("guide.md"));
        if (chains.isEmpty()) return;
        Path beside = Files.createDirectories(folder.resolve(CHAINS));
        for (Path chain : chains) put(beside.resolve(chain.getFileName()), Files.readString(chain));
    }

    private static void sing(Path folder, Cast.Take take) throws IOException {
        Path truth = Files.createDirectories(folder.resolve(TRUTH));
        Performance sung = take.sing();
        print(folder.resolve(take.name() + ".wav"), sung.samples());
        put(truth.resolve(take.name() + ".yaml"), sung.truth().yaml());
        put(truth.resolve(take.name() + ".pitch.csv"), sung.truth().pitchCsv());
    }

    /** In the place of a link, and not where it leads. */
    private static void put(Path file, String text) throws IOException {
        if (Files.isSymbolicLink(file)) Files.delete(file);
        Files.writeString(file, text, StandardOpenOption.CREATE, StandardOpenOption.TRUNCATE_EXISTING, StandardOpenOption.WRITE, LinkOption.NOFOLLOW_LINKS);
    }

    private static void play(Path folder) throws IOException {
        Files.createDirectories(folder);
        print(folder.resolve("bed.wav"), Bed.play(SevenLanterns.whole(), RATE));
    }

    static void print(Path file, double[]... sound) throws IOException {
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

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * However long a take is, the chains that must hear it first need no more memory than for a short one: each render is a program of its own with a small heap.
 */
class LongTakesTest {
    @TempDir
    Path folder;

    /** A song over and over, every third time digital silence. */
    private Path sung(int rate, double minutes) throws IOException {
        double[] song = Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), rate).samples();
        Path file = folder.resolve("sung.wav");
        try (WavWriter writer = WavWriter.create(file, Print.of(rate, 1, SampleFormat.INT_16))) {
            long left = Math.round(minutes * 60 * rate);
            for (int k = 0; left > 0; k++) {
                int n = (int) Math.min(left, song.length);
                writer.write(new double[][] {k % 3 < 2 ? song : new double[n]}, n);
                left -= n;
            }
            writer.finish();
        }
        return file;
    }

    /** 16 bits; a file of nothing but a header takes no room on most disks. */
    private Path silent(int rate, double hours) throws IOException {
        int bytes = (int) (hours * 3600 * rate * 2);
        ByteBuffer head = ByteBuffer.allocate(44).order(ByteOrder.LITTLE_ENDIAN);
        head.put(bytes("RIFF")).putInt(36 + bytes).put(bytes("WAVEfmt ")).putInt(16).putShort((short) 1).putShort((short) 1).putInt(rate).putInt(2 * rate)
                .putShort((short) 2).putShort((short) 16);
        head.put(bytes("data")).putInt(bytes);
        Path file = folder.resolve("silent.wav");
        try (RandomAccessFile out = new RandomAccessFile(file.toFile(), "rw")) {
            out.write(head.array());
            out.setLength(44L + bytes);
        }
        return file;
    }

    private static byte[] bytes(String text) {
        return text.getBytes(StandardCharsets.US_ASCII);
    }

    /** Renders with that much heap, in MB. */
    private void render(String chain, Path take, int heap) throws Exception {
        Path print = folder.resolve(chain + ".wav"), said = folder.resolve("said");
        ProcessBuilder program = new ProcessBuilder(Path.of(System.getProperty("java.home"), "bin", "java").toString(), "-Xmx" + heap + "m", "-XX:+UseSerialGC",
                "-Djava.io.tmpdir=" + folder, "-cp",
                System.getProperty("java.class.path"), Main.class.getName(), "render", "../chains/" + chain + ".yaml", take.toString(), "--out",
                        print.toString());
        int code = program.redirectErrorStream(true).redirectOutput(said.toFile()).start().waitFor();
        assertEquals(0, code, Files.readString(said));
        try (WavFile was = WavFile.open(take); WavFile is = WavFile.open(print)) {
            assertTrue(is.frames() >= was.frames());
        }
        Files.delete(print);
    }

    @Test
    void minutesOfSong() throws Exception {
        render("clean-up", sung(16_000, 5), 32);
    }

    @Test
    void hoursOfSilence() throws Exception {
        render("clean-up", silent(8000, 2), 32);
    }

    /** In the memory that the launcher gives a chain. */
    @Test
    @Tag("large")
    void twoHoursOfSongAndADayOfSilence() throws Exception {
        Path take = sung(48_000, 120);
        render("clean-up", take, 320);
        render("close-lead", take, 320);
        render("clean-up", silent(8000, 24), 320);
    }
}

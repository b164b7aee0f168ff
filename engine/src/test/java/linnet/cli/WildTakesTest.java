package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import linnet.step.Step;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import picocli.CommandLine;

/** Takes of floats that hold what is no sound: whichever step would get it, the take is refused with the place, and no print is left. */
class WildTakesTest {
    private static final int RATE = 8000;

    @TempDir
    Path folder;

    private final StringWriter err = new StringWriter();

    private int render(Path chain, Path take, Path out) {
        CommandLine line = Main.commandLine();
        line.setOut(new PrintWriter(new StringWriter()));
        line.setErr(new PrintWriter(err, true));
        return line.execute("render", chain.toString(), take.toString(), "--out", out.toString());
    }

    private Path take(float wild, int at, int n) throws IOException {
        ByteBuffer b = ByteBuffer.allocate(44 + 4 * n).order(ByteOrder.LITTLE_ENDIAN);
        b.put("RIFF".getBytes(StandardCharsets.US_ASCII)).putInt(36 + 4 * n).put("WAVEfmt ".getBytes(StandardCharsets.US_ASCII)).putInt(16).putShort((short) 3)
                .putShort((short) 1).putInt(RATE).putInt(4 * RATE)
                .putShort((short) 4).putShort((short) 32).put("data".getBytes(StandardCharsets.US_ASCII)).putInt(4 * n);
        for (int i = 0; i < n; i++) b.putFloat(i == at ? wild : (float) (0.2 * Math.sin(0.2 * i)));
        return Files.write(folder.resolve("take.wav"), b.array());
    }

    private static String row(Step step) {
        return step.body() == null ? step.word() : "eq: [ { bell: 1 kHz, gain: 1 dB } ]";
    }

    @ParameterizedTest
    @CsvSource({"NaN, that is not a number", "Infinity, that is infinite", "-Infinity, that is infinite", "2e6, beyond +120 dBFS"})
    void everyStepIsSparedASampleThatIsNone(float wild, String what) throws IOException {
        Path take = take(wild, 2000, 4000), out = Files.createDirectories(folder.resolve("out")).resolve("print.wav");
        for (Step step : Builtins.catalogue().steps()) {
            err.getBuffer().setLength(0);
            Path chain = Files.writeString(folder.resolve("chain.yaml"), "tempo: 100 bpm\nsteps:\n  - " + row(step) + "\n");
            assertEquals(4, render(chain, take, out), step.word() + ": " + err);
            assertEquals("take.wav: has a sample " + what + " at 0.250 s; export it again, as 24-bit integers\n",
                    err.toString().replace("\r", "").replace(take.getParent() + "/", ""), step.word());
            try (Stream<Path> left = Files.list(out.getParent())) {
                assertEquals(List.of(), left.toList(), step.word());
            }
        }
    }

    @Test
    void whatFindsNoMemoryOnAnyThreadIsToldInOneLine() throws Exception {
        CommandLine line = Main.commandLine();
        line.setErr(new PrintWriter(err, true));
        assertEquals(1, line.getExecutionExceptionHandler().handleExecutionException(new IllegalStateException(new OutOfMemoryError("Java heap space")),
                line, null));
        assertEquals("there is not enough memory for this; close other programs, or render a shorter take", err.toString().strip());
    }

    @Test
    void aTakeOfNoSampleIsRefusedAndOneOfOneIsPrinted() throws IOException {
        Path chain = Files.writeString(folder.resolve("chain.yaml"), "steps:\n  - trim\n"), out = folder.resolve("print.wav");
        assertEquals(4, render(chain, take(0, 0, 0), out));
        assertTrue(err.toString().contains("take.wav: holds no sound: not one whole sample is there"), err.toString());
        assertEquals(0, render(chain, take(0.5f, 0, 1), out), err.toString());
        assertTrue(Files.size(out) > 44);
    }
}

package linnet.cli;

import java.io.IOException;
import java.nio.file.Path;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;

/** Takes as files, for tests that call the program. */
final class Takes {
    private Takes() {}

    /** A tone, 24 bits at 48 kHz, in the place of what is there. */
    static void tone(Path file, double hz, double peak, double seconds) throws IOException {
        double[][] x = new double[1][(int) Math.round(seconds * 48_000)];
        for (int i = 0; i < x[0].length; i++) x[0][i] = peak * Math.sin(2 * Math.PI * hz * i / 48_000);
        try (WavWriter writer = WavWriter.create(file, Print.of(48_000, 1, SampleFormat.INT_24).overwriting())) {
            writer.write(x, x[0].length);
            writer.finish();
        }
    }
}

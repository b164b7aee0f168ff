package linnet.cli;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
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

    /** Six seconds of silence, 16 bits at 48 kHz, with two cues: verse at its beginning, and chorus at a sample. */
    static void cued(Path file, int second) throws IOException {
        ByteBuffer b = ByteBuffer.allocate(44 + 2 * 48_000 * 6 + 8 + 52 + 8 + 4 + 18 + 20).order(ByteOrder.LITTLE_ENDIAN);
        b.put("RIFF".getBytes(StandardCharsets.US_ASCII)).putInt(b.capacity() - 8).put("WAVEfmt ".getBytes(StandardCharsets.US_ASCII)).putInt(16)
                .putShort((short) 1).putShort((short) 1)
                .putInt(48_000).putInt(96_000).putShort((short) 2).putShort((short) 16).put("data".getBytes(StandardCharsets.US_ASCII)).putInt(2 * 48_000 * 6)
                        .position(44 + 2 * 48_000 * 6);
        b.put("cue ".getBytes(StandardCharsets.US_ASCII)).putInt(52).putInt(2);
        for (int k = 0; k < 2; k++) b.putInt(k + 1).putInt(k * second).put("data".getBytes(StandardCharsets.US_ASCII)).putInt(0).putInt(0).putInt(k * second);
        b.put("LIST".getBytes(StandardCharsets.US_ASCII)).putInt(4 + 18 + 20).put("adtl".getBytes(StandardCharsets.US_ASCII));
        b.put("labl".getBytes(StandardCharsets.US_ASCII)).putInt(10).putInt(1).put("verse".getBytes(StandardCharsets.US_ASCII)).put((byte) 0);
        b.put("labl".getBytes(StandardCharsets.US_ASCII)).putInt(11).putInt(2).put("chorus".getBytes(StandardCharsets.US_ASCII)).put((byte) 0);
        Files.write(file, b.array());
    }
}

package linnet.audio;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class SampleFormatTest {
    /** Eight at a time or one by one, from any byte on, with any bit at any place; and nothing before the first sample or after the last is touched. */
    @Test
    void samplesOf24BitsAreWhatTheirBytesSay() {
        int[] borders = {0, 0xFF, 0x80, 0x7F, 1};
        var random = new SplittableRandom(1);
        for (int n = 0; n < 60; n++) {
            for (int at = SampleFormat.LEAD; at < 12; at++) {
                byte[] bytes = new byte[at + 3 * n];
                for (int i = 0; i < bytes.length; i++) {
                    bytes[i] = (byte) (random.nextInt(3) == 0 ? random.nextInt(256) : borders[random.nextInt(borders.length)]);
                }
                double[] x = new double[n + 3];
                x[0] = x[1] = x[n + 2] = 9;
                SampleFormat.INT_24.decode(ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN), at, 3, x, 2, n);
                for (int i = 0; i < n; i++) {
                    int p = at + 3 * i, sample = bytes[p] & 255 | (bytes[p + 1] & 255) << 8 | bytes[p + 2] << 16;
                    assertEquals(sample / 8388608.0, x[2 + i]);
                }
                for (int outside : new int[] {0, 1, n + 2}) assertEquals(9, x[outside]);
            }
        }
    }
}

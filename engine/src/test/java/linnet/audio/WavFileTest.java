package linnet.audio;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import linnet.Voices;
import org.junit.jupiter.api.Test;

class WavFileTest {
    @Test
    void everyRealVoiceReadsTheSameInAnyOrder() throws Exception {
        for (Path voice : Voices.all()) {
            try (WavFile whole = WavFile.open(voice); WavFile parts = WavFile.open(voice)) {
                int n = (int) Math.min(whole.frames(), 200_000);
                double[][] all = new double[whole.channels()][n];
                whole.read(0, all, n);
                double[][] block = new double[whole.channels()][480];
                for (int from = n - 480; from >= 0; from -= 4801) {
                    parts.read(from, block, 480);
                    for (int c = 0; c < all.length; c++) {
                        assertArrayEquals(Arrays.copyOfRange(all[c], from, from + 480), block[c]);
                    }
                }
                assertEquals(whole.header().remarks(), List.of(), voice.toString());
            }
        }
    }
}

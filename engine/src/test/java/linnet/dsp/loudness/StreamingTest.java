package linnet.dsp.loudness;

import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import org.junit.jupiter.api.Test;

class StreamingTest {
    /** Blocks cost no memory; what is kept for each 100 ms is set aside for 50 s at a time or more, so 40 s cost none. */
    @Test
    void hearsBlocksWithoutAllocating() {
        double[][] x = {Tones.sine(8000, 300, 0.5, 0, 0.06), Tones.sine(8000, 400, 0.5, 0, 0.06)};
        Loudness loudness = new Loudness(8000, 2);
        TruePeak peak = new TruePeak(2);
        Moments moments = new Moments(8000, 2);
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        long before = 0;
        for (int i = 0; i < 40 * 8000 / 480; i++) {
            // The first blocks may still load classes; the question itself takes some bytes.
            if (i == 100) before = threads.getCurrentThreadAllocatedBytes();
            loudness.add(x, 480);
            peak.add(x, 480);
            moments.add(x, 480);
        }
        long bytes = threads.getCurrentThreadAllocatedBytes() - before;
        assertTrue(bytes < 500, bytes + " bytes");
    }
}

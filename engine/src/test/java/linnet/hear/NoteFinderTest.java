package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.BitSet;
import java.util.List;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.pitch.Semitones;
import org.junit.jupiter.api.Test;

/** What notes cost where nobody breathes. */
class NoteFinderTest {
    private static final double RATE = 8000;
    private static final int HOP = 80, NOTE = 100;
    /** In semitones over the lowest: no neighbours are near enough to be one. */
    private static final int[] SUNG = {0, 7, 24, 12, 3, 19};

    /** An hour without a breath, a second a note: of each frame it is remembered how every level was reached, in few bits. */
    @Test
    void anHourOfUnbrokenVoiceTakesLittleMemory() {
        float[] hz = new float[360_000];
        for (int f = 0; f < hz.length; f++) hz[f] = (float) Semitones.hz(45 + SUNG[f / NOTE % SUNG.length]);
        BitSet all = new BitSet();
        all.set(0, hz.length);
        PitchTrack track = new PitchTrack(HOP, hz);
        NoteFinder finder = new NoteFinder(track, new Sung(HOP, hz.length, all), new Levels(RATE, 1), List.of(), RATE);
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        long before = threads.getThreadAllocatedBytes(Thread.currentThread().getId());
        List<Note> notes = finder.find();
        double each = (threads.getThreadAllocatedBytes(Thread.currentThread().getId()) - before) / (double) hz.length;
        assertEquals(hz.length / NOTE, notes.size());
        for (int n = 0; n < notes.size(); n++) assertEquals(45 + SUNG[n % SUNG.length], notes.get(n).pitch(), 0.01);
        // Some 250 of them are of lists that are let go of at once.
        assertTrue(each < 400, each + " bytes a frame");
    }
}

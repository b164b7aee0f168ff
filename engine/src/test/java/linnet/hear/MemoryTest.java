package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import linnet.demo.Performance;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import org.junit.jupiter.api.Test;

/** What is remembered is what was heard, to the bit, and the sound is not read for it. */
class MemoryTest {
    /** As long as another, but nobody may listen to it. */
    private record Sealed(Sound as) implements Sound {
        @Override
        public double rate() {
            return as.rate();
        }

        @Override
        public int channels() {
            return as.channels();
        }

        @Override
        public long frames() {
            return as.frames();
        }

        @Override
        public void read(long from, double[][] into, int n) {
            throw new AssertionError("it was heard again");
        }
    }

    private final Notebook notebook = new Notebook();

    private void same(Ear heard, Ear recalled) {
        assertEquals(heard.noise(), recalled.noise());
        assertEquals(heard.voice(), recalled.voice());
        assertEquals(heard.peak(), recalled.peak());
        assertEquals(heard.lowestNote(), recalled.lowestNote());
        assertEquals(heard.sibilance(), recalled.sibilance());
        for (int k = 1; k <= 4; k++) assertEquals(heard.resonance(k), recalled.resonance(k));
        assertEquals(heard.marks(), recalled.marks());
        assertEquals(heard.notes(), recalled.notes());
        assertArrayEquals(heard.arrivingPitch().hz(), recalled.arrivingPitch().hz());
        assertArrayEquals(heard.arrivingPitch().fine(), recalled.arrivingPitch().fine());
        assertEquals(heard.sung().map(Sung::spans), recalled.sung().map(Sung::spans));
        assertEquals(heard.room(), recalled.room());
    }

    @Test
    void aTakeIsHeardOnce() {
        Sound take = new Samples(48_000, Performance.sing(SevenLanterns.lead(), Singer.high(), 48_000).samples());
        Ear first = new Ear(take, Told.nothing(), notebook);
        same(new Ear(take), first);
        same(first, new Ear(new Sealed(take), Told.nothing(), notebook));
        Ear later = first.on(take, "after the gate", s -> 0);
        same(later, new Ear(new Sealed(take), Told.nothing(), notebook).on(new Sealed(take), "after the gate", s -> 0));
        assertThrows(AssertionError.class, () -> new Ear(new Sealed(take), Told.nothing(), notebook).on(new Sealed(take), "elsewhere", s -> 0).peak());
    }

    @Test
    void whatCannotBeMeasuredIsRememberedToo() {
        Sound silence = new Samples(48_000, new double[48_000]);
        same(new Ear(silence, Told.nothing(), notebook), new Ear(new Sealed(silence), Told.nothing(), notebook));
    }
}

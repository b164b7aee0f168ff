package linnet.tidy;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Supplier;
import linnet.demo.Singer;
import linnet.dsp.GainCurve;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.dsp.Stretches;
import linnet.dsp.repair.Removal;
import linnet.dsp.repair.Span;
import linnet.hear.Ear;
import linnet.hear.Memory;
import linnet.hear.Notebook;
import linnet.tidy.Treatment.Join;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What was decided for a part is done again without deciding, and nothing else is. */
class TreatmentTest {
    private static final Stretches NOWHERE = new Stretches(new long[0], new long[0]);
    private static final Aims AIMS = new Aims(OptionalDouble.of(0.012), 0.5, 0.1, true, OptionalDouble.of(15), true, new Aims.Level.Lead(3));
    private static final String NAME = "treatment";

    private static final LooseDouble PAIR = LooseDouble.of(Singer.high().seed(11), 5);
    private static final Samples LEAD = cut(PAIR.lead().samples()), PART = cut(PAIR.part().samples());
    private static final Lead HEARD = new Lead(new Ear(LEAD));
    private static final Ear EAR = new Ear(PART);
    private static final Removal REMOVAL = BreathSpans.removal(EAR);

    private final Notebook memory = new Notebook();
    private final Map<String, byte[]> facts = memory.facts;
    private int asked;
    private final Supplier<Lead> lead = () -> {
        asked++;
        return HEARD;
    };
    private Tidied decided;
    private byte[] kept;
    private Treatment treatment;

    private static Samples cut(double[] x) {
        return new Samples(LooseDouble.RATE, Arrays.copyOf(x, (int) (20 * LooseDouble.RATE)));
    }

    private static double[] read(Sound sound) {
        double[][] x = new double[1][(int) sound.frames()];
        sound.read(0, x, x[0].length);
        return x[0];
    }

    private Tidied tidied() {
        return new Tidied(EAR, lead, AIMS, NOWHERE, memory);
    }

    @BeforeEach
    void decideOnce() {
        decided = tidied();
        assertEquals(1, asked);
        kept = facts.get(NAME);
        treatment = Treatment.FORM.read(kept).orElseThrow();
        // All there is to do is done here.
        assertTrue(treatment.breathless().size() > 2 && !treatment.removed().equals(treatment.breathless()) && treatment.gains().size() == 2
                && treatment.joins().size() > 5);
    }

    private void assertAsDecided(Tidied again) {
        assertArrayEquals(read(decided.sound()), read(again.sound()));
        assertEquals(decided.decisions(), again.decisions());
        assertEquals(decided.marks().all(), again.marks().all());
        for (long at = 0; at < PART.frames(); at += 997) assertEquals(decided.place(at), again.place(at));
    }

    @Test
    void whatIsRecalledIsDoneToTheBitAndNobodyIsHeard() {
        Tidied again = tidied();
        assertEquals(1, asked);
        assertAsDecided(again);
        assertAsDecided(new Tidied(EAR, HEARD, AIMS, NOWHERE));
        assertEquals(decided.decisions(), Tidied.decisions(memory).orElseThrow());
    }

    @Test
    void nothingIsKnownBeforeAnythingWasDecided() {
        assertTrue(Tidied.decisions(Memory.NONE).isEmpty());
    }

    /** A sound that is recalled goes by what is known, not by what would be decided. */
    @Test
    void whatIsKnownIsDone() {
        facts.put(NAME, Treatment.FORM.write(new Treatment(List.of(), List.of(), List.of(new GainCurve.Builder().point(0, -6).build()),
                List.of(new Join(5000, 100, 70, false, 0.5)), List.of())));
        Tidied other = tidied();
        assertEquals(1, asked);
        double[] y = read(other.sound());
        assertEquals(PART.frames() + 70, y.length);
        for (int i = 6000; i < PART.frames(); i++) assertEquals(PART.data()[0][i] * StrictMath.pow(10, -0.3), y[i + 70], 1e-9);
    }

    @Test
    void halfAFactIsNone() {
        for (int length = 0; length < kept.length; length += 7) {
            assertTrue(Treatment.FORM.read(Arrays.copyOf(kept, length)).isEmpty(), length + " of " + kept.length + " bytes");
        }
        facts.put(NAME, Arrays.copyOf(kept, kept.length / 2));
        assertAsDecided(tidied());
        assertEquals(2, asked);
        assertArrayEquals(kept, facts.get(NAME), "what was decided anew is kept in its place");
    }

    @Test
    void whatCannotBeDoneIsDecidedAnew() {
        int n = 1;
        for (Treatment t : misfits()) {
            facts.put(NAME, Treatment.FORM.write(t));
            assertFalse(t.fits(PART.frames(), REMOVAL));
            assertAsDecided(tidied());
            assertEquals(++n, asked, t.toString());
        }
    }

    private List<Treatment> misfits() {
        List<Treatment> all = new ArrayList<>();
        Span first = treatment.removed().get(0);
        for (Span s : List.of(new Span(-1, 5000, 100), new Span(PART.frames() - 5000, PART.frames() + 1, 100), new Span(5000, 6000, 0),
                new Span(5000, 6000, 501), new Span(6000, 5000, 100), new Span(Long.MIN_VALUE, Long.MAX_VALUE, 1))) {
            all.add(with(List.of(s), treatment.joins()));
        }
        all.add(with(List.of(first, first), treatment.joins()));
        all.add(with(List.of(new Span(8000, 9000, 100), new Span(8999, 9999, 100)), List.of()));
        for (Join j : List.of(new Join(5000, -1, 0, false, 0), new Join(5000, Integer.MAX_VALUE, 0, false, 0), new Join(Long.MIN_VALUE, 10, 0, false, 0),
                new Join(Long.MAX_VALUE, 10, 0, false, 0),
                new Join(5000, 10, Long.MIN_VALUE, false, 0), new Join(5000, 10, PART.frames() + 1, false, 0), new Join(5000, 10, 0, true, 0))) {
            all.add(with(List.of(), List.of(j)));
        }
        all.add(with(List.of(), List.of(new Join(5000, 100, 5, false, 0), new Join(5099, 100, 9, false, 0))));
        all.add(with(List.of(), List.of(new Join(5000, 100, 0, true, 0), new Join(6000, 100, 0, true, 0), new Join(7000, 100, 0, false, 0))));
        return all;
    }

    private Treatment with(List<Span> removed, List<Join> joins) {
        return new Treatment(treatment.breathless(), removed, treatment.gains(), joins, treatment.decisions());
    }

    /** Where no room is heard nothing can be in the place of anything. */
    @Test
    void aRoomThatIsNotHeardFillsNothing() {
        Removal none = new Removal(PART, new long[0][]);
        assertTrue(with(List.of(new Span(200_000, 210_000, 100)), List.of()).fits(PART.frames(), REMOVAL));
        assertFalse(with(List.of(new Span(200_000, 210_000, 100)), List.of()).fits(PART.frames(), none));
        List<Join> filled = List.of(new Join(5000, 100, 0, true, 0), new Join(6000, 100, 900, false, 0));
        assertTrue(with(List.of(), filled).fits(PART.frames(), REMOVAL));
        assertFalse(with(List.of(), filled).fits(PART.frames(), none));
    }

    /** Whatever single byte is another: nothing fails, and a sound comes of it or it is decided anew. */
    @Test
    void anyOtherByteIsSurvived() {
        for (int at = 0; at < kept.length; at += 31) {
            byte[] bytes = kept.clone();
            bytes[at] ^= 0x55;
            Optional<Treatment> read = Treatment.FORM.read(bytes);
            if (read.isEmpty() || !read.get().fits(PART.frames(), REMOVAL)) continue;
            read.get().pieces(PART, REMOVAL);
        }
        assertTrue(Treatment.FORM.read(ByteBuffer.allocate(4).putInt(-1).array()).isEmpty());
    }
}

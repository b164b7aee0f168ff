package linnet.tidy;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.OptionalDouble;
import java.util.Random;
import linnet.Voices;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.dsp.Stretches;
import linnet.dsp.filter.Biquad;
import linnet.hear.Ear;
import linnet.tidy.Decision.What;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The lead's own take once more, flown in as a double: drawn onto the lead it would comb. */
class CopiedTest {
    private static final double RATE = LooseDouble.RATE;
    private static final LooseDouble PAIR = LooseDouble.of(Singer.high().seed(11), 5);
    private static final Samples SUNG = seconds(PAIR.lead().samples(), 21, 0);
    private static final Lead LEAD = new Lead(new Ear(SUNG));

    /** So many seconds of it, so many samples later. */
    private static Samples seconds(double[] x, double seconds, int later) {
        double[] y = new double[(int) (seconds * RATE) + Math.max(0, later)];
        for (int i = Math.max(0, later); i < y.length && i - later < x.length; i++) y[i] = x[i - later];
        return new Samples(RATE, y);
    }

    private static List<Decision> decisions(Samples part, Lead lead) {
        Aims aims = new Aims(OptionalDouble.of(0.012), 0.5, 0.1, false, OptionalDouble.empty(), false, new Aims.Level.Left());
        return new Tidied(new Ear(part), lead, aims, new Stretches(new long[0], new long[0])).decisions();
    }

    private static List<Decision> copies(List<Decision> decisions) {
        return decisions.stream().filter(d -> d.what().word().equals("copy")).toList();
    }

    private static void isToldAndLeft(Samples part, Lead lead, double laterMs, int lines) {
        List<Decision> decisions = decisions(part, lead), copies = copies(decisions);
        assertEquals(1, copies.size(), decisions.toString());
        assertEquals(Math.abs(laterMs) < 20 ? 25 - laterMs : 0, copies.get(0).by(), 0.2, "by which it should lie later");
        assertFalse(copies.get(0).done());
        assertTrue(copies.get(0).why()
                .startsWith(lines + " of " + lines + " phrases are the lead's own recording, " + String.format("%.0f ms", Math.abs(laterMs))),
                copies.get(0).why());
        assertEquals(0, decisions.stream().filter(d -> d.what() == What.TIMING && d.done()).count(), "none is drawn onto the lead: " + decisions);
    }

    @ParameterizedTest
    @ValueSource(ints = {0, 7, 300, 960, 1211, 1920, -700})
    void isToldAndLeftWhereItLies(int later) {
        isToldAndLeft(seconds(PAIR.lead().samples(), 21, later), LEAD, 1000 * later / RATE, 4);
    }

    /** Softer, upside down, cut below 80 Hz and in a noise of its own 40 dB under it. */
    @Test
    void isKnownThroughWhatWasDoneToIt() {
        double[] x = PAIR.lead().samples().clone();
        Biquad f = Biquad.highPass(RATE, 80, Biquad.BUTTERWORTH);
        Random random = new Random(1);
        double z1 = 0, z2 = 0;
        for (int i = 0; i < x.length; i++) {
            double y = f.b0() * x[i] + z1;
            z1 = f.b1() * x[i] - f.a1() * y + z2;
            z2 = f.b2() * x[i] - f.a2() * y;
            x[i] = -0.3 * y + 3e-4 * random.nextGaussian();
        }
        isToldAndLeft(seconds(x, 21, 800), LEAD, 1000 * 800 / RATE, 4);
    }

    /** Sung once more, by the same singer or another, in unison or not. */
    @ParameterizedTest
    @CsvSource({"high, 5", "high, 8", "low, 5"})
    void aSungDoubleIsNone(String singer, long seed) {
        LooseDouble pair = LooseDouble.of((singer.equals("low") ? Singer.low() : Singer.high()).seed(seed), seed);
        List<Decision> decisions = decisions(seconds(pair.part().samples(), 21, 0), LEAD);
        assertTrue(copies(decisions).isEmpty(), decisions.toString());
        assertTrue(decisions.stream().anyMatch(d -> d.what() == What.TIMING && d.done()), "which is drawn to it");
    }

    @Test
    void twoTakesOfASongAreNone() throws Exception {
        Voices.assumePresent();
        Samples lead = VoiceRows.read("female_sing_nit004_take1.wav", 0, 15.05), part = VoiceRows.read("female_sing_nit004_take2.wav", 0.68, 15.4);
        assertTrue(copies(decisions(part, new Lead(new Ear(lead)))).isEmpty());
    }

    @ParameterizedTest
    @CsvSource({"female_sing_nit004_take1.wav, 15.05", "male_sing_vocadito01.wav, 18", "male_sing_pjs063.wav, 14.7"})
    void aCopyOfAVoiceIs(String name, double seconds) throws Exception {
        Voices.assumePresent();
        Samples lead = VoiceRows.read(name, 0, seconds), part = VoiceRows.read(name, 0, seconds);
        double[] x = new double[part.data()[0].length + 700];
        System.arraycopy(part.data()[0], 0, x, 700, part.data()[0].length);
        List<Decision> decisions = decisions(new Samples(part.rate(), x), new Lead(new Ear(lead)));
        assertEquals(25 - 700_000 / part.rate(), copies(decisions).get(0).by(), 0.2);
        assertTrue(decisions.stream().noneMatch(d -> d.what() == What.TIMING && d.done()), decisions.toString());
    }

    /** A line that was flown in for one that failed; the others are sung. */
    @Test
    void oneLineOfThemIsToldAlone() {
        double[] lead = PAIR.lead().samples(), x = PAIR.part().samples().clone();
        List<Phrases.Phrase> lines = Phrases.inTime(new Ear(SUNG));
        int from = (int) (lines.get(1).from() - RATE / 4), to = (int) (lines.get(1).to() + RATE / 4);
        System.arraycopy(lead, from - 480, x, from, to - from);
        List<Decision> copies = copies(decisions(seconds(x, 21, 0), LEAD));
        assertEquals(1, copies.size());
        assertTrue(copies.get(0).why().startsWith("1 of 4 phrases is the lead's own recording, 10 ms late"), copies.get(0).why());
        assertEquals(lines.get(1).from(), copies.get(0).from(), 0.1 * RATE, "its place");
    }
}

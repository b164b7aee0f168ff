package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.util.Arrays;
import linnet.Rig;
import linnet.Voices;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import linnet.hear.Mark;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What is ducked beside the same that is not: no gap of less than 0.3 s is one, and nothing comes later or moves at another time. */
class DuckStepTest {
    private static final double RATE = 48_000;
    private static final String ECHO = "- delay: { time: { 0 s: 150 ms, 1 s: 200 ms }, feedback: 60 %, mix: 100 %",
            ROOM = "- reverb: { pre-delay: 0 ms, width: { 0 s: 100 %, 1.5 s: 20 % }, high-pass: { 0 s: 100 Hz, 1 s: 800 Hz }, mix: 100 %";

    private static double[][] render(Samples take, String step, String more) {
        return Rig.usual().exact().render(step + more + " }", take).x();
    }

    /** Sung on two lines, the first with the closure of a stop of 110 ms in it. */
    private static Samples lines() {
        double[] x = new double[(int) (3.5 * RATE)];
        for (int i = 0; i < x.length; i++) {
            double t = i / RATE;
            boolean sings = t > 0.2 && t < 0.7 || t > 0.81 && t < 1.5 || t > 2.5 && t < 3;
            for (int k = 1; k < 12 && sings; k++) x[i] += 0.2 / k * Math.sin(2 * Math.PI * 180 * k * t);
        }
        return Rig.mono(RATE, x);
    }

    @ParameterizedTest
    @ValueSource(strings = {ECHO, ROOM})
    void nothingSwellsInTheClosureOfAStop(String step) {
        double[][] open = render(lines(), step, ""), ducked = render(lines(), step, ", duck: 12 dB, duck threshold: -20 dB");
        for (double t = 0.4; t < 1.45; t += 0.02) assertEquals(-12, level(ducked, t) - level(open, t), 0.2, "at " + t);
        assertEquals(0, level(ducked, 2.45) - level(open, 2.45), 0.5);
    }

    @ParameterizedTest
    @ValueSource(strings = {ECHO, ROOM})
    void aDuckThatHearsNobodyChangesNothing(String step) {
        double[][] open = render(lines(), step, ""), ducked = render(lines(), step, ", duck: 12 dB, duck threshold: 0 dBFS");
        for (int c = 0; c < open.length; c++) {
            int n = Math.min(open[c].length, ducked[c].length);
            assertArrayEquals(Arrays.copyOf(open[c], n), Arrays.copyOf(ducked[c], n), 0);
        }
    }

    /** In the marked phrases of a man who sings many stops the room stays down; it came up by 9.3 dB. */
    @Test
    void aRoomStaysDownWhileARealVoiceSings() throws IOException {
        Voices.assumePresent();
        Samples take = Tidied.voice("male_sing_vocadito01");
        String room = "- reverb: { decay: 4 s, mix: 100 %";
        double[][] open = render(take, room, ""), ducked = render(take, room, ", duck: 12 dB");
        for (Mark m : new Ear(take).marks().all()) {
            if (m.kind() != Mark.Kind.PHRASE) continue;
            for (double t = m.from() / take.rate() + 0.15; t < m.to() / take.rate() - 0.1; t += 0.01) {
                assertEquals(12, level(open, t, take.rate()) - level(ducked, t, take.rate()), 3, "at " + t + " s");
            }
        }
    }

    private static double level(double[][] y, double at) {
        return level(y, at, RATE);
    }

    private static double level(double[][] y, double at, double rate) {
        double sum = 0;
        for (double[] x : y) for (int i = (int) ((at - 0.005) * rate); i < (at + 0.005) * rate; i++) sum += x[i] * x[i];
        return 10 * Math.log10(sum);
    }
}

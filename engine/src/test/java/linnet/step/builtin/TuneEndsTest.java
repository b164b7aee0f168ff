package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import linnet.Rig;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.Singer;
import linnet.demo.SevenLanterns;
import linnet.dsp.Cuts;
import linnet.dsp.Samples;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Period by period over the places where what {@code tune} or {@code shift} sets anew ends and the sound itself goes on: each is as long as the one before it,
 * but for 15 %, or for what the singer's own are uneven there, and three of them are as far from the singer's as the three before were. What is left of a
 * period was once made up for in the last, by up to half, which is heard as a tick (46 of 88 ends with {@code tune}, one of three with {@code shift}), and then
 * in the last eleven, by up to 7 % each, which is heard as a slide. Not all are to be had: a voice may sound on as loud where its pitch is no longer sure, and
 * a tail may be as even as it is soft.
 */
@Tag("listening")
class TuneEndsTest {
    /** In seconds: what is set anew for less than {@code BRIEF} is not asked; sound of {@code APART} parts what is. */
    private static final double BRIEF = 0.03, APART = 0.005, HEARD = 0.06;
    private static final double UNEVEN = 0.15, METER = 0.05, SURE = 0.6, LED = 0.03;
    private static final int BEFORE = 8;

    private int ends, uneven, led;
    private final StringBuilder told = new StringBuilder();

    @Test
    void theDemosSingersEndInStep() {
        for (Singer singer : List.of(Singer.high(), Singer.low())) {
            Samples take = new Samples(48_000, Performance.sing(SevenLanterns.lead(), singer, Room.bedroom(), 48_000).samples());
            for (String settings : List.of("amount: 60 %", "amount: 100 %, ignore: 0 cents")) {
                hear("- tune: { key: D major, " + settings + " }", take, settings);
            }
        }
        inStep(100, 0.03, 0.13);
    }

    @ParameterizedTest
    @CsvSource({"- tune, 0.06, 0.07", "- shift: { by: 300 cents }, 0.16, 0.09", "- shift: { by: -200 cents }, 0.12, 0.09",
            "- shift: { by: -50 cents }, 0.12, 0.05"})
    void realVoicesEndInStep(String step, double mostUneven, double mostLed) throws IOException {
        Voices.assumePresent();
        for (Path voice : Voices.all()) {
            try (WavFile file = WavFile.open(voice)) {
                double[][] x = new double[file.channels()][(int) file.frames()];
                file.read(0, x, x[0].length);
                hear(step, new Samples(file.rate(), x), voice.getFileName().toString());
            }
        }
        inStep(80, mostUneven, mostLed);
    }

    private void inStep(int least, double mostUneven, double mostLed) {
        String all = uneven + " uneven, " + led + " led away of " + ends + " ends";
        System.out.println(all);
        assertTrue(ends >= least && uneven <= mostUneven * ends && led <= mostLed * ends, all + told);
    }

    private void hear(String steps, Samples take, String name) {
        double rate = take.rate();
        double[] x = take.data()[0], y = Rig.usual().exact().render(steps, take).mono();
        double[] sung = band(x, rate), set = band(y, rate);
        int before = ends, off = uneven;
        for (int i = 0; i < x.length; i++) {
            if (x[i] == y[i]) continue;
            int end = i + 1;
            for (int k = end; k < x.length && k - end < APART * rate; k++) if (x[k] != y[k]) end = k + 1;
            if (end - i >= BRIEF * rate) end(sung, set, end, rate);
            i = end;
        }
        told.append(String.format(Locale.ROOT, "%n%s: %d of %d", name, uneven - off, ends - before));
    }

    private void end(double[] sung, double[] set, int end, double rate) {
        int period = period(sung, end, rate), at = end - BEFORE * period;
        if (at < period || end + 4 * period > sung.length) return;
        int first = pulse(sung, at, period);
        List<Integer> periods = periods(sung, first, end, period);
        // Where the singer's own period is not found, the voice has ended before.
        int sure = first + periods.stream().limit(Math.max(0, periods.size() - 1)).mapToInt(p -> p).sum();
        List<Integer> now = periods(set, pulse(set, at, period), Math.min(end, sure), period);
        double was = unevenness(periods), is = unevenness(now);
        ends++;
        led(periods, now, end / rate);
        if (is <= Math.max(UNEVEN, was + METER)) return;
        uneven++;
        told.append(String.format(Locale.ROOT, "%n  %.3f s: by %.0f %%, sung by %.0f %%", end / rate, 100 * is, 100 * was));
    }

    /**
     * Whether three periods on the way to the end are, beside those that were sung, by more than {@code LED} longer or shorter than the three with which it
     * begins.
     */
    private void led(List<Integer> sung, List<Integer> set, double seconds) {
        double first = 0;
        for (int k = 0; k + 3 <= Math.min(sung.size(), set.size()) - 1; k++) {
            double times = (double) sum(set, k) / sum(sung, k);
            if (k == 0) first = times;
            if (Math.abs(times / first - 1) <= LED) continue;
            led++;
            told.append(String.format(Locale.ROOT, "%n  %.3f s: led away by %.1f %%", seconds, 100 * Math.abs(times / first - 1)));
            return;
        }
    }

    private static int sum(List<Integer> periods, int from) {
        return periods.get(from) + periods.get(from + 1) + periods.get(from + 2);
    }

    /** What tells a pulse from another: 60 Hz to 4 kHz. */
    private static double[] band(double[] x, double rate) {
        Cascade high = new Cascade(Butterworth.highPass(rate, 60, 4)), low = new Cascade(Butterworth.lowPass(rate, 4000, 4));
        return Cuts.run(Cuts.run(x, 480, high::process, high::settle), 480, low::process, low::settle);
    }

    private static int pulse(double[] x, int at, int period) {
        int best = at;
        for (int i = at; i < at + period; i++) if (Math.abs(x[i]) > Math.abs(x[best])) best = i;
        return best;
    }

    /** The first lag at which the last 60 ms before a place are nearly as like themselves as anywhere. */
    private static int period(double[] x, int end, double rate) {
        int n = Math.min(end, (int) (HEARD * rate)), low = (int) (rate / 700), high = Math.min(n - 1, (int) (rate / 75));
        double[] like = new double[high + 1];
        double most = 0;
        for (int lag = low; lag <= high; lag++) {
            for (int i = end - n; i + lag < end; i++) like[lag] += x[i] * x[i + lag] / (n - lag);
            most = Math.max(most, like[lag]);
        }
        int best = low;
        while (like[best] <= 0.9 * most) best++;
        while (best < high && like[best + 1] > like[best]) best++;
        return best;
    }

    /** The periods from a pulse on, the last of them over the end: each to where a period of sound is most like that around the last pulse. */
    private static List<Integer> periods(double[] x, int pulse, int end, double usual) {
        List<Integer> periods = new ArrayList<>();
        int at = pulse;
        while (at < end) {
            int side = (int) (0.5 * usual), best = 0;
            double most = SURE;
            for (int lag = (int) (0.55 * usual); lag <= 1.6 * usual && at + lag + side <= x.length; lag++) {
                double both = 0, one = 1e-20, other = 1e-20;
                for (int i = at - side; i < at + side; i++) {
                    both += x[i] * x[i + lag];
                    one += x[i] * x[i];
                    other += x[i + lag] * x[i + lag];
                }
                double like = both / Math.sqrt(one * other);
                if (like < most) continue;
                most = like;
                best = lag;
            }
            if (best == 0) return periods;
            periods.add(best);
            at += best;
            if (best > 0.8 * usual && best < 1.25 * usual) usual = 0.5 * (usual + best);
        }
        return periods;
    }

    private static double unevenness(List<Integer> periods) {
        double most = 0;
        for (int k = 1; k < periods.size(); k++) most = Math.max(most, Math.abs((double) periods.get(k) / periods.get(k - 1) - 1));
        return most;
    }
}

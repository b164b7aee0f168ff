package linnet.dsp.dynamics;

import static linnet.dsp.dynamics.Signals.amplitude;
import static linnet.dsp.dynamics.Signals.join;
import static linnet.dsp.dynamics.Signals.noise;
import static linnet.dsp.dynamics.Signals.through;
import static linnet.dsp.dynamics.Signals.tone;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import linnet.Voices;
import linnet.dsp.Cell;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Limits for real voices: the gate rows of the trade's acceptance checks (onset, end, chatter, floor); common practice. */
class GateTest {
    private static final double RATE = 48000;
    private static final double FLOOR = -12;

    /** Threshold -40, hysteresis 4, floor -12 dB; attack 5, hold 100, release 200 ms. */
    private static Gate gate(double rate, double thresholdDb, double lookaheadMs) {
        Gate gate = new Gate(rate, lookaheadMs);
        gate.set(thresholdDb, 4, FLOOR, 5, 100, 200);
        return gate;
    }

    private static Gate gate() {
        return gate(RATE, -40, 90);
    }

    /** Gain in dB at each sample of x: the gate is asked after every sample. */
    private static double[] gains(Gate gate, double[] x) {
        int late = gate.latency();
        double[] padded = Arrays.copyOf(x, x.length + late), gain = new double[padded.length], one = new double[1];
        for (int i = 0; i < padded.length; i++) {
            one[0] = padded[i];
            gate.process(one, 1);
            gain[i] = -gate.reductionDb();
            if ((i + 1) % Cell.LENGTH == 0) gate.settle();
        }
        return Arrays.copyOfRange(gain, late, gain.length);
    }

    /**
     * Oracle: the definition, spelled out with the whole take in hand. Open is what lies from a look-ahead before to a hold
     * after any place where the key is up; gaps shorter than the shortest pause are filled; the gain follows by the
     * one-pole law of ballistics (Giannoulis, Massberg and Reiss 2012) in dB.
     */
    private static double[] definition(double[] x, double thresholdDb, double lookaheadMs) {
        int ahead = (int) Math.round(lookaheadMs * 48), hold = 4800, pause = 7200, late = ahead + pause;
        Cascade highPass = new Cascade(Butterworth.highPass(RATE, 100, 4));
        double[] key = through(highPass::process, highPass::settle, x, Cell.LENGTH);
        boolean[] up = new boolean[x.length];
        double power = 0, a = Math.exp(-1 / 480.0);
        for (int i = 0; i < x.length; i++) {
            power = a * power + (1 - a) * key[i] * key[i];
            double level = 10 * Math.log10(power);
            up[i] = i > 0 && up[i - 1] ? level >= thresholdDb - 4 : level >= thresholdDb;
        }
        boolean[] open = new boolean[x.length + late]; // from a latency before the take
        for (int i = 0; i < x.length; i++) {
            if (up[i]) Arrays.fill(open, late + i - ahead, Math.min(open.length, late + i + hold + 1), true);
        }
        for (int i = 0, closed = -pause; i < open.length; i++) {
            if (!open[i]) continue;
            if (i - closed - 1 < pause && i > closed + 1) Arrays.fill(open, closed + 1, i, true);
            closed = i;
        }
        double[] gain = new double[x.length];
        double db = FLOOR;
        for (int i = 0; i < open.length; i++) {
            double target = open[i] ? 0 : FLOOR, tau = open[i] ? 240 : 9600;
            db = target + (db - target) * Math.exp(-1 / tau);
            if (i >= late) gain[i - late] = db;
        }
        return gain;
    }

    /** Words and gaps of many lengths, some only just too short to close for. */
    private static double[] words() {
        double[] x = noise(RATE, 0.5, -70, 1);
        double[] gaps = {0.25, 0.32, 0.335, 0.34, 0.345, 0.35, 0.4, 0.5, 0.9, 0.36};
        for (double gap : gaps) x = join(x, tone(RATE, 0.12, 300, 0.1), noise(RATE, gap, -70, 2));
        return x;
    }

    @Test
    void followsItsDefinition() {
        double[] x = words(), gain = gains(gate(), x), expected = definition(x, -40, 90);
        for (int i = 0; i < x.length - 12000; i++) assertEquals(expected[i], gain[i], 2e-6, "at " + i / RATE);
    }

    @Test
    void followsItsDefinitionWithoutLookahead() {
        double[] x = words(), gain = gains(gate(RATE, -40, 0), x), expected = definition(x, -40, 0);
        for (int i = 0; i < x.length - 12000; i++) assertEquals(expected[i], gain[i], 2e-6, "at " + i / RATE);
    }

    @ParameterizedTest
    @ValueSource(doubles = {8000, 48000})
    void readsTheRmsOfATone(double rate) {
        // A sine of RMS -40 dBFS has its peak 3.01 dB above (mean of sin² is 1/2); the ripple of the mean square is below 0.2 dB.
        double peak = amplitude(-40) * Math.sqrt(2);
        double[] opens = gains(gate(rate, -40, 90), tone(rate, 2, 1000, peak * amplitude(0.2)));
        double[] doesNot = gains(gate(rate, -40, 90), tone(rate, 2, 1000, peak * amplitude(-0.2)));
        assertEquals(0, opens[(int) rate], 1e-6);
        assertEquals(FLOOR, doesNot[(int) rate], 1e-6);
    }

    /** A new floor is gone to in the release time, while the gate is closed; an open gate does not hear of it. */
    @Test
    void aFloorThatMovesIsGlidedTo() {
        Gate gate = gate();
        double[] silence = new double[Cell.LENGTH];
        for (int cell = 0; cell < 50; cell++) {
            gate.process(silence, Cell.LENGTH);
            gate.settle();
        }
        assertEquals(-FLOOR, gate.reductionDb(), 1e-9);
        gate.set(-40, 4, -30, 5, 100, 200);
        for (int cell = 1; cell <= 20; cell++) {
            gate.process(silence, Cell.LENGTH);
            gate.settle();
            assertEquals(30 - 18 * Math.exp(-cell * Cell.LENGTH / (0.2 * RATE)), gate.reductionDb(), 1e-6, "cell " + cell);
        }
    }

    @Test
    void aLevelInsideTheHysteresisNeverToggles() {
        double[] x = tone(RATE, 8, 220, 1);
        for (int i = 0; i < x.length; i++) {
            double swing = -42 + 1.5 * Math.sin(2 * Math.PI * 6 * i / RATE); // a vibrato's tremor, between -43.5 and -40.5
            x[i] *= amplitude(i < 48000 ? -30 : swing) * Math.sqrt(2);
        }
        double[] gain = gains(gate(), x);
        for (int i = 0; i < x.length; i++) assertTrue(gain[i] > -1e-3, "opened once and for all, at " + i / RATE);
        double[] never = gains(gate(), Arrays.copyOfRange(x, 48000, x.length));
        for (int i = 0; i < never.length; i++) assertEquals(FLOOR, never[i], 1e-9, "at " + i / RATE);
    }

    @Test
    void rumbleDoesNotOpenIt() {
        double[] rumble = tone(RATE, 3, 30, amplitude(-22)); // 18 dB over the threshold; fourth order at 100 Hz takes 42 dB
        for (double g : gains(gate(), rumble)) assertEquals(FLOOR, g, 1e-9);
    }

    @Test
    void anOpenGateIsABitExactDelay() {
        double[] x = join(new double[4800], tone(RATE, 2, 250, 0.5));
        Gate gate = gate();
        double[] y = through(gate::process, gate::settle, x, Cell.LENGTH);
        for (int i = 12000; i + gate.latency() < x.length; i++) assertEquals(x[i], y[i + gate.latency()]);
    }

    @Test
    void aFloorOfNothingIsABitExactDelay() {
        Gate gate = new Gate(RATE, 90);
        gate.set(-40, 4, 0, 5, 100, 200);
        double[] x = words(), y = through(gate::process, gate::settle, x, 64);
        for (int i = 0; i + gate.latency() < x.length; i++) assertEquals(x[i], y[i + gate.latency()]);
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 7, 64})
    void anyCutGivesTheSameBits(int block) {
        Gate whole = gate(), cut = gate();
        double[] x = words();
        assertArrayEquals(through(whole::process, whole::settle, x, Cell.LENGTH), through(cut::process, cut::settle, x, block));
    }

    @Test
    void twoChannelsShareTheGainOfTheLouder() {
        double[] loud = words(), quiet = noise(RATE, loud.length / RATE, -60, 3), l = loud.clone(), r = quiet.clone();
        double[] gain = gains(gate(), loud);
        Gate gate = gate();
        double[] a = new double[Cell.LENGTH], b = new double[Cell.LENGTH];
        for (int at = 0; at + Cell.LENGTH <= l.length; at += Cell.LENGTH) {
            System.arraycopy(loud, at, a, 0, Cell.LENGTH);
            System.arraycopy(quiet, at, b, 0, Cell.LENGTH);
            gate.process(a, b, Cell.LENGTH);
            gate.settle();
            System.arraycopy(a, 0, l, at, Cell.LENGTH);
            System.arraycopy(b, 0, r, at, Cell.LENGTH);
        }
        for (int i = 0; i + Cell.LENGTH + gate.latency() < l.length; i++) {
            assertEquals(loud[i] * amplitude(gain[i]), l[i + gate.latency()], 1e-7);
            assertEquals(quiet[i] * amplitude(gain[i]), r[i + gate.latency()], 1e-7);
        }
    }

    /** Whichever side it is on, a voice opens both; and what follows the gate is turned as the gate turns, sample by sample. */
    @ParameterizedTest
    @ValueSource(booleans = {true, false})
    void eitherChannelOpensBothAndFollowersGoAlong(boolean voiceIsLeft) {
        double[] voice = words(), other = noise(RATE, voice.length / RATE, -60, 3), gain = gains(gate(), voice);
        Gate gate = gate(), single = gate();
        Gate.Follower pair = gate.follower(), mono = single.follower();
        int late = gate.latency(), n = Cell.LENGTH;
        double[] a = new double[n], b = new double[n], c = new double[n], d = new double[n], e = new double[n], f = new double[n];
        for (int at = 0; at + n <= other.length; at += n) {
            for (double[] x : List.of(a, e)) System.arraycopy(voice, at, x, 0, n);
            for (double[] x : List.of(b, c, f)) System.arraycopy(other, at, x, 0, n);
            for (int i = 0; i < n; i++) d[i] = 1;
            gate.process(voiceIsLeft ? a : b, voiceIsLeft ? b : a, n);
            pair.process(c, d, n);
            gate.settle();
            single.process(e, n);
            mono.process(f, n);
            single.settle();
            for (int i = 0; i < n; i++) {
                int from = at + i - late;
                double expected = from < 0 || from >= gain.length ? Double.NaN : amplitude(gain[from]);
                if (Double.isNaN(expected)) continue;
                assertEquals(voice[from] * expected, a[i], 1e-7);
                assertEquals(other[from] * expected, b[i], 1e-7);
                assertEquals(b[i], c[i]);
                assertEquals(expected, d[i], 1e-7);
                assertEquals(a[i], e[i], 1e-7);
                assertEquals(b[i], f[i], 1e-7);
            }
        }
    }

    @ParameterizedTest
    @ValueSource(doubles = {44100, 96000, 192000})
    void staysFiniteAndQuiet(double rate) {
        double[] square = new double[48000], constant = new double[48000];
        for (int i = 0; i < square.length; i++) square[i] = i / 50 % 2 == 0 ? 1 : -1;
        Arrays.fill(constant, 1);
        for (double[] x : List.of(square, constant, new double[48000])) {
            Gate gate = gate(rate, -40, 90);
            double[] y = through(gate::process, gate::settle, x, 480);
            for (double v : y) assertTrue(Math.abs(v) <= 1);
        }
        Gate gate = gate(rate, -90, 90);
        for (double v : through(gate::process, gate::settle, new double[48000], 480)) assertEquals(0, v);
    }

    @ParameterizedTest
    @ValueSource(strings = {"male_sing_pjs063", "female_sing_nit004_take1", "female_sing_nit004_take2"})
    void noMarkedPhoneLosesItsBeginning(String name) throws IOException {
        Voices.assumePresent();
        Signals.Voice voice = Signals.voice(name);
        double[] gain = gains(gate(voice.rate(), voice.noiseDb() + 10, 90), voice.x());
        for (Signals.Phone phone : voice.phones()) {
            if (phone.name().equals("pau")) continue;
            int from = voice.at(phone.start()), to = Math.min(gain.length, voice.at(phone.end()));
            for (int i = from; i < to; i++) {
                assertTrue(gain[i] >= -0.5, () -> phone + " is lowered");
            }
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {
        "male_sing_pjs063", "female_sing_nit004_take1", "female_sing_nit004_take2", "male_sing_vocadito01",
        "male_sing_hot_vocadito10", "female_sing_aah_sms", "female_speech_sms", "male_speech_noisy_sms",
        "male_speech_plosive_xmas", "male_speech_sibilant_pjs005"
    })
    void keepsEndingsAndDoesNotChatter(String name) throws IOException {
        Voices.assumePresent();
        Signals.Voice voice = Signals.voice(name);
        double threshold = voice.noiseDb() + 10;
        double[] gain = gains(gate(voice.rate(), threshold, 90), voice.x()), level = voice.levels(0.01);
        double peak = Arrays.stream(level).max().orElseThrow();
        double down = Math.max(peak - 35, threshold); // nobody can follow an ending below the noise
        int hop = (int) (0.01 * voice.rate());
        for (int f = 0; f < level.length; f++) {
            if (level[f] < down) continue;
            for (int i = f * hop; i < (f + 1) * hop; i++) assertTrue(gain[i] >= -1, name + " is cut at " + i / voice.rate());
        }
        List<Integer> turns = new ArrayList<>();
        for (int i = 2; i < gain.length; i++) {
            if ((gain[i] - gain[i - 1]) * (gain[i - 1] - gain[i - 2]) < 0) turns.add(i);
        }
        for (int i = 2; i < turns.size(); i++) {
            assertTrue(turns.get(i) - turns.get(i - 2) > 0.15 * voice.rate(), name + " chatters at " + turns.get(i) / voice.rate());
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"male_sing_pjs063", "female_sing_nit004_take1", "male_sing_vocadito01", "male_sing_hot_vocadito10"})
    void lowersAPauseToTheFloorAndOpensInTime(String name) throws IOException {
        Voices.assumePresent();
        Signals.Voice voice = Signals.voice(name);
        double noise = voice.noiseDb();
        int pause = (int) (2 * voice.rate());
        // The takes have few pauses without breath: one of steady noise at the take's own level is put before and after.
        double[] x = join(noise(voice.rate(), 2, noise, 5), voice.x(), noise(voice.rate(), 2, noise, 6));
        double[] gain = gains(gate(voice.rate(), noise + 10, 90), x);
        for (int i = 0; i < pause - (int) (0.1 * voice.rate()); i++) assertEquals(FLOOR, gain[i], 0.5, "before");
        for (int i = x.length - pause / 4; i < x.length; i++) assertEquals(FLOOR, gain[i], 0.5, "after");
    }
}

package linnet.dsp.dynamics;

import static linnet.dsp.dynamics.Signals.amplitude;
import static linnet.dsp.dynamics.Signals.join;
import static linnet.dsp.dynamics.Signals.noise;
import static linnet.dsp.dynamics.Signals.rmsDb;
import static linnet.dsp.dynamics.Signals.through;
import static linnet.dsp.dynamics.Signals.tone;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;
import linnet.Voices;
import linnet.dsp.Cell;
import linnet.dsp.Stretches;
import linnet.dsp.Samples;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Limits for real voices: the de-ess row of the trade's acceptance checks; common practice. */
class DeEsserTest {
    private static final double RATE = 48000;

    /** Band 8 kHz, threshold 0 dB; attack 1, release 30 ms. */
    private static DeEsser deEsser(double rate, double mostDb) {
        DeEsser deEsser = new DeEsser(rate);
        deEsser.set(8000, 0, mostDb, 1, 30);
        return deEsser;
    }

    /** The output, aligned to x, and the reduction at each of its samples. */
    private record Result(double[] y, double[] reductionDb) {}

    private static Result run(DeEsser deEsser, double[] x) {
        int late = deEsser.latency();
        double[] y = Arrays.copyOf(x, x.length + late), reduction = new double[y.length], one = new double[1];
        for (int i = 0; i < y.length; i++) {
            one[0] = y[i];
            deEsser.process(one, 1);
            y[i] = one[0];
            reduction[i] = deEsser.reductionDb();
            if ((i + 1) % Cell.LENGTH == 0) deEsser.settle();
        }
        return new Result(Arrays.copyOfRange(y, late, y.length), Arrays.copyOfRange(reduction, late, reduction.length));
    }

    private static double[] mix(double[] a, double[] b) {
        double[] sum = a.clone();
        for (int i = 0; i < sum.length; i++) sum[i] += b[i];
        return sum;
    }

    /** Amplitude of one tone in whole periods of x, by its Fourier coefficient. */
    private static double amplitudeAt(double[] x, double hz, int from, int n) {
        double re = 0, im = 0;
        for (int i = from; i < from + n; i++) {
            re += x[i] * Math.cos(2 * Math.PI * hz * i / RATE);
            im += x[i] * Math.sin(2 * Math.PI * hz * i / RATE);
        }
        return 2 * Math.hypot(re, im) / n;
    }

    /** Vowels and s by turns. */
    private static double[] words() {
        double[] x = new double[2400];
        for (int k = 0; k < 5; k++) {
            double[] s = noise(RATE, 0.1 + 0.01 * k, -25, k);
            Cascade high = new Cascade(Butterworth.highPass(RATE, 5500, 4));
            x = join(x, mix(tone(RATE, 0.2, 200, 0.2), tone(RATE, 0.2, 2500, 0.02)), through(high::process, high::settle, s, 480));
        }
        return x;
    }

    @Test
    void aVowelPassesBitExactly() {
        double[] x = mix(tone(RATE, 1, 200, 0.3), tone(RATE, 1, 3000, 0.1)), y = run(deEsser(RATE, 6), x).y();
        // Only the very first milliseconds of a tone that is switched on are a click, and sibilant.
        for (int i = 24000; i < x.length; i++) assertEquals(x[i], y[i]);
    }

    @ParameterizedTest
    @CsvSource({"100, 0", "500, 0", "1000, 0", "1500, 0", "4800, -6", "6000, -6", "8000, -6", "12000, -6", "20000, -6"})
    void atWorkItIsAShelf(double hz, double expectedDb) {
        // A strong 9 kHz holds it at work, the tone that is measured lies 30 dB below.
        DeEsser deEsser = deEsser(RATE, 6);
        double[] x = mix(tone(RATE, 1, 9000, 0.3), tone(RATE, 1, hz, 0.01)), y = run(deEsser, x).y();
        double db = 20 * Math.log10(amplitudeAt(y, hz, 24000, 19200) / amplitudeAt(x, hz, 24000, 19200));
        // Kaiser design for 50 dB: 1 - (1 - g) 10^(-50/20) is within 0.05 dB.
        assertEquals(expectedDb, db, 0.05);
        assertEquals(db, deEsser.responseDb(hz), 0.002);
    }

    @Test
    void aMixOfDryAndWetDoesNotComb() {
        for (double hz = 1000; hz < 20000; hz += 500) {
            double[] x = mix(tone(RATE, 0.5, 9100, 0.3), tone(RATE, 0.5, hz, 0.01));
            double[] y = run(deEsser(RATE, 6), x).y();
            double wet = amplitudeAt(y, hz, 12000, 9600), dry = amplitudeAt(x, hz, 12000, 9600);
            // In phase, amplitudes add: this fails for any split with an all-pass sum.
            assertEquals(dry + wet, amplitudeAt(mix(x, y), hz, 12000, 9600), 1e-5 * dry + 1e-8, "at " + hz);
        }
    }

    @ParameterizedTest
    @CsvSource({"-3, 0", "0, 0", "1.5, 2", "3, 4", "4.5, 6", "6, 8", "12, 8"})
    void theReductionFollowsTheBalance(double balanceDb, double expectedDb) {
        // Definition: from the threshold on, the whole of `most` (8 dB) within 6 dB. 1 kHz is far below the detector's edge, 12 kHz above.
        double[] x = mix(tone(RATE, 1, 1000, 0.1), tone(RATE, 1, 12000, 0.1 * amplitude(balanceDb)));
        double[] reduction = run(deEsser(RATE, 8), x).reductionDb();
        assertEquals(expectedDb, Arrays.stream(reduction, 24000, 43200).average().orElseThrow(), 0.15);
    }

    @Test
    void quietAndLoudAreTreatedAlike() {
        double[] loud = words(), quiet = Arrays.stream(loud).map(v -> v / 8).toArray();
        double[] a = run(deEsser(RATE, 6), loud).reductionDb(), b = run(deEsser(RATE, 6), quiet).reductionDb();
        assertTrue(Arrays.stream(a).max().orElseThrow() > 5.9);
        for (int i = 12000; i < a.length; i++) assertEquals(a[i], b[i], 0.1, "at " + i / RATE);
    }

    @Test
    void hissInAPauseIsLeftAlone() {
        double[] hiss = noise(RATE, 3, -75, 7); // white: more than half its power lies above the edge
        double[] x = join(hiss, tone(RATE, 1, 200, 0.2), hiss), y = run(deEsser(RATE, 6), x).y();
        for (int i = 0; i < hiss.length - 4800; i++) assertEquals(x[i], y[i]);
        // Where a tone is cut off it clicks; the release has arrived 0.5 s after.
        for (int i = x.length - hiss.length + 28800; i < x.length; i++) assertEquals(x[i], y[i]);
    }

    /** By a factor that moves exponents only, so that every bit must follow. */
    @ParameterizedTest
    @CsvSource({"male_speech_sibilant_pjs005, 6900", "male_sing_pjs063, 8800", "male_sing_vocadito01, 7000"})
    void aTakeThatIsSofterAsAWholeIsTreatedAlike(String name, double bandHz) throws IOException {
        Voices.assumePresent();
        Signals.Voice voice = Signals.voice(name);
        double[] usual = Arrays.stream(voice.x()).map(v -> v * 2).toArray(), soft = Arrays.stream(usual).map(v -> v / 16).toArray();
        double[] a = expecting(voice.rate(), bandHz, usual).reductionDb(), b = expecting(voice.rate(), bandHz, soft).reductionDb();
        assertTrue(Arrays.stream(a).max().orElseThrow() > 5);
        for (int i = 0; i < a.length; i++) assertEquals(a[i], b[i], 1e-6, "at " + i / voice.rate());
    }

    /** The same of made-up words, at once and 26 and 40 dB under that, as a voice that comes nearer: what is soft beside the rest is near the limit of hiss. */
    @ParameterizedTest
    @ValueSource(ints = {2, 16, 32})
    void madeUpWordsThatAreSofterAsAWholeAreTreatedAlike(int times) {
        double[] words = words(), usual = join(times(words, 0.01), times(words, 0.05), words, times(words, 0.05), times(words, 0.01)),
                soft = times(usual, 1.0 / times);
        double[] a = expecting(RATE, 8000, usual).reductionDb(), b = expecting(RATE, 8000, soft).reductionDb();
        assertArrayEquals(a, b, 1e-6);
        int n = words.length;
        double[] most = new double[5];
        for (int k = 0; k < 5; k++) most[k] = Arrays.stream(a, k * n, (k + 1) * n).max().orElseThrow();
        assertTrue(most[2] > 7.9 && most[0] < 7, "the limit of hiss comes to bear on the softest: " + Arrays.toString(most));
    }

    private static double[] times(double[] x, double factor) {
        return Arrays.stream(x).map(v -> v * factor).toArray();
    }

    /** As the step runs it, which has heard the take. */
    private static Result expecting(double rate, double bandHz, double[] x) {
        DeEsser deEsser = new DeEsser(rate);
        deEsser.set(bandHz, 0, 8, 1, 30);
        double[] toCome = DeEsser.loudestToCome(new Samples(rate, x)), y = Arrays.copyOf(x, x.length + deEsser.latency()), reduction = new double[y.length];
        deEsser.expect(toCome);
        for (int at = 0; at < y.length; at++) {
            if (at % Cell.LENGTH == 0) deEsser.expect(at, at / Cell.LENGTH < toCome.length ? toCome[at / Cell.LENGTH] : 0, false);
            double[] one = {y[at]};
            deEsser.process(one, 1);
            y[at] = one[0];
            reduction[at] = deEsser.reductionDb();
            if ((at + 1) % Cell.LENGTH == 0) deEsser.settle();
        }
        return new Result(y, reduction);
    }

    /** A take in which nobody sings: hiss has the balance of an s, and is none. */
    @ParameterizedTest
    @ValueSource(doubles = {-100, -85, -75})
    void hissOfATakeWithoutAVoiceIsLeftAlone(double dbfs) {
        double[] hiss = noise(RATE, 2, dbfs, 7);
        for (double db : expecting(RATE, 8000, hiss).reductionDb()) assertEquals(0, db);
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 7, 64})
    void anyCutGivesTheSameBits(int block) {
        DeEsser whole = deEsser(RATE, 6), cut = deEsser(RATE, 6);
        double[] x = words();
        assertArrayEquals(through(whole::process, whole::settle, x, Cell.LENGTH), through(cut::process, cut::settle, x, block));
    }

    @Test
    void twoChannelsAreLoweredAlike() {
        double[] left = words(), right = Arrays.stream(left).map(v -> v / 2).toArray();
        double[] alone = run(deEsser(RATE, 6), left).y(), l = new double[Cell.LENGTH], r = new double[Cell.LENGTH];
        DeEsser deEsser = deEsser(RATE, 6);
        for (int at = 0; at + Cell.LENGTH <= left.length; at += Cell.LENGTH) {
            System.arraycopy(left, at, l, 0, Cell.LENGTH);
            System.arraycopy(right, at, r, 0, Cell.LENGTH);
            deEsser.process(l, r, Cell.LENGTH);
            deEsser.settle();
            for (int i = 0; i < Cell.LENGTH; i++) {
                assertEquals(l[i] / 2, r[i], 1e-15);
                if (at + i > 12000) assertEquals(alone[at + i - deEsser.latency()], l[i], 1e-3);
            }
        }
    }

    @Test
    void aMovedBandIsTakenUpAfterTheSibilant() {
        DeEsser moved = deEsser(RATE, 6);
        double[] x = tone(RATE, 0.2, 9000, 0.3), vowel = tone(RATE, 1, 200, 0.3);
        through(moved::process, moved::settle, x, Cell.LENGTH);
        double before = moved.reductionDb();
        moved.set(12000, 0, 6, 1, 30);
        double[] y = through(moved::process, moved::settle, x, Cell.LENGTH);
        assertEquals(before, moved.reductionDb(), 1e-6);
        // The tones join at a whole number of periods: nothing may be heard where the band would have moved.
        for (int i = 480; i < y.length; i++) assertEquals(x[i - 240] * amplitude(-6), y[i], 1e-3);
        through(moved::process, moved::settle, vowel, Cell.LENGTH);
        moved.set(12000, 0, 6, 1, 30);
        through(moved::process, moved::settle, mix(tone(RATE, 1, 3700, 0.1), tone(RATE, 1, 4300, 0.1)), Cell.LENGTH);
        assertEquals(0, moved.reductionDb(), "from 12 kHz both tones lie below the band; from 8 kHz one would be inside");
    }

    @ParameterizedTest
    @ValueSource(doubles = {44100, 96000, 192000})
    void staysFinite(double rate) {
        double[] square = new double[48000], constant = new double[48000];
        for (int i = 0; i < square.length; i++) square[i] = i / 50 % 2 == 0 ? 1 : -1;
        Arrays.fill(constant, 1);
        for (double[] x : List.of(square, constant, noise(rate, 1, -3, 9))) {
            DeEsser deEsser = deEsser(rate, 20);
            for (double v : through(deEsser::process, deEsser::settle, x, 480)) assertTrue(Math.abs(v) < 6);
        }
        DeEsser deEsser = deEsser(rate, 20);
        for (double v : through(deEsser::process, deEsser::settle, new double[48000], 480)) assertEquals(0, v);
    }

    /** A voice, where its sibilance is centred, and its marked sibilants and breaths: `voices/README.md`, good to 50 ms. */
    private record Marked(String name, double bandHz, double[][] sibilants, double[][] breaths) {}

    private static Stream<Marked> marked() {
        return Stream.of(
                new Marked("male_sing_vocadito01", 8100,
                        new double[][] {{4.69, 4.88}, {12.78, 12.90}, {18.79, 18.91}, {20.29, 20.43}, {22.39, 22.51}, {24.90, 25.05}, {26.60, 26.75},
                                {29.00, 29.15}},
                        new double[][] {{0.17, 0.49}, {3.35, 3.68}, {6.34, 6.75}, {9.48, 9.76}, {12.43, 12.70}, {15.47, 15.80}, {18.42, 18.70}, {21.43, 21.73},
                                {24.50, 24.80}, {27.97, 28.37}}),
                new Marked("male_sing_pjs063", 8800,
                        new double[][] {{4.03, 4.17}, {8.23, 8.30}, {8.67, 8.80}, {9.85, 9.94}, {10.49, 10.63}},
                        new double[][] {{5.95, 6.28}}),
                new Marked("female_sing_nit004_take1", 8800,
                        new double[][] {{7.45, 7.55}, {8.37, 8.45}, {9.59, 9.63}},
                        new double[][] {{0.62, 1.04}, {5.72, 5.84}, {10.45, 10.64}}),
                new Marked("male_speech_sibilant_pjs005", 6600,
                        new double[][] {{0.35, 0.43}, {0.76, 0.84}, {1.15, 1.24}, {3.07, 3.18}, {5.09, 5.19}, {7.39, 7.45}},
                        new double[][] {}));
    }

    private static double[] above(Signals.Voice voice, double[] x, double hz) {
        Cascade high = new Cascade(Butterworth.highPass(voice.rate(), hz, 4));
        return through(high::process, high::settle, x, Cell.LENGTH);
    }

    @ParameterizedTest
    @MethodSource("marked")
    void lowersMarkedSibilantsAsAskedWithoutALisp(Marked marked) throws IOException {
        Voices.assumePresent();
        Signals.Voice voice = Signals.voice(marked.name());
        for (double most : new double[] {3, 6, 8}) {
            DeEsser deEsser = new DeEsser(voice.rate());
            deEsser.set(marked.bandHz(), 0, most, 1, 30);
            // Above 1 kHz, because what a sibilant has below is the rumble of the room.
            double[] x = above(voice, voice.x(), 1000), y = above(voice, run(deEsser, voice.x()).y(), 1000);
            for (double[] s : marked.sibilants()) {
                int from = voice.at(s[0]), to = voice.at(s[1]);
                String where = marked.name() + " " + s[0] + ", " + most + " dB";
                assertEquals(most, rmsDb(x, from, to) - rmsDb(y, from, to), 1.5, where);
                double centre = centroid(voice.rate(), x, from, to);
                assertEquals(centre, centroid(voice.rate(), y, from, to), 0.1 * centre, where);
            }
        }
    }

    @ParameterizedTest
    @MethodSource("marked")
    void leavesBreathsAlone(Marked marked) throws IOException {
        Voices.assumePresent();
        Signals.Voice voice = Signals.voice(marked.name());
        DeEsser deEsser = new DeEsser(voice.rate());
        deEsser.set(marked.bandHz(), 0, 6, 1, 30);
        double[] y = run(deEsser, voice.x()).y();
        for (double[] b : marked.breaths()) {
            int from = voice.at(b[0]), to = voice.at(b[1]);
            assertEquals(rmsDb(voice.x(), from, to), rmsDb(y, from, to), 0.1, marked.name() + " " + b[0]);
        }
    }

    @ParameterizedTest
    @CsvSource({"male_sing_pjs063, 8800", "female_sing_nit004_take1, 8800", "female_sing_nit004_take2, 8800"})
    void leavesVowelsAlone(String name, double bandHz) throws IOException {
        Voices.assumePresent();
        Signals.Voice voice = Signals.voice(name);
        DeEsser deEsser = new DeEsser(voice.rate());
        deEsser.set(bandHz, 0, 6, 1, 30);
        double[] y = run(deEsser, voice.x()).y();
        List<Signals.Phone> phones = voice.phones();
        for (int k = 0; k + 1 < phones.size(); k++) {
            Signals.Phone phone = phones.get(k);
            if (!"aiueoN".contains(phone.name())) continue;
            // The labels of sibilants agree with the sound within 50 ms.
            double early = List.of("s", "sh", "ts", "ch", "z", "j").contains(phones.get(k + 1).name()) ? 0.05 : 0;
            int from = voice.at(phone.start()), to = Math.min(y.length, voice.at(phone.end() - early));
            assertEquals(rmsDb(voice.x(), from, to), rmsDb(y, from, to), 0.3, phone.toString());
        }
    }

    /**
     * Cycles of a voice of 90 Hz, dull at their source as those of cords are, through the resonances of a bright "ee": nearly all of it lies between 2 and 3.5
     * kHz.
     */
    private static double[] brightVowel() {
        double[] x = new double[(int) RATE];
        for (int i = 0; i < x.length; i += (int) (RATE / 90)) x[i] = 10;
        x = through(new Cascade(Butterworth.lowPass(RATE, 1500, 2))::process, () -> {}, x, Cell.LENGTH);
        double[] sum = new double[x.length];
        for (double hz : new double[] {2100, 2900, 3400}) {
            sum = mix(sum, through(new Cascade(Biquad.bandPass(RATE, hz, 8), Biquad.bandPass(RATE, hz, 8))::process, () -> {}, x, Cell.LENGTH));
        }
        return mix(sum, through(new Cascade(Biquad.bandPass(RATE, 280, 4), Biquad.bandPass(RATE, 280, 4))::process, () -> {}, x, Cell.LENGTH));
    }

    /** The band of a speaker whose "sh" is his loudest sibilant: the resonances of a bright vowel stand in it, but nothing over them. */
    @Test
    void aBrightVowelIsNoSibilantThoughItsResonancesStandInTheBand() {
        DeEsser deEsser = new DeEsser(RATE);
        deEsser.set(4060, 0, 6, 1, 30);
        double[] x = brightVowel(), y = run(deEsser, x).y();
        // As above, what is switched on is a click.
        for (int i = 24000; i < x.length; i++) assertEquals(x[i], y[i], "at " + i);
        double[] sh = through(new Cascade(Butterworth.lowPass(RATE, 4500, 2))::process, () -> {},
                through(new Cascade(Butterworth.highPass(RATE, 2000, 4))::process, () -> {}, noise(RATE, 1, -20, 3), 480), 480);
        double[] reduction = run(deEsser, sh).reductionDb();
        assertEquals(6, Arrays.stream(reduction, 4800, sh.length).average().orElseThrow(), 0.5, "a sh of the same band");
    }

    /** Limit: a vowel is altered by 0.3 dB at most. "Year", wholly voiced, and the "sh" of the same speaker. */
    @Test
    void leavesABrightVowelOfASpeakerAndLowersHisSh() throws IOException {
        Voices.assumePresent();
        Signals.Voice voice = Signals.voice("male_speech_plosive_xmas");
        DeEsser deEsser = new DeEsser(voice.rate());
        deEsser.set(4060, 0, 6, 1, 30);
        double[] x = above(voice, voice.x(), 2000), y = above(voice, run(deEsser, voice.x()).y(), 2000);
        for (double at = 2.3; at < 2.5; at += 0.02) {
            assertEquals(rmsDb(x, voice.at(at), voice.at(at + 0.02)), rmsDb(y, voice.at(at), voice.at(at + 0.02)), 0.3, "vowel at " + at);
        }
        for (double at = 0.1; at < 0.17; at += 0.02) {
            assertEquals(6, rmsDb(x, voice.at(at), voice.at(at + 0.02)) - rmsDb(y, voice.at(at), voice.at(at + 0.02)), 0.5, "sh at " + at);
        }
    }

    /** Centre of gravity of the power spectrum, from powers in bands a third of an octave wide. */
    private static double centroid(double rate, double[] x, int from, int to) {
        double sum = 0, weighted = 0;
        for (double hz = 1000; hz < 0.45 * rate; hz *= Math.cbrt(2)) {
            Cascade band = new Cascade(Biquad.bandPass(rate, hz, 4.3), Biquad.bandPass(rate, hz, 4.3));
            double[] y = through(band::process, band::settle, Arrays.copyOfRange(x, from, to), Cell.LENGTH);
            double power = Math.pow(10, rmsDb(y, 0, y.length) / 10);
            sum += power;
            weighted += power * hz;
        }
        return weighted / sum;
    }

    /** An s on either side lowers both; and what follows the de-esser is lowered as that is, sample by sample. */
    @ParameterizedTest
    @ValueSource(booleans = {true, false})
    void anSOnEitherSideLowersBothAndFollowersGoAlong(boolean left) {
        double[] s = words(), nothing = new double[s.length];
        DeEsser single = deEsser(RATE, 6), pair = deEsser(RATE, 6);
        DeEsser.Follower mono = single.follower(), stereo = pair.follower();
        int n = Cell.LENGTH;
        double most = 0;
        for (int at = 0; at + n <= s.length; at += n) {
            double[] a = Arrays.copyOfRange(s, at, at + n), b = a.clone(), voiced = a.clone(), still = Arrays.copyOfRange(nothing, at, at + n), l = a.clone(),
                    r = a.clone();
            single.process(a, n);
            mono.process(b, n);
            pair.process(left ? voiced : still, left ? still : voiced, n);
            stereo.process(l, r, n);
            assertArrayEquals(a, b, "a follower");
            assertArrayEquals(a, voiced, 1e-12, "the side with the s");
            assertArrayEquals(a, l, 1e-12, "a pair that follows");
            assertArrayEquals(a, r, 1e-12);
            assertArrayEquals(new double[n], still);
            most = Math.max(most, pair.reductionDb());
            single.settle();
            pair.settle();
        }
        assertTrue(most > 3, "there is an s");
    }

    /** Steady tones of a take of 8 kHz, with bands whose edge lies at 2.9, 3.2 kHz and, from 8.8 kHz on, where there is no sound. */
    @ParameterizedTest
    @ValueSource(doubles = {3000, 6839, 7700, 8500, 8800, 10_600, 12_000})
    void whatIsToldIsLoweredAtALowRate(double bandHz) {
        double rate = 8000;
        for (double hz : new double[] {400, 2000, 3500, 3950}) {
            DeEsser deEsser = new DeEsser(rate);
            deEsser.set(bandHz, -20, 12, 1, 30);
            double[] x = tone(rate, 1, hz, 0.3);
            Result result = run(deEsser, x);
            double told = result.reductionDb[x.length - 1],
                    lowered = rmsDb(x, x.length / 2, x.length) - rmsDb(result.y, x.length / 2, x.length - deEsser.latency());
            assertTrue(lowered > -0.1, hz + " Hz raised by " + -lowered);
            // A stop band 50 dB down, and what is mirrored at half the rate, change the 12 dB by up to 0.2.
            assertTrue(lowered < told + 0.2, hz + " Hz lowered by " + lowered + ", told " + told);
            if (hz == 3950) {
                assertEquals(told, lowered, 0.2, "the top");
                assertEquals(bandHz < 8750 ? 12 : 0, told, 0.2, "the top, as far as there is a band");
            }
        }
    }

    /** In one long s: what is kept passes to the bit, and the gain goes there and comes back without a step. */
    @Test
    void theGainIsAtUnityWhereItIsToldSo() {
        double[] x = noise(RATE, 1, -20, 3);
        DeEsser deEsser = deEsser(RATE, 12);
        int from = 15_000, to = 25_000;
        deEsser.goBy(new Stretches(new long[] {from}, new long[] {to}), new Stretches(new long[0], new long[0]));
        Result r = run(deEsser, x);
        assertArrayEquals(Arrays.copyOfRange(x, from, to), Arrays.copyOfRange(r.y, from, to), 0);
        double steepest = 0;
        for (int i = 1; i < x.length; i++) steepest = Math.max(steepest, Math.abs(r.reductionDb[i] - r.reductionDb[i - 1]));
        assertEquals(12, r.reductionDb[from - 1000], 0.1);
        assertEquals(12, r.reductionDb[to + 480], 0.1);
        assertEquals(6, r.reductionDb[from - 480], 0.1);
        // As steep as where a loud s begins: an attack of 1 ms, to 63 %.
        assertEquals(12 * (1 - Math.exp(-1000 / RATE)), steepest, 0.01);
    }

    /** A tone in which nothing is heard of an s, but a person says that there is one. */
    @Test
    void whatIsMeantIsLoweredWhateverItsBalance() {
        double[] x = mix(tone(RATE, 1, 200, 0.3), tone(RATE, 1, 8000, 0.003));
        DeEsser deEsser = deEsser(RATE, 6);
        deEsser.goBy(new Stretches(new long[] {30_000}, new long[] {31_000}), new Stretches(new long[] {20_000, 29_000}, new long[] {24_800, 32_000}));
        Result r = run(deEsser, x);
        assertEquals(0, r.reductionDb[20_000 - deEsser.latency() - 1]);
        assertTrue(r.reductionDb[20_000 + 48] > 5.5);
        assertEquals(-6, 20 * Math.log10(amplitudeAt(r.y, 8000, 21_000, 2400) / 0.003), 0.2);
        assertEquals(0, 20 * Math.log10(amplitudeAt(r.y, 200, 21_600, 2400) / 0.3), 0.05);
        assertEquals(6 / Math.E, r.reductionDb[24_800 + 1440], 0.1, "30 ms behind it");
        assertArrayEquals(Arrays.copyOfRange(x, 30_000, 31_000), Arrays.copyOfRange(r.y, 30_000, 31_000), 0);
    }
}

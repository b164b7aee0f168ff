package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.dsp.Cuts;
import linnet.dsp.Samples;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;
import linnet.dsp.spectral.Fft;
import linnet.hear.Ear;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

@Tag("listening")
class ResynthesisTest {
    private static final double RATE = 48000;

    @ParameterizedTest
    @ValueSource(doubles = {-700, -200, -100, 100, 200, 700})
    void singsAtTheWantedPitch(double cents) {
        for (double hz : new double[] {110, 262, 520}) {
            double[][] voice = hz < 200 ? Vowel.LOW : Vowel.HIGH;
            for (int v = 0; v < 5; v++) {
                double[] x = new Vowel(RATE, voice[v]).sing(0.6, t -> hz);
                double[] y = shifted(x, cents);
                assertEquals(x.length, y.length);
                PitchTrack after = track(y);
                // The tracker itself is astray by up to 4 cents above 700 Hz.
                double most = hz * ratio(cents) > 700 ? 5 : 3;
                for (int f = 6; f < 54; f++) assertEquals(cents, cents(after.hz()[f], hz), most, hz + " Hz, vowel " + v + ", frame " + f);
                assertEquals(cents, cents(steady(y, hz * ratio(cents)), hz), 1, hz + " Hz, vowel " + v);
            }
        }
    }

    /** Every second pulse is left out, and nothing brings it back. */
    @ParameterizedTest
    @ValueSource(doubles = {-1200, -1199, -1150, -1000})
    void anOctaveDownIsSungAnOctaveLower(double cents) {
        for (double hz : new double[] {131, 262, 520}) {
            PitchTrack after = track(shifted(new Vowel(RATE, Vowel.HIGH[0]).sing(0.5, t -> hz), cents));
            for (int f = 6; f < 44; f++) assertEquals(cents, cents(after.hz()[f], hz), 5, hz + " Hz, frame " + f);
        }
    }

    /**
     * Noise, vowel, noise: what is no voice keeps its bits, if only a little later or earlier for 0.15 s, and so does the rest of the take if nothing is bent.
     */
    @Test
    void leavesWhatHasNoPitchAndWhatIsNotBent() {
        double[] x = line();
        PitchTrack pitch = track(x);
        double[] y = render(new Resynthesis(new Samples(RATE, x), pitch, s -> ratio(150), 1), x.length, 480);
        Unvoiced.assertKept(x, y, pitch, RATE);
        int bent = 0;
        for (int i = 0; i < x.length; i++) if (pitch.voiced(i / pitch.hop()) && x[i] != y[i]) bent++;
        assertTrue(bent > 0.9 * RATE * 0.6, bent + " samples bent");
        assertArrayEquals(x, render(new Resynthesis(new Samples(RATE, x), pitch, s -> 1, 1), x.length, 480));
    }

    /** Bent in the middle only: from one mark after the passage on, everything is as it was. */
    @Test
    void returnsToTheSoundInPhase() {
        double[] x = new Vowel(RATE, Vowel.HIGH[0]).sing(1, t -> 233);
        int from = 20_000, to = 29_000;
        double[] y = render(new Resynthesis(new Samples(RATE, x), track(x), s -> s >= from && s < to ? ratio(60) : 1, 1), x.length, 480);
        int period = (int) (RATE / 233) + 1;
        for (int i = 0; i < x.length; i++) if (i < from - period || i >= to + period) assertEquals(x[i], y[i], 0, "sample " + i);
        PitchTrack after = track(y);
        // The last 0.12 s give or take what is left of a period.
        for (int f = from / 480 + 3; f < (to - 5760) / 480 - 3; f++) assertEquals(60, cents(after.hz()[f], 233), 4, "frame " + f);
        for (int f = 5; f < 95; f++) assertEquals(30, cents(after.hz()[f], 233), 80, "frame " + f);
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 7, 64, 479, 4800})
    void givesTheSameBitsHoweverItIsCut(int cut) {
        double[] x = line();
        PitchTrack pitch = track(x);
        for (double formants : new double[] {1, 1.12}) {
            Bend bend = s -> s % 20_000 < 3000 ? 1 : ratio(80);
            double[] whole = render(new Resynthesis(new Samples(RATE, x), pitch, bend, formants), x.length, x.length);
            Resynthesis pieces = new Resynthesis(new Samples(RATE, x), pitch, bend, formants);
            assertArrayEquals(whole, render(pieces, x.length, cut));
            double[][] again = new double[1][500];
            pieces.read(30_000, again, 500);
            assertArrayEquals(Arrays.copyOfRange(whole, 30_000, 30_500), again[0]);
        }
    }

    @Test
    void bothChannelsMoveAlike() {
        double[] x = line(), quiet = new double[x.length];
        for (int i = 0; i < x.length; i++) quiet[i] = 0.25 * x[i];
        PitchTrack pitch = track(x);
        Resynthesis stereo = new Resynthesis(new Samples(RATE, x, quiet), pitch, s -> ratio(-90), 1);
        double[][] y = new double[2][x.length];
        stereo.read(0, y, x.length);
        for (int i = 0; i < x.length; i++) assertEquals(0.25 * y[0][i], y[1][i], 1e-12);
    }

    /**
     * Against the same vowel sung at the wanted pitch, in a glide of half an octave, so that its harmonics pass over the whole
     * envelope. What lies below the fifth harmonic, which is all that is known of the envelope there, may be off by more.
     */
    @ParameterizedTest
    @ValueSource(ints = {-100, 100})
    void formantsStay(int cents) {
        int near = 0, all = 0;
        double worst = 0;
        for (double hz : new double[] {110, 147, 220}) {
            for (double[] formants : hz == 220 ? Vowel.HIGH : Vowel.LOW) {
                Vowel vowel = new Vowel(RATE, formants);
                double[] x = vowel.sing(1, t -> hz * ratio(300 * (2 * t - 1)));
                double[] wanted = Formants.of(vowel.sing(1, t -> hz * ratio(300 * (2 * t - 1) + cents)), RATE), is = Formants.of(shifted(x, cents), RATE);
                for (int k = 0; k < 3; k++) {
                    double off = Math.abs(is[k] / wanted[k] - 1);
                    worst = Math.max(worst, off);
                    if (off < 0.03) near++;
                    else assertTrue(wanted[k] < 5.2 * hz * ratio(cents), wanted[k] + " Hz became " + is[k] + " at " + hz);
                    all++;
                }
            }
        }
        assertTrue(near >= 0.8 * all, near + " of " + all + " formants within 3 %");
        assertTrue(worst < 0.12, "one is off by " + worst);
    }

    /**
     * Why some move: between two harmonics nothing tells where an envelope has its peak. Whoever knew the level of each harmonic at each moment
     * exactly, and sang the new ones at the levels of a smooth curve through those (a cubic spline in dB), would miss more formants than
     * the grains do, 31 of 150 by 3 % and more against 22, and by more in the mean, 1.65 % against 1.38 %. The meter alone, on the same vowel
     * sung at both pitches, is off by as much in 8.
     */
    @Test
    void formantsStayAsWellAsTheHarmonicsTell() {
        int grains = 0, curve = 0, meter = 0;
        double byGrains = 0, byCurve = 0;
        for (int cents : new int[] {-100, 100}) {
            for (double hz : new double[] {110, 147, 175, 220, 262}) {
                for (double[] formants : hz < 200 ? Vowel.LOW : Vowel.HIGH) {
                    Vowel vowel = new Vowel(RATE, formants);
                    DoubleUnaryOperator sung = t -> hz * ratio(300 * (2 * t - 1));
                    double[] x = vowel.sing(1, sung), was = Formants.of(x, RATE);
                    double[] wanted = Formants.of(vowel.sing(1, t -> sung.applyAsDouble(t) * ratio(cents)), RATE);
                    double[] set = Formants.of(shifted(x, cents), RATE), drawn = Formants.of(vowel.singThroughHarmonics(1, sung, ratio(cents)), RATE);
                    for (int k = 0; k < 3; k++) {
                        double off = Math.abs(set[k] / wanted[k] - 1), offCurve = Math.abs(drawn[k] / wanted[k] - 1);
                        byGrains += off / 150;
                        byCurve += offCurve / 150;
                        if (off >= 0.03) grains++;
                        if (offCurve >= 0.03) curve++;
                        if (Math.abs(was[k] / wanted[k] - 1) >= 0.03) meter++;
                    }
                }
            }
        }
        String what = grains + " missed by the grains, " + curve + " by the curve, " + meter + " by the meter; " + byGrains + " and " + byCurve;
        assertTrue(grains <= 22 && grains < curve && byGrains < byCurve, what);
        assertTrue(meter <= 8, what);
    }

    /** A vibrato as singers have: 6 Hz, 71 cents each way (E. Prame, JASA 96(4), 1994 and 102(1), 1997). */
    @ParameterizedTest
    @ValueSource(ints = {-200, -100, 100, 200})
    void vibratoStays(int cents) {
        double[] x = new Vowel(RATE, Vowel.HIGH[0]).sing(2, t -> 294 * ratio(71 * Math.sin(2 * Math.PI * 6 * t)));
        double[] was = vibrato(track(x), 294), is = vibrato(track(shifted(x, cents)), 294 * ratio(cents));
        assertEquals(was[0], is[0], 0.02 * was[0], "rate in Hz");
        assertEquals(was[1], is[1], 0.1 * was[1], "extent in cents");
    }

    /** Rate in Hz and extent in cents of the sine that fits a track best. */
    private static double[] vibrato(PitchTrack track, double centre) {
        double[] best = new double[2];
        for (double rate = 5; rate < 7; rate += 0.01) {
            double re = 0, im = 0;
            for (int f = 10; f < 190; f++) {
                double window = 0.5 - 0.5 * Math.cos(2 * Math.PI * (f - 10) / 180.0), turn = 2 * Math.PI * rate * (f + 0.5) / 100;
                re += window * cents(track.hz()[f], centre) * Math.cos(turn) / 45;
                im += window * cents(track.hz()[f], centre) * Math.sin(turn) / 45;
            }
            if (Math.hypot(re, im) > best[1]) best = new double[] {rate, Math.hypot(re, im)};
        }
        return best;
    }

    /** Up and down again: what of the spectrum is lost on two journeys. */
    @Test
    void findsTheWayBack() {
        double[] x = new Vowel(RATE, Vowel.LOW[0]).sing(1, t -> 147 * ratio(40 * Math.sin(2 * Math.PI * 5.5 * t)));
        double[] y = shifted(shifted(x, 100), -100);
        double sum = 0;
        int n = 0;
        for (int at = 4800; at + 4096 < 40_000; at += 2048) {
            double[] a = levels(x, at), b = levels(y, at);
            double top = Arrays.stream(a).max().orElseThrow();
            for (int k = 0; k < a.length; k++) {
                if (a[k] < top - 50) continue;
                sum += (a[k] - b[k]) * (a[k] - b[k]);
                n++;
            }
        }
        assertTrue(Math.sqrt(sum / n) < 2, "log-spectral distance " + Math.sqrt(sum / n) + " dB");
    }

    /** Levels in bands of 94 Hz up to 6 kHz. */
    private static double[] levels(double[] x, int at) {
        Fft fft = new Fft(4096);
        double[] frame = new double[4096], re = new double[fft.bins()], im = new double[fft.bins()], level = new double[64];
        for (int i = 0; i < frame.length; i++) frame[i] = x[at + i] * (0.5 - 0.5 * Math.cos(2 * Math.PI * i / frame.length));
        fft.forward(frame, re, im);
        for (int k = 0; k < level.length; k++) {
            double power = 1e-12;
            for (int b = 8 * k; b < 8 * k + 8; b++) power += re[b] * re[b] + im[b] * im[b];
            level[k] = 10 * Math.log10(power);
        }
        return level;
    }

    /**
     * No dip and no bump, in frames of 20 ms; the last period may be up to half longer or shorter, which in its frames is more. Two
     * semitones down costs half a decibel on the whole.
     */
    @ParameterizedTest
    @ValueSource(ints = {-200, -50, 50, 200})
    void levelStays(int cents) {
        double[] x = line(), y = shifted(x, cents);
        for (int at = 0; at + 960 <= x.length; at += 480) {
            double was = 0, is = 0;
            for (int i = at; i < at + 960; i++) {
                was += x[i] * x[i];
                is += y[i] * y[i];
            }
            boolean last = at + 960 > 0.98 * RATE && at < 1.01 * RATE;
            assertEquals(0, 10 * Math.log10(is / was), last ? 2.5 : Math.abs(cents) > 100 ? 1.5 : 1, "at " + at / RATE + " s");
        }
    }

    /**
     * Breath above the harmonics, even noise before, is as loud and as even after: its power beats with the pitch by less than 8 %.
     * Simply crossfaded it would by 30 %, and be 1 dB down.
     */
    @ParameterizedTest
    @ValueSource(ints = {-300, -50, 50, 100, 300})
    void breathDoesNotBeat(int cents) {
        double[] x = new Vowel(RATE, Vowel.HIGH[0]).sing(1.5, t -> 262);
        Random random = new Random(2);
        for (int i = 0; i < x.length; i++) x[i] += 0.01 * random.nextGaussian();
        double[] was = above(x), is = above(shifted(x, cents));
        double re = 0, im = 0, before = 0, after = 0;
        for (int i = 9600; i < 62_400; i++) {
            double power = is[i] * is[i], turn = 2 * Math.PI * 262 * ratio(cents) * i / RATE;
            re += power * Math.cos(turn);
            im += power * Math.sin(turn);
            after += power;
            before += was[i] * was[i];
        }
        assertTrue(2 * Math.hypot(re, im) < 0.08 * after, "beats by " + 2 * Math.hypot(re, im) / after);
        assertEquals(0, 10 * Math.log10(after / before), 0.5, "dB");
    }

    /** What of a sound lies above 11 kHz, where the vowels have no harmonics. */
    private static double[] above(double[] x) {
        Cascade filter = new Cascade(Butterworth.highPass(RATE, 11_000, 8));
        return Cuts.run(x, 480, filter::process, filter::settle);
    }

    /** One mark for each period, from the lowest to the highest voice, and never half a period astray. */
    @ParameterizedTest
    @ValueSource(doubles = {82, 110, 175, 262, 440, 700, 1050})
    void marksEachPeriodOnce(double hz) {
        for (double[] formants : hz < 250 ? Vowel.LOW : Vowel.HIGH) {
            double[] x = new Vowel(RATE, formants).sing(0.5, t -> hz * ratio(60 * Math.sin(2 * Math.PI * 6 * t)));
            PitchMarks marks = new PitchMarks();
            new MarkTracker(new Samples(RATE, x), track(x)).follow(0, x.length, marks);
            assertEquals(1, marks.runs());
            double[] at = marks.run(0);
            assertTrue(at[at.length - 1] - at[0] > 0.46 * RATE);
            for (int i = 1; i < at.length; i++) {
                double middle = 0.5 * (at[i] + at[i - 1]) / RATE;
                double period = RATE / (hz * ratio(60 * Math.sin(2 * Math.PI * 6 * middle)));
                assertEquals(period, at[i] - at[i - 1], 0.02 * period, "mark " + i);
            }
        }
    }

    /** Creak: pulses at no even distance, whatever the track says. They are left alone and told of. */
    @Test
    void leavesCreakAloneAndSaysSo() {
        double[] x = new double[48_000];
        Random random = new Random(3);
        double y1 = 0, y2 = 0, r = Math.exp(-Math.PI * 120 / RATE), c = 2 * r * Math.cos(2 * Math.PI * 600 / RATE);
        for (int i = 0, next = 0; i < x.length; i++) {
            double y = (i == next ? 0.3 : 0) + c * y1 - r * r * y2;
            if (i == next) next += (int) (480 * (0.6 + 0.8 * random.nextDouble()));
            y2 = y1;
            x[i] = y1 = y;
        }
        float[] hz = new float[100];
        Arrays.fill(hz, 100);
        Resynthesis bent = new Resynthesis(new Samples(RATE, x), new PitchTrack(480, hz), s -> ratio(100), 1);
        long told = 0;
        for (Resynthesis.Refused refused : bent.refused()) told += refused.to() - refused.from();
        assertTrue(told > 0.85 * x.length, "told " + told + " samples");
        double[] y = render(bent, x.length, 480);
        int changed = 0;
        for (int i = 0; i < x.length; i++) if (x[i] != y[i]) changed++;
        assertTrue(changed < 0.15 * x.length, "changed " + changed + " samples");
    }

    /**
     * Up by 50 cents, frame by frame. Where a frame reaches over the edge of the voice it holds both pitches, and where the pitch runs
     * by 15 cents a frame a shift in time by part of a period shows; elsewhere nearly all agree within 5 cents.
     */
    @ParameterizedTest
    @ValueSource(strings = {"female_sing_nit004_take1", "female_sing_nit004_take2", "male_sing_pjs063", "male_sing_vocadito01", "female_sing_aah_sms"})
    void shiftsRealVoices(String name) throws IOException {
        Voices.assumePresent();
        double[][] x;
        double rate;
        try (WavFile voice = WavFile.open(Voices.file(name + ".wav"))) {
            x = new double[1][(int) voice.frames()];
            voice.read(0, x, x[0].length);
            rate = voice.rate();
        }
        Samples take = new Samples(rate, x[0]);
        PitchTrack was = new Ear(take).pitch();
        double[] y = render(new Resynthesis(take, was, s -> ratio(50), 1), x[0].length, 480);
        PitchTrack is = new Ear(new Samples(rate, y)).pitch();
        int near = 0, steady = 0, voiced = 0;
        for (int f = 0; f < was.frames(); f++) {
            if (was.voiced(f)) voiced++;
            if (!inside(was, f) || !inside(is, f) || Math.abs(cents(was.hz()[f + 1], was.hz()[f - 1])) > 30) continue;
            steady++;
            if (Math.abs(cents(is.hz()[f], was.hz()[f]) - 50) < 5) near++;
        }
        assertTrue(steady > 0.5 * voiced, steady + " of " + voiced);
        assertTrue(near >= 0.99 * steady, near + " of " + steady + " within 5 cents");

        int even = 0, frames = 0, n = (int) (0.05 * rate);
        for (int at = 0; at + n <= y.length; at += n) {
            double a = 0, b = 0;
            for (int i = at; i < at + n; i++) {
                a += x[0][i] * x[0][i];
                b += y[i] * y[i];
            }
            frames++;
            if (a == 0 || Math.abs(10 * Math.log10(b / a)) < 1) even++;
        }
        assertTrue(even >= 0.95 * frames, even + " of " + frames + " within 1 dB");
    }

    /**
     * Ticks of 1 ms above 5 kHz inside a vowel, such as those of a t or k, at each part of its period: each is struck once, where it was, as loud as it was
     * within 1 dB, whatever is asked of pitch and formants.
     */
    @ParameterizedTest
    @CsvSource({"1200, 0", "1000, 0", "700, 0", "500, 0", "300, 0", "100, 0", "50, 0", "-50, 0", "-100, 0", "-300, 0", "-500, 0", "-700, 0", "-900, 0",
        "-1200, 0", "0, 300", "0, -300", "0, 700", "0, -700", "700, 300", "700, -300", "-700, 300"})
    void strikesABurstOnce(int cents, int formants) {
        for (double hz : new double[] {131, 262}) {
            double[] x = new Vowel(RATE, (hz < 200 ? Vowel.LOW : Vowel.HIGH)[0]).sing(3, t -> hz), tick = new double[48];
            Random random = new Random(6);
            for (int i = 0; i < tick.length; i++) tick[i] = 0.3 * random.nextGaussian() * Math.sin(Math.PI * (i + 0.5) / tick.length);
            Cascade high = new Cascade(Butterworth.highPass(RATE, 5000, 4));
            high.process(tick, tick.length);
            int[] at = new int[26];
            for (int k = 0; k < at.length; k++) {
                at[k] = (int) (RATE * (0.15 + 0.1 * k + k / (at.length * hz)));
                for (int i = 0; i < tick.length; i++) x[at[k] + i] += tick[i];
            }
            double[] y = render(new Resynthesis(new Samples(RATE, x), track(x), s -> ratio(cents), ratio(formants)), x.length, 480);
            double[] was = loudness(x), is = loudness(y);
            for (int k = 0; k < at.length; k++) {
                String what = hz + " Hz, tick " + k;
                double before = 0, after = 0, most = 0, elsewhere = 0;
                for (int i = at[k]; i < at[k] + 96; i++) {
                    before += was[i];
                    after += is[i];
                    most = Math.max(most, was[i]);
                }
                assertEquals(0, 10 * Math.log10(after / before), 1, what + ", dB");
                for (int i = at[k] - (int) (1.7 * RATE / hz); i < at[k] + 1.7 * RATE / hz; i++) {
                    if (i < at[k] - 24 || i >= at[k] + 120) elsewhere = Math.max(elsewhere, is[i] - was[i]);
                }
                assertTrue(elsewhere < 0.1 * most, what + " struck again, " + elsewhere / most + " as strong");
            }
        }
    }

    /**
     * Ticks above 10 kHz in a voice of equal harmonics up to there: what the voice has on either side of 4.5 kHz is as loud beside a tick as without it, also
     * where its formants go elsewhere and so what a grain has below that comes from another place.
     */
    @ParameterizedTest
    @ValueSource(ints = {300, 700, -300, -700})
    void theVoiceBesideABurstStaysWhole(int formants) {
        double hz = 131;
        double[] x = new double[3 * (int) RATE], ticks = new double[x.length], tick = new double[48];
        for (int i = 0; i < x.length; i++) for (int h = 1; h * hz < 10_000; h++) x[i] += 0.003 * Math.cos(2 * Math.PI * h * hz * i / RATE);
        Random random = new Random(6);
        for (int i = 0; i < tick.length; i++) tick[i] = 0.9 * random.nextGaussian() * Math.sin(Math.PI * (i + 0.5) / tick.length);
        Cascade high = new Cascade(Butterworth.highPass(RATE, 10_000, 8));
        for (int k = 0; k < 8; k++) {
            int at = (int) (RATE * (0.3 + 0.3 * k + k / (8 * hz)));
            for (int i = 0; i < tick.length; i++) ticks[at + i] = tick[i];
        }
        high.process(ticks, ticks.length);
        double[] with = x.clone();
        for (int i = 0; i < x.length; i++) with[i] += ticks[i];
        double[] a = render(new Resynthesis(new Samples(RATE, with), track(x), s -> 1, ratio(formants)), x.length, 480);
        double[] b = render(new Resynthesis(new Samples(RATE, x), track(x), s -> 1, ratio(formants)), x.length, 480);
        for (double from : new double[] {3000, 3900, 4600, 5400}) {
            double[] is = band(a, from), was = band(b, from);
            for (int k = 0; k < 8; k++) {
                int at = (int) (RATE * (0.3 + 0.3 * k + k / (8 * hz)));
                double p = 0, q = 0;
                for (int i = at - (int) (0.0077 * RATE); i < at + 0.0077 * RATE; i++) {
                    p += is[i] * is[i];
                    q += was[i] * was[i];
                }
                // On the slope two periods beat with the take's own: 2.1 dB at most; it was 5.5 to 9.9 less and 4.4 to 5.8 more.
                assertEquals(0, 10 * Math.log10(p / q), 2.5, from + " Hz, tick " + k + ", dB");
            }
        }
    }

    /** 800 Hz of it, four sections steep on either side. */
    private static double[] band(double[] x, double from) {
        double[] y = x.clone();
        new Cascade(Butterworth.highPass(RATE, from, 8)).process(y, y.length);
        new Cascade(Butterworth.lowPass(RATE, from + 800, 8)).process(y, y.length);
        return y;
    }

    /** Above 5 kHz, in the 6 ms around each burst that is found: 4 to 6 dB were lost at +700 cents, and 8 at -700 where one came with its period. */
    @ParameterizedTest
    @ValueSource(ints = {700, 300, -300, -700})
    void burstsOfRealVoicesStayAsLoud(int cents) throws IOException {
        Voices.assumePresent();
        int bursts = 0;
        for (Path file : Voices.all()) {
            double[] x;
            double rate;
            try (WavFile voice = WavFile.open(file)) {
                x = new double[(int) voice.frames()];
                voice.read(0, new double[][] {x}, x.length);
                rate = voice.rate();
            }
            Samples take = new Samples(rate, x);
            PitchTrack pitch = new Ear(take).pitch();
            double[] y = render(new Resynthesis(take, pitch, s -> ratio(cents), 1), x.length, 480);
            double[] was = x.clone(), is = y.clone();
            new Cascade(Butterworth.highPass(rate, 5000, 8)).process(was, was.length);
            new Cascade(Butterworth.highPass(rate, 5000, 8)).process(is, is.length);
            PitchMarks marks = new PitchMarks();
            MarkTracker tracker = new MarkTracker(take, pitch);
            for (int f = pitch.again(0), end; f < pitch.frames(); f = pitch.again(end)) {
                end = pitch.end(f);
                tracker.follow((long) f * pitch.hop(), Math.min(x.length, (long) end * pitch.hop()), marks);
            }
            for (int r = 0; r < marks.runs(); r++) {
                double[] run = marks.run(r), at = Bursts.at(run, 0.6, take, 4500);
                for (int m = 0; m < run.length; m++) {
                    if (at[m] != at[m]) continue;
                    bursts++;
                    double before = 0, after = 0;
                    for (int i = (int) (at[m] - 0.003 * rate); i < at[m] + 0.003 * rate; i++) {
                        before += was[i] * was[i];
                        after += is[i] * is[i];
                    }
                    assertEquals(0, 10 * Math.log10(after / before), 1, file.getFileName() + " at " + at[m] / rate + " s, dB");
                }
            }
        }
        assertTrue(bursts >= 8, bursts + " bursts");
    }

    /** Power above 5 kHz over half a millisecond. */
    private static double[] loudness(double[] x) {
        double[] high = x.clone(), power = new double[x.length];
        Cascade filter = new Cascade(Butterworth.highPass(RATE, 5000, 4));
        double[] block = new double[480];
        for (int i = 0; i < x.length; i += 480) {
            int n = Math.min(480, x.length - i);
            System.arraycopy(x, i, block, 0, n);
            filter.process(block, n);
            System.arraycopy(block, 0, high, i, n);
        }
        for (int i = 24; i < x.length; i++) for (int k = 0; k < 24; k++) power[i] += high[i - k] * high[i - k];
        return power;
    }

    private static boolean inside(PitchTrack track, int f) {
        for (int k = f - 3; k <= f + 3; k++) if (!track.voiced(k)) return false;
        return true;
    }

    /**
     * Nothing comes under the voice: its offset was up to -36 dBFS, 18 dB under it. What lies there of the take stays. An offset shall lie below -90 dBFS
     * in what goes out (common practice, no source): this voice, with no high-pass behind it, comes within 12 dB of that.
     */
    @ParameterizedTest
    @ValueSource(ints = {100, 300, 400, -300, -500})
    void nothingComesUnderTheVoice(int cents) {
        int n = (int) (2 * RATE);
        double[] x = new double[n], parts = {1, 0.8, 0.5, 0.3, 0.4, 0.3, 0.15, 0.1};
        for (int i = 0; i < n; i++) {
            double turn = 2 * Math.PI * 430 * i / RATE + 0.2 * Math.sin(2 * Math.PI * 5.5 * i / RATE);
            for (int h = 1; h <= parts.length; h++) x[i] += 0.07 * parts[h - 1] * Math.cos(h * turn + 0.6 * h * h);
            x[i] += 0.01 * Math.sin(2 * Math.PI * 30 * i / RATE);
        }
        double[] y = shifted(x, cents);
        double mean = 0, rumble = 0;
        for (int i = (int) (0.5 * RATE); i < 1.5 * RATE; i++) {
            mean += y[i] / RATE;
            rumble += 2 * y[i] * Math.sin(2 * Math.PI * 30 * i / RATE) / RATE;
        }
        assertEquals(0, mean, 1.26e-4, "offset");
        assertEquals(0.01, rumble, 0.0005, "rumble");
    }

    /** Noise 0.3 s, a vowel 0.7 s with a vibrato, noise 0.3 s. */
    static double[] line() {
        double[] vowel = new Vowel(RATE, Vowel.LOW[0]).sing(0.7, t -> 147 * ratio(50 * Math.sin(2 * Math.PI * 5.5 * t)));
        double[] x = new double[(int) (1.3 * RATE)];
        Random random = new Random(1);
        for (int i = 0; i < x.length; i++) x[i] = 0.02 * random.nextGaussian();
        int at = (int) (0.3 * RATE);
        for (int i = 0; i < vowel.length; i++) x[at + i] += vowel[i] * Math.min(1, Math.min(i, vowel.length - i) / 960.0);
        return x;
    }

    static double[] shifted(double[] x, double cents) {
        return render(new Resynthesis(new Samples(RATE, x), track(x), s -> ratio(cents), 1), x.length, 480);
    }

    static double[] render(Resynthesis r, int length, int cut) {
        double[] y = new double[length];
        double[][] block = new double[1][cut];
        for (int at = 0; at < length; at += cut) {
            int n = Math.min(cut, length - at);
            r.read(at, block, n);
            System.arraycopy(block[0], 0, y, at, n);
        }
        return y;
    }

    static PitchTrack track(double[] x) {
        WholeTrack tracker = new WholeTrack(RATE, f -> true);
        tracker.add(x, x.length);
        return tracker.finish();
    }

    /** The pitch of the middle 0.3 s: the lag near fifteen periods at which it is most like itself. */
    static double steady(double[] y, double near) {
        int from = (int) (0.15 * RATE), n = (int) (0.15 * RATE);
        double best = 0, at = 0, periods = 15;
        double[] like = new double[(int) (0.04 * periods * RATE / near) + 3];
        int low = (int) (0.98 * periods * RATE / near);
        for (int k = 0; k < like.length; k++) {
            double both = 0, own = 0, other = 0;
            for (int i = from; i < from + n; i++) {
                both += y[i] * y[i + low + k];
                own += y[i] * y[i];
                other += y[i + low + k] * y[i + low + k];
            }
            like[k] = both / Math.sqrt(own * other);
            if (k > 1 && like[k - 1] > best && like[k - 1] > like[k] && like[k - 1] > like[k - 2]) {
                best = like[k - 1];
                double a = like[k - 2], b = like[k - 1], c = like[k];
                at = low + k - 1 + (a - c) / (2 * (a - 2 * b + c));
            }
        }
        return periods * RATE / at;
    }

    static double ratio(double cents) {
        return Math.pow(2, cents / 1200);
    }

    static double cents(double hz, double reference) {
        return 1200 * Math.log(hz / reference) / Math.log(2);
    }
}

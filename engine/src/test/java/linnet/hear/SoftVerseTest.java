package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.Random;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.Score;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.demo.Truth;
import linnet.dsp.Decibels;
import linnet.dsp.Samples;
import linnet.hear.Mark.Kind;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** A verse that is whispered beside the chorus of the same take is sung, word for word; what is as soft and no singing stays what it was. */
class SoftVerseTest {
    private static final int RATE = 48_000;
    private static final double NOISE = -80;

    /** Two lines of a verse and two of a chorus of the demo's song, in a room without noise. */
    private static Performance sing(Singer singer) {
        Score song = SevenLanterns.lead();
        List<Score.Phrase> lines = song.phrases().subList(2, 6).stream()
                .map(p -> new Score.Phrase(p.beat() - 16, p.section(), p.effort(), p.words(), p.notes())).toList();
        return Performance.sing(new Score(song.title(), song.beatsPerMinute(), song.beatsPerBar(), song.key(), 10, lines), singer, Room.dry(), RATE);
    }

    /** Each line of the verse so many dB under the mean of the chorus; the breath before it goes with it. */
    private static double[] softened(Performance take, double under) {
        List<Truth.Line> lines = take.truth().lines();
        double chorus = lines.stream().filter(l -> l.section().equals("chorus")).mapToDouble(Truth.Line::db).average().orElseThrow();
        double[] x = take.samples().clone();
        for (int i = 0; i < lines.size() && lines.get(i).section().equals("verse"); i++) {
            for (int k = i == 0 ? 0 : at(lines.get(i - 1).end() + 0.05); k < at(lines.get(i).end() + 0.05); k++) {
                x[k] *= Decibels.gain(chorus - under - lines.get(i).db());
            }
        }
        return x;
    }

    private static double[] noisy(double[] x) {
        Random random = new Random(3);
        double[] y = x.clone();
        for (int k = 0; k < y.length; k++) y[k] += Decibels.gain(NOISE) * random.nextGaussian();
        return y;
    }

    private static Ear ear(double[] x) {
        return new Ear(new Samples(RATE, x));
    }

    private static int at(double seconds) {
        return (int) Math.round(seconds * RATE);
    }

    @ParameterizedTest
    @CsvSource({"high, 20", "high, 26", "high, 30", "low, 20", "low, 26", "low, 30"})
    void aSoftVerseIsSung(String who, double under) {
        Singer singer = who.equals("high") ? Singer.high() : Singer.low();
        Performance take = sing(singer);
        Ear ear = ear(noisy(softened(take, under)));
        for (Mark b : ear.speech().of(Kind.BREATH)) {
            for (Truth.Note n : take.truth().notes()) {
                assertFalse(b.to() > at(n.start() + 0.05) && b.from() < at(n.end() - 0.05),
                        "a breath at " + b.from() / (double) RATE + " s in the note at " + n.start());
            }
        }
        List<Mark> phrases = ear.speech().of(Kind.PHRASE);
        for (Truth.Line l : take.truth().lines()) {
            double sung = phrases.stream().mapToDouble(p -> Math.max(0, Math.min(p.to(), at(l.end())) - Math.max(p.from(), at(l.start()))))
                    .sum() / (at(l.end()) - at(l.start()));
            assertTrue(sung > 0.9, l.words() + " " + sung + " " + phrases);
        }
        int even = ear(noisy(take.samples())).notes().all().size();
        int found = ear.notes().all().size();
        assertTrue(found >= 0.95 * even, found + " notes of " + even);
    }

    /** As loud beside each other as they come, what rings after a word in a room lengthens none: nothing is sung but what is loud. */
    @ParameterizedTest
    @ValueSource(doubles = {0.4, 0.8, 1.5})
    void aRoomDoesNotSing(double decay) {
        nothingButTheLoudIsSung(ear(noisy(ringing(sing(Singer.low()).samples(), decay))));
    }

    private static void nothingButTheLoudIsSung(Ear ear) {
        BitSet loud = VoiceActivity.loud(ear.passes().levels());
        Sung sung = ear.sung().value().orElseThrow();
        for (int f = 0; f < sung.frames(); f++) assertTrue(!sung.frame(f) || loud.get(f), "sung at " + f / 100.0 + " s");
    }

    /** Echoes at random, 12 dB weaker together than the voice, that fall by 60 dB in the time. */
    private static double[] ringing(double[] x, double decay) {
        Random random = new Random(9);
        double[] y = x.clone();
        int echoes = 200;
        double power = 0;
        double[] gain = new double[echoes];
        int[] lag = new int[echoes];
        for (int e = 0; e < echoes; e++) {
            lag[e] = at(0.01 + decay * random.nextDouble());
            gain[e] = Math.pow(10, -3 * lag[e] / (decay * RATE)) * (random.nextBoolean() ? 1 : -1);
            power += gain[e] * gain[e];
        }
        for (int e = 0; e < echoes; e++) {
            double g = gain[e] * Decibels.gain(-12) / Math.sqrt(power);
            for (int k = lag[e]; k < y.length; k++) y[k] += g * x[k - lag[e]];
        }
        return y;
    }

    /** The melody in a headphone, 40 dB under the voice and over the noise; and the mains. */
    @Test
    void whatLeaksIntoThePausesIsNotSung() {
        double[] voice = noisy(sing(Singer.low()).samples()), other = sing(Singer.high()).samples(), leaking = voice.clone(), humming = voice.clone();
        int late = at(1.7);
        for (int k = late; k < leaking.length; k++) leaking[k] += Decibels.gain(-40) * other[k - late];
        for (int k = 0; k < humming.length; k++) {
            for (int h = 1; h <= 6; h++) humming[k] += Decibels.gain(-55 - 2 * h) * Math.sin(2 * Math.PI * 50 * h * k / RATE);
        }
        nothingButTheLoudIsSung(ear(leaking));
        nothingButTheLoudIsSung(ear(humming));
    }

    /** The labelled vowels of a take before the same take, or the other one, as loud as it is. */
    @ParameterizedTest
    @CsvSource({
        "male_sing_pjs063.wav, male_sing_pjs063.wav, 26", "male_sing_pjs063.wav, male_sing_pjs063.wav, 30",
        "female_sing_nit004_take1.wav, female_sing_nit004_take2.wav, 26", "female_sing_nit004_take1.wav, female_sing_nit004_take2.wav, 30"
    })
    void noWordOfASoftTakeIsABreath(String soft, String loud, double under) throws IOException {
        Voices.assumePresent();
        try (WavFile a = WavFile.open(Voices.file(soft)); WavFile b = WavFile.open(Voices.file(loud))) {
            int pause = at(0.5), n = (int) a.frames(), m = (int) b.frames();
            double[] x = new double[n + pause + m], second = new double[m];
            a.read(0, new double[][] {x}, n);
            b.read(0, new double[][] {second}, m);
            for (int k = 0; k < n; k++) x[k] *= Decibels.gain(-under);
            System.arraycopy(second, 0, x, n + pause, m);
            Ear ear = ear(x), alone = new Ear(a);
            // One label of pjs063 goes on into the breath after it.
            List<Mark> breaths = ear.speech().of(Kind.BREATH).stream()
                    .filter(s -> s.from() < n && alone.speech().of(Kind.BREATH).stream()
                            .noneMatch(t -> s.from() >= t.from() - at(0.02) && s.to() <= t.to() + at(0.02))).toList();
            int vowels = 0;
            for (double[] v : vowels(soft)) {
                vowels++;
                for (Mark s : breaths) {
                    assertFalse(s.to() > at(v[0] + 0.05) && s.from() < at(v[1] - 0.05),
                            "a breath at " + s.from() / (double) RATE + " s in the vowel at " + v[0]);
                }
            }
            assertTrue(vowels > 20);
            long sung = ear.notes().all().stream().filter(s -> s.from() < n).count(), known = alone.notes().all().size();
            assertTrue(sung >= 0.9 * known, sung + " notes of " + known);
            double sounding = 0, covered = 0;
            for (double[] v : vowels(soft)) {
                sounding += at(v[1]) - at(v[0]);
                for (Mark p : ear.speech().of(Kind.PHRASE)) covered += Math.max(0, Math.min(p.to(), at(v[1])) - Math.max(p.from(), at(v[0])));
            }
            assertTrue(covered > 0.85 * sounding, covered / sounding + " of the vowels are in a phrase");
        }
    }

    /** From and to in seconds. */
    private static List<double[]> vowels(String take) throws IOException {
        boolean lab = take.contains("pjs063");
        List<double[]> vowels = new ArrayList<>();
        for (String row : Files.readAllLines(Voices.file(lab ? "male_sing_pjs063.lab" : take.replace(".wav", "_phones.csv")))) {
            String[] w = row.split("[ ,]");
            if (w[2].length() == 1 && "aiueo".contains(w[2])) {
                vowels.add(Arrays.stream(w, 0, 2).mapToDouble(s -> Double.parseDouble(s) * (lab ? 1e-7 : 1)).toArray());
            }
        }
        return vowels;
    }
}

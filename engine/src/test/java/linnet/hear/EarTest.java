package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Against voices by formula, of which each fact is known beforehand. */
class EarTest {
    @ParameterizedTest
    @CsvSource({"44100, -50", "48000, -70", "96000, -60"})
    void hearsTheNoiseOfThePausesAndNotTheRumble(double rate, double dbfs) {
        Ear ear = song(rate).noise(0, 6, 0, dbfs).rumble(25, -40).ear();
        assertEquals(dbfs, value(ear.noise()), 1);
    }

    /** The level of a sung note by its own samples; the ramps and the noise are far below half a decibel. */
    @ParameterizedTest
    @ValueSource(doubles = {44100, 48000, 96000})
    void hearsTheVoiceWithoutThePauses(double rate) {
        Voice song = song(rate).noise(0, 6, 0, -65);
        assertEquals(song.dbfs(0.5, 1.5), value(song.ear().voice()), 0.5);
    }

    @Test
    void hearsWhereSomeoneSings() {
        Ear ear = song(48000).noise(0, 6, 0, -65).noise(3.6, 4.0, 2500, -40).ear();
        List<Sung.Span> spans = ear.sung().value().orElseThrow().spans();
        assertEquals(3, spans.size(), spans.toString());
        double[][] notes = {{0.5, 2.5}, {3, 3.5}, {4.5, 5.5}};
        for (int i = 0; i < 3; i++) {
            assertEquals(notes[i][0], spans.get(i).from() / 48000.0, 0.05);
            assertEquals(notes[i][1], spans.get(i).to() / 48000.0, 0.05);
        }
        Sung sung = ear.sung().value().orElseThrow();
        assertTrue(sung.at(48000) && sung.frame(100));
        assertFalse(sung.at(-1) || sung.at(100) || sung.at(6 * 48000) || sung.frame(600));
        assertEquals(600, sung.frames());
    }

    /** Hi-hats and the like have no pitch; for a compressor on the mix they are the song. */
    @Test
    void inAMixWhateverSoundsCountsAsSung() {
        Sound noise = new Voice(48000, 6).noise(0, 6, 0, -80).noise(1, 3, 2500, -30).noise(4, 5, 2500, -30).ear().sound();
        assertFalse(new Ear(noise).sung().known());
        Ear mix = Ear.ofMix(noise, Told.nothing(), Memory.NONE);
        List<Sung.Span> spans = mix.sung().value().orElseThrow().spans();
        assertEquals(2, spans.size(), spans.toString());
        double[][] bursts = {{1, 3}, {4, 5}};
        for (int i = 0; i < 2; i++) {
            assertEquals(bursts[i][0], spans.get(i).from() / 48000.0, 0.05);
            assertEquals(bursts[i][1], spans.get(i).to() / 48000.0, 0.05);
        }
        assertEquals(-30, value(mix.voice()), 0.5);
        assertEquals(-30, value(mix.on(noise).voice()), 0.5);
    }

    @ParameterizedTest
    @CsvSource({"44100, 82.41", "48000, 110", "48000, 330", "96000, 147"})
    void hearsTheLowestNote(double rate, double hz) {
        Voice voice = new Voice(rate, 6).noise(0, 6, 0, -60);
        voice.note(0.2, 0.8, hz, 0, -20);
        for (int i = 0; i < 6; i++) voice.note(1 + 0.8 * i, 1.6 + 0.8 * i, hz * Math.pow(2, (i + 1) / 6.0), 50, -15);
        assertEquals(0, cents(value(voice.ear().lowestNote()), hz), 20);
    }

    /** A bell at a known place on a sawtooth, which falls evenly, is all that stands out. */
    @ParameterizedTest
    @CsvSource({"44100, 1200, 3, 9", "48000, 1200, 3, 9", "96000, 1200, 3, 9", "48000, 450, 4, 8", "48000, 1900, 4, 10"})
    void hearsAPlantedResonance(double rate, double hz, double q, double gainDb) {
        Measured<Resonance> first = song(rate).bell(hz, q, gainDb).noise(0, 6, 0, -75).ear().resonance(1);
        Resonance r = first.value().orElseThrow();
        assertEquals(hz, r.hz(), 0.05 * hz);
        assertTrue(r.height() > 0.3 * gainDb && r.height() < gainDb, r.toString());
        // The bell has half its gain over 1 / (2 q) to 1.5 / q octaves, whichever way its width is measured.
        assertTrue(r.width() > 0.5 / q && r.width() < 1.5 / q, r.toString());
    }

    @Test
    void ranksResonancesByHowFarTheyStandOut() {
        Ear ear = song(48000).bell(600, 4, 6).bell(1700, 3, 12).noise(0, 6, 0, -75).ear();
        assertEquals(1700, ear.resonance(1).value().orElseThrow().hz(), 85);
        assertEquals(600, ear.resonance(2).value().orElseThrow().hz(), 30);
    }

    /** The ring of a singer lies near 3 kHz (J. Sundberg, JASA 55(4), 1974; from memory), and is no resonance to cut. */
    @ParameterizedTest
    @CsvSource({"3000, 3, 12", "2600, 4, 10"})
    void sparesTheRingOfTheVoice(double hz, double q, double gainDb) {
        Ear ear = song(48000).bell(hz, q, gainDb).bell(1300, 5, 5).noise(0, 6, 0, -75).ear();
        assertEquals(1300, ear.resonance(1).value().orElseThrow().hz(), 65);
        for (int k = 2; k <= 4; k++) assertFalse(ear.resonance(k).value().filter(r -> Math.abs(r.hz() - hz) < 0.2 * hz).isPresent());
    }

    /** The harmonics of a note that is held are no resonances. */
    @ParameterizedTest
    @ValueSource(doubles = {110, 220, 440, 660})
    void takesNoHarmonicForAResonance(double hz) {
        Measured<Resonance> first = new Voice(48000, 4).note(0.5, 3.5, hz, 0, -20).noise(0, 4, 0, -90).ear().resonance(1);
        assertFalse(first.known(), first.toString());
    }

    /** Sibilants as band-passed noise: its power is centred where the band is. */
    @ParameterizedTest
    @CsvSource({"44100, 7500", "48000, 4500", "48000, 6500", "96000, 8500"})
    void hearsTheCentreOfTheSibilants(double rate, double hz) {
        Voice song = song(rate).noise(0, 6, 0, -70).noise(0.38, 0.5, hz, -30).noise(2.8, 2.95, hz, -28).noise(4.4, 4.5, hz, -26);
        Ear ear = song.ear();
        assertEquals(hz, value(ear.sibilance()), 0.1 * hz);
    }

    @Test
    void hearsNoSibilantInVowelsOrBreaths() {
        assertEquals("no sibilant is heard in it", song(48000).noise(0, 6, 0, -65).noise(2.7, 2.9, 1500, -30).ear().sibilance().reason());
    }

    @Test
    void saysWhyThereIsNothingToMeasure() {
        Ear silence = new Ear(new Samples(48000, new double[96000]));
        for (Measured<?> fact : facts(silence)) assertFalse(fact.known());
        assertEquals("it is silent", silence.noise().reason());
        assertEquals("it is silent", silence.voice().reason());
        assertEquals("it is silent", silence.peak().reason());

        Ear blip = new Ear(new Samples(48000, new double[] {0.5, -0.5}));
        assertEquals("it is shorter than 0.1 s", blip.noise().reason());
        assertEquals("it is shorter than 0.1 s", blip.lowestNote().reason());
        assertEquals(-6.02, value(blip.peak()), 0.01);

        Ear nothing = new Ear(new Samples(48000, new double[0]));
        for (Measured<?> fact : facts(nothing)) assertFalse(fact.known());
    }

    @Test
    void hearsNoVoiceInNoise() {
        Ear noise = new Voice(48000, 4).noise(0, 4, 0, -30).ear();
        assertEquals(-30, value(noise.noise()), 1);
        String reason = "nobody sings in it: nothing has a pitch for long";
        for (Measured<?> fact : List.of(noise.voice(), noise.sung(), noise.lowestNote(), noise.resonance(1), noise.sibilance())) {
            assertEquals(reason, fact.reason());
        }
        Ear bursts = new Voice(48000, 4).noise(0, 4, 0, -70).noise(1, 1.4, 0, -20).noise(2, 3, 2500, -25).ear();
        assertEquals(reason, bursts.voice().reason());
    }

    @Test
    void hearsNoNoiseWhereNobodyPausesOrThePausesWereEmptied() {
        Ear held = new Voice(48000, 4).note(0, 4, 220, 0, -20).ear();
        assertEquals("it has no pause to hear the noise in", held.noise().reason());
        assertEquals(-20, value(held.voice()), 0.5);
        Voice fading = new Voice(48000, 4);
        for (int i = 0; i < 30; i++) fading.note(1 + i * 0.05, 1.1 + i * 0.05, 220, 0, -20 - i);
        assertEquals("its pauses are digital silence", fading.ear().noise().reason());
    }

    @Test
    void hearsBothChannels() {
        double[] left = song(48000).noise(0, 6, 0, -65).data();
        Ear mono = new Ear(new Samples(48000, left)), stereo = new Ear(new Samples(48000, left, left.clone()));
        assertEquals(facts(mono).subList(0, 4), facts(stereo).subList(0, 4));
    }

    @Test
    void readsInBlocksAndOnlyForWhatIsAsked() {
        List<Integer> blocks = new ArrayList<>();
        Samples song = new Samples(48000, song(48000).noise(0, 6, 0, -65).data());
        Sound counted = new Sound() {
            @Override
            public double rate() {
                return song.rate();
            }

            @Override
            public int channels() {
                return 1;
            }

            @Override
            public long frames() {
                return song.frames();
            }

            @Override
            public void read(long from, double[][] into, int n) {
                blocks.add(n);
                song.read(from, into, n);
            }
        };
        Ear ear = new Ear(counted);
        Function<Runnable, Integer> passes = question -> {
            blocks.clear();
            question.run();
            return (int) Math.round(blocks.stream().mapToInt(n -> n).sum() / (double) song.frames());
        };
        assertEquals(0, blocks.size());
        assertEquals(1, passes.apply(ear::noise));
        assertEquals(1, passes.apply(ear::sung));
        assertEquals(1, passes.apply(ear::voice)); // of the sung frames alone
        assertEquals(0, passes.apply(ear::lowestNote));
        assertEquals(1, passes.apply(() -> ear.resonance(1)));
        assertTrue(blocks.stream().allMatch(n -> n <= 4800));
        assertEquals(0, passes.apply(() -> ear.resonance(4)));
        assertEquals(0, passes.apply(ear::sibilance));
        assertEquals(1, passes.apply(ear::peak));
        assertEquals(0, passes.apply(() -> facts(ear)));
    }

    /** Two seconds, half a second, and one second of singing, with half-second rests. */
    private static Voice song(double rate) {
        Voice voice = new Voice(rate, 6);
        voice.note(0.5, 1.5, 147, 60, -18).note(1.5, 2.5, 196, 60, -18).note(3, 3.5, 165, 60, -18);
        return voice.note(4.5, 5.5, 220, 60, -18);
    }

    private static List<Measured<?>> facts(Ear ear) {
        return List.of(ear.voice(), ear.noise(), ear.peak(), ear.lowestNote(), ear.sung(), ear.resonance(1), ear.resonance(4),
                ear.sibilance());
    }

    private static double value(Measured<Double> fact) {
        return fact.value().orElseThrow(() -> new AssertionError(fact.reason()));
    }

    private static double cents(double hz, double reference) {
        return 1200 * Math.log(hz / reference) / Math.log(2);
    }
}

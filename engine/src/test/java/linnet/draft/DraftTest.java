package linnet.draft;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import linnet.Rig;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.chain.Link;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Excerpt;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.hear.Bands;
import linnet.hear.Facts;
import linnet.hear.Meters;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Drafts are read back by the chain's own reader and rendered. What they may do is common practice. */
class DraftTest {
    private static Sound demo() {
        return new Excerpt(new Samples(48_000, Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), 48_000).samples()), 0, 12 * 48_000);
    }

    static Stream<String> voices() throws IOException {
        if (!Voices.present()) return Stream.of("");
        try (Stream<Path> files = Files.list(Voices.file("x").getParent())) {
            return files.map(f -> f.getFileName().toString()).filter(f -> f.endsWith(".wav")).sorted().toList().stream();
        }
    }

    @Test
    void draftsAChainForTheDemo() {
        Sound take = demo();
        String text = Draft.of(new Facts(take), "lead.wav");
        rendersWell(text, take);
        // Four fifths of her lowest note would be too high a corner.
        assertTrue(text.contains("high-pass: 120 Hz"), text);
        assertTrue(text.contains("- de-ess"), text);
        assertTrue(text.contains("# Not decided"), text);
    }

    /** A verse and a chorus far apart are one fader each before they are one compressor; nothing lifts sibilants that are tamed further on. */
    @Test
    void warnsOfAWideRangeAndLiftsNoSharpSibilants() {
        Sound song = new Samples(48_000, Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), 48_000).samples());
        Facts facts = new Facts(song);
        assertTrue(facts.meters().loudnessRange().value().orElseThrow() > 12 && facts.ear().sibilanceStrength().value().orElseThrow() > -12);
        String text = Draft.of(facts, "lead.wav");
        assertTrue(text.contains("# Mind: the loudness range is"), text);
        assertFalse(text.contains("high-shelf"), text);
        assertTrue(text.contains("the sibilants are strong already"), text);
        assertFalse(Draft.of(new Facts(new Excerpt(song, 21 * 48_000, 20 * 48_000)), "chorus.wav").contains("# Mind: the loudness range"));
    }

    /** The demo's room rings at 1.3 kHz and nowhere else; what stands out among the notes is the song. */
    @Test
    void cutsTheRoomAndNotTheSong() {
        Samples song = new Samples(48_000, Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), 48_000).samples());
        String text = Draft.of(new Facts(song), "lead.wav");
        assertTrue(text.contains("bell: resonance 1,"), text);
        assertFalse(text.contains("bell: resonance 2,"), text);
        String chorus = Draft.of(new Facts(new Excerpt(song, 21 * 48_000, 20 * 48_000)), "chorus.wav");
        assertTrue(chorus.contains("Resonance 1, at 5"), chorus);
        assertFalse(chorus.contains("bell: resonance 1,"), chorus);
        assertTrue(chorus.contains("bell: resonance 2,"), chorus);
    }

    /** A denoise that would pass all of the take untouched is left out, with the reason; one that works is written. */
    @Test
    void noDenoiseThatHearsNoNoiseAlone() throws IOException {
        Voices.assumePresent();
        try (WavFile take = WavFile.open(Voices.file("male_speech_plosive_xmas.wav"))) {
            String text = Draft.of(new Facts(take), "xmas.wav");
            assertFalse(text.contains("- denoise"), text);
            assertTrue(text.contains("too short to hear the noise alone"), text);
        }
    }

    /** A second of voice, and between the words so much of its room. */
    @ParameterizedTest
    @CsvSource({"0.12, false", "1, true"})
    void denoisesWhereThePausesAreLongEnough(double pause, boolean denoised) {
        Random random = new Random(5);
        double[] x = new double[6 * 48_000];
        for (int i = 0; i < x.length; i++) {
            x[i] = 0.004 * random.nextGaussian();
            double in = i / 48_000.0 % 2;
            if (in < 2 - pause) for (int k = 1; k < 9; k++) x[i] += 0.15 / k * Math.sin(2 * Math.PI * 220 * k * i / 48_000);
        }
        String text = Draft.of(new Facts(new Samples(48_000, x)), "words.wav");
        assertEquals(denoised, text.contains("- denoise"), text);
    }

    /** Half a second of hiss says that there are sibilants, and hardly where: much of a wrong band lisps. */
    @Test
    void aBandThatIsAGuessIsTamedLittle() throws IOException {
        Voices.assumePresent();
        String voice = "male_speech_plosive_xmas.wav";
        try (WavFile take = WavFile.open(Voices.file(voice))) {
            Facts facts = new Facts(take);
            assertTrue(facts.ear().sibilance().confidence() < 0.5 && facts.ear().sibilanceStrength().value().orElseThrow() > -6);
            assertTrue(Draft.of(facts, voice).contains("de-ess: { most: 3 dB }"));
        }
    }

    /** Boom and edge are bounded in a draft as in the chain for a close lead: a bright voice would lose its edge for good. */
    @Test
    void theBandsOfADraftAreThoseOfACloseLead() throws IOException {
        double[] x = new Random(1).doubles(4 * 48_000, -1e-4, 1e-4).toArray();
        // A sung tone with as much below 200 Hz, and from 2 to 5 kHz, as between; the room behind it.
        for (int i = 0; i < 3 * 48_000; i++) {
            for (int k = 1; k <= 44; k++) x[i] += (k == 1 ? 0.04 : 0.01) * Math.sin(2 * Math.PI * 110 * k * i / 48_000 + k * k);
        }
        Proposal draft = Rules.multiband(new Facts(new Samples(48_000, x)));
        assertTrue(draft.why().contains("boom") && draft.why().contains("edge"), draft.why());
        assertEquals(multiband(Files.readString(Voices.repository().resolve("chains").resolve("close-lead.yaml"))),
                multiband("chain: draft\nsteps:\n" + String.join("\n", draft.lines()) + "\n"));
    }

    private static String multiband(String chain) {
        return Rig.usual().read(chain).links().stream().filter(l -> l instanceof Link.Use u && u.step().word().equals("multiband"))
                .map(l -> ((Link.Use) l).values().write()).findFirst().orElseThrow();
    }

    /** A line at one level wants little levelling, however short the take. */
    @Test
    void anEvenTakeIsLevelledLittle() {
        Facts even = new Facts(new Excerpt(new Samples(48_000, Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), 48_000).samples()),
                (int) (21.5 * 48_000), 4 * 48_000));
        assertTrue(even.meters().loudnessRange().value().orElseThrow() < 3, even.meters().loudnessRange().toString());
        assertTrue(Draft.of(even, "line.wav").contains("character: optical, ratio: 3:1, aim: 2 dB"), "range " + even.meters().loudnessRange());
    }

    @ParameterizedTest
    @MethodSource("voices")
    void draftsAChainForRealVoices(String voice) throws IOException {
        Voices.assumePresent();
        try (WavFile take = WavFile.open(Voices.file(voice))) {
            rendersWell(Draft.of(new Facts(take), voice), take);
        }
    }

    private static void rendersWell(String text, Sound take) {
        Rig.Result print = Rig.usual().exact().render(Rig.usual().read(text), take);
        Meters meters = Meters.of(new Samples(take.rate(), print.x()));
        assertTrue(meters.truePeak().value().orElseThrow() <= -0.9, "true peak " + meters.truePeak());
        Facts before = new Facts(take), after = new Facts(new Samples(take.rate(), print.x()));
        assertEquals(-18, after.ear().voice().value().orElseThrow(), 6, text);
        before.voiceBands().value().map(Tone::of).ifPresent(tone -> {
            assertTrue(tone.presence() < -18 || !text.contains("bell: 4 kHz"), "lifts what is strong: " + tone + text);
            assertTrue(tone.air() < -32 || !text.contains("high-shelf"), "lifts what is strong: " + tone + text);
            assertTrue(tone.mud() > 1 || !text.contains("bell: 280 Hz"), "cuts what is weak: " + tone + text);
        });
        if (!before.ear().noise().known() || !after.ear().noise().known()) return;
        double lifted = after.ear().noise().value().get() - after.ear().voice().value()
                .get() - (before.ear().noise().value().get() - before.ear().voice().value().get());
        // Compression and its makeup lift what lies below its thresholds; what the gate takes is less where pauses are short.
        assertTrue(lifted < 9, "pauses " + lifted + " dB nearer to the voice: " + text);
    }

    @Test
    void toneIsTheLevelOfARegionBesideTheCore() {
        double[] hz = {100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300, 8000, 10_000, 12_500, 16_000};
        double[] dbfs = new double[hz.length];
        for (int k = 0; k < hz.length; k++) dbfs[k] = hz[k] >= 400 && hz[k] <= 2000 ? -40 : -60;
        Tone tone = Tone.of(new Bands(hz, dbfs));
        // Eight bands of -40 dB make the core -31; three of -60 make -55.2.
        assertEquals(-24.3, tone.presence(), 0.1);
        assertEquals(-24.3, tone.air(), 0.1);
        assertEquals(-24.3, tone.mud(), 0.1);
    }

    @Test
    void leavesOutWhatCannotBeMeasured() {
        String text = Draft.of(new Facts(new Samples(48_000, new double[96_000])), "silence.wav");
        Rig.usual().read(text);
        assertEquals(List.of("  - limit: { ceiling: -1 dBTP }"), text.lines().filter(l -> l.startsWith("  - ")).toList());
        for (String step : List.of("A gate:", "A fast compressor:", "A de-esser:", "Lifts:", "Tone:")) {
            if (step.equals("Lifts:")) continue;
            assertTrue(text.contains("# Left out. " + step), step + text);
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"a \"b\" 'c'.wav", "x: [y]\n- limit\u0000", "# none \u202e\u2028 take", "\ud800 half", "\\", "<script>"})
    void anyNameIsText(String name) {
        String text = Draft.of(new Facts(new Samples(48_000, new double[4800])), name);
        String title = Rig.usual().read(text).title();
        assertTrue(title.startsWith("draft for "), title);
        assertFalse(text.lines().filter(l -> !l.startsWith("chain")).anyMatch(l -> l.contains("script")), text);
        assertEquals("draft for " + name.replaceAll("[\n\u0000\u2028\ud800]", "\ufffd"), title);
    }
}

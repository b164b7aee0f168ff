package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.hear.Memory;
import linnet.list.Take;
import linnet.store.Store;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What a group or a return states against the singer, where several sing in it: 200 and 300 Hz together have the period of 100 Hz, the note that two tones
 * have in common (a "common fundamental" of any text on acoustics), and nobody sings that.
 */
class SingersOfSumsTest {
    private static final String GROUP = """
            parts:
              low: { take: a.wav }
              high: { take: b.wav }
            groups: { backs: { parts: [ low, high ], chain: [ CHAIN ] } }
            prints: [ backs ]
            """;
    private static final String RETURN = """
            parts:
              low: { take: a.wav, sends: { plate: -6 dB } }
              high: { take: b.wav, sends: { plate: -9 dB } }
            returns: { plate: { chain: [ CHAIN ] } }
            prints: [ plate ]
            """;
    private static final String NESTED = """
            parts:
              low: { take: a.wav }
              high: { take: b.wav }
            groups: { backs: { parts: [ low, high ], chain: [ trim: { level: -1 dB } ], sends: { plate: -6 dB } } }
            returns: { plate: { chain: [ CHAIN ] } }
            prints: [ plate ]
            """;
    private static final String LOWEST = "eq: [ { high-pass: 1 x lowest note } ]", SIBILANCE = "eq: [ { bell: sibilance, gain: -2 dB } ]",
            VOICE = "compressor: { threshold: 6 dB under voice }";

    @TempDir
    Path folder;

    private SongRig rig;

    @BeforeEach
    void rig() {
        rig = new SongRig(folder);
    }

    /** Some hundred Hz with an s in each second, in the pause after the tone. */
    private static Samples singing(double hz) {
        double[] x = new double[(int) (4 * SongRig.RATE)];
        double[] noise = SongRig.noise((int) hz, 4, 0.3).data()[0];
        for (int i = 2; i < x.length; i++) {
            double t = i / SongRig.RATE, in = t % 1;
            x[i] = 1e-4 * noise[i];
            if (in < 0.6) for (int k = 1; k < 12; k++) x[i] += 0.15 / k * Math.sin(2 * Math.PI * hz * k * t);
            if (in > 0.62 && in < 0.75) x[i] += 0.25 * (noise[i] - 2 * noise[i - 1] + noise[i - 2]);
        }
        return new Samples(SongRig.RATE, x);
    }

    private double hz(String of, String song, String chain, Sound... takes) throws Exception {
        return hz(rig.resolved(of, song.replace("CHAIN", chain), takes));
    }

    private static double hz(List<Resolved> found) {
        assertEquals(1, found.size(), found.toString());
        String value = found.get(0).value().replaceAll(" \\(.*", "");
        return value.endsWith(" kHz") ? 1000 * Double.parseDouble(value.replace(" kHz", "")) : Double.parseDouble(value.replaceAll(" (Hz|dBFS)", ""));
    }

    @Test
    void theLowestNoteIsThatOfWhoeverSingsLowest() throws Exception {
        assertEquals(200, hz("backs", GROUP, LOWEST, singing(300), singing(200)), 2);
        assertEquals(200, hz("plate", RETURN, LOWEST, singing(300), singing(200)), 2);
        assertEquals(200, hz("plate", NESTED, LOWEST, singing(300), singing(200)), 2);
    }

    /** Three whose common period is longer than any singer's: nothing has a pitch. */
    @Test
    void someoneSingsWhereTheSumHasNoPitch() throws Exception {
        Sound[] three = {singing(211), singing(283), singing(367)};
        String group = GROUP.replace("low, high", "low, high, third").replace("groups:", "  third: { take: c.wav }\ngroups:");
        assertEquals(211, hz("backs", group, LOWEST, three), 3);
        assertTrue(hz("backs", group, SIBILANCE, three) > 6000);
        String alone = GROUP.replace("[ CHAIN ]", "[ trim ]").replace("a.wav }", "a.wav, chain: [ CHAIN ] }");
        // Powers of three add up, and each stands in the middle 3 dB lower on both sides.
        assertEquals(hz("low", alone, VOICE, three[0], three[1]) + 10 * Math.log10(3) - 3, hz("backs", group, VOICE, three), 0.5);
    }

    @Test
    void oneAloneIsHeardAsItWas() throws Exception {
        String one = GROUP.replace("low, high", "low").replace("  high: { take: b.wav }\n", "");
        assertEquals(200, hz("backs", one, LOWEST, singing(200)), 2);
    }

    /** What the parts are made of lies on the shelf, and is not read for a print that is there: it is, where somebody wants to know who sings. */
    @Test
    void whoSingsIsHeardAlsoWhereAllIsKept() throws Exception {
        for (String low : List.of("tidy: { like: lead }", "chain: [ reverse ]")) {
            for (String song : List.of(GROUP, RETURN, NESTED)) {
                rig = new SongRig(Files.createTempDirectory(folder, "song"));
                String of = song.equals(GROUP) ? "backs" : "plate";
                String text = song.replace("parts:\n", "parts:\n  lead: { take: c.wav }\n").replace("a.wav", "a.wav, " + low);
                Sound[] takes = {singing(200), singing(200), singing(300)};
                rig.render(text.replace("CHAIN", "trim"), 1, takes);
                assertEquals(200, hz(rig.resolvedAfterwards(of, text.replace("CHAIN", LOWEST), takes)), 2, of + " of " + low);
            }
        }
    }

    /** Sung for a second, then nothing but the noise of something, or nothing. */
    private static Samples once(double hz, double level, double noise) {
        double[] x = singing(hz).data()[0], rest = SongRig.noise(5, 4, noise).data()[0];
        for (int i = 0; i < x.length; i++) x[i] = i < SongRig.RATE ? level * x[i] : rest[i];
        return new Samples(SongRig.RATE, x);
    }

    private static Samples backwards(Samples of) {
        double[] x = of.data()[0].clone();
        for (int i = 0; i < x.length / 2; i++) {
            double first = x[i];
            x[i] = x[x.length - 1 - i];
            x[x.length - 1 - i] = first;
        }
        return new Samples(SongRig.RATE, x);
    }

    /** What somebody sings where nothing of it is sent there does not make singing of what others play there. */
    @Test
    void whoIsSilencedDoesNotCountThere() throws Exception {
        String song = RETURN.replace("a.wav, sends: { plate: -6 dB }", "a.wav")
                + "throws: [ { part: low, word: 0.1 s, exact: yes, length: 400 ms, to: plate } ]\n";
        double there = hz("plate", song, VOICE, once(200, 1, 0), once(300, 1, 0.2));
        assertEquals(there, hz("plate", song, VOICE, singing(200), once(300, 1, 0.2)), 0.05);
    }

    @Test
    void whatIsMovedInTimeOrPitchIsHeardAsItLeaves() throws Exception {
        assertEquals(300, hz("backs", GROUP.replace("a.wav", "a.wav, chain: [ shift: { by: 12 semitones } ]"), LOWEST, singing(150), singing(400)), 6);
        Samples loud = once(200, 3, 1e-4), soft = once(300, 0.3, 1e-4);
        double wanted = hz("backs", GROUP, VOICE, backwards(loud), soft);
        assertEquals(wanted, hz("backs", GROUP.replace("a.wav", "a.wav, chain: [ reverse ]"), VOICE, loud, soft), 0.1);
    }

    @Test
    void whatIsPlayedIsNotAskedWhoSings() throws Exception {
        String song = RETURN.replace("returns:", "instrumental: { take: c.wav, sends: { plate: -6 dB } }\nreturns:");
        assertEquals(200, hz("plate", song, LOWEST, singing(300), singing(200), singing(62)), 2);
    }

    /** Counts what is read of it. */
    private static final class Counted implements Sound {
        private final Sound sound;
        private final AtomicLong read = new AtomicLong();

        private Counted(Sound sound) {
            this.sound = sound;
        }

        @Override
        public double rate() {
            return sound.rate();
        }

        @Override
        public int channels() {
            return sound.channels();
        }

        @Override
        public long frames() {
            return sound.frames();
        }

        @Override
        public void read(long from, double[][] into, int n) {
            read.addAndGet(n);
            sound.read(from, into, n);
        }
    }

    /** Samples that are read of the first of two takes while the chain of a group finds its number. */
    private long read(String song, String chain, Shelf shelf) throws Exception {
        Counted low = new Counted(singing(200));
        Take.of("", low);
        long asATake = low.read.getAndSet(0);
        assertTrue(hz(rig.resolved("backs", song.replace("CHAIN", chain), shelf, low, singing(300))) > 0);
        return low.read.get() - asATake;
    }

    @Test
    void whoWasHeardIsNotHeardAgain() throws Exception {
        Store store = new Store(folder.resolve("kept"), 1 << 30);
        assertTrue(read(GROUP, LOWEST, store) > 0);
        assertEquals(0, read(GROUP, SIBILANCE, store), "another number of the same sum");
        assertEquals(0, read(GROUP.replace("[ CHAIN ]", "[ trim: { level: -1 dB }, CHAIN ]").replace("b.wav", "b.wav, level: -3 dB"), LOWEST, store),
                "another sum");
        // What the chain of a part heard: nothing is left to be heard but what that did not ask.
        Store other = new Store(folder.resolve("known"), 1 << 30);
        String own = GROUP.replace("a.wav", "a.wav, chain: [ " + LOWEST + ", " + VOICE + " ]");
        rig.resolved("low", own.replace("CHAIN", "trim"), other, singing(200), singing(300));
        long known = read(own, LOWEST, other), anew = read(own, LOWEST, new Store(folder.resolve("anew"), 1 << 30));
        assertTrue(2 * known < anew, known + " of " + anew);
    }

    /** Remembers for as long as it is asked, and cannot keep anything. */
    private record Unwritable(Store store) implements Shelf {
        @Override
        public Optional<Sound> find(String signature) {
            return store.find(signature);
        }

        @Override
        public Place place(String signature, double rate, int channels) throws IOException {
            return store.place(signature, rate, channels);
        }

        @Override
        public Recollection recollection(String signature) {
            Memory memory = store.recollection(signature).memory();
            return new Recollection() {
                @Override
                public Memory memory() {
                    return memory;
                }

                @Override
                public void close() throws IOException {
                    throw new IOException("it is full");
                }
            };
        }
    }

    @Test
    void whatCannotBeKeptIsNotHeardTwice() throws Exception {
        long once = read(GROUP, LOWEST, new Store(folder.resolve("kept"), 1 << 30));
        assertEquals(once, read(GROUP, LOWEST, new Unwritable(new Store(folder.resolve("full"), 1 << 30))));
    }

    @Test
    void whatCannotBeMeasuredIsSaidOfTheSum() {
        String song = GROUP.replace("CHAIN", SIBILANCE);
        ProblemsException refused = assertThrows(ProblemsException.class, () -> rig.render(song, 1, SongRig.sung(1, 3, 0.2), SongRig.sung(6, 3, 0.2)));
        String told = "backs: the sibilance of this sum cannot be measured: no sibilant is heard in it; give ";
        assertTrue(refused.getMessage().contains(told), refused.getMessage());
    }
}

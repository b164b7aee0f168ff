package linnet.fuzz;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import linnet.audio.SoundFileException;
import linnet.audio.WavFile;
import linnet.chain.ChainReader;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.Problem;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What chance hardly finds: texts that are small and stand for much, and headers that claim what is not there. */
class BoundsTest {
    private static final int SIZE = 60_000;
    private static final String HEAD = "song: x\ntempo: 120 bpm\nsections: { a: 1, end: 9 }\n";

    @TempDir
    Path folder;

    private String chain(String text) throws IOException {
        Target.CHAIN.check(text.getBytes(StandardCharsets.UTF_8), folder, true);
        Path file = Files.writeString(folder.resolve("bounds.yaml"), text);
        return first(assertThrows(ProblemsException.class, () -> ChainReader.read(file, Builtins.catalogue())));
    }

    private String song(String text) throws IOException {
        Target.SONG.check(text.getBytes(StandardCharsets.UTF_8), folder, true);
        Path file = Files.writeString(folder.resolve("bounds.yaml"), text);
        return first(assertThrows(ProblemsException.class, () -> SongReader.read(file, Builtins.catalogue())));
    }

    private static String first(ProblemsException e) {
        Problem p = e.problems().get(0);
        return p.at().line() + ":" + p.at().column() + " " + p.message();
    }

    private static String many(int n, String row) {
        return IntStream.range(0, n).mapToObj(row.replace("%", "%1$d")::formatted).collect(Collectors.joining());
    }

    @Test
    void nestingIsBounded() throws IOException {
        assertEquals("1:32 this is nested more than 30 deep", chain("[".repeat(40) + "]".repeat(40)));
        assertTrue(chain("[".repeat(SIZE)).endsWith("this is not YAML that can be read: Nesting Depth exceeded max 120"));
        assertTrue(chain("{".repeat(SIZE)).endsWith("this is not YAML that can be read: Nesting Depth exceeded max 120"));
        assertEquals("1:8 this is nested more than 30 deep", chain("steps: &a [ *a ]"));
    }

    @Test
    void whatAnchorsMultiplyIsBounded() throws IOException, ProblemsException {
        StringBuilder text = new StringBuilder("a0: &a0 [ x, x, x, x, x, x, x, x, x, x ]\n");
        for (int i = 1; i < 9; i++) text.append("a%d: &a%d [ %s ]\n".formatted(i, i, ("*a" + (i - 1) + ", ").repeat(10)));
        assertTrue(chain(text.toString()).endsWith("with what its anchors stand for, this text has more than 100000 entries"));
        // As often as one likes where it stands for little.
        String shared = HEAD + "parts:\n  p: { take: t, chain: &c [ gate, compressor ] }\n" + many(99, "  p%: { take: t, chain: *c }\n") + "prints: [ mix ]\n";
        Target.SONG.check(shared.getBytes(StandardCharsets.UTF_8), folder, true);
        SongReader.read(Files.writeString(folder.resolve("shared.yaml"), shared), Builtins.catalogue());
    }

    @Test
    void whatIsLongIsShownInPart() throws IOException {
        String long9 = "9".repeat(SIZE);
        assertEquals("1:28 threshold wants a level such as \"-18 dB\" or \"10 dB over noise\", not \"" + long9.substring(0, 40) + "…\"",
                chain("steps: [ gate: {threshold: " + long9 + "} ]"));
        assertTrue(chain("chain: !" + "x".repeat(SIZE) + " x\nsteps: [ gate ]\n").length() < 200);
        assertTrue(chain("steps: []\n" + "? " + long9 + "\n: 1\n? " + long9 + "\n: 1\n").length() < 200);
    }

    @Test
    void problemsAreCountedAndNoMoreThanFiftyTold() throws IOException {
        Path file = Files.writeString(folder.resolve("bounds.yaml"), "{" + "a: 1, ".repeat(SIZE / 6) + "}");
        assertEquals(50, assertThrows(ProblemsException.class, () -> ChainReader.read(file, Builtins.catalogue())).problems().size());
        chain("steps: [ gate: { " + many(6000, "a%, ") + "} ]");
    }

    @Test
    void aSongOfThousandsIsNone() throws IOException {
        assertEquals("4:1 a song has 300 parts at most, not 2800", song(HEAD + "parts:\n" + many(2800, "  p%: {take: t}\n") + "prints: [ mix ]\n"));
        assertEquals("6:1 a song has 300 prints at most, not 2000", song(HEAD + "parts:\n  p: {take: t}\nprints: [ " + many(2000, "p up % dB, ") + "]\n"));
        assertEquals("1:1 the chains of a song have 5000 steps at most, not 30000",
                song(HEAD + "parts:\n  p: { take: t, chain: &c [ " + "reverb, ".repeat(150) + "] }\n" + many(199, "  p%: { take: t, chain: *c }\n")
                        + "prints: [ mix ]\n"));
    }

    /** Each after the one before, and a print without each. */
    @Test
    void aSongAsLargeAsMayBeIsCheckedInTime() {
        String from = HEAD + "parts:\n  p: { take: t }\n  p0: { from: p }\n" + IntStream.range(1, 299)
                .mapToObj(i -> "  p" + i + ": { from: p" + (i - 1) + " }\n").collect(Collectors.joining()) + "prints: [ mix ]\n";
        Target.SONG.check(from.getBytes(StandardCharsets.UTF_8), folder, false);
        String sends = "sends: &s { " + many(30, "r%: -1 dB, ") + "}";
        String without = HEAD + "parts:\n  p: { take: t, " + sends + " }\n" + many(299, "  p%: { take: t, sends: *s }\n") + "returns:\n"
                + many(30, "  r%: { chain: [ trim ] }\n") + "prints: [ " + many(150, "mix without p%, ") + "]\n";
        Target.SONG.check(without.getBytes(StandardCharsets.UTF_8), folder, false);
    }

    @Test
    void aHeaderTakesNoMemoryByWhatItClaims() throws IOException {
        byte[] huge = Sounds.wav(), wide = Sounds.wav();
        Sounds.little(4).putInt(0xFFFF_FFF0).flip().get(huge, 40, 4);
        assertEquals("huge.wav: claims 44739.243 s of sound but holds 0.008 s; copy it again from where it was recorded", refused("huge.wav", huge));
        Sounds.little(4).putShort((short) 0xFFFF).putShort((short) 0).flip().get(wide, 22, 2);
        assertEquals("wide.wav: has 65535 channels; give mono or stereo: export the channel with the voice as a file of its own", refused("wide.wav", wide));
    }

    private String refused(String name, byte[] bytes) throws IOException {
        Path file = Files.write(folder.resolve(name), bytes);
        assertThrows(SoundFileException.class, () -> WavFile.open(file));
        ThreadMXBean thread = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        long before = thread.getCurrentThreadAllocatedBytes();
        String said = assertThrows(SoundFileException.class, () -> WavFile.open(file)).getMessage();
        assertTrue(thread.getCurrentThreadAllocatedBytes() - before < 1 << 20);
        return said;
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import picocli.CommandLine;

/** A render with the usual options is understood without the library, and prints, says and refuses what it does with it. */
class RenderUsualTest extends SongFolder {
    private String chain, take;

    private record Done(int code, String out, String err, List<String> files) {}

    @BeforeEach
    void chainAndTake() throws IOException {
        chain = file("chain.yaml", "steps: [ { eq: [ { high-pass: 0.8 x lowest note } ] }, { compressor: { aim: 3 dB } } ]\n");
        take = folder.resolve("take.wav").toString();
    }

    private String file(String name, String text) throws IOException {
        return Files.writeString(folder.resolve(name), text).toString();
    }

    private Done quick(String... words) throws IOException {
        StringWriter out = new StringWriter(), err = new StringWriter();
        return done(Main.run(words, new PrintWriter(out, true), new PrintWriter(err, true)), out, err);
    }

    private Done library(String... words) throws IOException {
        StringWriter out = new StringWriter(), err = new StringWriter();
        CommandLine line = Main.commandLine();
        line.setOut(new PrintWriter(out, true));
        line.setErr(new PrintWriter(err, true));
        return done(line.execute(words), out, err);
    }

    /** And takes what was made away, for the other to make. */
    private Done done(int code, StringWriter out, StringWriter err) throws IOException {
        Path made = folder.resolve("made.wav");
        String print = Files.isRegularFile(made) ? Arrays.hashCode(Files.readAllBytes(made)) + "" : "none";
        Files.deleteIfExists(made);
        try (Stream<Path> all = Files.list(folder)) {
            return new Done(code, out.toString().replaceAll("[0-9]+ times faster", "faster"), err.toString(),
                    Stream.concat(Stream.of(print), all.map(p -> p.getFileName().toString()).filter(n -> !n.startsWith(".")).sorted())
                    .collect(Collectors.toList()));
        }
    }

    private Done same(int code, String... words) throws IOException {
        Done library = library(words), quick = quick(words);
        assertEquals(code, library.code, library.err);
        assertEquals(library, quick);
        return quick;
    }

    @Test
    void aChainAndATakeInAnyOrder() throws IOException {
        String made = folder.resolve("made.wav").toString();
        Done plain = same(0, "render", chain, take, "--out", made);
        assertTrue(!plain.files.get(0).equals("none"));
        for (String[] words : new String[][] {{"render", "--out", made, chain, take}, {"render", chain, "--force", "--out", made, take},
                {"render", "--force", chain, take, "--out=" + made},
            {"render", chain, take, "--out", made, "--depth", "24"}, {"render", chain, take, "--out", made, "--threads", "1"},
                    {"render", chain, take, "--out", made, "--rate", "48000"}}) {
            assertEquals(plain, same(0, words), Arrays.toString(words));
        }
        Files.writeString(folder.resolve("there.wav"), "");
        same(2, "render", chain, take, "--out", folder.resolve("there.wav").toString());
    }

    @Test
    void whatIsWrongWithIt() throws IOException {
        String made = folder.resolve("made.wav").toString(), wrong = file("wrong.yaml", "steps: [ trimm ]\n");
        same(2, "render");
        same(2, "render", chain);
        same(2, "render", chain, take);
        same(2, "render", chain, take, "--out");
        same(2, "render", chain, take, "more", "--out", made);
        same(2, "render", chain, take, "--out", made, "--out", made);
        same(2, "render", chain, take, "--force", "--force", "--out", made);
        same(2, "render", chain, take, "--out", "--force");
        same(2, "render", chain, take, "--out", "");
        same(2, "render", chain, take, "--oat", made);
        same(2, "render", chain, "--out", made);
        same(2, "render", song.toString(), take, "--out", made);
        same(2, "render", chain, take, "--out", folder.resolve("made.mp3").toString());
        // First what is wrong with the chain, then with the take.
        same(3, "render", wrong, take, "--out", made);
        same(3, "render", wrong, folder.resolve("no.wav").toString(), "--out", made);
        same(3, "render", "no.yaml", take, "--out", made);
        same(4, "render", chain, folder.resolve("no.wav").toString(), "--out", made);
        same(4, "render", chain, chain, "--out", made);
    }

    /** That the samples were read before the lists and the chain does not show. */
    @Test
    void aTakeThatCannotBeReadToItsEnd() throws IOException {
        Path odd = folder.resolve("odd.wav");
        Files.write(odd, floats(48_000, 40_000));
        String made = folder.resolve("made.wav").toString();
        assertTrue(same(4, "render", chain, odd.toString(), "--out", made).err.contains("not a number"));
        assertTrue(same(3, "render", file("wrong.yaml", "steps: [ trimm ]\n"), odd.toString(), "--out", made).err.contains("trimm"));
        assertTrue(!Files.exists(folder.resolve("made.wav")));
    }

    /**
     * Nor what lies beyond the stretch that is wanted, where the chain hears nothing: however far one thread is ahead of the other, and next to the end too.
     */
    @Test
    void whatIsNotWantedOfATakeIsNotMinded() throws IOException {
        Path odd = folder.resolve("odd.wav");
        String made = folder.resolve("made.wav").toString(), trim = file("trim.yaml", "steps: [ { trim: { level: -3 dB } } ]\n");
        for (int bad : new int[] {14_400, 20_000, 40_000}) {
            Files.write(odd, floats(48_000, bad));
            for (String threads : new String[] {"1", "2"}) {
                Done done = library("render", trim, odd.toString(), "--out", made, "--to", "0.3", "--threads", threads);
                assertEquals(0, done.code, done.err);
                assertEquals(4, library("render", trim, odd.toString(), "--out", made, "--threads", threads).code);
            }
        }
    }

    /** A file of floats: noise, and one that is no number. */
    private static byte[] floats(int frames, int bad) {
        ByteBuffer wav = ByteBuffer.allocate(44 + 4 * frames).order(ByteOrder.LITTLE_ENDIAN);
        wav.put("RIFF".getBytes()).putInt(36 + 4 * frames).put("WAVEfmt ".getBytes()).putInt(16).putShort((short) 3).putShort((short) 1).putInt(48_000)
                .putInt(4 * 48_000).putShort((short) 4).putShort((short) 32);
        wav.put("data".getBytes()).putInt(4 * frames);
        Random random = new Random(3);
        for (int i = 0; i < frames; i++) wav.putFloat(i == bad ? Float.NaN : 0.1f * (float) random.nextGaussian());
        return wav.array();
    }

    @Test
    void aWholeSong() throws IOException {
        String prints = folder.resolve("prints").toString();
        Done quick = quick("render", song.toString(), "--out", prints), library = library("render", song.toString(), "--out", prints, "--force");
        assertEquals(0, quick.code, quick.err);
        assertEquals(0, library.code);
        same(0, "render", song.toString(), "--out", prints);
        parts("lead: { take: no.wav }");
        same(4, "render", song.toString(), "--out", prints, "--force");
    }
}

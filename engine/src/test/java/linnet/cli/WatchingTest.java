package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import linnet.dsp.Cell;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A song that is saved again and again while somebody listens. */
class WatchingTest {
    private static final String SONG = """
            song: x
            tempo: 240 bpm
            sections: { a: 1, b: 3, end: 5 }
            parts:
              lead: { take: take.wav, chain: [ compressor: { threshold: -20 dB } ], level: -6 dB, sends: { room: -6 dB } }
            returns: { room: { chain: [ reverb: { decay: 0.3 s } ] } }
            moves: { b: { room: +2 dB } }
            mix: { chain: [ compressor: { aim: 2 dB }, limit ] }
            prints: [ mix, lead, room ]
            """;

    @TempDir
    Path folder;

    private final StringWriter out = new StringWriter(), err = new StringWriter();
    private Path song, prints;
    private Watching watching;
    private long saved = 1_700_000_000_000L;

    @BeforeEach
    void aSong() throws IOException {
        song = folder.resolve("song.yaml");
        prints = folder.resolve("prints");
        try (WavWriter writer = WavWriter.create(folder.resolve("take.wav"), Print.of(48_000, 1, SampleFormat.INT_24))) {
            double[][] x = new double[1][Cell.LENGTH];
            for (int block = 0; block < 390; block++) {
                for (int i = 0; i < Cell.LENGTH; i++) {
                    x[0][i] = 0.3 * Math.sin(2 * Math.PI * 220 * (block * Cell.LENGTH + i) / 48_000.0) * (1 + 0.5 * Math.sin(block / 30.0));
                }
                writer.write(x, Cell.LENGTH);
            }
            writer.finish();
        }
        save(SONG);
        watching = new Watching(song, prints, SampleFormat.INT_24, 2, new PrintWriter(out, true), new PrintWriter(err, true));
    }

    private void save(String text) throws IOException {
        Files.writeString(song, text);
        Files.setLastModifiedTime(song, FileTime.fromMillis(saved += 1000));
    }

    /** As the command does, for as long as a sound must stay as it is. */
    private boolean looks() {
        for (int i = 0; i < 20; i++) {
            if (watching.look()) return true;
            try {
                Thread.sleep(40);
            } catch (InterruptedException e) {
                throw new IllegalStateException(e);
            }
        }
        return false;
    }

    private String said() {
        String said = out + "" + err;
        out.getBuffer().setLength(0);
        err.getBuffer().setLength(0);
        return said;
    }

    /** @return by how many dB the stretch that is heard first is off from what is printed there, when the room is turned down */
    private double off(String text) throws IOException {
        save(text);
        assertTrue(looks());
        assertTrue(said().contains("3 prints"));
        assertFalse(looks());
        save(text.replace("+2 dB", "-4 dB"));
        assertTrue(looks());
        String said = said();
        assertTrue(said.startsWith("b: room 6 dB lower\n"), said);
        assertTrue(said.contains("changed.wav: 2.0 s to 4.0 s of the mix, ready after"), said);
        assertTrue(said.contains("not rendered again: lead, room"), said);
        assertFalse(looks());
        try (WavFile changed = WavFile.open(prints.resolve("changed.wav")); WavFile mix = WavFile.open(prints.resolve("mix.wav"))) {
            assertEquals(96_000, changed.frames());
            double[][] x = new double[2][96_000], y = new double[2][96_000];
            changed.read(0, x, 96_000);
            mix.read(96_000, y, 96_000);
            double power = 0, difference = 0;
            for (int i = 0; i < 96_000; i++) {
                power += y[0][i] * y[0][i];
                difference += (x[0][i] - y[0][i]) * (x[0][i] - y[0][i]);
            }
            return 10 * Math.log10(difference / power);
        }
    }

    @Test
    void whatChangedIsHeardFirst() throws IOException {
        double off = off(SONG.replace("aim: 2 dB", "threshold: -20 dB"));
        assertTrue(off < -90, "off by " + off + " dB");
    }

    /** Its compressor goes by the threshold of the mix before, which half a dB of another mix does not move far. */
    @Test
    void whatMustBeHeardWholeIsAsBefore() throws IOException {
        double off = off(SONG.replace("room: -6 dB", "room: -20 dB"));
        // 0.2 dB of level.
        assertTrue(off < -32.6, "off by " + off + " dB");
    }

    @Test
    void aSlipIsToldAndThePrintsStay() throws IOException {
        looks();
        said();
        byte[] mix = Files.readAllBytes(prints.resolve("mix.wav"));
        save(SONG.replace("room: +2", "romo: +2"));
        assertTrue(looks());
        assertTrue(said().contains("this song has no part, group or return 'romo'; did you mean 'room'?"));
        assertEquals(java.util.Arrays.hashCode(mix), java.util.Arrays.hashCode(Files.readAllBytes(prints.resolve("mix.wav"))));
        assertFalse(looks());
        save(SONG.replace("level: -6 dB", "level: -7 dB"));
        assertTrue(looks());
        assertTrue(said().startsWith("lead 1 dB lower\n"));
    }

    @Test
    void aTakeThatIsSavedIsHeardAnew() throws IOException {
        looks();
        said();
        byte[] take = Files.readAllBytes(folder.resolve("take.wav"));
        Files.delete(folder.resolve("take.wav"));
        assertTrue(looks());
        assertTrue(said().contains("take.wav: is not there"));
        for (int i = 40_000; i < take.length; i++) take[i] = 0;
        Files.write(folder.resolve("take.wav"), take);
        assertTrue(looks());
        assertTrue(said().contains("3 prints"));
    }

    /** What is wrong is not rendered over and over; a chain that is mended, or there at last, is. */
    @Test
    void aChainThatIsBrokenOrMissingIsWatched() throws IOException {
        save(SONG.replace("chain: [ compressor: { threshold: -20 dB } ]", "chain: one.yaml"));
        assertTrue(looks());
        assertTrue(said().contains("one.yaml"));
        assertFalse(looks());
        Files.writeString(folder.resolve("one.yaml"), "chain: one\nsteps: [ comprezzor ]\n");
        assertTrue(looks());
        assertTrue(said().contains("did you mean 'compressor'?"));
        assertFalse(looks());
        Files.writeString(folder.resolve("one.yaml"), "chain: one\nsteps: [ compressor: { threshold: -20 dB } ]\n");
        assertTrue(looks());
        assertTrue(said().contains("3 prints"));
    }

    /** What is saved while a render runs that fails is seen after it. */
    @Test
    void aMendDuringARenderThatFailsIsSeen() throws IOException {
        save(SONG.replace("room: +2", "romo: +2"));
        watching = new Watching(song, prints, SampleFormat.INT_24, 2, new PrintWriter(out, true), new PrintWriter(new Writer() {
            @Override
            public void write(char[] text, int from, int n) {
                err.write(text, from, n);
                try {
                    if (err.toString().contains("romo") && Files.readString(song).contains("romo")) save(SONG);
                } catch (IOException e) {
                    throw new IllegalStateException(e);
                }
            }

            @Override
            public void flush() {}

            @Override
            public void close() {}
        }, true));
        assertTrue(looks());
        assertTrue(said().contains("romo"));
        assertTrue(looks());
        assertTrue(said().contains("3 prints"));
    }

    /** What is saved once the changes are told is not in the prints that come of them, but in the next. */
    @Test
    void whatIsToldIsWhatIsPrinted() throws IOException {
        looks();
        said();
        String second = SONG.replace("level: -6 dB", "level: -7 dB"), third = SONG.replace("level: -6 dB", "level: -19 dB");
        PrintWriter saving = new PrintWriter(out, true) {
            @Override
            public void println(String line) {
                super.println(line);
                try {
                    if (line.equals("lead 1 dB lower")) save(third);
                } catch (IOException e) {
                    throw new IllegalStateException(e);
                }
            }
        };
        watching = new Watching(song, prints, SampleFormat.INT_24, 2, saving, new PrintWriter(err, true));
        looks();
        said();
        byte[] first = Files.readAllBytes(prints.resolve("lead.wav"));
        save(second);
        assertTrue(looks());
        assertTrue(said().startsWith("lead 1 dB lower\n"));
        assertEquals(peak(first) * Math.pow(10, -1 / 20.0), peak(Files.readAllBytes(prints.resolve("lead.wav"))), 0.001);
        assertTrue(looks());
        assertTrue(said().startsWith("lead 12 dB lower\n"));
        assertEquals(peak(first) * Math.pow(10, -13 / 20.0), peak(Files.readAllBytes(prints.resolve("lead.wav"))), 0.001);
    }

    private double peak(byte[] wav) throws IOException {
        Path file = Files.write(folder.resolve("copy.wav"), wav);
        try (WavFile print = WavFile.open(file)) {
            double[][] x = new double[print.channels()][(int) print.frames()];
            print.read(0, x, x[0].length);
            return java.util.Arrays.stream(x[0]).map(Math::abs).max().orElseThrow();
        }
    }

    @Test
    void listsBesideTakesAndFilesWithCuesAreWatched() throws IOException {
        looks();
        said();
        Files.writeString(folder.resolve("take.marks.yaml"), "marks: \"take.wav\"\nrate: 48000 Hz\nframes: 187200\nlist: []\n");
        assertTrue(looks());
        String said = said();
        assertTrue(said.contains("3 prints"), said);
        Files.delete(folder.resolve("take.marks.yaml"));
        assertTrue(looks());
        assertTrue(said().contains("3 prints"));
        Files.copy(folder.resolve("take.wav"), folder.resolve("guide.wav"));
        save(SONG.replace("sections: { a: 1, b: 3, end: 5 }", "sections: { from: guide.wav }"));
        assertTrue(looks());
        assertTrue(said().contains("guide.wav"));
        assertFalse(looks());
        Files.setLastModifiedTime(folder.resolve("guide.wav"), FileTime.fromMillis(saved += 1000));
        assertTrue(looks());
    }

    @Test
    void aTakeThatIsNoLongerUsedIsNotWatched() throws IOException {
        Files.copy(folder.resolve("take.wav"), folder.resolve("other.wav"));
        looks();
        save(SONG.replace("take.wav", "other.wav"));
        assertTrue(looks());
        Files.setLastModifiedTime(folder.resolve("take.wav"), FileTime.fromMillis(saved += 1000));
        assertFalse(looks());
    }

    /** A take that ends otherwise than its header says, and one that is no sound, end nothing. */
    @Test
    void aTakeThatCannotBeReadIsToldAndWatchedOn() throws IOException {
        looks();
        said();
        byte[] take = Files.readAllBytes(folder.resolve("take.wav"));
        Files.write(folder.resolve("take.wav"), "no sound".getBytes(StandardCharsets.US_ASCII));
        assertTrue(looks());
        assertTrue(said().contains("take.wav: is not a WAV file"));
        assertFalse(looks());
        Files.write(folder.resolve("take.wav"), take);
        Files.delete(prints.resolve("mix.wav"));
        Files.createDirectories(prints.resolve("mix.wav").resolve("within"));
        assertTrue(looks());
        assertTrue(said().contains("mix.wav"));
        assertFalse(looks());
        Files.delete(prints.resolve("mix.wav").resolve("within"));
        Files.delete(prints.resolve("mix.wav"));
        save(SONG.replace("level: -6 dB", "level: -7 dB"));
        assertTrue(looks());
        assertTrue(said().contains("3 prints"));
    }

    /** A take that is being exported is read once, when it has come to its end. */
    @Test
    void aTakeThatGrowsIsWaitedFor() throws Exception {
        looks();
        said();
        byte[] take = Files.readAllBytes(folder.resolve("take.wav"));
        for (int n = 100_000; n < take.length; n += 100_000) {
            Files.write(folder.resolve("take.wav"), java.util.Arrays.copyOf(take, n));
            for (int i = 0; i < 4; i++) {
                assertFalse(watching.look());
                Thread.sleep(40);
            }
        }
        Files.write(folder.resolve("take.wav"), take);
        assertTrue(looks());
        assertTrue(said().contains("3 prints"));
    }

    /** It is told once which file is waited for; so it is when that comes again. */
    @Test
    void aTakeThatNeverStopsGrowingIsTold() throws Exception {
        looks();
        said();
        byte[] take = Files.readAllBytes(folder.resolve("take.wav"));
        for (int time = 0; time < 2; time++) {
            save(SONG.replace("level: -6 dB", "level: -" + (7 + time) + " dB"));
            grows();
            assertEquals("Waiting for " + folder.resolve("take.wav") + ", still being written.\n", said());
            Files.write(folder.resolve("take.wav"), take);
            assertTrue(looks());
            assertTrue(said().contains("3 prints"));
        }
    }

    private void grows() throws Exception {
        long began = System.nanoTime();
        for (int n = 0; System.nanoTime() - began < 4_000_000_000L; n++) {
            Files.write(folder.resolve("take.wav"), new byte[n % 100]);
            assertFalse(watching.look());
            Thread.sleep(40);
        }
    }

    /** A note in the text, or a take that is saved as it was: there is nothing to hear first. */
    @Test
    void whereNothingChangedNothingIsWritten() throws IOException {
        String loud = SONG.replace("limit ] }", "limit ], loudness: -20 LUFS }");
        save(loud);
        looks();
        said();
        save("# a note\n" + loud);
        assertTrue(looks());
        String said = said();
        assertTrue(said.startsWith("Nothing in the mix is different.\n"), said);
        assertTrue(said.contains("not rendered again: lead, room"), said);
        assertFalse(Files.exists(prints.resolve("changed.wav")));
        save(loud.replace("level: -6 dB", "level: -9 dB"));
        assertTrue(looks());
        said = said();
        assertTrue(said.startsWith("lead 3 dB lower\n"), said);
        assertTrue(said.contains("ready after"), said);
        Files.delete(prints.resolve("changed.wav"));
        Files.setLastModifiedTime(folder.resolve("take.wav"), FileTime.fromMillis(saved += 1000));
        assertTrue(looks());
        assertTrue(said().startsWith("Nothing in the mix is different.\n"));
        save(loud.replace("level: -6 dB", "level: -9 dB") + "# another\n");
        assertTrue(looks());
        assertTrue(said().startsWith("Nothing in the mix is different.\n"));
        assertFalse(Files.exists(prints.resolve("changed.wav")));
        // The gain for another loudness is found later; that the mix is as it was is not said before.
        save(loud.replace("level: -6 dB", "level: -9 dB").replace("-20 LUFS", "-23 LUFS"));
        assertTrue(looks());
        assertFalse(said().contains("Nothing in the mix is different."));
    }

    /** A print of the name of the stretch that changed is not written over, however its letters are. */
    @Test
    void aPrintOfThatNameStays() throws IOException {
        String named = SONG.replace("prints: [ mix, lead, room ]", "prints: [ { print: mix, name: Changed } ]");
        save(named);
        looks();
        said();
        save(named.replace("level: -6 dB", "level: -7 dB"));
        assertTrue(looks());
        assertFalse(said().contains("ready after"));
        assertFalse(Files.exists(prints.resolve("changed.wav")));
    }
}

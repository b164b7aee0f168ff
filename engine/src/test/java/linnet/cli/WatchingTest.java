package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
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
                for (int i = 0; i < Cell.LENGTH; i++) x[0][i] = 0.3 * Math.sin(2 * Math.PI * 220 * (block * Cell.LENGTH + i) / 48_000.0) * (1 + 0.5 * Math.sin(block / 30.0));
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

    private String said() {
        String said = out + "" + err;
        out.getBuffer().setLength(0);
        err.getBuffer().setLength(0);
        return said;
    }

    /** @return by how many dB the stretch that is heard first is off from what is printed there, when the room is turned down */
    private double off(String text) throws IOException {
        save(text);
        assertTrue(watching.look());
        assertTrue(said().contains("3 prints"));
        assertFalse(watching.look());
        save(text.replace("+2 dB", "-4 dB"));
        assertTrue(watching.look());
        String said = said();
        assertTrue(said.startsWith("b: room 6 dB lower\n"), said);
        assertTrue(said.contains("changed.wav: 2.0 s to 4.0 s of the mix, ready after"), said);
        assertTrue(said.contains("as before: lead, room"), said);
        assertFalse(watching.look());
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
        watching.look();
        said();
        byte[] mix = Files.readAllBytes(prints.resolve("mix.wav"));
        save(SONG.replace("room: +2", "romo: +2"));
        assertTrue(watching.look());
        assertTrue(said().contains("this song has no part, group or return 'romo'; did you mean 'room'?"));
        assertEquals(java.util.Arrays.hashCode(mix), java.util.Arrays.hashCode(Files.readAllBytes(prints.resolve("mix.wav"))));
        assertFalse(watching.look());
        save(SONG.replace("level: -6 dB", "level: -7 dB"));
        assertTrue(watching.look());
        assertTrue(said().startsWith("lead 1 dB lower\n"));
    }

    @Test
    void aTakeThatIsSavedIsHeardAnew() throws IOException {
        watching.look();
        said();
        byte[] take = Files.readAllBytes(folder.resolve("take.wav"));
        Files.delete(folder.resolve("take.wav"));
        assertTrue(watching.look());
        assertTrue(said().contains("take.wav: is not there"));
        for (int i = 40_000; i < take.length; i++) take[i] = 0;
        Files.write(folder.resolve("take.wav"), take);
        assertTrue(watching.look());
        assertTrue(said().contains("3 prints"));
    }
}

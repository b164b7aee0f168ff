package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.util.Arrays;
import java.util.SplittableRandom;
import linnet.Voices;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Decibels;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Takes of a comp that were recorded at different levels are told, with the figure that evens them; a soft verse and a loud chorus are none. */
class UnevenTakesTest extends SongFolder {
    private static final double RATE = 48_000;
    private double[] sung;

    @BeforeEach
    void aSinger() {
        sung = Arrays.copyOf(Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), RATE).samples(), (int) (20 * RATE));
    }

    private void take(String name, double[] x) throws Exception {
        try (WavWriter writer = WavWriter.create(folder.resolve(name), Print.of((int) RATE, 1, SampleFormat.FLOAT_32).overwriting())) {
            writer.write(new double[][] {x}, x.length);
            writer.finish();
        }
    }

    private static double[] louder(double[] x, double db) {
        double[] y = x.clone();
        for (int i = 0; i < y.length; i++) y[i] *= Decibels.gain(db);
        return y;
    }

    /** The singer that much louder, in a room that stays as it is. */
    private double[] sungLouder(double db, double noise) {
        double[] y = louder(sung, db);
        SplittableRandom random = new SplittableRandom(7);
        for (int i = 0; i < y.length; i++) y[i] += random.nextDouble(-noise, noise);
        return y;
    }

    private String checked(String ranges) throws Exception {
        Files.writeString(song, "song: x\ntempo: 120 bpm\nsections: { verse: 1, chorus: 6, end: 11 }\nparts:\n  lead: { comp: [ " + ranges
                + " ] }\nprints: [ mix ]\n");
        assertEquals(0, run("check", song), err::toString);
        return out.toString();
    }

    @Test
    void aTakeThatWasRecordedSofterIsToldWithItsInto() throws Exception {
        take("lead-1.wav", sung);
        take("lead-2.wav", louder(sung, -9));
        String ranges = "{ take: lead-1.wav, from: verse }, { take: lead-2.wav, from: chorus%s }";
        String told = "lead: lead-2.wav was recorded 9.0 dB softer than lead-1.wav (what is sung in it lies 9.0 dB softer, where both sing, and its pauses "
                + "9.0 dB softer); to even them write 'into: 9 dB' in its range from chorus";
        assertTrue(checked(ranges.formatted("")).contains(told), out::toString);
        assertEquals(0, run("check", song, "--json"), err::toString);
        assertTrue(out.toString().contains("lead-2.wav was recorded 9.0 dB softer"), out::toString);
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertTrue(err.toString().contains(told), err::toString);
        assertTrue(Files.readString(prints.resolve("sheet.md")).contains("was recorded 9.0 dB softer"));
        assertFalse(checked(ranges.formatted(", into: 9 dB")).contains("to even them"), out::toString);
        assertTrue(checked(ranges.formatted(", into: 18 dB")).contains("lead: lead-2.wav with its 'into: 18 dB' lies 9.0 dB louder than lead-1.wav"),
                out::toString);
        assertTrue(out.toString().contains("to even them write 'into: 9 dB' in its range from chorus"), out::toString);
    }

    /** Where takes begin elsewhere, what both sing at the same time of the song is compared. */
    @Test
    void takesThatBeginElsewhereAreComparedWhereTheyLie() throws Exception {
        take("lead-1.wav", sung);
        take("lead-2.wav", louder(Arrays.copyOfRange(sung, (int) (1.5 * RATE), sung.length), -9));
        String told = checked("{ take: lead-1.wav, from: verse }, { take: lead-2.wav, from: chorus, at: 1.5 s }");
        assertTrue(told.contains("(what is sung in it lies 9.0 dB softer, where both sing, and its pauses "), told);
    }

    /** A take that is made louder in one of its ranges only is told beside the other take, not beside itself. */
    @Test
    void aTakeIsNotToldBesideItself() throws Exception {
        take("lead-1.wav", sung);
        take("lead-2.wav", sung);
        String told = checked("{ take: lead-1.wav, from: verse }, { take: lead-1.wav, from: chorus, into: 9 dB }, { take: lead-2.wav, from: chorus bar 2 }");
        assertFalse(told.contains("to even them"), told);
    }

    /** A room that stays as it is while the singer is 10 dB louder: what a chorus is sung like. Within a section that is a step, whatever it comes of. */
    @Test
    void aTakeThatWasSungLouderIsToldWithinASectionAlone() throws Exception {
        take("lead-1.wav", sungLouder(-5, 0.005));
        take("lead-2.wav", sungLouder(5, 0.005));
        assertFalse(checked("{ take: lead-1.wav, from: verse }, { take: lead-2.wav, from: chorus }").contains("into"), out::toString);
        assertFalse(checked("{ take: lead-1.wav, from: verse }, { take: lead-2.wav, from: verse bar 5 beat 3 }").contains("into"), out::toString);
        String within = checked("{ take: lead-1.wav, from: verse }, { take: lead-2.wav, from: chorus bar 3 }, { take: lead-1.wav, from: chorus bar 4 }");
        // The noise that both have makes a tenth of a dB.
        assertTrue(within.contains("lead: lead-2.wav is 9.9 dB louder than lead-1.wav where both sing, and they meet within a section, at chorus bar 3, chorus "
                + "bar 4; to even them write 'into: -10 dB' in its range from chorus bar 3\n"), within);
    }

    /** Two takes of one melody by a real singer, the second in its bars; the same, recorded 9 dB softer. */
    @Test
    void takesOfARealSinger() throws Exception {
        Voices.assumePresent();
        double[] one = voice("female_sing_nit004_take1.wav"), two = voice("female_sing_nit004_take2.wav");
        take("lead-1.wav", one);
        take("lead-2.wav", two);
        String ranges = "{ take: lead-1.wav, from: 0 s }, { take: lead-2.wav, from: 9.8 s, at: 0.68 s }";
        assertFalse(checked(ranges).contains("into"), out::toString);
        take("lead-2.wav", louder(two, -9));
        assertTrue(checked(ranges).contains("lead-2.wav was recorded"), out::toString);
        double into = Double.parseDouble(out.toString().replaceAll("(?s).*'into: ([0-9.]+) dB'.*", "$1"));
        assertEquals(9, into, 2.5, out::toString);
    }

    private static double[] voice(String name) throws Exception {
        try (WavFile file = WavFile.open(Voices.file(name))) {
            double[][] x = new double[file.channels()][(int) file.frames()];
            file.read(0, x, x[0].length);
            return x[0];
        }
    }
}

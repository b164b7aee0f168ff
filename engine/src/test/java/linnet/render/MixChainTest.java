package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Path;
import java.util.Arrays;
import java.util.Map;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class MixChainTest {
    @TempDir
    Path folder;

    /** One soft sung note, then two seconds of a band without any pitch: what is aimed at is what the band loses, as it is most of the song. */
    @Test
    void aCompressorAimsAtWhatSoundsAndNotAtWhatHasAPitch() throws Exception {
        double[] band = SongRig.noise(1, 3, 0.3).data()[0];
        Arrays.fill(band, 0, (int) SongRig.RATE, 0);
        String song = """
                parts: { one: { take: a.wav } }
                instrumental: { take: b.wav }
                mix: { chain: [ compressor: { aim: 3 dB, attack: 5 ms } ] }
                prints: [ mix, mix without bus ]
                """;
        Map<String, double[][]> p = new SongRig(folder).render(song, 2, SongRig.sung(0, 0.7, 0.02), new Samples(SongRig.RATE, band));
        assertEquals(3, SongRig.rmsDb(part(p.get("mix without bus"))) - SongRig.rmsDb(part(p.get("mix"))), 0.3);
    }

    /** The same in the chain of the instrumental alone. */
    @Test
    void soDoesOneInTheChainOfTheInstrumental() throws Exception {
        double[] band = SongRig.noise(1, 3, 0.3).data()[0], note = SongRig.sung(0, 0.7, 0.02).data()[0];
        System.arraycopy(note, 0, band, 0, note.length);
        Arrays.fill(band, note.length, (int) SongRig.RATE, 0);
        String song = """
                parts: { one: { take: a.wav } }
                instrumental: { take: b.wav, chain: [ CHAIN ] }
                prints: [ instrumental ]
                """;
        double plain = loudness(song.replace("CHAIN", ""), note, band),
                squeezed = loudness(song.replace("CHAIN", "compressor: { aim: 3 dB, attack: 5 ms }"), note, band);
        assertEquals(3, plain - squeezed, 0.3);
    }

    private double loudness(String song, double[] note, double[] band) throws Exception {
        return SongRig.rmsDb(part(new SongRig(folder).render(song, 2, new Samples(SongRig.RATE, note), new Samples(SongRig.RATE, band)).get("instrumental")));
    }

    private static double[][] part(double[][] x) {
        double[][] part = new double[x.length][];
        for (int c = 0; c < x.length; c++) part[c] = Arrays.copyOfRange(x[c], (int) (1.5 * SongRig.RATE), (int) (2.9 * SongRig.RATE));
        return part;
    }
}

package linnet.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.render.SideBySide;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * Writes four minutes of song to take the time of: {@code mvn -Pbench test -Dtest=LongSongTest -Dlong.song=FOLDER}, then
 * {@code time engine/bin/linnet render FOLDER/long-song.yaml --out FOLDER/prints --force}. Its takes are those of the example, and further
 * layers of its harmonies, three times over.
 */
@Tag("bench")
class LongSongTest {
    private static final int TIMES = 3;
    /** Bars that are repeated, and those of the song: the last rings out. */
    private static final int BARS = 33, ALL = TIMES * BARS + 1;
    private static final int CHORUS_2 = 25;

    @Test
    void isWritten() throws Exception {
        Path folder = Files.createDirectories(Path.of(System.getProperty("long.song", "target/long-song")));
        List<Cast.Take> takes = new ArrayList<>(Cast.takes().stream().filter(t -> !t.name().equals("lead-verse-2")).toList());
        takes.add(Cast.along("high-far-left", SevenLanterns.high(), Cast.SECOND, 23));
        takes.add(Cast.along("high-far-right", SevenLanterns.high(), Cast.SECOND, 24));
        takes.add(Cast.along("low-far-left", SevenLanterns.low(), Cast.THIRD, 33));
        takes.add(Cast.along("low-far-right", SevenLanterns.low(), Cast.THIRD, 34));
        takes.add(Cast.along("ad-lib-answer", SevenLanterns.adLib(), Cast.SECOND, 42));
        List<Callable<Void>> pieces = new ArrayList<>();
        for (Cast.Take t : takes) {
            pieces.add(() -> {
                Demo.print(folder.resolve(t.name() + ".wav"), repeated(t.sing().samples(), t.name().startsWith("ad-lib") ? CHORUS_2 : 0));
                return null;
            });
        }
        pieces.add(() -> {
            double[][] bed = Bed.play(SevenLanterns.whole(), Demo.RATE);
            Demo.print(folder.resolve("bed.wav"), repeated(bed[0], 0), repeated(bed[1], 0));
            return null;
        });
        SideBySide.run(pieces, 2);
        Path chains = Files.createDirectories(folder.resolve("chains"));
        try (Stream<Path> files = Files.list(Voices.repository().resolve("chains"))) {
            for (Path f : files.toList()) Files.write(chains.resolve(f.getFileName()), Files.readAllBytes(f));
        }
        try (InputStream in = LongSongTest.class.getResourceAsStream("long-song.yaml")) {
            Files.write(folder.resolve("long-song.yaml"), in.readAllBytes());
        }
        assertEquals(13, SongReader.read(folder.resolve("long-song.yaml"), Builtins.catalogue()).parts().size());
        for (Cast.Take t : takes) {
            try (WavFile wav = WavFile.open(folder.resolve(t.name() + ".wav"))) {
                assertEquals(240, wav.frames() / wav.rate(), 0.001, t.name());
            }
        }
    }

    /** What is written has the length of the song; the take begins at its bar and is heard each time round, the last time to its end. */
    private static double[] repeated(double[] x, int bar) throws IOException {
        int round = frames(BARS);
        double[] song = new double[frames(ALL)];
        for (int k = 0; k < TIMES; k++) {
            int at = k * round + frames(bar);
            System.arraycopy(x, 0, song, at, Math.min(x.length, (k + 1 < TIMES ? (k + 1) * round : song.length) - at));
        }
        return song;
    }

    private static int frames(int bars) {
        return (int) Math.round(bars * 4 * 0.6 * Demo.RATE);
    }
}

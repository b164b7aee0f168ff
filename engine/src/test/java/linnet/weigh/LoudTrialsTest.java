package linnet.weigh;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import linnet.hear.Marks;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Which gain is kept for a mix whose loudness does not come out even: what its trials measure is told here, and a sound that does so need not exist. */
class LoudTrialsTest {
    private static final String SONG = """
            song: wished loud
            tempo: 100 bpm
            sections: { verse: 1, end: 5 }
            parts: { one: { take: a.wav } }
            mix: { loudness: -16 LUFS, ceiling: -1 dBTP }
            prints: [ mix ]
            """;

    @TempDir
    Path folder;

    /** Says of each trial what it measured, in order. */
    private static final class Script implements Weighing.Scales {
        private final double[] lufs;
        private int trial;

        Script(double... lufs) {
            this.lufs = lufs;
        }

        @Override
        public Map<String, Scale> weigh(String question, Aiming.Planned plan) {
            return Map.of("mix", new Scale(lufs[trial++], new double[0], new double[0]));
        }

        @Override
        public Optional<Marks> marks(String question, Aiming.Planned plan, String part) {
            return Optional.empty();
        }
    }

    private Weighing after(Script script) throws IOException, ProblemsException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, SONG);
        Song song = SongReader.read(file, Builtins.catalogue());
        Weighing weighing = Weighing.of(song, 48_000, List.of(1), script);
        assertEquals(script.lufs.length, script.trial, "trials");
        return weighing;
    }

    /** It is turned up by 4 dB, then by 3.9, and would be by 4 again: that one came nearer. */
    @Test
    void theBestTrialIsKept() throws Exception {
        Weighing weighing = after(new Script(-20, -15.93, -16.08));
        assertEquals(4.0, weighing.turned().orElseThrow());
        assertEquals("[Found[kind=LOUDNESS, what=mix, number=4.0, value=4 dB, why=-15.9 LUFS]]", weighing.found().toString());
        assertEquals(3.9, after(new Script(-20, -15.92, -16.07)).turned().orElseThrow());
    }

    /** So the result hangs on nothing but what was measured. */
    @Test
    void ofTwoAsGoodTheFirstIsKept() throws Exception {
        assertEquals(4.0, after(new Script(-20, -15.9375, -16.0625)).turned().orElseThrow());
    }
}

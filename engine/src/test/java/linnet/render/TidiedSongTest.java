package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.dsp.Stretches;
import linnet.hear.Ear;
import linnet.hear.Told;
import linnet.list.Take;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.store.Store;
import linnet.text.ProblemsException;
import linnet.tidy.Lead;
import linnet.tidy.LooseDouble;
import linnet.tidy.Tidied;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A part of a song that follows another. */
class TidiedSongTest {
    private static final double RATE = LooseDouble.RATE;
    private static final LooseDouble PAIR = LooseDouble.of(Singer.high().seed(11), 5);
    /** The first two lines. */
    private static final Samples LEAD = cut(PAIR.lead().samples()), PART = cut(PAIR.part().samples());

    private static final String SONG = """
            song: two
            tempo: 100 bpm
            sections: { count-in: 1, verse: 2, end: 6 }
            parts:
              lead: { take: lead.wav%s }
              double: { take: double.wav, chain: [ trim: { level: %s } ], tidy: { like: lead, level: leave%s } }
              other: { take: double.wav }
            prints: [ lead, double, other ]
            """;

    @TempDir
    Path folder;

    private List<String> found;
    private List<SongFindings.PartDecisions> followed;

    private static Samples cut(double[] x) {
        return cut(x, 12);
    }

    private static Samples cut(double[] x, int seconds) {
        return new Samples(RATE, Arrays.copyOf(x, (int) (seconds * RATE)));
    }

    private Map<String, double[]> render(String text, String store, int jobs, Samples lead, Told told) throws ProblemsException, IOException {
        return render(text, store, jobs, lead, PART, told);
    }

    private Map<String, double[]> render(String text, String store, int jobs, Samples lead, Samples part, Told told) throws ProblemsException, IOException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, text);
        Song song = SongReader.read(file, Builtins.catalogue());
        SongPlan plan = SongPlanner.plan(song, RATE, List.of(1, 1));
        List<SongRenderer.Take> takes = new ArrayList<>();
        for (Sound t : List.of(lead, part)) takes.add(new SongRenderer.Take(t, t == part ? told : Told.nothing(), Take.of("", t).sound()));
        Map<String, double[]> prints = new LinkedHashMap<>();
        try (SongRenderer renderer = new SongRenderer(plan, takes, "test", new Store(folder.resolve(store), 1 << 30), new Sums(), jobs)) {
            renderer.render((print, frames) -> {
                double[] whole = new double[(int) frames];
                prints.put(print.name(), whole);
                int[] at = {0};
                return List.of((x, n) -> {
                    System.arraycopy(x[0], 0, whole, at[0], n);
                    at[0] += n;
                });
            });
            found = renderer.found();
            followed = renderer.findings().followed(false);
        }
        return prints;
    }

    private static String song(String lead, String level, String tidy) {
        return String.format(SONG, lead, level, tidy);
    }

    @Test
    void thePartIsWhatTidyingMakesOfItAndNobodyElseIs() throws Exception {
        Map<String, double[]> prints = render(song("", "0 dB", ""), "one", 1, LEAD, Told.nothing());
        Song song = SongReader.read(folder.resolve("song.yaml"), Builtins.catalogue());
        Tidied alone = new Tidied(new Ear(PART), new Lead(new Ear(LEAD)), song.parts().get(1).tidy().orElseThrow().aims(),
                new Stretches(new long[0], new long[0]));
        double[][] y = new double[1][(int) alone.sound().frames()];
        alone.sound().read(0, y, y[0].length);
        double centre = StrictMath.sqrt(0.5);
        for (int i = 0; i < y[0].length; i++) {
            assertEquals(y[0][i] * centre, prints.get("double")[i], 1e-7, "sample " + i);
            assertEquals(PART.data()[0][i] * centre, prints.get("other")[i], 1e-7);
            assertEquals(LEAD.data()[0][i] * centre, prints.get("lead")[i], 1e-7);
        }
        assertEquals(1, followed.size());
        assertEquals(alone.decisions(), followed.get(0).decisions());
        assertTrue(followed.get(0).decisions().stream().anyMatch(d -> d.done()));
    }

    @Test
    void anotherNumberOfJobsGivesTheSameBits() throws Exception {
        Map<String, double[]> one = render(song("", "0 dB", ""), "one", 1, LEAD, Told.nothing()),
                two = render(song("", "0 dB", ""), "two", 2, LEAD, Told.nothing());
        one.forEach((name, x) -> assertArrayEquals(x, two.get(name), name));
    }

    @Test
    void aChangeOfItsChainTakesTheTidiedPartFromTheStore() throws Exception {
        render(song("", "0 dB", ""), "one", 1, LEAD, Told.nothing());
        List<SongFindings.PartDecisions> first = followed;
        render(song("", "-3 dB", ""), "one", 1, LEAD, Told.nothing());
        assertEquals(List.of("lead", "double, tidied", "other"), found);
        assertEquals(first, followed, "what was decided is told again");
        render(song(", chain: [ trim: { level: 1 dB } ]", "-3 dB", ""), "one", 1, LEAD, Told.nothing());
        assertTrue(found.contains("double, tidied"), "it follows what the lead sings, not what its chain makes of that");
    }

    @Test
    void anotherLeadOrAnotherAimIsTidiedAnew() throws Exception {
        render(song("", "0 dB", ""), "one", 1, LEAD, Told.nothing());
        render(song("", "0 dB", ", timing: 20 ms"), "one", 1, LEAD, Told.nothing());
        assertEquals(List.of("lead", "other"), found);
        render(song("", "0 dB", ", except: [ verse bar 1 to verse bar 2 ]"), "one", 1, LEAD, Told.nothing());
        assertEquals(List.of("lead", "other"), found);
        double[] x = LEAD.data()[0].clone();
        x[100] += 1e-3;
        render(song("", "0 dB", ""), "one", 1, new Samples(RATE, x), Told.nothing());
        assertEquals(List.of("other"), found);
    }

    /** A breath that is taken out of the lead is no reason to sing elsewhere: its lines are parted, and end, where they were. */
    @Test
    void aMutedBreathOfTheLeadMovesNobody() throws Exception {
        Samples lead = cut(PAIR.lead().samples(), 40), part = cut(PAIR.part().samples(), 40);
        Map<String, double[]> plain = render(song("", "0 dB", ""), "one", 1, lead, part, Told.nothing());
        List<SongFindings.PartDecisions> before = followed;
        Map<String, double[]> muted = render(song(", edits: [ { mute: breaths } ]", "0 dB", ""), "one", 1, lead, part, Told.nothing());
        assertFalse(Arrays.equals(plain.get("lead"), muted.get("lead")), "a breath is heard in it");
        assertEquals(before, followed);
        assertArrayEquals(plain.get("double"), muted.get("double"));
        // A consonant is sung.
        render(song(", edits: [ { mute: sibilants } ]", "0 dB", ""), "one", 1, lead, part, Told.nothing());
        assertFalse(before.equals(followed));
    }

    /** What a person marked in the take is found where it went. */
    @Test
    void marksGoWithThePart() throws Exception {
        Ear ear = new Ear(PART);
        Told told = new Told(Optional.of(ear.marks()));
        String breaths = "chain: [ breaths: { lower: 24 dB } ]", plain = song("", "0 dB", ", breaths: leave, timing: 10 ms");
        String lowered = plain.replace("chain: [ trim: { level: 0 dB } ]", breaths);
        double[] before = render(plain, "one", 1, LEAD, told).get("double"), after = render(lowered, "one", 1, LEAD, told).get("double");
        assertFalse(Arrays.equals(before, after));
        assertArrayEquals(render(lowered, "two", 2, LEAD, told).get("double"), after);
    }
}

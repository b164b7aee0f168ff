package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Told;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a person said of the sibilants of a take holds wherever the take lies in a song; in pieces of it, and in what follows another, what is kept does. */
class DeEssedSongTest {
    private static final double RATE = SongRig.RATE;
    private static final Samples TAKE = new Samples(RATE, Arrays.copyOf(Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), RATE).samples(),
            (int) (16 * RATE)));
    private static final List<Mark> CLEAR = new ArrayList<>();
    private static Told told;

    @TempDir
    Path folder;

    @BeforeAll
    static void aListWithOneKeptAndOneTakenOut(@TempDir Path folder) throws Exception {
        List<Mark> found = new ArrayList<>(new Ear(TAKE).marks().all());
        Map<String, double[][]> prints = render(folder, List.of(), "{ take: a.wav }");
        for (Mark m : new Marks(found).of(Mark.Kind.SIBILANT)) if (lowered(prints, m, 0) > 3.5) CLEAR.add(m);
        assertTrue(CLEAR.size() > 4);
        found.remove(CLEAR.get(1));
        Mark kept = CLEAR.get(2);
        found.set(found.indexOf(kept), new Mark(kept.kind(), kept.from(), kept.to(), kept.confidence(), true));
        told = new Told(Optional.of(new Marks(found)));
    }

    private static Map<String, double[][]> render(Path folder, List<Told> told, String part) throws Exception {
        String chained = part.substring(0, part.length() - 1) + ", chain: [ de-ess ] }";
        return new SongRig(Files.createTempDirectory(folder, "song")).whole("song: s\ntempo: 240 bpm\nsections: { all: 1, end: 31 }\nparts: { plain: " + part
                + ", one: " + chained + " }\nprints: [ plain, one ]\n", 1, told, TAKE);
    }

    private static double lowered(Map<String, double[][]> prints, Mark m, double later) {
        long part = (m.to() - m.from()) / 5, at = Math.round(later * RATE);
        double from = (m.from() + part + at) / RATE, to = (m.to() - part + at) / RATE;
        return SongRig.db(prints.get("plain")[0], from, to) - SongRig.db(prints.get("one")[0], from, to);
    }

    private static void assertGoneBy(Map<String, double[][]> prints, double later) {
        assertLeft(prints, later, Set.of(1, 2));
    }

    /** All but these are lowered. */
    private static void assertLeft(Map<String, double[][]> prints, double later, Set<Integer> left) {
        for (int k = 0; k < 5; k++) {
            double by = lowered(prints, CLEAR.get(k), later);
            if (left.contains(k)) assertEquals(0, by, 1e-6, "s " + k);
            else assertTrue(by > 3.4, "s " + k + " by " + by);
        }
    }

    @Test
    void inAShiftedPart() throws Exception {
        assertGoneBy(render(folder, List.of(told), "{ take: a.wav, at: 2.0371 s }"), 2.0371);
        assertGoneBy(render(folder, List.of(told), "{ take: a.wav, nudge: 70 ms later }"), 0.07);
    }

    /** What the ear would find in a piece is not what it found in the take, so of what it does not find in the list nobody can tell that it was taken out. */
    @Test
    void inPiecesWhatIsKeptStays() throws Exception {
        double cut = CLEAR.get(1).to() / RATE + 0.15;
        assertLeft(render(folder, List.of(told), "{ comp: [ { take: a.wav, from: 0 s }, { take: a.wav, from: " + cut + " s, exact: yes } ] }"), 0, Set.of(2));
    }

    /** A soft beginning, whose s the ear finds beside a soft voice alone: a word that is written to the list changes nothing there. */
    @Test
    void aWordInTheListChangesNothingInASpan() throws Exception {
        double[] x = TAKE.data()[0].clone();
        for (int i = 0; i < 8 * RATE; i++) x[i] *= 0.1;
        Samples take = new Samples(RATE, x);
        Marks found = new Ear(take).marks();
        String song = "song: s\ntempo: 240 bpm\nsections: { all: 1, end: 31 }\nparts: { one: { take: a.wav, to: 8 s, chain: [ de-ess ] } }\nprints: [ one ]\n";
        double[][] sealed = new SongRig(Files.createTempDirectory(folder, "song"))
                .whole(song, 1, List.of(new Told(Optional.of(found), true, false, Optional.empty())), take).get("one");
        double[][] worded = new SongRig(Files.createTempDirectory(folder, "song")).whole(song, 1, List.of(new Told(Optional.of(found))), take).get("one");
        assertArrayEquals(sealed[0], worded[0], 0);
    }

    @Test
    void inAPartThatFollowsAnother() throws Exception {
        String song = "song: s\ntempo: 240 bpm\nsections: { all: 1, end: 31 }\nparts: { lead: { take: a.wav }, plain: { take: b.wav, tidy: " + TIDY
                + " }, one: { take: b.wav, tidy: " + TIDY + ", chain: [ de-ess ] } }\nprints: [ plain, one ]\n";
        assertLeft(new SongRig(folder).whole(song, 1, List.of(Told.nothing(), told), TAKE, new Samples(RATE, TAKE.data()[0].clone())), 0, Set.of(2));
    }

    private static final String TIDY = "{ like: lead, timing: leave, breaths: leave, consonants: leave, ends: leave, level: leave }";
}

package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.stream.Stream;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Memory;
import linnet.hear.Notebook;
import linnet.hear.Told;
import linnet.list.Take;
import linnet.plan.SongPlanner;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.store.Store;
import linnet.text.ProblemsException;
import linnet.tidy.LooseDouble;
import linnet.weigh.Aiming;
import linnet.weigh.RenderedScales;
import linnet.weigh.Scale;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is decided and joined by ear is told from the store: the takes are not read for it. */
class RememberedSongTest {
    private static final double RATE = LooseDouble.RATE;
    private static final LooseDouble PAIR = LooseDouble.of(Singer.high().seed(11), 5);
    private static final Samples LEAD = cut(PAIR.lead().samples()), PART = cut(PAIR.part().samples());

    private static final String SONG = """
            song: two
            tempo: 100 bpm
            sections: { count-in: 1, verse: 2, end: 5 }
            parts:
              lead: { take: lead.wav }
              double: { take: double.wav, tidy: { like: lead, level: leave%s } }
              comp: { comp: [ { take: lead.wav, from: count-in }, { take: double.wav, from: verse bar 3%s } ] }
            prints: [ mix ]
            """;

    @TempDir
    Path folder;

    private final Counted lead = new Counted(LEAD), part = new Counted(PART);
    private Told told = Told.nothing();
    private String said;

    private static Samples cut(double[] x) {
        return new Samples(RATE, Arrays.copyOf(x, (int) (9 * RATE)));
    }

    /** Knows how much of it was read. */
    private static final class Counted implements Sound {
        private final Sound of;
        private long read;

        Counted(Sound of) {
            this.of = of;
        }

        @Override
        public double rate() {
            return of.rate();
        }

        @Override
        public int channels() {
            return of.channels();
        }

        @Override
        public long frames() {
            return of.frames();
        }

        @Override
        public synchronized void read(long from, double[][] into, int n) {
            read += n;
            of.read(from, into, n);
        }
    }

    /** What is told of the song, by everything that may change it; and whether a take was read for that. */
    private boolean isHeard(String tidy, String border, Counted first, Counted second) throws ProblemsException, IOException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, String.format(SONG, tidy, border));
        List<SongRenderer.Take> takes = new ArrayList<>();
        for (Counted t : List.of(first, second)) takes.add(new SongRenderer.Take(t, t == second ? told : Told.nothing(), Take.of("", t.of).sound()));
        first.read = 0;
        second.read = 0;
        var plan = SongPlanner.plan(SongReader.read(file, Builtins.catalogue()), RATE, List.of(1, 1));
        try (SongRenderer renderer = new SongRenderer(plan, takes, "test", new Store(folder.resolve("store"), 1 << 30), new Sums(), 2)) {
            said = renderer.findings().followed(true) + " " + renderer.findings().joins();
        }
        return first.read + second.read > 0;
    }

    @BeforeEach
    void heardOnce() throws Exception {
        assertTrue(isHeard("", "", lead, part));
        assertTrue(said.contains("what=TIMING") && said.contains("done=true") && said.contains("Joint["), said);
    }

    private void damage(int at) throws IOException {
        try (Stream<Path> files = Files.list(folder.resolve("store"))) {
            for (Path f : files.toList()) {
                byte[] bytes = Files.readAllBytes(f);
                bytes[Math.min(at, bytes.length - 1)] ^= 1;
                Files.write(f, bytes);
            }
        }
    }

    @Test
    void theSecondTimeNothingIsHeardAndTheSameIsSaid() throws Exception {
        String first = said;
        assertFalse(isHeard("", "", lead, part));
        assertEquals(first, said);
    }

    @Test
    void whatIsDamagedIsHeardAgain() throws Exception {
        String first = said;
        for (int at : new int[] {3, 12, 40, Integer.MAX_VALUE}) {
            damage(at);
            assertTrue(isHeard("", "", lead, part));
            assertEquals(first, said);
            assertFalse(isHeard("", "", lead, part));
            assertEquals(first, said);
        }
    }

    @Test
    void whateverItGoesByIsHeardAgain() throws Exception {
        String first = said;
        assertTrue(isHeard(", timing: 20 ms", "", lead, part));
        assertFalse(said.equals(first));
        assertTrue(isHeard("", ", exact: yes", lead, part));
        double[] x = LEAD.data()[0].clone(), y = PART.data()[0].clone();
        x[100] += 1e-3;
        y[100] += 1e-3;
        assertTrue(isHeard("", "", new Counted(new Samples(RATE, x)), part));
        assertTrue(isHeard("", "", lead, new Counted(new Samples(RATE, y))));
        told = new Told(Optional.of(new Marks(List.of(new Mark(Mark.Kind.PHRASE, 1000, 300_000, 1, false)))));
        assertTrue(isHeard("", "", lead, part));
        told = Told.nothing();
        assertFalse(isHeard("", "", lead, part), "what was known before is known still");
        assertEquals(first, said);
    }

    /** What was decided for a part is what it is made by: no voice is heard for that again, and its bits are those that it would have. */
    @Test
    void aPartIsTidiedByWhatIsKnown() throws Exception {
        double[] known = rendered("store");
        long heard = lead.read;
        assertTrue(heard < 2 * LEAD.frames(), "once for itself and once for the comp: " + heard);
        assertArrayEquals(rendered("another store"), known);
        assertTrue(lead.read > heard + 2 * LEAD.frames(), heard + " samples were read where all was known, " + lead.read + " where nothing was");
        try (Stream<Path> files = Files.list(folder.resolve("another store"))) {
            for (Path f : files.filter(f -> f.toString().endsWith(".sound")).toList()) Files.delete(f);
        }
        assertArrayEquals(known, rendered("another store"));
        assertEquals(heard, lead.read, "sounds that were lost are made as they were the first time");
    }

    /** Marks that were asked for before a chain needs them are those that it goes by. */
    @Test
    void marksThatWereAskedForAreHeardOnce() throws Exception {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, Files.readString(file).replace("{ take: lead.wav }", "{ take: lead.wav, chain: [ breaths: { lower: 12 dB } ] }"));
        double[] alone = rendered("alone");
        long heard = lead.read;
        try (SongRenderer renderer = renderer("asked")) {
            lead.read = 0;
            assertTrue(renderer.findings().marks("lead").orElseThrow().all().size() > 10);
        }
        long asked = lead.read;
        assertArrayEquals(alone, rendered("asked"));
        assertTrue(asked > LEAD.frames() && asked + lead.read <= heard + LEAD.frames() / 10,
                asked + " samples were read for the marks and " + lead.read + " for the song; for both at once " + heard);
    }

    /** What the chain of the mix found by hearing, as all else that was heard; so the next render of the same hears nothing. */
    @Test
    void whatWasHeardInTheMixIsRemembered() throws Exception {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, Files.readString(file) + "\nmix: { chain: [ compressor: { aim: 2 dB } ] }\n");
        Noting shelf = new Noting(new Store(folder.resolve("mix"), 1 << 30));
        double[] first = rendered(shelf);
        assertTrue(shelf.kept.stream().anyMatch(f -> f.contains("threshold")), shelf.kept.toString());
        shelf.kept.clear();
        assertArrayEquals(first, rendered(shelf));
        assertEquals(List.of(), shelf.kept);
        assertArrayEquals(first, rendered("without"));
    }

    /** Knows what was heard for the first time. */
    private record Noting(Store store, List<String> kept) implements Shelf {
        Noting(Store store) {
            this(store, new CopyOnWriteArrayList<>());
        }

        @Override
        public Optional<Sound> find(String signature) {
            return store.find(signature);
        }

        @Override
        public Place place(String signature, double rate, int channels) throws IOException {
            return store.place(signature, rate, channels);
        }

        @Override
        public Recollection recollection(String signature) {
            Recollection there = store.recollection(signature);
            Memory memory = new Memory() {
                @Override
                public Optional<byte[]> recall(String fact) {
                    return there.memory().recall(fact);
                }

                @Override
                public void keep(String fact, byte[] bytes) {
                    kept.add(fact);
                    there.memory().keep(fact, bytes);
                }
            };
            return new Recollection() {
                @Override
                public Memory memory() {
                    return memory;
                }

                @Override
                public void close() throws IOException {
                    there.close();
                }
            };
        }
    }

    private SongRenderer renderer(String store) throws ProblemsException, IOException {
        return renderer(new Store(folder.resolve(store), 1 << 30));
    }

    private SongRenderer renderer(Shelf shelf) throws ProblemsException, IOException {
        List<SongRenderer.Take> takes = new ArrayList<>();
        for (Counted t : List.of(lead, part)) takes.add(new SongRenderer.Take(t, told, Take.of("", t.of).sound()));
        return new SongRenderer(SongPlanner.plan(SongReader.read(folder.resolve("song.yaml"), Builtins.catalogue()), RATE, List.of(1, 1)), takes, "test", shelf,
                new Sums(), 1);
    }

    private double[] rendered(String store) throws ProblemsException, IOException {
        return rendered(new Store(folder.resolve(store), 1 << 30));
    }

    private double[] rendered(Shelf shelf) throws ProblemsException, IOException {
        double[][] mix = new double[2][20 * (int) RATE];
        int[] at = {0};
        try (SongRenderer renderer = renderer(shelf)) {
            lead.read = 0;
            renderer.render((print, frames) -> List.of((x, n) -> {
                for (int c = 0; c < 2; c++) System.arraycopy(x[c], 0, mix[c], at[0], n);
                at[0] += n;
            }));
        }
        assertTrue(at[0] > LEAD.frames() - RATE);
        return Arrays.copyOf(mix[0], at[0]);
    }

    /** What was asked of a song before is not even planned. */
    @Test
    void whatIsWeighedIsAnsweredFromMemory() throws Exception {
        Notebook answers = new Notebook();
        List<SongRenderer.Take> takes = new ArrayList<>();
        for (Counted t : List.of(lead, part)) takes.add(new SongRenderer.Take(t, told, Take.of("", t.of).sound()));
        RenderedScales scales = new RenderedScales(takes, "test", new Store(folder.resolve("store"), 1 << 30), new Sums(), 1, answers);
        Aiming.Planned plan = () -> SongPlanner.plan(SongReader.read(folder.resolve("song.yaml"), Builtins.catalogue()), RATE, List.of(1, 1)), none = () -> {
            throw new AssertionError("it was planned");
        };
        Scale first = scales.weigh("mix", plan).get("mix"), again = scales.weigh("mix", none).get("mix");
        assertEquals(first.integrated(), again.integrated());
        assertArrayEquals(first.stretches(), again.stretches());
        assertArrayEquals(first.frames(), again.frames());
        assertArrayEquals(first.left(), again.left());
        assertArrayEquals(first.right(), again.right());
        assertEquals(scales.marks("lead", plan, "lead"), scales.marks("lead", none, "lead"));
        assertThrows(AssertionError.class, () -> scales.weigh("another", none));
        // What cannot be read is heard again.
        answers.facts.put("mix", new byte[3]);
        assertEquals(first.integrated(), scales.weigh("mix", plan).get("mix").integrated());
    }
}

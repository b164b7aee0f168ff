package linnet.fuzz;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.chain.Chain;
import linnet.chain.ChainReader;
import linnet.chain.Link;
import linnet.list.MarksFile;
import linnet.list.NotesFile;
import linnet.plan.Planner;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.setting.Quantity;
import linnet.setting.Setting;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.SourceText;
import linnet.text.Span;
import linnet.text.Word;

/** The readers of YAML texts. */
final class Texts {
    /** In all; what is held at a time is bounded by the small heap of the runs. */
    private static final long MOST_BYTES = 4L << 30;
    private Texts() {}

    /** Reads a chain and plans it, as {@code check} does without a take. */
    static final class Chains implements Reader {
        @Override
        public void read(byte[] input, Path folder, boolean thorough) throws ProblemsException, IOException {
            Path other = folder.resolve("other.yaml");
            if (!Files.exists(other)) {
                Files.writeString(other, "chain: other\nsteps: [ gate, { compressor: { name: second, aim: 3 dB } }, delay: { time: 1/8 } ]\n");
            }
            Chain chain = ChainReader.read(Files.write(folder.resolve("chain.yaml"), input), Builtins.catalogue());
            chain.links().forEach(Chains::readsBack);
            Planner.plan(chain, 44_100, 1, OptionalDouble.empty());
            if (thorough) Planner.plan(chain, 192_000, 2, OptionalDouble.empty());
        }

        private static void readsBack(Link link) {
            if (link instanceof Link.Use use) readsBack(use.values());
            else ((Link.Parallel) link).branches().forEach(b -> b.links().forEach(Chains::readsBack));
        }

        /** The canonical text of a value is read as the same value, and so written again. */
        private static void readsBack(Values values) {
            for (Setting s : values.settings().all()) {
                if (s instanceof Quantity q) values.get(q).ifPresent(v -> readsBack(q, v));
            }
        }

        private static void readsBack(Quantity q, Value value) {
            if (value instanceof Value.Curve c) {
                c.points().forEach(p -> readsBack(q, p.value()));
                return;
            }
            String text = q.write(value);
            Problems problems = new Problems();
            Optional<Value> again = q.read(new Word(text, new Span(new SourceText("again", List.of(text)), 1, 1, 1)), problems);
            assertTrue(problems.isEmpty(), () -> q.name() + " is written as '" + text + "' and then refused");
            assertEquals(text, q.write(again.orElseThrow()));
        }

        @Override
        public long mostBytes() {
            return MOST_BYTES;
        }
    }

    /** Reads a song and plans it, as {@code check} does, so far as no take need be there. */
    static final class Songs implements Reader {
        @Override
        public void read(byte[] input, Path folder, boolean thorough) throws ProblemsException, IOException {
            Path other = folder.resolve("other.yaml");
            if (!Files.exists(other)) Files.writeString(other, "chain: other\nsteps: [ gate, { compressor: { name: second, aim: 3 dB } }, reverb ]\n");
            Song song = SongReader.read(Files.write(folder.resolve("song.yaml"), input), Builtins.catalogue(), Sounds.CUES);
            for (Song.Wanted w : song.prints()) {
                String name = song.fileName(w);
                assertEquals(name, Path.of(name).getFileName().toString(), "a print leads out of its folder");
                assertFalse(name.isBlank() || name.equals(".") || name.equals(".."), () -> "a print called '" + name + "'");
            }
            for (int channels = 1; channels <= (thorough ? 2 : 1); channels++) {
                List<Integer> all = new ArrayList<>();
                for (int i = 0; i < SongPlanner.takes(song).size(); i++) all.add(channels);
                SongPlan plan = SongPlanner.plan(song, song.rate().orElse(48_000), all);
                assertTrue(plan.prints().size() >= song.prints().size());
            }
        }

        @Override
        public long mostBytes() {
            return MOST_BYTES;
        }
    }

    /** Reads a list of marks, alone and beside a take. */
    static final class MarkLists implements Reader {
        @Override
        public void read(byte[] input, Path folder, boolean thorough) throws ProblemsException, IOException {
            MarksFile read = MarksFile.read(Files.write(folder.resolve("take.marks.yaml"), input), Optional.empty());
            String text = read.text();
            MarksFile again = MarksFile.read(Files.writeString(folder.resolve("again.marks.yaml"), text), Optional.of(read.take()));
            assertEquals(read.take(), again.take());
            assertEquals(read.marks().all().size(), again.marks().all().size());
            for (int i = 0; i < read.marks().all().size(); i++) {
                var a = read.marks().all().get(i);
                var b = again.marks().all().get(i);
                assertEquals(List.of(a.kind(), a.from(), a.to(), a.kept(), a.word()), List.of(b.kind(), b.from(), b.to(), b.kept(), b.word()));
                assertEquals(a.confidence(), b.confidence(), 0.005 + 1e-9);
            }
            assertEquals(text, again.text());
            assertFalse(again.edited());
        }

        @Override
        public long mostBytes() {
            return MOST_BYTES;
        }
    }

    /** Reads a list of notes, alone and beside a take. */
    static final class NoteLists implements Reader {
        @Override
        public void read(byte[] input, Path folder, boolean thorough) throws ProblemsException, IOException {
            NotesFile read = NotesFile.read(Files.write(folder.resolve("take.notes.yaml"), input), Optional.empty());
            String text = read.text();
            NotesFile again = NotesFile.read(Files.writeString(folder.resolve("again.notes.yaml"), text), Optional.of(read.take()));
            assertEquals(read.take(), again.take());
            assertEquals(read.notes().all().size(), again.notes().all().size());
            for (int i = 0; i < read.notes().all().size(); i++) {
                var a = read.notes().all().get(i);
                var b = again.notes().all().get(i);
                assertEquals(Map.of("from", a.from(), "to", a.to()), Map.of("from", b.from(), "to", b.to()));
                // To the cent.
                assertEquals(a.pitch(), b.pitch(), 0.0051);
                assertEquals(a.target().isPresent(), b.target().isPresent());
                if (a.target().isPresent()) {
                    assertEquals(a.target().get().kind(), b.target().get().kind());
                    assertEquals(a.target().get().pitch(), b.target().get().pitch(), 0.0051);
                }
            }
            assertEquals(text, again.text());
            assertFalse(again.edited());
        }

        @Override
        public long mostBytes() {
            return MOST_BYTES;
        }
    }
}

package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Function;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Note;
import linnet.hear.Notes;
import linnet.hear.Told;
import linnet.plan.Feed;
import linnet.plan.Level;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.setting.Reference;
import linnet.setting.Value;
import linnet.tidy.Aims;
import org.junit.jupiter.api.Test;

/** What would sound otherwise is known by another signature: a stored sound would else be taken for it. */
class SignaturesTest {
    /** @param others of which each differs from {@code one} in one component, those of the same component side by side */
    private static <T extends Record> void assertToldApart(T one, T same, List<List<T>> others, Function<T, String> signature) {
        assertEquals(one.getClass().getRecordComponents().length, others.size(), "some that differ in each");
        assertEquals(signature.apply(one), signature.apply(same));
        List<String> all = new ArrayList<>(List.of(signature.apply(one)));
        others.forEach(of -> of.forEach(o -> all.add(signature.apply(o))));
        assertEquals(all.size(), new HashSet<>(all).size(), String.join("\n", all));
    }

    private static String take(Told told) {
        return new SongRenderer.Take(null, told, "take").whole();
    }

    private static String marks(Mark... marks) {
        return take(new Told(Optional.of(new Marks(List.of(marks)))));
    }

    private static Mark mark() {
        return new Mark(Mark.Kind.BREATH, 10, 20, 0.5, false, "a");
    }

    @Test
    void eachThingInAListOfMarksCounts() {
        assertToldApart(mark(), mark(),
                List.of(List.of(new Mark(Mark.Kind.CLICK, 10, 20, 0.5, false, "a")), List.of(new Mark(Mark.Kind.BREATH, 11, 20, 0.5, false, "a")),
                List.of(new Mark(Mark.Kind.BREATH, 10, 21, 0.5, false, "a")), List.of(new Mark(Mark.Kind.BREATH, 10, 20, 0.6, false, "a")),
                List.of(new Mark(Mark.Kind.BREATH, 10, 20, 0.5, true, "a")), List.of(new Mark(Mark.Kind.BREATH, 10, 20, 0.5, false, "b"))),
                        SignaturesTest::marks);
    }

    /** The first of these lists has two marks, and the second one with a long word. */
    @Test
    void aWordIsNotTakenForAMark() {
        Mark next = new Mark(Mark.Kind.STOP, 30, 40, 1, false, "b");
        String reads = (mark() + ", " + next).replaceFirst("^.*?word=", "").replaceFirst("]$", "");
        assertNotEquals(marks(mark(), next), marks(new Mark(Mark.Kind.BREATH, 10, 20, 0.5, false, reads)));
    }

    private static Note note(Optional<Note.Target> target) {
        return new Note(10, 20, 60, 5, 30, -40, 50, 0.5, target);
    }

    private static String notes(Note... notes) {
        return take(new Told(Optional.empty(), Optional.of(new Notes(List.of(notes)))));
    }

    @Test
    void eachThingInAListOfNotesCounts() {
        Optional<Note.Target> at = Optional.of(Note.Target.at(61));
        List<Note> aimed = List.of(note(Optional.empty()), note(Optional.of(Note.Target.leave())), note(Optional.of(Note.Target.withNeighbours())),
                note(Optional.of(Note.Target.at(62))));
        assertToldApart(note(at), note(Optional.of(Note.Target.at(61))),
                List.of(List.of(new Note(11, 20, 60, 5, 30, -40, 50, 0.5, at)), List.of(new Note(10, 21, 60, 5, 30, -40, 50, 0.5, at)),
                List.of(new Note(10, 20, 61, 5, 30, -40, 50, 0.5, at)), List.of(new Note(10, 20, 60, 6, 30, -40, 50, 0.5, at)),
                        List.of(new Note(10, 20, 60, 5, 31, -40, 50, 0.5, at)),
                List.of(new Note(10, 20, 60, 5, 30, -41, 50, 0.5, at)), List.of(new Note(10, 20, 60, 5, 30, -40, 51, 0.5, at)),
                        List.of(new Note(10, 20, 60, 5, 30, -40, 50, 0.6, at)), aimed), SignaturesTest::notes);
    }

    @Test
    void anEmptyListIsNotNone() {
        Optional<Marks> marks = Optional.of(new Marks(List.of()));
        Optional<Notes> notes = Optional.of(new Notes(List.of()));
        assertToldApart(Told.nothing(), new Told(Optional.empty()),
                List.of(List.of(new Told(marks, Optional.empty())),
                List.of(new Told(Optional.empty(), false, false, Optional.empty()), new Told(marks, false, true, notes)),
                List.of(new Told(Optional.empty(), true, true, Optional.empty()), new Told(marks, true, false, notes)),
                List.of(new Told(Optional.empty(), notes), new Told(marks, notes))), SignaturesTest::take);
        assertEquals("take", take(Told.nothing()));
    }

    private static final Aims.Level AS_LEAD = new Aims.Level.Lead(2);

    private static Aims aims(double timing, double reach, double stretch, boolean breaths, double consonants, boolean ends, Aims.Level level) {
        return new Aims(OptionalDouble.of(timing), reach, stretch, breaths, OptionalDouble.of(consonants), ends, level);
    }

    private static Aims aims() {
        return aims(0.01, 0.5, 0.1, true, 6, true, AS_LEAD);
    }

    private static Plan plain() {
        return new Plan(48_000, List.of(new Node(0, "take", List.of(), 1, 0, 0, 0, Optional.empty(), List.of())));
    }

    private static Work.Tap tap(Work.Source source) {
        return new Work.Tap(source, Work.Course.of(0), new Work.Pan(false, Work.Course.of(0)));
    }

    /** Of what works make of three takes. */
    private static String made(Work work) {
        List<SongRenderer.Take> takes = List.of("take", "other", "third").stream().map(t -> new SongRenderer.Take(null, Told.nothing(), t)).toList();
        SongPlan plan = new SongPlan(48_000, 0, List.of(work), List.of(), List.of(), List.of(), List.of());
        return new Signatures(plan, takes, "test").made(plan.works().get(0)).get(0);
    }

    /** Of a part that follows another so, by what it comes to. */
    private static String tidied(Aims aims, Work.Stretch... except) {
        List<Work.Tap> input = List.of(tap(new Work.Source.Take(0, 0, false)));
        return made(new Work(0, "part", input, 1, plain(), List.of(), Optional.of(new Work.Tidying("part", "lead", input, 1, aims, List.of(except))), false));
    }

    @Test
    void eachAimOfAPartThatFollowsCounts() {
        assertToldApart(aims(), aims(), List.of(
                List.of(aims(0.02, 0.5, 0.1, true, 6, true, AS_LEAD), new Aims(OptionalDouble.empty(), 0.5, 0.1, true, OptionalDouble.of(6), true, AS_LEAD)),
                List.of(aims(0.01, 0.4, 0.1, true, 6, true, AS_LEAD)), List.of(aims(0.01, 0.5, 0.2, true, 6, true, AS_LEAD)),
                        List.of(aims(0.01, 0.5, 0.1, false, 6, true, AS_LEAD)),
                List.of(aims(0.01, 0.5, 0.1, true, 7, true, AS_LEAD), new Aims(OptionalDouble.of(0.01), 0.5, 0.1, true, OptionalDouble.empty(), true, AS_LEAD)),
                List.of(aims(0.01, 0.5, 0.1, true, 6, false, AS_LEAD)),
                List.of(aims(0.01, 0.5, 0.1, true, 6, true, new Aims.Level.Left()), aims(0.01, 0.5, 0.1, true, 6, true, new Aims.Level.Lead(3)),
                        aims(0.01, 0.5, 0.1, true, 6, true, new Aims.Level.At(2)), aims(0.01, 0.5, 0.1, true, 6, true, new Aims.Level.At(3)))),
                                SignaturesTest::tidied);
    }

    @Test
    void soDoesWhereItDoesNotFollow() {
        assertToldApart(new Work.Stretch(5, 9), new Work.Stretch(5, 9), List.of(List.of(new Work.Stretch(6, 9)), List.of(new Work.Stretch(5, 10))),
                s -> tidied(aims(), s));
        assertNotEquals(tidied(aims()), tidied(aims(), new Work.Stretch(5, 9)));
        assertNotEquals(tidied(aims(), new Work.Stretch(5, 9)), tidied(aims(), new Work.Stretch(5, 7), new Work.Stretch(7, 9)));
    }

    private static String of(Work.Source source) {
        return made(new Work(0, "part", List.of(tap(source)), 1, plain()));
    }

    /** A part whose take is moved, or whose polarity is turned, is made anew. */
    @Test
    void eachThingOfWhereATakeLiesCounts() {
        assertToldApart(new Work.Source.Take(0, 5, false), new Work.Source.Take(0, 5, false),
                List.of(List.of(new Work.Source.Take(1, 5, false)), List.of(new Work.Source.Take(0, 6, false)), List.of(new Work.Source.Take(0, 5, true))),
                SignaturesTest::of);
    }

    private static final List<Work.Piece> PIECES = List.of(new Work.Piece(new Work.Source.Take(0, 0, false), 0),
            new Work.Piece(new Work.Source.Take(1, 0, false), 0));
    private static final List<Work.Border> BORDERS = List.of(new Work.Border("a", 100, 10, 20));
    private static final List<Work.Muted> MUTED = List.of(new Work.Muted("a", "breath", 30, 60, 5));
    private static final Work.Course LEVEL = Work.Course.of(0);

    private static Work.Source.Edited edited(List<Work.Piece> pieces, List<Work.Border> borders, List<Work.Muted> muted) {
        return new Work.Source.Edited(pieces, borders, LEVEL, muted, false);
    }

    /** So is one whose edits are others, in whatever. */
    @Test
    void eachThingOfWhatIsEditedCounts() {
        Work.Piece first = PIECES.get(0), second = PIECES.get(1), third = new Work.Piece(new Work.Source.Take(2, 0, false), 0);
        Work.Border border = BORDERS.get(0);
        Work.Muted muted = MUTED.get(0);
        assertToldApart(edited(PIECES, BORDERS, MUTED), edited(List.copyOf(PIECES), List.copyOf(BORDERS), List.copyOf(MUTED)), List.of(
                List.of(edited(List.of(first, third), BORDERS, MUTED), edited(List.of(second, first), BORDERS, MUTED),
                        edited(List.of(first, new Work.Piece(second.of(), 3)), BORDERS, MUTED),
                        edited(List.of(first, new Work.Piece(second.of(), 0, -6)), BORDERS, MUTED)),
                List.of(edited(PIECES, List.of(new Work.Border("a", 101, 10, 20)), MUTED),
                        edited(List.of(first, second, third), List.of(border, new Work.Border("a", 200, 10, 20)), MUTED)),
                List.of(new Work.Source.Edited(PIECES, BORDERS, Work.Course.of(-1), MUTED, false)),
                List.of(edited(PIECES, BORDERS, List.of()), edited(PIECES, BORDERS, List.of(muted, new Work.Muted("a", "breath", 70, 90, 5)))),
                List.of(new Work.Source.Edited(PIECES, BORDERS, LEVEL, MUTED, true))), SignaturesTest::of);
    }

    /** Where the text has it makes no sound. */
    @Test
    void eachThingOfABorderCounts() {
        assertToldApart(new Work.Border("a", 100, 10, 20), new Work.Border("b", 100, 10, 20), List.of(List.of(), List.of(new Work.Border("a", 101, 10, 20)),
                List.of(new Work.Border("a", 100, 11, 20)), List.of(new Work.Border("a", 100, 10, 21))), b -> of(edited(PIECES, List.of(b), MUTED)));
    }

    @Test
    void eachThingOfWhatIsMutedCounts() {
        assertToldApart(new Work.Muted("a", "breath", 30, 60, 5), new Work.Muted("b", "breath", 30, 60, 5), List.of(List.of(),
                List.of(new Work.Muted("a", "click", 30, 60, 5)), List.of(new Work.Muted("a", "breath", 31, 60, 5)),
                List.of(new Work.Muted("a", "breath", 30, 61, 5)), List.of(new Work.Muted("a", "breath", 30, 60, 6))),
                m -> of(edited(PIECES, BORDERS, List.of(m))));
    }

    /** Its name makes no sound, nor does its place among the others. */
    @Test
    void eachThingOfAWorkCounts() {
        List<Work.Tap> input = List.of(tap(new Work.Source.Take(0, 0, false))), other = List.of(tap(new Work.Source.Take(1, 0, false)));
        Plan summed = new Plan(48_000, List.of(plain().nodes().get(0),
                new Node(1, "sum", List.of(new Feed(0, 0, new Level.Branch(new Value.Amount(1)))), 1, 0, 0, 0, Optional.empty(), List.of())));
        Optional<Work.Tidying> tidying = Optional.of(new Work.Tidying("part", "lead", other, 1, aims(), List.of()));
        assertToldApart(new Work(0, "part", input, 1, plain()), new Work(0, "another", input, 1, plain()), List.of(List.of(), List.of(),
                List.of(new Work(0, "part", other, 1, plain())), List.of(new Work(0, "part", input, 2, plain())),
                List.of(new Work(0, "part", input, 1, summed)),
                List.of(new Work(0, "part", input, 1, plain(), List.of(input)), new Work(0, "part", input, 1, plain(), List.of(other))),
                List.of(new Work(0, "part", input, 1, plain(), List.of(), tidying, false)),
                List.of(new Work(0, "part", input, 1, plain(), List.of(), Optional.empty(), true))), SignaturesTest::made);
    }

    private static String branch(Value level) {
        List<Node> nodes = List.of(new Node(0, "take", List.of(), 1, 0, 0, 0, Optional.empty(), List.of()),
                new Node(1, "sum", List.of(new Feed(0, 0, new Level.Branch(level))), 1, 0, 0, 0, Optional.empty(), List.of()));
        return Signature.upTo(new Plan(48_000, nodes), 1);
    }

    private static Value.Point point(double seconds, double db) {
        return new Value.Point(seconds, new Value.Amount(db));
    }

    /** What the text calls a value makes no sound. */
    @Test
    void soDoesTheLevelOfABranch() {
        Value.Amount one = new Value.Amount(1);
        List<Value> all = List.of(one, new Value.Amount(2), new Value.Notes(1, ""), new Value.Notes(2, ""), new Value.Relative(Reference.VOICE, 1, 1, ""),
                new Value.Relative(Reference.NOISE, 1, 1, ""),
                new Value.Relative(Reference.VOICE, 2, 1, ""), new Value.Relative(Reference.VOICE, 1, 2, ""), new Value.Named("match"), new Value.Named("none"),
                        new Value.Shifted(one, 1), new Value.Shifted(one, 2),
                new Value.Shifted(new Value.Amount(2), 1), new Value.Curve(List.of(point(0, 1))), new Value.Curve(List.of(point(0, 2))),
                        new Value.Curve(List.of(point(1, 1))), new Value.Curve(List.of(point(0, 1), point(1, 1))));
        assertEquals(all.size(), new HashSet<>(all.stream().map(SignaturesTest::branch).toList()).size());
        assertEquals(branch(new Value.Relative(Reference.VOICE, 1, 6, "6 dB over voice")),
                branch(new Value.Relative(Reference.VOICE, 1, 6, "6.0 dB over voice")));
        assertEquals(branch(new Value.Curve(List.of(point(0, 1)))), branch(new Value.Curve(List.of(point(0, 1)))));
    }
}

package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTimeout;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class MarksTest {
    /** Against asking each mark of each. */
    @Test
    void whatIsClearOfEverythingKeptIsFree() {
        SplittableRandom random = new SplittableRandom(3);
        List<Mark> all = new ArrayList<>();
        for (int i = 0; i < 600; i++) {
            long from = random.nextInt(100_000);
            Mark.Kind kind = Mark.Kind.values()[random.nextInt(Mark.Kind.values().length)];
            all.add(new Mark(kind, from, kind == Mark.Kind.VOWEL ? from : from + 1 + random.nextInt(200), 1, kind == Mark.Kind.KEEP || random.nextInt(5) == 0));
        }
        Marks marks = new Marks(all);
        for (Mark.Kind kind : Mark.Kind.values()) {
            List<Mark> free = marks.of(kind).stream().filter(m -> !m.kept() && marks.kept().stream().noneMatch(k -> k.meets(m.from(), m.to()))).toList();
            assertEquals(free, marks.free(kind));
        }
    }

    /** What an hour of singing has: marks of each are not asked for each. */
    @Test
    void manyMarksAreSortedOutAtOnce() {
        List<Mark> all = new ArrayList<>();
        for (int i = 0; i < 60_000; i++) all.add(new Mark(i % 2 == 0 ? Mark.Kind.CLICK : Mark.Kind.STOP, 2880L * i, 2880L * i + 100, 1, i % 2 == 1));
        Marks marks = new Marks(all);
        assertTimeout(Duration.ofSeconds(2), () -> assertEquals(30_000, marks.free(Mark.Kind.CLICK).size()));
    }
}

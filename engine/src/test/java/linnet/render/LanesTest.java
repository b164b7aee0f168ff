package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.IntStream;
import linnet.plan.SongPlan;
import org.junit.jupiter.api.Test;

/** Prints are dealt out so that no thread has much more to do than another. */
class LanesTest {
    private static List<Lane> lanes(int count) {
        return IntStream.range(0, count).mapToObj(l -> new Lane(1, new AtomicBoolean())).toList();
    }

    private static List<SongPlan.SongPrint> prints(int count) {
        return IntStream.range(0, count).mapToObj(p -> new SongPlan.SongPrint("print " + p, List.of(), 1 + p % 2, 0, p == 0, 0, Long.MAX_VALUE)).toList();
    }

    @Test
    void noLaneHasMuchMoreThanAnother() {
        for (int count = 1; count <= 4; count++) {
            for (int before = 0; before < 9; before++) {
                for (int most = 1; most < 20; most++) {
                    List<Lane> lanes = lanes(count);
                    lanes.get(0).load(before);
                    Map<Lane, List<SongPlan.SongPrint>> dealt = PrintLanes.dealt(prints(most), lanes, 3, SongPlan.SongPrint::channels);
                    List<SongPlan.SongPrint> all = new ArrayList<>();
                    dealt.values().forEach(all::addAll);
                    assertEquals(most, all.size());
                    assertEquals(new HashSet<>(prints(most)), new HashSet<>(all));
                    for (Lane l : lanes) {
                        int own = dealt.getOrDefault(l, List.of()).stream().mapToInt(SongPlan.SongPrint::channels).sum();
                        assertEquals((l == lanes.get(0) ? before : 0) + (own > 0 ? 3 + own : 0), l.load());
                    }
                    if (most < 2 * count + before) continue;
                    int high = lanes.stream().mapToInt(Lane::load).max().orElseThrow(), low = lanes.stream().mapToInt(Lane::load).min().orElseThrow();
                    assertTrue(high - low <= 2, high + " and " + low);
                }
            }
        }
    }
}

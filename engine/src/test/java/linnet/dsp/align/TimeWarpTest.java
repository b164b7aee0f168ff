package linnet.dsp.align;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import linnet.demo.Performance;
import linnet.demo.Singer;
import linnet.demo.Song;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;

/** Against singers of whom every onset is known. */
class TimeWarpTest {
    private static final Performance LEAD = Performance.sing(Song.lead(), Singer.high(), 48_000);

    private static Cepstra cepstra(Performance p) {
        return new Cepstra(new Samples(p.rate(), p.samples()), s -> true);
    }

    private static List<Double> errors(Performance other, double[] unlikeness) {
        Cepstra own = cepstra(other), lead = cepstra(LEAD);
        TimeWarp warp = new TimeWarp(own, own.frame(2 * 48_000), own.frame(41 * 48_000), lead, 100);
        unlikeness[0] = warp.unlikeness();
        List<Double> errors = new ArrayList<>();
        for (int i = 0; i < LEAD.truth().notes().size(); i++) {
            errors.add(Math.abs(warp.at(other.truth().notes().get(i).start() * 48_000) / 48_000 - LEAD.truth().notes().get(i).start()));
        }
        Collections.sort(errors);
        return errors;
    }

    /** Another take by the same singer, off by up to 30 ms from note to note. */
    @Test
    void aDoubleIsFoundWithinTenMilliseconds() {
        double[] unlike = {0};
        List<Double> errors = errors(Performance.sing(Song.lead(), Singer.high().seed(11), 48_000), unlike);
        assertTrue(errors.get((int) (0.95 * errors.size())) < 0.01, errors.toString());
        assertTrue(unlike[0] < 0.4, "unlikeness " + unlike[0]);
    }

    /** An octave lower, another mouth. */
    @Test
    void soIsAnotherSinger() {
        double[] unlike = {0};
        List<Double> errors = errors(Performance.sing(Song.lead(), Singer.low().seed(12), 48_000), unlike);
        assertTrue(errors.get((int) (0.9 * errors.size())) < 0.015, errors.toString());
        assertTrue(unlike[0] < 0.64, "unlikeness " + unlike[0]);
    }

    @Test
    void theSameSoundIsAtHome() {
        Cepstra lead = cepstra(LEAD);
        TimeWarp warp = new TimeWarp(lead, 500, 3000, lead, 60);
        assertEquals(0, warp.unlikeness());
        for (int s = 600 * lead.hop(); s < 2900 * lead.hop(); s += 777) assertEquals(s, warp.at(s), 0.01);
    }

    /** Slopes of the way lie between a half and two, whatever is compared. */
    @Test
    void itNeverGoesBack() {
        Cepstra lead = cepstra(LEAD);
        TimeWarp warp = new TimeWarp(lead, 450, 1200, lead, 400);
        TimeWarp other = new TimeWarp(cepstra(Performance.sing(Song.lead(), Singer.low().seed(3), 48_000)), 1400, 2200, lead, 300);
        for (TimeWarp w : List.of(warp, other)) {
            double last = Double.NEGATIVE_INFINITY;
            for (int f = w == warp ? 450 : 1400; f < (w == warp ? 1200 : 2200); f++) {
                double at = w.at((double) f * lead.hop());
                assertTrue(at >= last, "frame " + f);
                last = at;
            }
        }
    }
}

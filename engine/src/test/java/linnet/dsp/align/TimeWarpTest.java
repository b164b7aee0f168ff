package linnet.dsp.align;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import linnet.demo.Performance;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** Against singers of whom every onset is known. */
@Tag("listening")
class TimeWarpTest {
    private static final Performance LEAD = Performance.sing(SevenLanterns.lead(), Singer.high(), 48_000);

    private static Cepstra cepstra(Performance p) {
        return new Cepstra(new Samples(p.rate(), p.samples()), s -> true);
    }

    private static TimeWarp likeliest(Cepstra own, int from, int to, Cepstra other, int reach) {
        return TimeWarp.all(own, from, to, 0, other, reach, 40).get(0);
    }

    private static List<Double> errors(Performance other, double[] unlikeness) {
        Cepstra own = cepstra(other), lead = cepstra(LEAD);
        TimeWarp warp = likeliest(own, own.frame(2 * 48_000), own.frame(41 * 48_000), lead, 100);
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
        List<Double> errors = errors(Performance.sing(SevenLanterns.lead(), Singer.high().seed(11), 48_000), unlike);
        assertTrue(errors.get((int) (0.95 * errors.size())) < 0.01, errors.toString());
        assertTrue(unlike[0] < 0.4, "unlikeness " + unlike[0]);
    }

    /** An octave lower, another mouth. */
    @Test
    void soIsAnotherSinger() {
        double[] unlike = {0};
        List<Double> errors = errors(Performance.sing(SevenLanterns.lead(), Singer.low().seed(12), 48_000), unlike);
        assertTrue(errors.get((int) (0.9 * errors.size())) < 0.015, errors.toString());
        assertTrue(unlike[0] < 0.64, "unlikeness " + unlike[0]);
    }

    @Test
    void theSameSoundIsAtHome() {
        Cepstra lead = cepstra(LEAD);
        TimeWarp warp = likeliest(lead, 500, 3000, lead, 60);
        assertEquals(0, warp.unlikeness());
        for (int s = 600 * lead.hop(); s < 2900 * lead.hop(); s += 777) assertEquals(s, warp.at(s), 0.01);
    }

    /** Slopes of the way lie between a half and two, whatever is compared. */
    @Test
    void itNeverGoesBack() {
        Cepstra lead = cepstra(LEAD);
        TimeWarp warp = likeliest(lead, 450, 1200, lead, 400);
        TimeWarp other = likeliest(cepstra(Performance.sing(SevenLanterns.lead(), Singer.low().seed(3), 48_000)), 1400, 2200, lead, 300);
        for (TimeWarp w : List.of(warp, other)) {
            double last = Double.NEGATIVE_INFINITY;
            for (int f = w == warp ? 450 : 1400; f < (w == warp ? 1200 : 2200); f++) {
                double at = w.at((double) f * lead.hop());
                assertTrue(at >= last, "frame " + f);
                last = at;
            }
        }
    }

    private static Cepstra delayed(Performance p, int later) {
        double[] x = new double[p.samples().length + later];
        System.arraycopy(p.samples(), 0, x, later, p.samples().length);
        return new Cepstra(new Samples(p.rate(), x), s -> true);
    }

    /** A sound that comes later by whole frames is found there, and up to its reach, not beyond. */
    @Test
    void whatComesLaterIsFoundLater() {
        Cepstra own = cepstra(LEAD);
        for (int frames : new int[] {0, 1, 37, 100}) {
            TimeWarp warp = likeliest(own, 500, 2000, delayed(LEAD, frames * own.hop()), 100);
            assertTrue(warp.unlikeness() < 0.01, "unlikeness " + warp.unlikeness());
            for (int f = 520; f < 1980; f += 7) assertEquals(f + frames, warp.at((double) f * own.hop()) / own.hop(), 0.3, "frame " + f);
        }
        assertTrue(likeliest(own, 500, 2000, delayed(LEAD, 160 * own.hop()), 100).unlikeness() > 0.1);
    }

    /** What is sung on for 100 ms longer: before it nothing moves, after it all is later. */
    @Test
    void aStretchInTheMiddleIsFound() {
        double[] x = LEAD.samples();
        double note = LEAD.truth().notes().get(8).start() + 0.15;
        int at = (int) (note * 48_000), more = 4800;
        double[] longer = new double[x.length + more];
        System.arraycopy(x, 0, longer, 0, at);
        for (int i = 0; i < more; i++) longer[at + i] = x[at - more + i];
        System.arraycopy(x, at, longer, at + more, x.length - at);
        Cepstra own = cepstra(LEAD), other = new Cepstra(new Samples(48_000, longer), s -> true);
        TimeWarp warp = likeliest(own, own.frame(at - 96_000), own.frame(at + 96_000), other, 60);
        for (double seconds : new double[] {-1.8, -1, -0.5}) assertEquals(seconds, (warp.at(at + seconds * 48_000) - at) / 48_000, 0.02);
        for (double seconds : new double[] {0.5, 1, 1.8}) assertEquals(seconds + 0.1, (warp.at(at + seconds * 48_000) - at) / 48_000, 0.02);
        assertTrue(warp.unlikeness() < 0.15, "unlikeness " + warp.unlikeness());
    }

    /** Beyond both ends the way goes on as it is. */
    @Test
    void beyondItsEndsItGoesOn() {
        Cepstra own = cepstra(LEAD);
        TimeWarp warp = likeliest(own, 500, 1500, delayed(LEAD, 20 * own.hop()), 60);
        for (int f : new int[] {300, 450, 1600, 1900}) assertEquals(f + 20, warp.at((double) f * own.hop()) / own.hop(), 1.5, "frame " + f);
    }

    /** Of a stretch it is the mean over that alone, beside the same strangers; where there is nothing, or silence, all is unlike. */
    @Test
    void unlikenessIsToldOfStretches() {
        Cepstra own = cepstra(Performance.sing(SevenLanterns.lead(), Singer.high().seed(11), 48_000)), lead = cepstra(LEAD);
        int hop = own.hop(), from = 500, to = 1999;
        TimeWarp warp = likeliest(own, from, to, lead, 60);
        assertEquals(warp.unlikeness(), warp.unlikeness((long) from * hop, (long) to * hop), 1e-9);
        double halves = (warp.unlikeness((long) from * hop, 1249L * hop) + warp.unlikeness(1250L * hop, (long) to * hop)) / 2;
        assertEquals(warp.unlikeness(), halves, 1e-9);
        assertEquals(warp.unlikeness(), warp.unlikeness(0, Integer.MAX_VALUE), 1e-9);
        assertEquals(1, warp.unlikeness(0, 100L * hop));
        Cepstra silence = new Cepstra(new Samples(48_000, new double[480_000]), s -> true);
        assertEquals(1, likeliest(silence, 100, 500, silence, 50).unlikeness());
        assertEquals(1, likeliest(silence, 100, 500, silence, 50).unlikeness(100L * hop, 400L * hop));
        // Half of it is another song: that half alone is strange.
        double[] x = LEAD.samples(), half = x.clone();
        int at = 1250 * hop, n = Math.min(x.length - at, x.length / 3);
        for (int i = 0; i < n; i++) half[at + i] = x[at + n - 1 - i];
        TimeWarp mixed = likeliest(new Cepstra(new Samples(48_000, half), s -> true), from, to, lead, 60);
        assertTrue(mixed.unlikeness(500L * hop, 1200L * hop) < 0.1 && mixed.unlikeness(1300L * hop, 1999L * hop) > 0.5);
    }

    /** What is sung three times is found three times, the same way each time; ways that end nearer than asked are one. */
    @Test
    void whatComesSeveralTimesIsFoundEachTime() {
        double note = LEAD.truth().notes().get(8).start();
        int hop = cepstra(LEAD).hop(), n = 80 * hop, from = (int) (note * 48_000);
        double[] thrice = new double[1000 * hop];
        for (int at : new int[] {260, 400, 560}) System.arraycopy(LEAD.samples(), from, thrice, at * hop, n);
        Cepstra sung = new Cepstra(new Samples(48_000, thrice), s -> true);
        List<TimeWarp> all = TimeWarp.all(sung, 385, 495, 0, sung, 200, 40);
        List<Long> found = all.stream().filter(w -> w.unlikeness() < 0.05).map(w -> Math.round(w.at(440.0 * hop) / hop) - 440).sorted().toList();
        assertEquals(List.of(-140L, 0L, 160L), found);
        for (int i = 1; i < all.size(); i++) assertTrue(all.get(i).unlikeness() >= all.get(0).unlikeness() - 1e-9);
        assertEquals(1, TimeWarp.all(sung, 385, 495, 0, sung, 200, 600).size());
    }
}

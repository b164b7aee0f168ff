package linnet.hear;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Decibels;

/**
 * The thumps that p and b blow into the microphone: a burst below 60 Hz that comes up by 20 dB and more within 60 ms, is about as strong as
 * the voice beside it, and is over in a fifth of a second. A low note has less there, and rumble and wind come up slower. The limits were
 * read from the thumps of two singers and two speakers.
 */
final class Plosives {
    /** In steps of 5 ms. */
    private static final int STEP = 5, NEAR = 12, LONGEST = 40, AROUND = 100;
    private static final double RISE = Decibels.power(20), FALL = Decibels.power(10), OVER_FLOOR = Decibels.power(15), UNDER_VOICE = Decibels.power(-10),
            OVER_CORDS = Decibels.power(-8), EDGE = Decibels.power(-20), AUDIBLE = Decibels.power(-30);
    /** What a low-pass of 60 Hz comes late, in cells. */
    private static final int LATE = 6;

    private final Strands strands;
    private final Strip thump, cords;
    private final double voice;

    /** @param voice power of the sung frames */
    Plosives(Strands strands, double voice) {
        this.strands = strands;
        this.voice = voice;
        thump = stepped(strands.power(Strands.Band.THUMP));
        cords = stepped(strands.power(Strands.Band.CORDS));
    }

    /** Power over 15 ms around each step. */
    private static Strip stepped(Strip cells) {
        Strip mean = cells.mean(STEP, 2 * STEP - 1);
        return new Strip(cells.length() / STEP) {
            @Override
            void fill(int from, double[] into, int n) {
                for (int i = 0; i < n; i++) into[i] = mean.at((from + i) * STEP);
            }
        };
    }

    List<Event> find() {
        double floor = Quantiles.of(thump::at, thump.length(), 0.5, Levels.SILENCE);
        List<Event> found = new ArrayList<>();
        for (int i = NEAR; i < thump.length() - NEAR; i++) {
            double here = thump.at(i);
            if (here < floor * OVER_FLOOR || !isHighest(i)) continue;
            double rise = here / least(i - NEAR, i), fall = here / least(i, i + 2 * NEAR);
            double beside = most(cords, i - AROUND, i + AROUND);
            if (rise < RISE || fall < FALL || beside < voice * AUDIBLE || here < beside * UNDER_VOICE || here < cords.at(i) * OVER_CORDS) continue;
            double sure = Math.min(1, 0.5 + Decibels.ofPower(Math.min(rise / RISE, here / (beside * UNDER_VOICE))) / 20);
            found.add(event(i, sure));
        }
        return found;
    }

    private boolean isHighest(int at) {
        for (int i = at - NEAR; i <= at + NEAR; i++) if (thump.at(i) > thump.at(at) || thump.at(i) == thump.at(at) && i < at) return false;
        return true;
    }

    private double least(int from, int to) {
        double least = Double.POSITIVE_INFINITY;
        for (int i = Math.max(0, from); i < Math.min(thump.length(), to); i++) least = Math.min(least, thump.at(i));
        return Math.max(least, Levels.SILENCE);
    }

    private static double most(Strip x, int from, int to) {
        double most = 0;
        for (int i = Math.max(0, from); i < Math.min(x.length(), to); i++) most = Math.max(most, x.at(i));
        return most;
    }

    /** From where it comes up to where it is 20 dB down. */
    private Event event(int at, double sure) {
        int from = at, to = at;
        while (at - from < NEAR && thump.at(from - 1) > thump.at(at) * EDGE && thump.at(from - 1) < thump.at(from)) from--;
        while (to < Math.min(thump.length() - 1, at + LONGEST) && thump.at(to) > thump.at(at) * EDGE) to++;
        return new Event(strands.sample(Math.max(0, from * STEP - LATE)), strands.sample(to * STEP - LATE), Decibels.ofPower(thump.at(at)), sure);
    }
}

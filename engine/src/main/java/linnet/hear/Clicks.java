package linnet.hear;

import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.repair.ClickFinder;

/** Clicks of the mouth, as {@link ClickFinder} finds them in the mean of all channels. */
final class Clicks {
    /** Weaker ones, by their peak above 1 kHz, are not heard beside the voice. A figure of practice. */
    private static final double UNDER_VOICE = 27;
    /** In dB: what stands so far out of what is around it is nothing else. */
    private static final double CERTAIN = 20;

    private Clicks() {}

    /**
     * The level of each is how far it stands out, in dB.
     *
     * @param voice level of the sung frames in dBFS
     */
    static List<Event> find(Ear ear, Sung sung, double voice) {
        ClickFinder finder = new ClickFinder(ear.sound().rate());
        ear.read((x, n) -> finder.add(Ear.mono(x, n), n));
        return finder.find(ear.pitch()::voiced, sung::frame, Decibels.gain(voice - UNDER_VOICE)).stream()
                .map(c -> new Event(c.from(), c.to(), c.heightDb(), Math.min(1, c.heightDb() / CERTAIN)))
                .toList();
    }
}

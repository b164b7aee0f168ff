package linnet.hear;

import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.Stretches;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.repair.ClickFinder;

/**
 * Clicks of the mouth, as {@link ClickFinder} finds them in the mean of all channels: those inside a vowel and those in a pause. Where the
 * voice is silent for no longer than a consonant lasts, what clicks is the consonant: the lips and the tongue close and burst in p, t and k
 * just as they click without meaning to. So are longer ones beside the voice, with which words end.
 */
final class Clicks {
    /** Weaker ones, by their peak above 1 kHz, are not heard beside the voice. A figure of practice. */
    private static final double UNDER_VOICE = 27;
    /** In dB: what stands so far out of what is around it is nothing else. */
    private static final double CERTAIN = 20;

    /** In frames of 10 ms: a gap in the voice that holds a consonant, and how far from the voice a smack of the lips is no word's end. */
    private static final int SHORTEST_GAP = 5, LONGEST_GAP = 28, FROM_VOICE = 15;
    private static final double SMACK_SECONDS = 0.01;

    private Clicks() {}

    /**
     * The level of each is how far it stands out, in dB.
     *
     * @param voice level of the sung frames in dBFS
     * @param where they are looked for; null for everywhere
     */
    static List<Event> find(Ear ear, Sung sung, double voice, Stretches where) {
        ClickFinder finder = new ClickFinder(ear.sound().rate(), where, ear.pitch()::voiced, sung::frame, Decibels.gain(voice - UNDER_VOICE));
        ear.passes().read((x, n) -> finder.add(Passes.mono(x, n), n));
        return finder.find().stream()
                .filter(c -> !isConsonant(c, ear.pitch(), ear.sound().rate()))
                .map(c -> new Event(c.from(), c.to(), c.heightDb(), Math.min(1, c.heightDb() / CERTAIN)))
                .toList();
    }

    private static boolean isConsonant(ClickFinder.Click click, PitchTrack pitch, double rate) {
        int first = (int) (click.from() / pitch.hop()), last = (int) (click.to() / pitch.hop()), before = 0, after = 0;
        while (before <= LONGEST_GAP && !pitch.voiced(first - before)) before++;
        while (after <= LONGEST_GAP && !pitch.voiced(last + after)) after++;
        int gap = last - first + before + after;
        boolean inWord = gap >= SHORTEST_GAP && gap <= LONGEST_GAP;
        boolean smack = click.to() - click.from() > SMACK_SECONDS * rate;
        return inWord || smack && Math.min(before, after) < FROM_VOICE;
    }
}

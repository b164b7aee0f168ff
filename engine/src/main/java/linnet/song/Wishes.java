package linnet.song;

import java.util.List;
import java.util.Optional;
import linnet.setting.Unit;
import linnet.text.Word;

/**
 * What a song wants that can only be known once it has been heard: levels by loudness, and what gives way to a voice.
 *
 * @param wet sends that are stated by what becomes of them
 * @param balance levels that are stated against another
 * @param ducks what makes room for something
 * @param loud of the mix
 */
public record Wishes(List<Wet> wet, List<Balance> balance, List<Duck> ducks, Optional<Loud> loud) {
    public Wishes {
        wet = List.copyOf(wet);
        balance = List.copyOf(balance);
        ducks = List.copyOf(ducks);
    }

    private static String distance(double lu) {
        return Unit.PLAIN.format(Math.abs(lu), 2) + " LU " + (lu < 0 ? "under" : "over");
    }

    /** Nothing to be measured. */
    public boolean isEmpty() {
        return wet.isEmpty() && balance.isEmpty() && ducks.isEmpty() && loud.isEmpty();
    }

    /**
     * A send of which the return should make something so loud.
     *
     * @param from a part or group
     * @param to the return
     * @param lu over what sends; below 0 under it
     */
    public record Wet(Word from, Word to, double lu) {
        /** As a text says it. */
        public String words() {
            return distance(lu);
        }
    }

    /**
     * A level.
     *
     * @param what a part, a group or the instrumental
     * @param lu over the other; below 0 under it
     * @param against what it is stated against
     */
    public record Balance(Word what, double lu, Word against) {
        /** As a text says it. */
        public String words() {
            return distance(lu) + " " + against.text();
        }
    }

    /**
     * Something that gives way while something else sounds.
     *
     * @param by in dB, above 0
     * @param attack seconds to 63 % of the way down
     * @param release seconds to 63 % of the way back
     */
    public record Duck(Word what, Word from, double by, double attack, double release) {}

    /**
     * Loudness wanted of the mix.
     *
     * @param lufs integrated
     * @param ceiling highest true peak, in dBTP
     */
    public record Loud(Word at, double lufs, double ceiling) {
        /** What the step is called that turns the mix up, behind its chain. */
        public static final String TRIM = "loudness";
    }
}

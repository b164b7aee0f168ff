package linnet.song;

import java.util.Optional;
import linnet.setting.Unit;

/** Says where a second of a song lies, in the words that a text would use. */
public final class Address {
    private static final double ON_THE_BEAT = 0.005;

    private Address() {}

    /** Such as {@code chorus bar 4 beat 2.25}; on the first beat of a bar the bar alone. */
    public static String of(Timeline time, double seconds) {
        int bar = time.bar(seconds);
        double beat = time.beat(seconds);
        if (beat > time.metre(bar).beats() + 1 - ON_THE_BEAT) {
            bar++;
            beat = 1;
        }
        int at = bar;
        Optional<Timeline.Section> section = time.sections().stream().filter(s -> s.from() <= at && at < s.to()).findFirst();
        String words = section.map(s -> s.name() + " bar " + (at - s.from() + 1)).orElse("bar " + at);
        return beat - 1 < ON_THE_BEAT ? words : words + " beat " + Unit.PLAIN.format(beat, 2);
    }
}

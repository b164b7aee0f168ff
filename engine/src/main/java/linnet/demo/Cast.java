package linnet.demo;

import java.util.List;

/**
 * Who sings what in the example. Whoever is not the lead comes up to 45 ms early or late with a line and is up to 14 cents off
 * with a note, as people are who sing along once or twice; where each of them is, the truth of the take tells.
 */
final class Cast {
    private static final double EARLY_OR_LATE = 0.045;
    private static final double CENTS_OFF = 14;

    private static final Singer LEAD = Singer.high();
    /** A second woman, brighter, with a quicker and narrower vibrato. */
    static final Singer SECOND = new Singer(0.98, 0, 6.1, 36, 0.003, 0.02, 1, 3);
    /** A man at the top of his range. */
    static final Singer THIRD = new Singer(0.2, 0, 5.5, 34, 0.004, 0.025, 1, 4);
    static final Singer FOURTH = new Singer(0.7, 0, 5.6, 55, 0.003, 0.02, 2, 5);

    /** A take and the name of its file. */
    record Take(String name, Score score, Singer singer, Room room) {
        Performance sing() {
            return Performance.sing(score, singer, room, Demo.RATE);
        }
    }

    private Cast() {}

    /** The lead first. */
    static List<Take> takes() {
        return List.of(
                new Take("lead", SevenLanterns.whole(), LEAD, Room.bedroom()),
                // At the gain of the first take, in which a verse lies far under the choruses.
                new Take("lead-verse-2", SevenLanterns.verseAgain().loose(7, 0.02, CENTS_OFF), LEAD.seed(7), Room.bedroom().sung(-28)),
                along("double-left", SevenLanterns.doubled(), LEAD, 11), along("double-right", SevenLanterns.doubled(), LEAD, 12),
                along("high-left", SevenLanterns.high(), SECOND, 21), along("high-right", SevenLanterns.high(), SECOND, 22),
                along("low-left", SevenLanterns.low(), THIRD, 31), along("low-right", SevenLanterns.low(), THIRD, 32),
                along("ad-lib", SevenLanterns.adLib(), FOURTH, 41));
    }

    static Take along(String name, Score score, Singer singer, long seed) {
        return new Take(name, score.loose(seed, EARLY_OR_LATE, CENTS_OFF), singer.seed(seed), Room.bedroom());
    }
}

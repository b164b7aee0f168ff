package linnet.plan;

import java.util.List;

/**
 * Something that a song renders whole before others hear it: a part, a group, a return, the mix.
 *
 * @param id place in {@link SongPlan#works()}; what it hears has lower ids
 * @param name what the text calls it
 * @param input what goes into its chain, all of it in the time of the song
 * @param channels of the input
 * @param chain what is done to it
 * @param sides whether it has two sides of its own, as a sum has: one channel then stands for two that are alike. What was made of one
 *     channel has none, and is put between left and right
 */
public record Work(int id, String name, List<Tap> input, int channels, Plan chain, boolean sides) {
    /**
     * One signal of a sum.
     *
     * @param source where it comes from
     * @param level how loud, in dB over time
     * @param pan from -100 (left) to 100 (right), over time
     */
    public record Tap(Source source, Course level, Course pan) {}

    /** Where a tap takes its signal from. */
    public sealed interface Source {
        /**
         * A take.
         *
         * @param take its place among the takes of the song
         * @param at sample of the song at which it begins
         * @param flipped whether its polarity is turned
         */
        record Take(int take, long at, boolean flipped) implements Source {}

        /** Another work, as it leaves its chain. */
        record Made(int work) implements Source {}
    }

    /** A number over time: straight lines between points in order of time, held before the first and after the last. */
    public record Course(List<Point> points) {
        public Course {
            points = List.copyOf(points);
        }

        /** One value throughout. */
        public static Course of(double value) {
            return new Course(List.of(new Point(0, value)));
        }

        /** Whether it is that value throughout. */
        public boolean isAlways(double value) {
            return points.stream().allMatch(p -> p.value == value);
        }
    }

    /** At that sample of the song, that value. */
    public record Point(long at, double value) {}
}

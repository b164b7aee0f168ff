package linnet.plan;

import java.util.List;

/**
 * Something that a song renders whole before others hear it: a part, a group, a return.
 *
 * @param id place in {@link SongPlan#works()}; what it hears has lower ids
 * @param name what the text calls it
 * @param input what goes into its chain, all of it in the time of the song
 * @param channels of the input
 * @param chain what is done to it
 * @param shares none for a work that makes one sound of its input; else it makes a sound for each of these, which have a part in the input:
 *     what the chain does to the input, done to them
 */
public record Work(int id, String name, List<Tap> input, int channels, Plan chain, List<List<Tap>> shares) {
    /** What becomes of its whole input. */
    public Work(int id, String name, List<Tap> input, int channels, Plan chain) {
        this(id, name, input, channels, chain, List.of());
    }

    /**
     * One signal of a sum.
     *
     * @param source where it comes from
     * @param level how loud, in dB over time
     */
    public record Tap(Source source, Course level, Pan pan) {}

    /**
     * Where a signal lies in a sum.
     *
     * @param sides whether it has two sides of its own, as a sum has: one channel then stands for two that are alike. What was made of one
     *     channel has none, and is put between left and right
     * @param place from -100 (left) to 100 (right), over time
     */
    public record Pan(boolean sides, Course place) {}

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

        /**
         * Another work, as it leaves its chain.
         *
         * @param share which of its shares; 0 where it makes one sound
         */
        record Made(int work, int share) implements Source {
            public Made(int work) {
                this(work, 0);
            }
        }
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

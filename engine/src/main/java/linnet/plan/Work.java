package linnet.plan;

import java.util.List;
import java.util.Optional;
import linnet.dsp.GainCurve;
import linnet.tidy.Aims;

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
 * @param tidying how the input is made to follow another, instead of a chain
 * @param played whether it is the instrumental: where steps ask when somebody sings, all that sounds in it counts
 *
 * <p>What of it is looked up by value has a hash of its own, though a record has one: that would be put together anew in every run, which takes a check of a
 * song a tenth of its time.
 */
public record Work(int id, String name, List<Tap> input, int channels, Plan chain, List<List<Tap>> shares, Optional<Tidying> tidying, boolean played) {
    /** What becomes of its whole input. */
    public Work(int id, String name, List<Tap> input, int channels, Plan chain) {
        this(id, name, input, channels, chain, List.of(), Optional.empty(), false);
    }

    public Work(int id, String name, List<Tap> input, int channels, Plan chain, List<List<Tap>> shares) {
        this(id, name, input, channels, chain, shares, Optional.empty(), false);
    }

    /**
     * How a part follows another.
     *
     * @param part that follows
     * @param like the name of whom it follows
     * @param lead what that sings, before its chain
     * @param channels of that
     * @param except stretches of the song whose phrases are left alone
     */
    public record Tidying(String part, String like, List<Tap> lead, int channels, Aims aims, List<Stretch> except) {
        public Tidying {
            lead = List.copyOf(lead);
            except = List.copyOf(except);
        }
    }

    /** From a sample of the song to the one after its last. */
    public record Stretch(long from, long to) {}

    /**
     * One signal of a sum.
     *
     * @param source where it comes from
     * @param level how loud, in dB over time
     */
    public record Tap(Source source, Course level, Pan pan) {
        @Override
        public boolean equals(Object o) {
            return o instanceof Tap t && source.equals(t.source) && (level == t.level || level.equals(t.level)) && (pan == t.pan || pan.equals(t.pan));
        }

        @Override
        public int hashCode() {
            return source.hashCode();
        }
    }

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
        record Take(int take, long at, boolean flipped) implements Source {
            @Override
            public List<Integer> takes() {
                return List.of(take);
            }

            @Override
            public boolean equals(Object o) {
                return o instanceof Take t && take == t.take && at == t.at && flipped == t.flipped;
            }

            @Override
            public int hashCode() {
                return 31 * take + Long.hashCode(at);
            }
        }

        /**
         * Another work, as it leaves its chain.
         *
         * @param share which of its shares; 0 where it makes one sound
         */
        record Made(int work, int share) implements Source {
            public Made(int work) {
                this(work, 0);
            }

            @Override
            public List<Integer> hears() {
                return List.of(work);
            }

            @Override
            public boolean equals(Object o) {
                return o instanceof Made m && work == m.work && share == m.share;
            }

            @Override
            public int hashCode() {
                return 31 * work + share;
            }
        }

        /** Nothing. */
        enum Silence implements Source {
            SILENCE
        }

        /**
         * What is put together from pieces.
         *
         * @param pieces in the order of the song
         * @param borders between each of them and the next
         * @param level in dB over time, behind them
         * @param muted what is silenced where it is marked
         * @param flipped whether the polarity of all is turned
         */
        record Edited(List<Piece> pieces, List<Border> borders, Course level, List<Muted> muted, boolean flipped) implements Source {
            public Edited {
                pieces = List.copyOf(pieces);
                borders = List.copyOf(borders);
                muted = List.copyOf(muted);
                if (borders.size() != pieces.size() - 1) throw new IllegalArgumentException("pieces want a border between each two");
            }

            @Override
            public List<Integer> hears() {
                return pieces.stream().flatMap(p -> p.of().hears().stream()).toList();
            }

            @Override
            public List<Integer> takes() {
                return pieces.stream().flatMap(p -> p.of().takes().stream()).toList();
            }

            /** Whether all of one sound is there as it is, only elsewhere. */
            public boolean isMovedAlone() {
                return pieces.size() == 1 && pieces.get(0).into == 0 && muted.isEmpty() && level.equals(Course.of(0));
            }

            /** The same with its breaths. */
            public Edited breathing() {
                return new Edited(pieces, borders, level, muted.stream().filter(m -> !m.kind.equals(Muted.BREATH)).toList(), flipped);
            }

            /** By what is played and where it is cut, which tells most apart. */
            @Override
            public int hashCode() {
                int hash = pieces.size();
                for (Piece p : pieces) hash = 31 * (31 * hash + p.of().hashCode()) + Long.hashCode(p.later());
                for (Border b : borders) hash = 31 * hash + Long.hashCode(b.at());
                return hash;
            }
        }

        /** Works that are heard in it. */
        default List<Integer> hears() {
            return List.of();
        }

        /** Takes that are heard in it as they are, by their places in the song. */
        default List<Integer> takes() {
            return List.of();
        }
    }

    /**
     * A sound from the border before it to the one after.
     *
     * @param of a take, another work, or silence
     * @param later samples by which it is played later than it lies in the song by itself
     * @param into dB by which it is louder than by itself, before it is joined
     */
    public record Piece(Source of, long later, double into) {
        /** As loud as it is by itself. */
        public Piece(Source of, long later) {
            this(of, later, 0);
        }
    }

    /**
     * Where one piece gives way to the next.
     *
     * @param where the text has it, for whoever wants to know what became of it
     * @param at sample of the song
     * @param reach samples by which it may be moved to where it is not heard; 0 keeps it
     * @param fade samples; 0 for what is usual for what lies there
     */
    public record Border(String where, long at, long reach, int fade) {
        @Override
        public int hashCode() {
            return Long.hashCode(at);
        }
    }

    /**
     * Marks that are silenced.
     *
     * @param where the text has it, for whoever wants to know what became of it
     * @param kind as a list of marks has it
     * @param from first sample of the song at which they are
     * @param to the sample after the last
     * @param fade samples at both ends of each, inside the mark
     */
    public record Muted(String where, String kind, long from, long to, int fade) {
        /** Which is no part of what is sung. */
        static final String BREATH = "breath";

        @Override
        public int hashCode() {
            return Long.hashCode(from);
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

        /** Of a level, so many dB more throughout; silence stays. */
        public Course plus(double more) {
            return more == 0 ? this
                    : new Course(points.stream().map(p -> p.value <= GainCurve.SILENT ? p : new Point(p.at, Math.max(GainCurve.SILENT, p.value + more)))
                            .toList());
        }

        /** Whether it is that value throughout. */
        public boolean isAlways(double value) {
            return points.stream().allMatch(p -> p.value == value);
        }
    }

    /** At that sample of the song, that value. */
    public record Point(long at, double value) {}
}

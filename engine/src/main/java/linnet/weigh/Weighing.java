package linnet.weigh;

import java.io.IOException;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import linnet.plan.SongPlanner;
import linnet.song.Song;
import linnet.song.Wishes;
import linnet.text.ProblemsException;

/**
 * What a song wants by ear, made levels of before it is planned: parts and groups are heard by themselves at their base, without moves, in the places where
 * both of two sound; so a move comes on top and is none of what is measured. Then the song is one with numbers only.
 *
 * @param song the song with levels where it had wishes
 * @param turned by how many dB the mix was found to be turned up to be as loud as is wanted; empty where nothing is, or where that was told
 */
public record Weighing(Song song, OptionalDouble turned, List<Found> found) {
    /** Renders songs for this. */
    public interface Scales extends Aiming.Ears {
        /**
         * Renders the prints of a plan and hears each, by its name.
         *
         * @param question what stands for this among all that is asked of the song
         */
        Map<String, Scale> weigh(String question, Aiming.Planned plan) throws ProblemsException, IOException;
    }

    /** Which fact was found: several may be about one part, group or return. */
    public enum Kind {
        /** Of a part or group, in dB. */
        LEVEL,
        /** How much of one goes to a return, in dB. */
        SEND,
        /** By how many dB, so below 0, something gives way while somebody sings. */
        DUCK,
        /** The gain in dB that makes the mix as loud as is wanted. */
        LOUDNESS,
        /** By how many LU the limiter of a loud mix takes from that; told where it is much. */
        LIMITING,
        /** How many dB more energy the left has than the right. */
        SIDES;

        /** As scripts know it. */
        public String word() {
            return name().toLowerCase(Locale.ROOT);
        }

        /** Of its number, as it ends the name of one. */
        public String unit() {
            return this == LIMITING ? "lu" : "db";
        }
    }

    /**
     * What was found.
     *
     * @param what moved by it: "lead", "lead to plate", "mix"
     * @param number in the unit of its kind
     * @param value that in words
     * @param why what is wanted, and where it was measured
     */
    public record Found(Kind kind, String what, double number, String value, String why) {}

    /**
     * Weighs a song.
     *
     * @param channelsOfTakes as for {@link SongPlanner#plan}
     */
    public static Weighing of(Song song, double rate, List<Integer> channelsOfTakes, Scales scales) throws ProblemsException, IOException {
        return of(song, rate, channelsOfTakes, scales, OptionalDouble.empty());
    }

    /** @param turned by how many dB the mix is turned up to be as loud as is wanted, where that need not be measured */
    public static Weighing of(Song song, double rate, List<Integer> channelsOfTakes, Scales scales, OptionalDouble turned) throws ProblemsException,
            IOException {
        Wishes w = song.wishes();
        Weigher weigher = new Weigher(rate, channelsOfTakes, scales);
        Sides sides = new Sides(weigher);
        if (w.isEmpty() && sides.spread(song).isEmpty()) return new Weighing(song, OptionalDouble.empty(), List.of());
        Map<String, Scale> heard = heard(song, sides, weigher);
        Song weighed = new Balancing(weigher).balanced(song, heard);
        weigher.check();
        for (Wishes.Wet wet : w.wet()) weighed = new WetSend(weigher, wet).sent(weighed);
        weigher.check();
        weighed = new GivingWay(weigher).ducked(weighed, heard);
        OptionalDouble gain = OptionalDouble.empty();
        if (w.loud().isPresent()) {
            LoudMix mix = new LoudMix(weigher, w.loud().get());
            if (turned.isEmpty()) gain = mix.gain(weighed);
            OptionalDouble by = turned.isPresent() ? turned : gain;
            if (by.isPresent()) weighed = mix.turned(weighed, by.getAsDouble());
        }
        sides.tell(song, heard);
        weigher.check();
        return new Weighing(weighed, gain, weigher.found());
    }

    /** All that is heard by itself, in one go. */
    private static Map<String, Scale> heard(Song song, Sides sides, Weigher weigher) throws ProblemsException, IOException {
        Wishes w = song.wishes();
        Set<String> names = new LinkedHashSet<>();
        w.balance().forEach(b -> names.addAll(List.of(b.what().text(), b.against().text())));
        w.ducks().forEach(d -> names.add(d.from().text()));
        names.addAll(sides.spread(song));
        return names.isEmpty() ? Map.of() : weigher.weigh("strips", song.still().printing(names.stream().map(n -> Weigher.strip(song, n, n)).toList()));
    }
}

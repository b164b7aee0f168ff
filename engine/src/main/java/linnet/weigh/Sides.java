package linnet.weigh;

import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import linnet.dsp.Decibels;
import linnet.setting.Unit;
import linnet.song.PannedTwice;
import linnet.song.Song;
import linnet.song.Timeline;

/** How much energy each side has of groups whose layers are dealt to both, on the whole and in each section. */
final class Sides {
    /** Two sides that differ by no more than this, in dB, are level. Common practice. */
    private static final double LEVEL_SIDES = 0.5;
    /** A section in which a group has so much less power, in dB, than where it has most is none in which it sounds: something rings on there. Judgement. */
    private static final double SOUNDS = -20;

    /** By how many dB the left side has more energy in a section. */
    private record Leaning(String section, double left) {}

    private final Weigher weigher;

    Sides(Weigher weigher) {
        this.weigher = weigher;
    }

    /** Groups whose layers are dealt to both sides. */
    List<String> spread(Song song) {
        return dealt(song).map(g -> g.name().text()).toList();
    }

    private static Stream<Song.Group> dealt(Song song) {
        return song.groups().stream().filter(g -> g.spread().isPresent());
    }

    /**
     * An even number of layers on each side says nothing of how loud they are; and where not all of them sing, one side may lead that does not on the whole.
     * All of it is told, and of the sections the one that leans most; where all of it leans, the one that is farthest from that.
     */
    void tell(Song song, Map<String, Scale> heard) {
        dealt(song).forEach(g -> {
            String group = g.name().text();
            Scale scale = heard.get(group);
            double left = scale.leftOver(0, Double.POSITIVE_INFINITY);
            boolean level = Math.abs(left) <= LEVEL_SIDES;
            // What leans as all of it does is told with that.
            Optional<Leaning> worst = sounding(song, scale).stream().filter(w -> Math.abs(w.left) > LEVEL_SIDES)
                    .filter(w -> level || Math.abs(w.left - left) > LEVEL_SIDES).max(Comparator.comparingDouble(w -> Math.abs(level ? w.left : w.left - left)));
            String remedy = PannedTwice.isIn(song, g) ? "switch 'pan' off in the chains of its parts" : "lower a layer there, or raise one on the other side";
            String why = level ? "of energy between left and right" : more(left) + (worst.isEmpty() ? ": " + remedy : "");
            String there = worst.map(w -> (level ? ", but in " : ", and in ") + w.section + " " + db(w.left) + " " + more(w.left) + ": " + remedy).orElse("");
            weigher.found(Weighing.Kind.SIDES, group, left, db(left), why + there);
        });
    }

    private static String db(double by) {
        return Unit.DB.format(Math.abs(by), 1);
    }

    private static String more(double left) {
        return "more energy on the " + (left > 0 ? "left" : "right");
    }

    /** The sections in which it sounds; none where that is one only, as all of it says so. */
    private static List<Leaning> sounding(Song song, Scale scale) {
        Timeline time = song.time();
        List<Timeline.Section> sections = time.sections();
        double[] power = sections.stream().mapToDouble(s -> {
            double from = time.start(s.from()), to = time.start(s.to());
            return scale.energy(from, to) / (to - from);
        }).toArray();
        double least = Arrays.stream(power).max().orElse(0) * Decibels.power(SOUNDS);
        List<Leaning> all = IntStream.range(0, power.length).filter(k -> power[k] > least).mapToObj(sections::get)
                .map(s -> new Leaning(s.name(), scale.leftOver(time.start(s.from()), time.start(s.to())))).toList();
        return all.size() < 2 ? List.of() : all;
    }
}

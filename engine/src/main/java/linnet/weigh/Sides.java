package linnet.weigh;

import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import linnet.setting.Unit;
import linnet.song.PannedTwice;
import linnet.song.Song;

/** How much energy each side has of groups whose layers are dealt to both. */
final class Sides {
    /** Two sides that differ by no more than this, in dB, are level. Common practice. */
    private static final double LEVEL_SIDES = 0.5;

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

    /** An even number of layers on each side says nothing of how loud they are. */
    void tell(Song song, Map<String, Scale> heard) {
        dealt(song).forEach(g -> {
            String group = g.name().text();
            double left = heard.get(group).left();
            String more = Unit.DB.format(Math.abs(left), 1);
            if (Math.abs(left) <= LEVEL_SIDES) weigher.found(group, more, "of energy between left and right");
            else weigher.found(group, more,
                    "more energy on the " + (left > 0 ? "left" : "right") + ": "
                    + (PannedTwice.isIn(song, g) ? "switch 'pan' off in the chains of its parts" : "lower a layer there, or raise one on the other side"));
        });
    }
}

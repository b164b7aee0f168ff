package linnet.song;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import linnet.text.Word;

/**
 * Deals the layers of a group to both sides. They go in pairs, in the order of the group: of each pair one to the left and one to the right,
 * by turns, so that no side has all the first ones; the first pair as far out as is asked, those after it closer to the centre in even steps.
 * The last of an odd number stays in the centre, and a part that has a place of its own is none of them.
 */
final class Spread {
    private final Map<String, Double> places = new HashMap<>();

    /** @param placed parts that have a place of their own */
    Spread(List<Song.Group> groups, Set<String> placed) {
        for (Song.Group g : groups) {
            if (g.spread().isPresent()) deal(g.parts().stream().map(Word::text).filter(p -> !placed.contains(p)).toList(), g.spread().getAsDouble());
        }
    }

    private void deal(List<String> layers, double percent) {
        int pairs = layers.size() / 2;
        for (int k = 0; k < pairs; k++) {
            double out = percent * (pairs - k) / pairs, first = k % 2 == 0 ? -out : out;
            places.put(layers.get(2 * k), first);
            places.put(layers.get(2 * k + 1), -first);
        }
    }

    /** The part in the place that it is dealt to, if it is. */
    Song.Part placed(Song.Part part) {
        Double place = places.get(part.name().text());
        return place == null ? part : part.with(new Song.Fader(part.fader().level(), place));
    }
}

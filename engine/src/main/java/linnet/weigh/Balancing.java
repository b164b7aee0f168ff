package linnet.weigh;

import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.function.Function;
import linnet.dsp.Decibels;
import linnet.song.Song;
import linnet.song.Wishes;

/** Levels of parts and groups that are stated as distances from others. */
final class Balancing {
    private final Weigher weigher;

    Balancing(Weigher weigher) {
        this.weigher = weigher;
    }

    /** Each level, once that which it is stated against has its own. */
    Song balanced(Song song, Map<String, Scale> heard) {
        Wishes w = song.wishes();
        Map<String, Wishes.Balance> open = new LinkedHashMap<>();
        w.balance().forEach(b -> open.put(b.what().text(), b));
        Map<String, Double> levels = new HashMap<>();
        while (!open.isEmpty()) {
            Wishes.Balance b = open.values().stream().filter(x -> !open.containsKey(x.against().text())).findFirst().orElseThrow();
            String what = b.what().text(), other = b.against().text();
            open.remove(what);
            Scale.Balance now = heard.get(what).over(heard.get(other));
            if (Double.isNaN(now.lu())) {
                weigher.problems().report(b.what().at(), "'" + what + "' and '" + other + "' never sound together: give '" + what + "' a level");
                levels.put(what, 0.0);
                continue;
            }
            double level = Decibels.tenths(b.lu() - now.lu() + levels.getOrDefault(other, 0.0));
            levels.put(what, level);
            weigher.checkLevel(b.what(), level, what);
            weigher.found(Weighing.Kind.LEVEL, what, level, b.words() + ", where both sound: " + Math.round(now.seconds()) + " s" + GivingWay.told(w, what));
        }
        return levelled(song, name -> levels.containsKey(name) ? OptionalDouble.of(levels.get(name)) : OptionalDouble.empty());
    }

    private static Song levelled(Song song, Function<String, OptionalDouble> levels) {
        Function<Song.Part, Song.Part> part = p -> levels.apply(p.name().text()).isPresent()
                ? p.with(new Song.Fader(levels.apply(p.name().text()).getAsDouble(), p.fader().pan()), p.sends()) : p;
        return song.with(song.parts().stream().map(part).toList(), song.instrumental().map(part),
                song.groups().stream()
                        .map(g -> levels.apply(g.name().text()).isPresent()
                                ? g.with(new Song.Fader(levels.apply(g.name().text()).getAsDouble(), g.fader().pan()), g.sends()) : g).toList(),
                        song.returns());
    }
}

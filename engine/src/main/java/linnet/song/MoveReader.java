package linnet.song;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.text.Span;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Reads the moves of a song. */
final class MoveReader {
    /** In seconds. */
    private static final double SHORTEST_RAMP = 0.005;

    private static final String PAN = " pan";

    private final Reading text;
    private final Place place;

    MoveReader(Reading text, Place place) {
        this.text = text;
        this.place = place;
    }

    /** {@code chorus *: { ramp: 1 beat, lead: +1 dB, plate: +4 dB, lead to plate: -2 dB }}. */
    List<Song.Move> read(Fields top) {
        List<Song.Move> moves = new ArrayList<>();
        for (Tree.Entry e : text.entries(top, "moves")) {
            List<Place.Range> where = place.ranges(e.key());
            if (!(e.value() instanceof Tree.Table table)) {
                text.problems().report(e.value().at(), "a move names what moves and by how much, such as { plate: +4 dB }");
                continue;
            }
            Map<String, Tree.Entry> what = new LinkedHashMap<>(table.entries());
            Tree.Entry ramp = what.remove("ramp");
            double seconds = where.isEmpty() ? 0 : ramp(ramp, where.get(0).from());
            for (Tree.Entry m : what.values()) move(m, where, seconds).ifPresent(moves::add);
        }
        return moves;
    }

    private Optional<Song.Move> move(Tree.Entry e, List<Place.Range> where, double ramp) {
        String key = e.key().text();
        Span at = e.key().at();
        String[] way = key.split(" to ", 2);
        Word what = new Word(way[0].strip(), at);
        Song.Fading of = way.length > 1 ? new Song.Fading.Send(new Word(way[1].strip(), at)) : new Song.Fading.Level();
        if (way.length == 1 && key.endsWith(PAN)) {
            what = new Word(key.substring(0, key.length() - PAN.length()).strip(), at);
            of = new Song.Fading.Pan();
        }
        OptionalDouble by = text.number(of instanceof Song.Fading.Pan ? Faders.PAN : Faders.LEVEL, e.value());
        return by.isPresent() ? Optional.of(new Song.Move(where, what, of, by.getAsDouble(), ramp)) : Optional.empty();
    }

    /** 60 ms in a gap is common practice; a whole bar is a swell. */
    private double ramp(Tree.Entry entry, double from) {
        if (entry == null) return 0.06;
        if (!(entry.value() instanceof Tree.Leaf leaf)) {
            text.problems().report(entry.value().at(), "a ramp is a length such as '1 beat' or '60 ms'");
            return SHORTEST_RAMP;
        }
        double seconds = place.length(leaf.word(), from).orElse(SHORTEST_RAMP);
        if (seconds < SHORTEST_RAMP) text.problems().report(leaf.word().at(), "a ramp has 5 ms or more: a shorter one is a click");
        return Math.max(SHORTEST_RAMP, seconds);
    }
}

package linnet.song;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Reads the moves of a song. */
final class MoveReader {
    /** In seconds. */
    private static final double SHORTEST_RAMP = 0.005;

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
            for (Tree.Entry m : what.values()) {
                String[] way = m.key().text().split(" to ", 2);
                Word to = way.length > 1 ? new Word(way[1].strip(), m.key().at()) : null;
                text.number(Faders.LEVEL, m.value()).ifPresent(db -> moves.add(new Song.Move(where, new Word(way[0].strip(), m.key().at()), to, db, seconds)));
            }
        }
        return moves;
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

package linnet.song;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.chain.Chain;
import linnet.chain.Reach;
import linnet.setting.Quantity;
import linnet.setting.Unit;
import linnet.setting.Value;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.Span;
import linnet.text.Word;
import linnet.yaml.Tree;

/**
 * Reads the moves of a song. What moves is named by words: {@code lead}, {@code lead pan}, {@code lead to plate}, {@code lead compressor 2 ratio},
 * {@code plate eq gain of band 1}. By how far is a difference, {@code +2 dB}, or a value after "to": {@code to 3:1}.
 */
final class MoveReader {
    /** In seconds. */
    private static final double SHORTEST_RAMP = 0.005, USUAL_RAMP = 0.06;
    private static final String PAN = " pan", TO = "to ", RAMP = "ramp";

    private static final Shape MOVE = new Shape("a move")
            .key(RAMP, "How long it takes to come, before the stretch, and to go, after it: 5 ms at least, usual: 60 ms.", Place.LENGTH_FORM)
            .others("", "By how far it moves: a difference with its sign, or 'to' and a value.",
                    // A sign before a number alone is no longer seen where that is a number already.
                    Form.either(new Form.Bare(Double.NEGATIVE_INFINITY, Double.POSITIVE_INFINITY),
                            Form.words(" *([+\u2212-].*|" + TO + ".*)", "+3 dB", "to -3 dB")));
    static final Form MOVES = new Form.Table(new Shape("moves")
            .others("", "A stretch of the song, with what is other there: 'lead', 'lead pan', 'lead to plate', 'plate reverb low-pass'.",
                    new Form.Table(MOVE)));

    private final Reading text;
    private final Place place;
    private final Strips strips;
    private final Map<String, Chain> chains;
    private final List<Said> moves = new ArrayList<>();
    private final List<Turn> turns = new ArrayList<>();

    /** A move, with where the text says how far. */
    private record Said(Song.Move move, Word value) {}

    MoveReader(Reading text, Place place, Strips strips) {
        this.text = text;
        this.place = place;
        this.strips = strips;
        chains = strips.chains();
    }

    /** {@code chorus *: { ramp: 1 beat, lead: +1 dB, plate: +4 dB, lead to plate: -2 dB, plate reverb low-pass: to 9 kHz }}. */
    void read(Fields top) {
        for (Tree.Entry e : text.entries(top, "moves")) {
            List<Place.Range> where = place.ranges(e.key());
            if (!(e.value() instanceof Tree.Table table)) {
                text.problems().report(e.value().at(), "a move names what moves and by how much, such as { plate: +4 dB }");
                continue;
            }
            Map<String, Tree.Entry> what = new LinkedHashMap<>(table.entries());
            Tree.Entry ramp = what.remove(RAMP);
            List<Song.Stretch> ramped = ramped(where, ramp);
            for (Tree.Entry m : what.values()) {
                if (m.value() instanceof Tree.Leaf leaf) move(m.key(), leaf.word(), ramped);
                else text.problems().report(m.value().at(), "a move wants one value, such as '+2 dB'");
            }
        }
        clear();
    }

    /** Moves of levels, places and sends. */
    List<Song.Move> moves() {
        return moves.stream().map(Said::move).toList();
    }

    /** The strips with the settings that move in their chains. */
    Strips moved() {
        return strips.with(new Turns(turns, text.problems()).in(chains));
    }

    private void move(Word key, Word value, List<Song.Stretch> where) {
        String words = key.text().strip().replaceAll("\\s+", " ");
        Span at = key.at();
        Optional<String> owner = chains.keySet().stream().filter(o -> words.startsWith(o + " ") && reach(o).names(words.substring(o.length() + 1)))
                .max(Comparator.comparingInt(String::length));
        String[] way = words.split(" to ", 2);
        if (owner.isPresent()) {
            reach(owner.get()).find(words.substring(owner.get().length() + 1), at).ifPresent(found -> turn(owner.get(), found, value, where));
        } else if (way.length == 2) {
            fade(new Word(way[0], at), new Song.Fading.Send(new Word(way[1], at)), Faders.LEVEL, value, where);
        } else if (strips.fader(words).isEmpty() && words.endsWith(PAN)) {
            fade(new Word(words.substring(0, words.length() - PAN.length()), at), Song.Fading.Own.PAN, Faders.PAN, value, where);
        } else if (strips.fader(words).isEmpty() && inside(words).isEmpty()) {
            unknown(words, at);
        } else if (strips.fader(words).isEmpty()) {
            String name = inside(words).get(), rest = words.substring(name.length() + 1);
            Optional<String> off = chains.get(name).off(rest);
            if (off.isPresent()) {
                text.problems().report(at, "'" + off.get() + "' is off in the chain of '" + name + "': nothing of it moves; leave out its 'on: no' to have it");
                return;
            }
            List<String> steps = reach(name).steps();
            text.problems().report(at, "'" + name + "' has no step and setting '" + words.substring(name.length() + 1) + "'" + hint(words) + " (its steps are "
                    + (steps.isEmpty() ? "none" : String.join(", ", steps)) + ")");
        } else {
            fade(new Word(words, at), Song.Fading.Own.LEVEL, Faders.LEVEL, value, where);
        }
    }

    private void unknown(String words, Span at) {
        text.problems().report(at, CrossReferences.missing("part, group or return", words, hint(words), strips.names()));
    }

    /** What was probably meant: one of these words is none that a move could have. */
    private String hint(String words) {
        List<String> known = new ArrayList<>(strips.names());
        known.addAll(List.of(RAMP, PAN.strip(), TO.strip()));
        known.addAll(chains.keySet());
        chains.keySet().forEach(o -> known.addAll(reach(o).words()));
        String hint = Nearest.hint(words, known, this::isRead);
        return hint.isEmpty() ? Nearest.hint(words, strips.names()) : hint;
    }

    private boolean isRead(String words) {
        String[] way = words.split(" to ", 2);
        Problems quiet = new Problems();
        return words.equals(RAMP) || strips.fader(words).isPresent() || words.endsWith(PAN) && strips.fader(words.substring(0, words.length() - PAN.length()))
                .isPresent()
                || way.length == 2 && strips.fader(way[0]).isPresent() && strips.fader(way[1]).isPresent()
                || chains.entrySet().stream().anyMatch(c -> {
                    Reach reach = new Reach(c.getValue(), quiet);
                    return words.startsWith(c.getKey() + " ") && reach.names(words.substring(c.getKey().length() + 1))
                            && reach.find(words.substring(c.getKey().length() + 1), Place.NOWHERE).isPresent();
                });
    }

    private Reach reach(String owner) {
        return new Reach(chains.get(owner), text.problems());
    }

    /** Whose chain is meant, though nothing in it has that name. */
    private Optional<String> inside(String words) {
        return chains.keySet().stream().filter(o -> words.startsWith(o + " ")).max(Comparator.comparingInt(String::length));
    }

    private void fade(Word what, Song.Fading of, Quantity setting, Word value, List<Song.Stretch> where) {
        if (strips.fader(what.text()).isEmpty()) {
            unknown(what.text(), what.at());
            return;
        }
        boolean isLevel = of != Song.Fading.Own.PAN;
        boolean to = value.text().strip().startsWith(TO);
        OptionalDouble amount = to ? setting.read(goal(value), text.problems()).map(v -> OptionalDouble.of(((Value.Amount) v).value()))
                .orElse(OptionalDouble.empty())
                : isLevel && Unit.isSigned(value.text().strip()) ? text.number(setting, new Tree.Leaf(value)) : difference(setting, value);
        if (amount.isEmpty()) return;
        Song.Move move = new Song.Move(where, what, of, to, amount.getAsDouble());
        // The return it goes to may be missing: that is said where all names are looked at.
        double base = strips.base(what.text(), of).orElse(0), end = base + move.by(base);
        if (!isLevel && !setting.inRange(end)) {
            text.problems().report(value.at(), "pan would be " + setting.unit().format(end) + " there: no further than to the side");
        }
        moves.add(new Said(move, value));
    }

    /** Differences add up, but nothing can be at two values at once. */
    private void clear() {
        List<Song.Move> before = new ArrayList<>();
        for (Said said : moves) {
            Song.Move move = said.move;
            if (before.stream().anyMatch(b -> (b.to() || move.to()) && b.isOfSame(move) && reach(b, move) && meet(b, move))) {
                text.problems().report(said.value.at(), Turns.ONE_VALUE);
            }
            before.add(move);
        }
    }

    /** Whether one begins before the other is over: only then can they meet, and it is soon told. */
    private static boolean reach(Song.Move one, Song.Move other) {
        for (Song.Stretch a : one.where()) {
            for (Song.Stretch b : other.where()) if (a.from() - a.in() < b.to() + b.out() && b.from() - b.in() < a.to() + a.out()) return true;
        }
        return false;
    }

    private static boolean meet(Song.Move one, Song.Move other) {
        List<Shift> all = new ArrayList<>(one.shifts(0));
        all.addAll(other.shifts(0));
        List<List<Shift.Corner>> courses = Shift.courses(all);
        int n = one.where().size();
        return courses.subList(0, n).stream().anyMatch(a -> courses.subList(n, courses.size()).stream().anyMatch(b -> Shift.meet(a, b)));
    }

    private void turn(String owner, Reach.Found what, Word value, List<Song.Stretch> where) {
        boolean to = value.text().strip().startsWith(TO);
        if (to) {
            Optional<Value> goal = what.setting().read(goal(value), text.problems());
            if (goal.isPresent() && goal.get() instanceof Value.Named) text.problems().report(value.at(), what.setting().name() + " cannot move to a word");
            else goal.ifPresent(v -> turns.add(new Turn(where, owner, what, true, v, value)));
        } else {
            difference(what.setting(), value).ifPresent(by -> turns.add(new Turn(where, owner, what, false, new Value.Amount(by), value)));
        }
    }

    private static Word goal(Word value) {
        return new Word(value.text().strip().substring(TO.length()).strip(), value.at());
    }

    private OptionalDouble difference(Quantity setting, Word value) {
        String said = value.text().strip();
        OptionalDouble by = Unit.isSigned(said) ? setting.unit().parse(said) : OptionalDouble.empty();
        if (by.isEmpty()) {
            String example = setting.unit().example();
            text.problems().report(value.at(), "a move of " + setting.name() + " is a difference with its sign, such as '+" + example.replaceFirst("^-", "")
                    .replaceFirst(" left$", "") + "', or 'to' and a value, such as 'to " + example + "'"
                    + Nearest.hint(said, words(setting), t -> isChange(setting, t)));
        }
        return by;
    }

    private static List<String> words(Quantity setting) {
        List<String> words = new ArrayList<>(setting.vocabulary());
        words.add(TO.strip());
        return words;
    }

    private static boolean isChange(Quantity setting, String said) {
        if (said.startsWith(TO)) return setting.read(goal(new Word(said, Place.NOWHERE)), new Problems()).isPresent();
        return Unit.isSigned(said) && setting.unit().parse(said).isPresent();
    }

    /** 60 ms in a gap is common practice; a whole bar is a swell. Its beats are those on its own side of each border. */
    private List<Song.Stretch> ramped(List<Place.Range> where, Tree.Entry ramp) {
        if (ramp == null) return apart(where.stream().map(r -> new Song.Stretch(r.from(), r.to(), USUAL_RAMP, goes(r, USUAL_RAMP))).toList());
        if (!(ramp.value() instanceof Tree.Leaf leaf)) {
            text.problems().report(ramp.value().at(), "a ramp is a length such as '1 beat' or '60 ms'");
            return List.of();
        }
        List<Song.Stretch> ramped = new ArrayList<>();
        for (Place.Range r : where) {
            OptionalDouble in = place.lengthBefore(leaf.word(), r.from());
            if (in.isEmpty()) return List.of();
            double out = place.length(leaf.word(), r.to()).orElse(in.getAsDouble());
            if (Math.min(in.getAsDouble(), out) < SHORTEST_RAMP) {
                text.problems().report(leaf.word().at(), "a ramp has 5 ms or more: a shorter one is a click");
                return List.of();
            }
            ramped.add(new Song.Stretch(r.from(), r.to(), in.getAsDouble(), goes(r, out)));
        }
        return apart(ramped);
    }

    /**
     * Stretches of one move, in order of time, whose ramps share the gaps between them: nobody asked for both of two stretches at once. A ramp has half of
     * its gap, and what the other leaves of the rest. Those that touch hand over to each other.
     */
    private static List<Song.Stretch> apart(List<Song.Stretch> where) {
        List<Song.Stretch> apart = new ArrayList<>(where);
        for (int i = 1; i < apart.size(); i++) {
            Song.Stretch before = apart.get(i - 1), next = apart.get(i);
            double gap = next.from() - before.to(), out = before.out(), in = next.in();
            if (gap < Shift.SAME_SECONDS || out + in <= gap) continue;
            apart.set(i - 1, new Song.Stretch(before.from(), before.to(), before.in(), Math.min(out, Math.max(gap / 2, gap - in))));
            apart.set(i, new Song.Stretch(next.from(), next.to(), Math.min(in, Math.max(gap / 2, gap - out)), next.out()));
        }
        return apart;
    }

    /** The room of the last section rings out as it is there. */
    private double goes(Place.Range where, double out) {
        return place.isEnd(where.to()) ? Double.POSITIVE_INFINITY : out;
    }
}

package linnet.weigh;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.setting.Unit;
import linnet.song.Address;
import linnet.song.Song;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Word;

/** Puts one throw after the other where its vowel is sung, and tells what that changes. */
final class Aimer {
    /** A vowel this near is the one that is meant. */
    private static final double NEAR_SECONDS = 0.15;
    /** Less is not worth telling. */
    private static final double SAME_SECONDS = 0.005;
    private static final double ROUNDING_SECONDS = 1e-6;

    private final Song song;
    private final double rate;
    private final PartMarks marks;
    private final Problems problems = new Problems();
    /** A word that goes to several returns is told once. */
    private final Set<String> told = new LinkedHashSet<>();

    Aimer(Song song, double rate, PartMarks marks) {
        this.song = song;
        this.rate = rate;
        this.marks = marks;
    }

    List<String> told() {
        return List.copyOf(told);
    }

    /** Ends where a vowel was wanted that is not there. */
    void check() throws ProblemsException {
        problems.check();
    }

    Song.Throw aimed(Song.Throw t) throws ProblemsException, IOException {
        String part = t.part().text();
        Optional<Marks> heard = marks.of(part);
        Song.Aim aim = t.aim();
        if (heard.isEmpty()) {
            if (aim.vowel() > 0 || aim.nextPhrase()) {
                problems.report(aim.at().at(),
                        "'" + part + "' is made of another part, and has no marks before that is rendered: say a place, as in 'chorus bar 8 beat 1'");
            }
            return t;
        }
        double[] vowels = seconds(heard.get(), Mark.Kind.VOWEL);
        double from = t.from();
        if (aim.vowel() > vowels.length) {
            problems.report(aim.at().at(),
                    "'" + part + "' has "
                    + (vowels.length == 0 ? "no vowel" : (vowels.length == 1 ? "1 vowel, at " : vowels.length + " vowels, the last at ")
                            + Address.of(song.time(), vowels[vowels.length - 1])));
            return t;
        }
        if (aim.vowel() > 0) {
            from = vowels[aim.vowel() - 1];
            told.add(called(t) + Address.of(song.time(), from));
        } else if (!aim.exact()) {
            OptionalDouble own = own(t, heard.get());
            from = own.orElse(from);
            if (Math.abs(from - t.from()) > SAME_SECONDS) {
                told.add(called(t) + Unit.MS.format(Math.round(1000 * Math.abs(from - t.from()))) + (from < t.from() ? " earlier" : " later")
                        + ", where its vowel begins");
            }
        }
        Song.Throw placed = t.from(from);
        if (!aim.nextPhrase()) {
            ends(placed);
            return placed;
        }
        double end = from + placed.length(), next = Double.POSITIVE_INFINITY;
        for (double p : seconds(heard.get(), Mark.Kind.PHRASE)) if (p >= end) next = Math.min(next, p);
        return placed.stopping(next);
    }

    /** Where the text gives a place for the end of what rings on, whether that comes after the word is known only now. */
    private void ends(Song.Throw t) {
        double end = t.from() + t.length();
        if (t.stop() > end - ROUNDING_SECONDS) return;
        // What is not given stops nothing.
        Word stop = t.aim().end().orElseThrow();
        problems.report(stop.at(), "the word lasts from " + Address.of(song.time(), t.from()) + " to " + Address.of(song.time(), end) + ", and \""
                + stop.text() + "\" comes before its end: give 'stop' a later place, or a time after the word such as '2 beats'");
    }

    /** Tells where a word is over before it is in. */
    void fits(Song.Throw t) {
        if (t.in() <= t.length() + ROUNDING_SECONDS) return;
        told.add(called(t) + "it comes in over all of its length, " + Unit.MS.format(Math.round(1000 * t.length())) + ": 'in' is longer, "
                + Unit.MS.format(Math.round(1000 * t.in())));
    }

    /** The vowel that is meant by a place; where none is near, that is told. */
    OptionalDouble own(Song.Throw t, Marks marks) {
        OptionalDouble nearest = Arrays.stream(seconds(marks, Mark.Kind.VOWEL)).boxed().min(Comparator.comparingDouble(v -> Math.abs(v - t.from())))
                .map(OptionalDouble::of).orElse(OptionalDouble.empty());
        if (nearest.isPresent() && Math.abs(nearest.getAsDouble() - t.from()) <= NEAR_SECONDS) return nearest;
        told.add(called(t) + "no vowel begins within " + Unit.MS.format(1000 * NEAR_SECONDS) + " of it, so it begins right there"
                + (nearest.isEmpty() ? "" : "; the nearest begins at " + Address.of(song.time(), nearest.getAsDouble()))
                + " ('exact: yes' says that it is meant so)");
        return OptionalDouble.empty();
    }

    private static String called(Song.Throw t) {
        return "throw of " + t.part().text() + (t.aim().vowel() > 0 ? ", vowel " + t.aim().vowel() : " at " + t.aim().at().text()) + ": ";
    }

    private double[] seconds(Marks marks, Mark.Kind kind) {
        return marks.of(kind).stream().mapToDouble(m -> m.from() / rate).toArray();
    }

    /** Two in one line fall over each other; one that goes to several returns does not. */
    void sameLine(Song.Throw one, Song.Throw other) throws ProblemsException, IOException {
        if (!one.part().text().equals(other.part().text()) || Math.abs(one.from() - other.from()) < SAME_SECONDS) return;
        Optional<Marks> heard = marks.of(one.part().text());
        if (heard.isEmpty()) return;
        for (Mark p : heard.get().of(Mark.Kind.PHRASE)) {
            boolean both = p.meets(Math.round(one.from() * rate), Math.round(one.from() * rate) + 1)
                    && p.meets(Math.round(other.from() * rate), Math.round(other.from() * rate) + 1);
            if (both) {
                told.add("throws of " + one.part().text() + " at " + one.aim().at().text() + " and " + other.aim().at().text()
                        + " are in one line: the words may fall over each other");
            }
        }
    }
}

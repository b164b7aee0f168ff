package linnet.hear;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;

/** What lies where in a take, for whoever would cut it. */
final class SafePlaces {
    /** A stop is its closure and its burst: only before its middle is the mouth surely closed. */
    private static final int CLOSED = 2;

    private final List<Mark> marks;
    private final Hush hush;
    /** How far from a place the next phrase or breath still belongs to it. */
    private final long near;

    /** @param marks of the take; none where nothing is heard there */
    SafePlaces(Marks marks, Hush hush, long from, long to, long near) {
        this.hush = hush;
        this.near = near;
        this.marks = marks.all().stream().filter(m -> m.meets(from - near, to + near)).toList();
    }

    /** The worst of what lies in these samples. */
    Joint.Lies at(long from, long to) {
        Joint.Lies lies = Joint.Lies.SILENCE;
        boolean hushed = hushed(from, to);
        for (Mark m : marks) {
            if (!m.meets(from, to)) continue;
            if (isConsonant(m)) {
                long end = m.kind() == Mark.Kind.STOP ? (m.from() + m.to()) / CLOSED : m.to();
                if (m.from() <= from && to <= end) return Joint.Lies.CONSONANT;
                if (!hushed) lies = Joint.Lies.VOWEL;
            }
            if (m.kind() == Mark.Kind.PHRASE && !hushed) lies = Joint.Lies.VOWEL;
            if (m.kind() == Mark.Kind.BREATH && lies == Joint.Lies.SILENCE) lies = Joint.Lies.BREATH;
        }
        return lies;
    }

    /** Whether nothing sounds in these samples, though they are in the middle of what is sung: a closed mouth, whether it is marked or not. */
    boolean hushed(long from, long to) {
        return marks.stream().anyMatch(m -> m.kind() == Mark.Kind.PHRASE && m.from() <= from && to <= m.to()) && hush.holds(from, to);
    }

    /** Which consonants lie in these samples. */
    Set<Mark.Kind> consonants(long from, long to) {
        Set<Mark.Kind> kinds = marks.stream().filter(m -> isConsonant(m) && m.meets(from, to)).map(Mark::kind).collect(Collectors.toCollection(HashSet::new));
        if (hushed(from, to)) kinds.add(Mark.Kind.STOP);
        return kinds;
    }

    private static boolean isConsonant(Mark m) {
        return m.kind() == Mark.Kind.SIBILANT || m.kind() == Mark.Kind.STOP;
    }

    /** Whether the last thing before it is a breath. */
    boolean breathBefore(long at) {
        Mark last = null;
        for (Mark m : marks) if (counts(m) && m.to() <= at && m.to() > at - near && (last == null || m.to() > last.to())) last = m;
        return last != null && last.kind() == Mark.Kind.BREATH;
    }

    /** Whether most of a breath lies before it, the rest of which comes after. */
    boolean mostOfBreathBefore(long at) {
        return marks.stream().anyMatch(m -> m.kind() == Mark.Kind.BREATH && at < m.to() && at - m.from() > m.to() - at);
    }

    /** The last sample by which a breath is left whole in which this one lies, or to which it lies too close; this one where there is no such breath. */
    long beforeBreath(long at, long clear) {
        return marks.stream().filter(m -> m.kind() == Mark.Kind.BREATH && m.from() - clear < at && at < m.to()).mapToLong(m -> m.from() - clear).min()
                .orElse(at);
    }

    /** Whether the next thing after it is a breath. */
    boolean breathAfter(long at) {
        Mark next = next(at);
        return next != null && next.kind() == Mark.Kind.BREATH;
    }

    /** Whether it goes on with singing. */
    boolean phraseAfter(long at) {
        Mark next = next(at);
        return next != null && next.kind() != Mark.Kind.BREATH;
    }

    private Mark next(long at) {
        Mark next = null;
        for (Mark m : marks) if (counts(m) && m.from() >= at && m.from() < at + near && (next == null || m.from() < next.from())) next = m;
        return next;
    }

    /** In the middle of a phrase its vowels tell that somebody sings between a breath and there. */
    private static boolean counts(Mark m) {
        return m.kind() == Mark.Kind.BREATH || m.kind() == Mark.Kind.PHRASE || m.kind() == Mark.Kind.VOWEL;
    }
}

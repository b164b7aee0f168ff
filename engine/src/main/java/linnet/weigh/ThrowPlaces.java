package linnet.weigh;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.setting.Unit;
import linnet.song.Address;
import linnet.song.Song;
import linnet.song.Timeline;
import linnet.text.Scalar;

/**
 * Finds words that are good to throw: the last of a phrase, on a vowel that is held, before a gap of a beat or more, and not shut by a hard s, t or k, whose
 * echoes tick. Before a new section it is better still. Common practice; which vowel it is, is not heard.
 */
public final class ThrowPlaces {
    private static final double HELD_SECONDS = 0.25, LEAST_GAP_BEATS = 1;
    /** From so long after its beginning a vowel can be shut, and so long after the phrase has ended a consonant may still belong to it. */
    private static final double OPEN_SECONDS = 0.06, AFTER_SECONDS = 0.12;
    /** A new section this many beats after the gap has begun makes the word its pick-up. */
    private static final double NEXT_SECTION_BEATS = 4;
    /** This near to a throw a vowel is its own. */
    private static final double THROWN_SECONDS = 0.3;
    private static final int MOST = 8;
    private static final String NEW_RETURN = "far";

    /**
     * A place.
     *
     * @param line as it can stand in a song
     * @param why what speaks for it
     */
    public record Suggestion(double seconds, double worth, String line, String why) {}

    private final Song song;
    private final double rate;

    public ThrowPlaces(Song song, double rate) {
        this.song = song;
        this.rate = rate;
    }

    /** The best places in a part, in the order of the song; those left out that are thrown already. */
    public List<Suggestion> in(String part, Marks marks) {
        List<Mark> phrases = marks.of(Mark.Kind.PHRASE), vowels = marks.of(Mark.Kind.VOWEL);
        List<Suggestion> found = new ArrayList<>();
        for (int i = 0; i < phrases.size(); i++) {
            Mark phrase = phrases.get(i);
            Optional<Mark> last = vowels.stream().filter(v -> v.from() >= phrase.from() && v.from() < phrase.to()).reduce((a, b) -> b);
            double next = i + 1 < phrases.size() ? phrases.get(i + 1).from() / rate : Double.POSITIVE_INFINITY;
            if (last.isPresent()) suggestion(part, last.get().from() / rate, phrase.to() / rate, next, marks).ifPresent(found::add);
        }
        found.removeIf(s -> song.thrown().stream()
                .anyMatch(t -> t.part().text().equals(part) && s.seconds > t.from() - THROWN_SECONDS && s.seconds < t.from()
                        + Math.max(THROWN_SECONDS, t.length())));
        return found.stream().sorted(Comparator.comparingDouble(Suggestion::worth).reversed()).limit(MOST)
                .sorted(Comparator.comparingDouble(Suggestion::seconds)).toList();
    }

    private Optional<Suggestion> suggestion(String part, double vowel, double end, double next, Marks marks) {
        Timeline time = song.time();
        double beat = 60 / time.bpm(vowel) * 4 / time.metre(Math.max(1, time.bar(vowel))).unit(), held = end - vowel, gap = (next - end) / beat;
        boolean shut = marks.all().stream()
                .anyMatch(m -> (m.kind() == Mark.Kind.SIBILANT || m.kind() == Mark.Kind.STOP)
                        && m.meets(at(vowel + OPEN_SECONDS), at(Math.min(next, end + AFTER_SECONDS))));
        if (held < HELD_SECONDS || gap < LEAST_GAP_BEATS || shut) return Optional.empty();
        Optional<Timeline.Section> opens = time.sections().stream()
                .filter(s -> time.start(s.from()) > vowel && time.start(s.from()) < end + NEXT_SECTION_BEATS * beat).findFirst();
        String why = "held " + Unit.SECONDS.format(held, 1) + ", open at its end, then "
                + (Double.isInfinite(gap) ? "nothing more" : Unit.PLAIN.format(gap, 1) + " beats free") + opens.map(s -> "; the last word before " + s.name())
                .orElse("");
        String length = Unit.PLAIN.format(Math.max(0.5, Math.ceil(2 * held / beat) / 2), 1);
        String line = "- { part: " + Scalar.of(part) + ", word: " + Scalar.of(Address.of(time, vowel)) + ", length: " + length
                + (length.equals("1") ? " beat" : " beats") + ", to: " + Scalar.of(returnToThrowTo())
                + (Double.isInfinite(gap) ? "" : ", stop: next phrase") + " }";
        return Optional.of(new Suggestion(vowel, Math.min(gap, 4) + 2 * Math.min(held, 1.5) + (opens.isPresent() ? 3 : 0), line, why));
    }

    private long at(double seconds) {
        return Math.round(seconds * rate);
    }

    /** What a song must have before a word can be thrown, as it can stand in it; empty where it has a return. */
    public static Optional<String> wants(Song song) {
        return song.returns().isEmpty() ? Optional.of("returns: { " + NEW_RETURN + ": { chain: [ delay ] } }") : Optional.empty();
    }

    /** Where words go already, else the last return, else one that is still to be made. */
    private String returnToThrowTo() {
        if (!song.thrown().isEmpty()) return song.thrown().get(0).to().text();
        return song.returns().isEmpty() ? NEW_RETURN : song.returns().get(song.returns().size() - 1).name().text();
    }
}

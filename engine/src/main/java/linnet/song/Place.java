package linnet.song;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Predicate;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import linnet.setting.Unit;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.SourceText;
import linnet.text.Span;
import linnet.text.Word;

/**
 * Reads where something is in a song: {@code chorus 1 bar 4 beat 3}, {@code bar 17}, {@code 12.5 s}, {@code 1:02.5}, {@code end}; and stretches of it:
 * {@code verse 2}, {@code chorus *} for every section whose name begins so, {@code bar 12} for that bar, {@code verse to chorus} with both,
 * {@code bar 9 to bar 13 beat 3},
 * {@code verse bar 3 to chorus} up to where that begins. Bars and beats inside a section count from its own first.
 */
public final class Place {
    /** From a second to another. */
    public record Range(double from, double to) {
        /** What both have in common; empty where that is nothing. */
        Optional<Range> common(Range other) {
            Range both = new Range(Math.max(from, other.from), Math.min(to, other.to));
            return both.to - both.from > Shift.SAME_SECONDS ? Optional.of(both) : Optional.empty();
        }
    }

    /**
     * What else could stand where a place does, for whoever has mistyped it.
     *
     * @param words of it
     * @param reads whether a text is that
     */
    record Also(Collection<String> words, Predicate<String> reads) {
        static final Also NOTHING = new Also(List.of(), t -> false);
    }

    private static final Pattern BAR = Pattern.compile("bar (\\d{1,4})(?: beat (\\d{1,3}(?:\\.\\d{1,6})?))?");
    private static final Pattern BAR_ALONE = Pattern.compile("(^| )bar \\d{1,4}$");
    private static final Pattern BEAT = Pattern.compile("beat (\\d{1,3}(?:\\.\\d{1,6})?)");
    private static final Pattern LENGTH = Pattern.compile("(\\d{1,4}(?:\\.\\d{1,6})?) (beats?|bars?)");
    /** Minutes and seconds, as times are told. */
    private static final Pattern CLOCK = Pattern.compile("(\\d{1,3}):([0-5]?\\d(?:\\.\\d{1,9})?)");
    private static final Pattern BARE = Pattern.compile("[+\u2212-]?[0-9.]+");
    private static final Pattern NOTE = Pattern.compile("(\\d{1,2})/(\\d{1,2})( dotted| triplet)?");
    /** For words that are tried, and of which nothing is told. */
    static final Span NOWHERE = new Span(new SourceText("", List.of("")), 1, 1, 0);
    private static final int LONGEST = 120;
    /** Less is rounding. */
    private static final double SAME_BEATS = 1e-6;
    /** In seconds: times are told to the millisecond. */
    private static final double ROUNDED = 0.0005;

    /** What a length can be, for editors. */
    static final String LENGTHS = "[0-9]+([.][0-9]+)? *(beats?|bars?|s|ms)|[0-9]{1,2}/[0-9]{1,2}( dotted| triplet)?";
    static final Form LENGTH_FORM = Form.words(LENGTHS, "1 beat", "2 bars", "1/8 dotted", "350 ms"),
            POINT = Form.words("", "chorus", "chorus bar 4 beat 3", "bar 17", "12.5 s", "1:02.5", "end"),
                    STRETCH = Form.words("", "chorus", "chorus *", "bar 17", "verse bar 3 to chorus");

    private final Timeline time;
    private final Problems problems;
    /** Whether a number alone is seconds: in a song it could be a bar as well. */
    private final boolean bare;

    Place(Timeline time, Problems problems) {
        this(time, problems, false);
    }

    private Place(Timeline time, Problems problems, boolean bare) {
        this.time = time;
        this.problems = problems;
        this.bare = bare;
    }

    /**
     * A stretch that is asked for outside of the song's text. There a number alone is seconds, as in every command.
     *
     * @param from where it begins; empty for the beginning of the song
     * @param to where it ends; empty for the end of the print
     * @throws ProblemsException if one of them is no place in the song, or it ends before it begins
     */
    public static Range stretch(Timeline time, Optional<Word> from, Optional<Word> to) throws ProblemsException {
        Problems problems = new Problems();
        Place place = new Place(time, problems, true);
        OptionalDouble begin = from.isPresent() ? place.point(from.get()) : OptionalDouble.of(0),
                end = to.isPresent() ? place.until(from, to.get()) : OptionalDouble.of(Double.POSITIVE_INFINITY);
        problems.check();
        if (begin.getAsDouble() >= end.getAsDouble()) problems.report(to.orElseGet(from::get).at(), "this stretch ends before it begins");
        problems.check();
        return new Range(begin.getAsDouble(), end.getAsDouble());
    }

    /** The words for such a stretch that the name of a file can have: as it was asked for, or in seconds where that is no name for a file. */
    public static String words(Range stretch, Optional<Word> from, Optional<Word> to) {
        String asked = words(from.map(w -> plain(w.text())), to.map(w -> plain(w.text())));
        return Names.isFit(asked) ? asked : inSeconds(stretch, from, to);
    }

    /** A name with the words for a stretch, fit for a file: in seconds where it would be none or too long. */
    static String named(String name, Range stretch, Optional<Word> from, Optional<Word> to) {
        String asked = name + " " + words(stretch, from, to);
        return Names.isFit(asked) ? asked : name + " " + inSeconds(stretch, from, to);
    }

    private static String inSeconds(Range stretch, Optional<Word> from, Optional<Word> to) {
        return words(from.map(w -> Unit.SECONDS.format(stretch.from())), to.map(w -> Unit.SECONDS.format(stretch.to())));
    }

    private static String words(Optional<String> from, Optional<String> to) {
        if (from.isPresent() && to.isPresent()) return from.get() + " to " + to.get();
        return from.map(f -> "from " + f).orElseGet(() -> "to " + to.orElseThrow());
    }

    /** Stretches by their name, in order of time; none where it names none. */
    public static List<Range> named(Timeline time, String name) {
        return name.isBlank() ? List.of()
                : new Place(time, new Problems()).ranges(new Word(name, new Span(new SourceText("", List.of(name)), 1, 1, name.length())));
    }

    /** A point in time, in seconds; anything wrong becomes a problem at the word. */
    OptionalDouble point(Word word) {
        return point(word, Also.NOTHING);
    }

    OptionalDouble point(Word word, Also also) {
        String text = plain(word.text());
        OptionalDouble seconds = seconds(text);
        if (seconds.isPresent() && (!BARE.matcher(text).matches() || bare && sectionOf(text).isEmpty())) return within(word, seconds.getAsDouble());
        if (text.equals("end")) return OptionalDouble.of(time.end());
        Matcher bar = BAR.matcher(text);
        if (bar.matches() && Integer.parseInt(bar.group(1)) == 0 && bar.group(2) == null) return pickUp(word);
        if (bar.matches()) return beat(word, "bar " + bar.group(1), Integer.parseInt(bar.group(1)), 1, bar.group(2));
        Optional<Timeline.Section> section = sectionOf(text);
        if (section.isEmpty()) return unknown(word, also, this::isPoint);
        String rest = text.substring(section.get().name().length()).strip();
        if (rest.isEmpty()) return OptionalDouble.of(time.start(section.get().from()));
        return inside(word, section.get(), rest, also);
    }

    /** Seconds as they are written and as they are told, {@code 12.5 s} and {@code 1:02.5}; empty where a text is neither. */
    static OptionalDouble seconds(String text) {
        Matcher clock = CLOCK.matcher(text);
        return clock.matches() ? OptionalDouble.of(60 * Integer.parseInt(clock.group(1)) + Double.parseDouble(clock.group(2))) : Unit.SECONDS.parse(text);
    }

    /** A slip of a digit would put a word where nobody hears it, or make hours of print. */
    private OptionalDouble within(Word word, double seconds) {
        // A hair before it is the first beat of a pick-up that rounding moved, and what is told of its end was rounded, too.
        double slack = 1e-9;
        if (seconds >= -slack && seconds <= time.end() + ROUNDED + slack) return OptionalDouble.of(Math.max(0, Math.min(seconds, time.end())));
        problems.report(word.at(), seconds < 0 ? "nothing lies before the song begins, at 0 s"
                : "\"" + cut(plain(word.text())) + "\" lies past the end of the song, at " + Unit.SECONDS.format(Math.round(time.end() * 1000) / 1000.0));
        return OptionalDouble.empty();
    }

    /** Bar 0 begins with its first beat that there is. */
    private OptionalDouble pickUp(Word word) {
        return time.pickUp() > 0 ? OptionalDouble.of(0) : within(word, time.start(0));
    }

    private OptionalDouble inside(Word word, Timeline.Section section, String rest, Also also) {
        Matcher bar = BAR.matcher(rest), beat = BEAT.matcher(rest);
        if (!bar.matches() && !beat.matches()) return unknown(word, also, this::isPoint);
        int within = bar.matches() ? Integer.parseInt(bar.group(1)) : 1;
        int bars = section.to() - section.from();
        if (within < 1 || within > bars) {
            problems.report(word.at(), section.name() + " has " + bars + (bars == 1 ? " bar" : " bars") + ", no bar " + within);
            return OptionalDouble.empty();
        }
        if (bar.matches()) return beat(word, section.name() + " bar " + within, section.from() + within - 1, 1, bar.group(2));
        return beat(word, section.name(), section.from(), bars, beat.group(1));
    }

    /** A beat past the last of these bars would mean one of the next, where nobody looks for the slip. */
    private OptionalDouble beat(Word word, String owner, int bar, int bars, String said) {
        double beat = said == null ? 1 : Double.parseDouble(said);
        int beats = IntStream.range(bar, bar + bars).map(b -> time.metre(b).beats()).sum();
        if (beat >= 1 && beat < beats + 1) return within(word, time.seconds(bar, beat));
        problems.report(word.at(), beat < 1 ? "beats count from 1" : owner + " has " + beats + (beats == 1 ? " beat" : " beats") + ", no beat " + said);
        return OptionalDouble.empty();
    }

    private OptionalDouble unknown(Word word, Also also, Predicate<String> reads) {
        if (isWithoutForm()) return OptionalDouble.empty();
        String text = plain(word.text());
        problems.report(word.at(), "\"" + cut(text) + "\" is no place in this song" + hint(text, also, reads)
                + " (say a section, 'chorus 1 bar 4 beat 3', 'bar 17', '12.5 s', '1:02.5' or 'end')");
        return OptionalDouble.empty();
    }

    /** With one word of the text as it was meant, or else all of it as a section. */
    private String hint(String text, Also also, Predicate<String> reads) {
        List<String> names = time.sections().stream().map(Timeline.Section::name).toList(), words = new ArrayList<>(names);
        words.addAll(List.of("bar", "beat", "to", "end", "s", "ms"));
        words.addAll(also.words);
        String hint = Nearest.hint(text, words, t -> also.reads.test(t) || reads.test(t));
        return hint.isEmpty() ? Nearest.hint(text.replaceAll(" (bar|beat) .*", ""), names) : hint;
    }

    private boolean isPoint(String text) {
        return quiet().point(new Word(text, NOWHERE)).isPresent();
    }

    private boolean isStretch(String text) {
        return !quiet().ranges(new Word(text, NOWHERE)).isEmpty();
    }

    private boolean isLength(String text) {
        return quiet().length(new Word(text, NOWHERE), 0).isPresent();
    }

    private Place quiet() {
        return new Place(time, new Problems(), bare);
    }

    /** The words of a length, and some more. */
    List<String> lengths(String... others) {
        return Stream.concat(Stream.of("beat", "beats", "bar", "bars", "s", "ms", "dotted", "triplet"), Stream.of(others)).toList();
    }

    /** One or more stretches; empty if the word is none, which is then a problem. */
    List<Range> ranges(Word word) {
        return ranges(word, Also.NOTHING);
    }

    List<Range> ranges(Word word, Also also) {
        String text = plain(word.text());
        if (text.endsWith(" *")) {
            String begin = text.substring(0, text.length() - 1);
            List<Range> found = time.sections().stream().filter(s -> s.name().equals(begin.strip()) || s.name().startsWith(begin)).map(this::whole).toList();
            if (found.isEmpty() && !isWithoutForm()) {
                problems.report(word.at(), "no section of this song begins with \"" + cut(begin.strip()) + "\"" + hint(text, also, this::isStretch));
            }
            return found;
        }
        int to = text.indexOf(" to ");
        if (to < 0) {
            Optional<Timeline.Section> section = time.section(text);
            if (section.isPresent()) return List.of(whole(section.get()));
            if (BAR_ALONE.matcher(text).find() && isPoint(text)) return bar(word);
            if (isPoint(text)) problems.report(word.at(), "a stretch is wanted here: a section, 'chorus *', or two places, such as '" + cut(text) + " to end'");
            else if (time.sections().stream().anyMatch(s -> s.name().startsWith(text + " "))) problems.report(word.at(),
                    "\"" + cut(text) + "\" is no section of this song; say '" + cut(text) + " *' for every one whose name begins so");
            else unknown(word, also, this::isStretch);
            return List.of();
        }
        Word begin = new Word(text.substring(0, to), word.at());
        OptionalDouble from = point(begin), until = until(Optional.of(begin), new Word(text.substring(to + 4), word.at()));
        if (from.isEmpty() || until.isEmpty()) return List.of();
        if (from.getAsDouble() < until.getAsDouble()) return List.of(new Range(from.getAsDouble(), until.getAsDouble()));
        problems.report(word.at(), "\"" + cut(text) + "\" ends before it begins");
        return List.of();
    }

    /** From its first beat to that of the next. */
    private List<Range> bar(Word word) {
        OptionalDouble from = point(word);
        if (from.isEmpty()) return List.of();
        double to = time.seconds(time.bar(from.getAsDouble()) + 1, 1);
        return within(word, to).isEmpty() ? List.of() : List.of(new Range(from.getAsDouble(), to));
    }

    /** Whether a stretch up to there takes in the end of the song. */
    boolean isEnd(double seconds) {
        return time.isEnd(seconds);
    }

    /** Whether a word is a length of time. */
    boolean isLength(Word word) {
        return isLength(word.text());
    }

    /** Whether a word names a stretch. */
    boolean isStretch(Word word) {
        return isStretch(word.text());
    }

    /**
     * Where a stretch ends: from a section to a section it takes in both, from inside a section to that it goes to its end, from any other place
     * up to where the second begins.
     *
     * @param from empty for the beginning of the song, which is that of a section too
     */
    OptionalDouble until(Optional<Word> from, Word to) {
        Optional<Timeline.Section> section = time.section(plain(to.text()));
        if (section.isEmpty()) return point(to);
        double begin = time.start(section.get().from());
        boolean whole = from.isEmpty() || time.section(plain(from.get().text())).isPresent() || quiet().point(from.get()).orElse(begin) >= begin;
        return OptionalDouble.of(whole ? time.start(section.get().to()) : begin);
    }

    /**
     * A length of time from a place on, in seconds: {@code 2 beats}, {@code 1 bar}, {@code 1/8 dotted}, {@code 350 ms}.
     */
    OptionalDouble length(Word word, double from) {
        return length(word, from, false);
    }

    /** The same of what ends at a place: its beats are those before it. */
    OptionalDouble lengthBefore(Word word, double to) {
        return length(word, to, true);
    }

    private OptionalDouble length(Word word, double at, boolean before) {
        String text = plain(word.text());
        OptionalDouble seconds = Unit.SECONDS.parse(text);
        if (seconds.isPresent() && seconds.getAsDouble() >= 0 && !BARE.matcher(text).matches()) return seconds;
        Matcher counted = LENGTH.matcher(text), note = NOTE.matcher(text);
        int bar = time.bar(at);
        double beat = time.beat(at), other;
        // What ends at a bar line is counted in the bar that ends there.
        Metre metre = time.metre(before && beat < 1 + SAME_BEATS ? bar - 1 : bar);
        if (counted.matches()) {
            double beats = Double.parseDouble(counted.group(1)) * (counted.group(2).startsWith("bar") ? metre.beats() : 1);
            other = time.seconds(bar, before ? beat - beats : beat + beats);
        } else if (note.matches() && Integer.parseInt(note.group(2)) > 0) {
            double quarters = 4.0 * Integer.parseInt(note.group(1)) / Integer.parseInt(note.group(2));
            if (" dotted".equals(note.group(3))) quarters *= 1.5;
            if (" triplet".equals(note.group(3))) quarters *= 2.0 / 3;
            other = time.seconds(bar, beat, before ? -quarters : quarters);
        } else {
            problems.report(word.at(),
                    "\"" + cut(text) + "\" is no length"
                    + (seconds.isPresent() && seconds.getAsDouble() > 0 ? " without its unit; say '" + text + " beats' or '" + text + " s'"
                            : "; say '2 beats', '1 bar', '1/8 dotted' or '350 ms'") + Nearest.hint(text, lengths(), this::isLength));
            return OptionalDouble.empty();
        }
        return OptionalDouble.of(Math.abs(other - at));
    }

    /** A place, or a length after one: where something ends. Seconds are a place, milliseconds a length. */
    double after(Word word, double from, Also also) {
        String text = plain(word.text());
        if (LENGTH.matcher(text).matches() || NOTE.matcher(text).matches() || text.endsWith("ms")) return from + length(word, from).orElse(0);
        // What rings on after the end can be stopped there too.
        OptionalDouble seconds = seconds(text);
        if (seconds.isPresent() && !BARE.matcher(text).matches() && seconds.getAsDouble() > Math.max(from, time.end())) return seconds.getAsDouble();
        OptionalDouble at = point(word, new Also(lengths(also.words.toArray(String[]::new)), t -> isLength(t) || also.reads.test(t)));
        if (at.isPresent() && at.getAsDouble() < from) problems.report(word.at(), "\"" + cut(text) + "\" comes before what it should end");
        return at.orElse(Double.POSITIVE_INFINITY);
    }

    private Optional<Timeline.Section> sectionOf(String text) {
        return time.sections().stream().filter(s -> text.equals(s.name()) || text.startsWith(s.name() + " "))
                .max(java.util.Comparator.comparingInt(s -> s.name().length()));
    }

    private Range whole(Timeline.Section section) {
        return new Range(time.start(section.from()), time.start(section.to()));
    }

    /** Whether the song has no sections, which was told: what its places would be nobody knows. */
    private boolean isWithoutForm() {
        return time.sections().isEmpty();
    }

    private static String plain(String text) {
        return text.strip().replaceAll("\\s+", " ");
    }

    private static String cut(String text) {
        return text.length() > LONGEST ? text.substring(0, LONGEST) + "…" : text;
    }
}

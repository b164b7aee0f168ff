package linnet.song;

import java.nio.file.Path;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.DoubleUnaryOperator;
import linnet.chain.Chain;
import linnet.chain.Tonality;
import linnet.text.SourceText;
import linnet.text.Span;
import linnet.text.Word;
import linnet.tidy.Aims;

/**
 * A song as the text gives it, everything checked that can be checked without its takes.
 *
 * @param rate wanted of all takes, in Hz; empty if they must agree by themselves
 * @param instrumental what is played under the voices, where there is something
 * @param wishes what is known only once it is heard
 * @param ducked by how many dB something gives way, and when; empty before it is heard
 * @param unmoved chains in which nothing moves, by the words that name them
 */
public record Song(
        String title, Timeline time, OptionalDouble rate, List<Part> parts, Optional<Part> instrumental, List<Group> groups, List<Return> returns,
        List<Move> moves, List<Throw> thrown, Chain mix, List<Wanted> prints, Label label, Wishes wishes, Map<String, List<Shift.Corner>> ducked,
                Map<String, Chain> unmoved) {

    /** The same with other strips, which have the same names. */
    public Song with(List<Part> parts, Optional<Part> instrumental, List<Group> groups, List<Return> returns) {
        return new Song(title, time, rate, parts, instrumental, groups, returns, moves, thrown, mix, prints, label, wishes, ducked, unmoved);
    }

    /** The same with another chain for the mix. */
    public Song with(Chain mix) {
        return new Song(title, time, rate, parts, instrumental, groups, returns, moves, thrown, mix, prints, label, wishes, ducked, unmoved);
    }

    /** The same with other prints. */
    public Song printing(List<Wanted> prints) {
        return new Song(title, time, rate, parts, instrumental, groups, returns, moves, thrown, mix, prints, label, wishes, ducked, unmoved);
    }

    /** The same with other throws. */
    public Song throwing(List<Throw> thrown) {
        return new Song(title, time, rate, parts, instrumental, groups, returns, moves, thrown, mix, prints, label, wishes, ducked, unmoved);
    }

    /** The same with what gives way when. */
    public Song ducking(Map<String, List<Shift.Corner>> ducked) {
        return new Song(title, time, rate, parts, instrumental, groups, returns, moves, thrown, mix, prints, label, wishes, ducked, unmoved);
    }

    /** The same without moves and throws of its own and with nothing done to the mix: for measuring. */
    public Song still() {
        Strips still = new Strips(parts, instrumental, groups, returns, mix).with(unmoved);
        return new Song(title, time, rate, still.parts(), still.instrumental(), still.groups(), still.returns(), List.of(), List.of(), Reading.NONE, List.of(),
                label, wishes, Map.of(), unmoved);
    }

    /** The group that a part is in. */
    public Optional<Group> groupOf(Part part) {
        return groups.stream().filter(g -> g.parts().stream().anyMatch(w -> w.text().equals(part.name().text()))).findFirst();
    }

    /** What a part goes through after its own chain: what its group does to each of its parts, or what it says itself in place of that. */
    public Chain each(Part part) {
        return part.each().or(() -> groupOf(part).map(Group::each)).orElse(Reading.NONE);
    }

    /** Level in dB, and place from -100 (left) to 100 (right). */
    public record Fader(double level, double pan) {
        /** Of a level, in dB. */
        public static final double SOFTEST = -90, LOUDEST = 24;
    }

    /**
     * What flows into a return.
     *
     * @param level in dB
     * @param beforeLevel whether it is taken before the level of what sends
     */
    public record Send(Word to, double level, boolean beforeLevel) {}

    /**
     * What someone sings, with its chain.
     *
     * @param into dB before the chain
     * @param flipped whether its polarity is turned
     * @param each what it goes through in place of the {@code each} of its group; without steps where it goes without; empty where the group's holds
     * @param tidy how it is tidied before its chain
     */
    public record Part(Word name, Source source, double into, boolean flipped, Chain chain, Optional<Chain> each, Fader fader, List<Send> sends,
            Optional<Tidy> tidy) {
        Part with(Fader other) {
            return new Part(name, source, into, flipped, chain, each, other, sends, tidy);
        }

        Part with(Tidy other) {
            return new Part(name, source, into, flipped, chain, each, fader, sends, Optional.of(other));
        }

        /** With other sends. */
        public Part with(Fader fader, List<Send> sends) {
            return new Part(name, source, into, flipped, chain, each, fader, sends, tidy);
        }

        Part with(Chain other, Optional<Chain> each) {
            return new Part(name, source, into, flipped, other, each, fader, sends, tidy);
        }
    }

    /**
     * How a part follows another.
     *
     * @param like the part that it follows
     * @param except where it is left alone
     */
    public record Tidy(Word like, Aims aims, List<Place.Range> except) {
        public Tidy {
            except = List.copyOf(except);
        }
    }

    /**
     * Parts that belong together.
     *
     * @param each chain for every member, after its own
     * @param chain for their sum
     * @param spread how far its layers are dealt to both sides, in percent; empty where each stays in its place
     */
    public record Group(Word name, List<Word> parts, Chain each, Chain chain, Fader fader, List<Send> sends, OptionalDouble spread) {
        /** With another level and other sends. */
        public Group with(Fader fader, List<Send> sends) {
            return new Group(name, parts, each, chain, fader, sends, spread);
        }
    }

    /** Fed by sends, fully wet. */
    public record Return(Word name, Chain chain, Fader fader) {}

    /**
     * From a second to another, with how long what is other there takes.
     *
     * @param in seconds it takes to come, up to where the stretch begins
     * @param out seconds it takes to go, from where it ends; infinity where it stays
     */
    public record Stretch(double from, double to, double in, double out) {
        Shift shift(double by) {
            return new Shift(from, to, in, out, by);
        }
    }

    /**
     * Where something is other than in the base of the song.
     *
     * @param what what moves: a part, group or return, or the instrumental
     * @param of which of its settings
     * @param to whether it goes to the value itself, and not by so much
     * @param value where it goes to, or by how far: dB, or percent to the right
     */
    public record Move(List<Stretch> where, Word what, Fading of, boolean to, double value) {
        /** @param base where it is in the base of the song, which for a level by ear is known only once it is heard */
        public double by(double base) {
            return to ? value - base : value;
        }

        /** For each stretch one. */
        public List<Shift> shifts(double base) {
            return where.stream().map(s -> s.shift(by(base))).toList();
        }

        /** Whether both are of one setting of one strip. */
        public boolean isOfSame(Move other) {
            return isOf(other.what.text(), other.of);
        }

        /** Whether it is what of that strip moves. */
        public boolean isOf(String strip, Fading setting) {
            return what.text().equals(strip) && of.equals(setting);
        }
    }

    /** What of a part, group or return can move behind its chain. */
    public sealed interface Fading {
        /** What has no other end. */
        enum Own implements Fading {
            /** How loud it is. */
            LEVEL,
            /** Where it is between left and right. */
            PAN
        }

        /** How much of it goes to a return. */
        record Send(Word to) implements Fading {
            /** Wherever the text says so. */
            @Override
            public boolean equals(Object o) {
                return o instanceof Send s && to.text().equals(s.to.text());
            }

            @Override
            public int hashCode() {
                return to.text().hashCode();
            }
        }
    }

    /**
     * A word sent to a return, which the part itself knows nothing of.
     *
     * @param from second at which the word begins
     * @param length of the word, in seconds
     * @param to the return
     * @param level in dB
     * @param in seconds of the fade in
     * @param out seconds of the fade out, after the word
     * @param stop second at which what the return makes of it gives way; infinite where it may ring on
     * @param aim what of this depends on what is sung
     */
    public record Throw(Word part, double from, double length, Word to, double level, double in, double out, double stop, Aim aim) {
        /** With the word, and what ends after it, from another second on. */
        public Throw from(double other) {
            double own = aim.length.applyAsDouble(other);
            return new Throw(part, other, own, to, level, in, out, aim.nextPhrase ? stop : aim.stop.applyAsDouble(other + own), aim);
        }

        /** Whether what the return makes of it gives way at some time. */
        public boolean isStopped() {
            return stop < Double.POSITIVE_INFINITY;
        }

        /** Ended at another second. */
        public Throw stopping(double other) {
            return new Throw(part, from, length, to, level, in, out, other, aim);
        }
    }

    /**
     * What of a throw can only be known once its part is heard.
     *
     * @param at where the text says which word
     * @param end where the text says what ends it
     * @param vowel which vowel of the part, from 1; 0 where a place is given
     * @param exact whether the place is meant as it is, and not the vowel beside it
     * @param nextPhrase whether it ends where the next phrase begins
     * @param length of a word that begins at a second, in seconds
     * @param stop where it is stopped if the word ends at a second
     */
    public record Aim(Word at, Optional<Word> end, int vowel, boolean exact, boolean nextPhrase, DoubleUnaryOperator length,
            DoubleUnaryOperator stop) {
        /** Whether nothing about it must be heard. */
        public boolean isExact() {
            return exact && vowel == 0 && !nextPhrase;
        }
    }

    /**
     * What its prints are called and say of themselves.
     *
     * @param revision 0 where none is given
     * @param date {@code yyyy-mm-dd}, or empty
     * @param time {@code hh:mm:ss}, or empty
     * @param clock second of the day at which the song begins for whoever spots its prints
     * @param names of the files: text in which {@code {song}}, {@code {print}}, {@code {revision}} and {@code {date}} stand for what they say
     * @param texts all files that were read for it, the song first, with the digests of their bytes as they were read
     * @param sources what they said, as often as they were read
     * @param said what each said when it was first read
     * @param replaced what values in them took the place of, by where those stand
     * @param tonality what it is sung in
     * @param credits what it tells whoever receives them
     */
    public record Label(int revision, String date, String time, double clock, String names, Map<Path, String> texts, List<SourceText> sources,
            Map<Path, SourceText> said, Map<Span, String> replaced, Tonality tonality, Checks checks, Credits credits) {
        public Label {
            texts = Collections.unmodifiableMap(new LinkedHashMap<>(texts));
            sources = List.copyOf(sources);
            said = Map.copyOf(said);
            replaced = Map.copyOf(replaced);
        }
    }

    /** What is checked before prints are handed over. */
    public enum Check {
        STEMS, LENGTHS, TAILS, SIDES, PEAK, MONO;

        public String word() {
            return name().toLowerCase(Locale.ROOT);
        }
    }

    /**
     * How they are checked.
     *
     * @param ceiling highest true peak of the mix, in dBTP; empty for 0 in integers and any in floats
     * @param accepted what may be as it is; it is still told
     */
    public record Checks(OptionalDouble ceiling, Set<Check> accepted) {}

    /** The name of the file of a print, without its ending. */
    public String fileName(Wanted wanted) {
        // A song of one print need not name it; a stretch of it is told all the same.
        boolean named = wanted.stretch.isEmpty() || label.names.contains("{print}");
        return named ? fileName(wanted.printed()) : fileName(wanted.called) + wanted.stretch;
    }

    /** The name of a file that is called so among the prints. */
    public String fileName(String called) {
        return label.names.replace("{song}", title).replace("{revision}", String.valueOf(label.revision)).replace("{date}", label.date)
                .replace("{print}", called);
    }

    /**
     * A print that is wanted.
     *
     * @param name what the text asks for
     * @param called what {@code {print}} in the name of its file stands for, but for a stretch
     * @param one of what it is one, where the text asks for several prints by one name, such as {@code parts of backs dry}; else what it is called
     * @param own what it is called where the text gives it no name, with its stretch there
     * @param range the stretch that is printed; empty for all of it
     * @param stretch its words, with what joins them to the name, where it was asked for beside the text: a stretch of the text has a name of its own there
     */
    public record Wanted(Word name, Content content, String called, String one, String own, Optional<Place.Range> range, String stretch,
            Optional<Depth> depth) {
        public Wanted(Word name, Content content, String called, Optional<Place.Range> range, Optional<Depth> depth) {
            this(name, content, called, called, called, range, "", depth);
        }

        /** The same as one of several. */
        Wanted oneOf(String all) {
            return new Wanted(name, content, called, all, own, range, stretch, depth);
        }

        /** The same under a name that the text gives it, which need not say what it is. */
        Wanted named(String name) {
            return new Wanted(this.name, content, name, name, own, range, stretch, depth);
        }

        /** Whether it is what is meant by that name, or one of what is. */
        public boolean isMeantBy(String word) {
            return called.equals(word) || one.equals(word);
        }

        /** The same of a stretch; of what is one already that of it which lies in the other, if any does. */
        public Optional<Wanted> within(Place.Range other, String words) {
            if (range.isEmpty()) return Optional.of(new Wanted(name, content, called, one, own, Optional.of(other), " " + words, depth));
            return range.get().common(other).map(both -> new Wanted(name, content, called, one, own, Optional.of(both), ", " + words, depth));
        }

        /** What it is called with its stretch, so that it never takes the place of the whole. */
        public String printed() {
            return called + stretch;
        }

        /** What it says of itself: where its name need not tell what it is, that too. */
        public String described() {
            return printed() + (own.equals(called) ? "" : " (" + own + ")");
        }
    }

    /** What a print is called here that the trade calls otherwise, for messages: "; here that is 'vocals'" or nothing. */
    public static String trade(String print) {
        return PrintReader.trade(print);
    }

    /** What is in a print. */
    public sealed interface Content {
        /** Whether the chain of the mix is in it. */
        default boolean bus() {
            return true;
        }

        /** Written out, each content in one way and no two alike: no name has a colon. Prints are known by it, and have their dither from it. */
        String written();

        /** All of it; without its bus, as it goes into the chain of the mix. */
        record Mix(boolean bus) implements Content {
            @Override
            public String written() {
                return bus ? "mix" : "mix without bus";
            }
        }

        /** Everything but the instrumental. */
        record Vocals(boolean bus) implements Content {
            @Override
            public String written() {
                return bus ? "vocals" : "vocals without bus";
            }
        }

        /** A part, group, return or the instrumental, as it stands in the mix; without its bus, as it goes into the chain of that. */
        record Strip(String name, boolean bus) implements Content {
            @Override
            public String written() {
                return (bus ? "strip: " : "strip without bus: ") + name;
            }
        }

        /** A part before anything shapes it: edited and mended. */
        record Dry(String part) implements Content {
            @Override
            public boolean bus() {
                return false;
            }

            @Override
            public String written() {
                return "dry: " + part;
            }
        }

        /** A part as it was sung: edited, and through no step. */
        record Untuned(String part) implements Content {
            @Override
            public boolean bus() {
                return false;
            }

            @Override
            public String written() {
                return "untuned: " + part;
            }
        }

        /** A part or group with what the returns make of it. */
        record Wet(String name) implements Content {
            @Override
            public String written() {
                return "wet: " + name;
            }
        }

        /** What the returns make of thrown words. */
        record Throws() implements Content {
            @Override
            public String written() {
                return "throws";
            }
        }

        /** The mix with something louder or softer, what it sends with it; {@code vocals} for all voices. */
        record Turned(String name, double db) implements Content {
            @Override
            public String written() {
                return "turned by " + db + " dB: " + name;
            }
        }

        /** What the mix, or of it the vocals, are without something, and without what the returns make of it. */
        record Without(String name, boolean vocals) implements Content {
            @Override
            public String written() {
                return (vocals ? "vocals without: " : "mix without: ") + name;
            }
        }
    }

    /** Word length of a print. */
    public enum Depth { INT_16, INT_24, FLOAT }
}

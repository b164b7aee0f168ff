package linnet.song;

import java.time.DateTimeException;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.time.format.ResolverStyle;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.chain.Tonality;
import linnet.setting.ConcertPitch;
import linnet.setting.Fixed;
import linnet.setting.Key;
import linnet.setting.Settings;
import linnet.setting.Text;
import linnet.setting.Unit;
import linnet.text.Nearest;
import linnet.text.Word;
import linnet.yaml.Tree;

/**
 * Reads {@code revision}, {@code date}, {@code time reference} and {@code names}. A print never takes its date from a clock: rendered again it has the same
 * bits.
 */
final class LabelReader {
    private static final Settings SETTINGS = new Settings();
    private static final Fixed REVISION = SETTINGS.fixed("revision", Unit.PLAIN).range(0, 9999).whole().usual("0")
            .doc("Which version of the song its prints are; it counts up only.");
    private static final Text<Key> KEY = SETTINGS.text("key", Key.FORM).otherwise("not told")
            .doc("The key of the song; steps that go by a key have it where they are given none.");
    private static final Fixed PITCH = SETTINGS.fixed("pitch", Unit.HZ).range(ConcertPitch.LOWEST, ConcertPitch.HIGHEST)
            .usual(Unit.HZ.format(ConcertPitch.USUAL))
            .doc("The pitch of the A above middle C; steps that go by a key have it where they are given no reference.");
    private static final Fixed CEILING = SETTINGS.fixed("ceiling", Unit.DBTP).range(-24, 6).otherwise("0 dBTP").doc("Highest true peak of the mix.");
    private static final Pattern DATE = Pattern.compile("(\\d{4}-\\d{2}-\\d{2})(?: (\\d{2}:\\d{2})(:\\d{2})?)?");
    private static final Pattern CLOCK = Pattern.compile("([01]?\\d|2[0-3]):([0-5]\\d):([0-5]\\d(?:[.]\\d{1,6})?)");
    private static final Pattern FIELD = Pattern.compile("\\{([^{}]*)\\}");
    private static final List<String> FIELDS = List.of("song", "print", "revision", "date");
    private static final DateTimeFormatter REAL = DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm:ss").withResolverStyle(ResolverStyle.STRICT);

    private static final List<String> ACCEPTED = Arrays.stream(Song.Check.values()).filter(c -> c != Song.Check.LENGTHS).map(Song.Check::word).toList();
    private static final Shape CHECKS = new Shape("checks")
            .number(CEILING)
            .key("accept", "Checks that need not pass; what they find is still told.", Form.some(new Form.Choice(ACCEPTED)));

    private final Reading text;

    /** What it is sung in. */
    static Shape declareTonality(Shape top) {
        return top.key(KEY.name(), KEY.doc(), Form.words(Key.FORM.pattern(), Key.FORM.examples().toArray(String[]::new))).number(PITCH);
    }

    Tonality tonality(Fields top) {
        Optional<Key> key = top.word(KEY.name()).flatMap(w -> KEY.read(w, text.problems()));
        return new Tonality(key, top.get(PITCH.name()).isPresent() ? OptionalDouble.of(top.number(PITCH)) : OptionalDouble.empty());
    }

    /** What a song says of itself and of its checks. */
    static Shape declare(Shape top) {
        return top.number(REVISION)
                .key("date", "A date that you write, with a time of day if you like; nothing in a print comes from a clock.",
                        Form.words("\\d{4}-\\d{2}-\\d{2}( \\d{2}:\\d{2}(:\\d{2})?)?", "2026-11-26", "2026-11-26 14:30"))
                .key("time reference", "What the time reference of a print that begins with the song is, for takes of a recorder's clock beside it; "
                        + "0:00:00 where it is not given.", Form.words(CLOCK.pattern(), "1:00:00", "10:30:00"))
                .key("names", "What the files of prints are called.",
                        Form.words("(?!.*\\{(?!(" + String.join("|", FIELDS) + ")\\})[^{}]*\\})" + Names.PLAIN, "{print}", "{song} {print} r{revision}"))
                .key("checks", "The highest true peak that the mix may have, and what is meant to be as it is.", new Form.Table(CHECKS));
    }

    LabelReader(Reading text) {
        this.text = text;
    }

    Song.Label read(Fields top) {
        double revision = top.number(REVISION);
        if (revision != Math.rint(revision)) text.problems().report(top.get("revision").orElseThrow().at(), "a revision is a whole number");
        Optional<Word> date = top.word("date");
        Matcher m = DATE.matcher(date.map(Word::text).orElse(""));
        boolean told = m.matches();
        String day = told ? m.group(1) : "", time = !told || m.group(2) == null ? "" : m.group(2) + (m.group(3) == null ? ":00" : m.group(3));
        if (date.isPresent() && !isReal(day, time)) {
            text.problems().report(date.get().at(), "a date is written 2026-11-26, or 2026-11-26 14:30 with a time of day");
        }
        return new Song.Label((int) revision, day, time, clock(top), top.word("names").map(Word::text).orElse("{print}"), text.problems().digests(),
                text.problems().sources(), text.problems().said(), text.problems().replaced(), tonality(top), checks(top),
                new CreditsReader(text).read(top));
    }

    private double clock(Fields top) {
        Optional<Word> given = top.word("time reference");
        Matcher m = CLOCK.matcher(given.map(Word::text).orElse("0:00:00"));
        if (m.matches()) return 3600 * Integer.parseInt(m.group(1)) + 60 * Integer.parseInt(m.group(2)) + Double.parseDouble(m.group(3));
        text.problems().report(given.orElseThrow().at(), "a time reference is hours, minutes and seconds, such as 1:00:00, before 24:00:00");
        return 0;
    }

    /** {@code { ceiling: -1 dBTP, accept: [ mono ] }}. */
    private Song.Checks checks(Fields top) {
        Optional<Tree> tree = top.get("checks");
        if (tree.isEmpty()) return new Song.Checks(OptionalDouble.empty(), Set.of());
        Fields f = text.fields(CHECKS, tree.get());
        OptionalDouble ceiling = f.get("ceiling").isPresent() ? OptionalDouble.of(f.number(CEILING)) : OptionalDouble.empty();
        Set<Song.Check> accepted = EnumSet.noneOf(Song.Check.class);
        for (Word w : f.words("accept")) {
            if (ACCEPTED.contains(w.text())) accepted.add(Song.Check.valueOf(w.text().toUpperCase(Locale.ROOT)));
            else text.problems()
                    .report(w.at(), "no check that can be accepted is called '" + w.text() + "'" + Nearest.hint(w.text(), ACCEPTED) + " (there are "
                            + String.join(", ", ACCEPTED) + ")");
        }
        return new Song.Checks(ceiling, accepted);
    }

    private static boolean isReal(String day, String time) {
        try {
            LocalDateTime.parse(day + " " + (time.isEmpty() ? "00:00:00" : time), REAL);
            return true;
        } catch (DateTimeException e) {
            return false;
        }
    }

    /** Whether every print gets a name that a file may have, and a name of its own. */
    void check(Fields top, Song song) {
        Optional<Word> names = top.word("names");
        if (names.isEmpty()) return;
        boolean known = true;
        Matcher m = FIELD.matcher(names.get().text());
        while (m.find()) {
            if (FIELDS.contains(m.group(1))) continue;
            known = false;
            text.problems().report(names.get().at(), "'names' knows no {" + m.group(1) + "}" + Nearest.hint(m.group(1), FIELDS) + " (it knows {"
                    + String.join("}, {", FIELDS) + "})");
        }
        if (song.label().names().contains("{revision}") && top.get("revision").isEmpty()) {
            text.problems().report(names.get().at(), "{revision} in 'names' wants a 'revision:', such as 'revision: 1'");
        }
        if (song.label().names().contains("{date}") && song.label().date().isEmpty()) {
            text.problems().report(names.get().at(), "{date} in 'names' wants a 'date:', such as 'date: 2026-11-26'");
        }
        if (!song.label().names().contains("{print}") && song.prints().size() > 1) {
            text.problems().report(names.get().at(), "'names' gives all prints one name: put {print} into it");
            return;
        }
        if (!known) return;
        song.prints().stream().map(song::fileName).filter(n -> !Names.isFit(n)).findFirst()
                .ifPresent(n -> text.problems().report(names.get().at(), "'names' makes '" + n + "', which is no name for a file: " + Names.RULE));
    }
}

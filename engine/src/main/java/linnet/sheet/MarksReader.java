package linnet.sheet;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.setting.Unit;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Span;
import linnet.yaml.Tree;
import linnet.yaml.Tree.Entry;
import linnet.yaml.Tree.Leaf;
import linnet.yaml.Tree.Rows;
import linnet.yaml.Tree.Table;
import linnet.yaml.Yaml;

/** A list of marks, from YAML. */
final class MarksReader {
    private static final List<String> TOP = List.of(MarksFile.TAKE, MarksFile.RATE, MarksFile.FRAMES, MarksFile.SOUND, MarksFile.CHECK, MarksFile.LIST);
    private static final List<String> BESIDE = List.of(MarksFile.LENGTH, MarksFile.SURE, MarksFile.WORD);
    private static final List<String> KINDS = Arrays.stream(Mark.Kind.values()).map(Mark.Kind::word).toList();
    private static final int LONGEST_WORD = 200;
    private static final double LOWEST_RATE = 1000, HIGHEST_RATE = 1_000_000, LONGEST = 1e12;

    private final Optional<Take> take;
    private final Problems problems = new Problems();
    private double rate;
    private long frames;

    /** A mark and where it stands. */
    private record Row(Mark mark, Span at) {}

    /** @param take the take that the list must be of */
    MarksReader(Optional<Take> take) {
        this.take = take;
    }

    MarksFile read(Path file) throws ProblemsException {
        Optional<Tree> tree = Yaml.read("list of marks", file, file.toString(), problems);
        MarksFile read = tree.map(this::top).orElse(null);
        problems.check();
        return read;
    }

    private MarksFile top(Tree tree) {
        if (!(tree instanceof Table top)) {
            problems.report(tree.at(), "a list of marks begins with 'marks:', the name of its take, and has a 'list:'");
            return null;
        }
        top.entries().values().stream().filter(e -> !TOP.contains(e.key().text())).forEach(e -> problems.report(e.key().at(),
                "a list of marks has no '" + shown(e.key().text()) + "'" + Nearest.hint(e.key().text(), TOP) + " (it has " + listed(TOP) + ")"));
        String name = need(top, MarksFile.TAKE, "the name of its take").flatMap(this::text).orElse("");
        rate = need(top, MarksFile.RATE, "the rate of its take, such as 48000 Hz").map(e -> number(e, Unit.HZ, LOWEST_RATE, HIGHEST_RATE)).orElse(0.0);
        frames = Math.round(need(top, MarksFile.FRAMES, "the length of its take in samples").map(e -> number(e, Unit.PLAIN, 0, LONGEST)).orElse(0.0));
        String sound = Optional.ofNullable(top.entries().get(MarksFile.SOUND)).flatMap(this::text).orElse("");
        take.ifPresent(t -> fit(top, t, name));
        List<Row> rows = need(top, MarksFile.LIST, "its marks, one row each").map(e -> rows(e.value())).orElse(List.of());
        apart(rows);
        return new MarksFile(new Take(name, rate, frames, sound), new Marks(rows.stream().map(Row::mark).toList()), !Seal.holds(top.at().source().lines()));
    }

    private Optional<Entry> need(Table top, String key, String what) {
        Entry entry = top.entries().get(key);
        if (entry == null) problems.report(top.at(), "a list of marks needs '" + key + ":', " + what);
        return Optional.ofNullable(entry);
    }

    /** A list of another take would put every repair in the wrong place. */
    private void fit(Table top, Take t, String name) {
        Entry given = top.entries().get(MarksFile.TAKE);
        if (given != null && !name.isEmpty() && !name.equals(t.name())) {
            problems.report(given.value().at(), "this list is of another take, not of " + t.name() + "; where the take only got a new name, write that here");
        }
        Entry of = top.entries().get(MarksFile.RATE);
        if (of != null && rate > 0 && rate != t.rate()) {
            problems.report(of.value().at(), t.name() + " has " + Unit.PLAIN.format(t.rate()) + " Hz: this list is of another take, or of this one before its rate was changed; make a new one with 'linnet mark'");
        }
        Entry length = top.entries().get(MarksFile.FRAMES);
        if (length != null && frames > 0 && frames != t.frames()) {
            problems.report(length.value().at(), t.name() + " has " + t.frames() + " samples: this list is of another take, or of this one before it was cut; make a new one with 'linnet mark --like'");
        }
    }

    private double number(Entry e, Unit unit, double least, double most) {
        OptionalDouble value = e.value() instanceof Leaf leaf ? unit.parse(leaf.word().text()) : OptionalDouble.empty();
        if (value.isPresent() && value.getAsDouble() >= least && value.getAsDouble() <= most) return value.getAsDouble();
        problems.report(e.value().at(), e.key().text() + " wants " + (unit == Unit.HZ ? "a frequency such as 48000 Hz" : "a whole number") + not(e.value()));
        return 0;
    }

    private List<Row> rows(Tree list) {
        if (list instanceof Leaf leaf && leaf.word().text().isEmpty()) return List.of();
        if (!(list instanceof Rows rows)) {
            problems.report(list.at(), "list has one row for each mark: '- ' before each");
            return List.of();
        }
        if (rows.rows().size() > MarksFile.MOST) {
            problems.report(rows.rows().get(MarksFile.MOST).at(), "a list holds at most " + MarksFile.MOST + " marks, not " + rows.rows().size());
            return List.of();
        }
        List<Row> read = new ArrayList<>();
        for (Tree row : rows.rows()) row(row).ifPresent(m -> read.add(new Row(m, row.at())));
        return read;
    }

    private Optional<Mark> row(Tree tree) {
        if (!(tree instanceof Table row)) {
            problems.report(tree.at(), "a mark is a row such as '- { breath: 3.352 s, length: 331 ms }'");
            return Optional.empty();
        }
        List<Entry> kinds = row.entries().values().stream().filter(e -> KINDS.contains(e.key().text())).collect(Collectors.toCollection(ArrayList::new));
        // Beside another kind, 'keep' says that no repair may touch that.
        if (kinds.size() > 1) kinds.removeIf(e -> e.key().text().equals(MarksFile.KEEP));
        List<Entry> unknown = row.entries().values().stream().filter(e -> !KINDS.contains(e.key().text()) && !BESIDE.contains(e.key().text())).toList();
        for (Entry e : unknown) problems.report(e.key().at(), isRestOfWord(e, row)
                ? "a word with a comma in it stands in quotes, such as word: \"salt, on\""
                : kinds.isEmpty()
                ? "there is no mark '" + shown(e.key().text()) + "'" + Nearest.hint(e.key().text(), KINDS) + " (there are " + listed(KINDS) + ")"
                : "a mark has no '" + shown(e.key().text()) + "'" + Nearest.hint(e.key().text(), BESIDE) + " (beside its kind and time it has length, sure, keep and word)");
        if (kinds.isEmpty()) {
            if (unknown.isEmpty()) problems.report(row.at(), "a row begins with what is marked and where it begins, such as 'breath: 3.352 s'");
            return Optional.empty();
        }
        for (Entry more : kinds.subList(1, kinds.size())) {
            problems.report(more.key().at(), "this row marks a " + kinds.get(0).key().text() + " already; begin a new row with '- ' for the " + more.key().text());
        }
        return mark(kinds.get(0), row);
    }

    /** YAML takes what follows a comma in braces for another key. */
    private static boolean isRestOfWord(Entry e, Table row) {
        return row.entries().containsKey(MarksFile.WORD) && e.value() instanceof Leaf leaf && leaf.word().text().isEmpty();
    }

    private Optional<Mark> mark(Entry what, Table row) {
        Mark.Kind kind = Mark.Kind.values()[KINDS.indexOf(what.key().text())];
        String noun = kind.word();
        OptionalDouble begins = seconds(what.value(), kind == Mark.Kind.KEEP ? "keep, where nothing else is marked, wants the time where a stretch begins, such as 12.1 s"
                : noun + " wants the time where it begins, such as 3.352 s");
        long from = begins.isPresent() ? MarksFile.frames(begins.getAsDouble(), rate) : -1;
        if (begins.isPresent()) {
            if (begins.getAsDouble() < 0) problems.report(what.value().at(), noun + " begins before the take does");
            else if (rate > 0 && frames > 0 && from >= frames) problems.report(what.value().at(), noun + " begins past the end of the take, which is " + end() + " long");
        }
        long to = kind == Mark.Kind.VOWEL ? from : end(what, row, from);
        Entry length = row.entries().get(MarksFile.LENGTH);
        if (kind == Mark.Kind.VOWEL && length != null) problems.report(length.key().at(), "a vowel has no length: it marks where the vowel begins");
        double sure = Optional.ofNullable(row.entries().get(MarksFile.SURE)).map(this::sure).orElse(1.0);
        Entry keep = row.entries().get(MarksFile.KEEP);
        boolean kept = kind == Mark.Kind.KEEP || keep != null && isYes(keep);
        String word = Optional.ofNullable(row.entries().get(MarksFile.WORD)).flatMap(this::text).orElse("");
        return from < 0 || to < from ? Optional.empty() : Optional.of(new Mark(kind, from, to, sure, kept, word));
    }

    /** The sample after the last, or -1 if that is a problem. */
    private long end(Entry what, Table row, long from) {
        Entry length = row.entries().get(MarksFile.LENGTH);
        String noun = what.key().text();
        if (length == null) {
            problems.report(what.key().at(), noun + " needs its length too, such as 'length: 331 ms'");
            return -1;
        }
        OptionalDouble seconds = seconds(length.value(), "length wants a time such as 331 ms");
        if (seconds.isEmpty() || from < 0 || rate == 0) return -1;
        if (MarksFile.frames(seconds.getAsDouble(), rate) < 1) {
            problems.report(length.value().at(), "length must be more than nothing" + not(length.value()));
            return -1;
        }
        long to = from + MarksFile.frames(seconds.getAsDouble(), rate);
        if (frames > 0 && from < frames && to > frames) problems.report(length.value().at(), noun + " ends past the end of the take, which is " + end() + " long");
        return to;
    }

    private String end() {
        return Unit.SECONDS.format(frames / rate);
    }

    private OptionalDouble seconds(Tree value, String wants) {
        OptionalDouble seconds = value instanceof Leaf leaf ? Unit.SECONDS.parse(leaf.word().text()) : OptionalDouble.empty();
        if (seconds.isEmpty()) problems.report(value.at(), wants + not(value));
        return seconds;
    }

    private double sure(Entry e) {
        OptionalDouble percent = e.value() instanceof Leaf leaf ? Unit.PERCENT.parse(leaf.word().text()) : OptionalDouble.empty();
        if (percent.isPresent() && percent.getAsDouble() >= 0 && percent.getAsDouble() <= 100) return percent.getAsDouble() / 100;
        problems.report(e.value().at(), "sure is from 0 % to 100 %" + not(e.value()));
        return 1;
    }

    private boolean isYes(Entry e) {
        String word = e.value() instanceof Leaf leaf ? leaf.word().text() : "";
        if (!List.of("yes", "no").contains(word)) problems.report(e.value().at(), "keep is yes or no beside another mark" + not(e.value()));
        return word.equals("yes");
    }

    private Optional<String> text(Entry e) {
        if (e.value() instanceof Leaf leaf && leaf.word().text().length() <= LONGEST_WORD && leaf.word().text().chars().noneMatch(Character::isISOControl)) {
            return Optional.of(leaf.word().text());
        }
        problems.report(e.value().at(), e.key().text() + " wants a line of text, of at most " + LONGEST_WORD + " characters");
        return Optional.empty();
    }

    /** Two of a kind in one place would be treated twice. */
    private void apart(List<Row> rows) {
        Map<Mark.Kind, Row> last = new HashMap<>();
        for (Row row : rows.stream().sorted(Comparator.comparingLong(r -> r.mark.from())).toList()) {
            Row before = last.get(row.mark.kind());
            if (before != null && (before.mark.to() > row.mark.from() || before.mark.from() == row.mark.from())) {
                boolean later = row.at.compareTo(before.at) > 0;
                Span first = later ? before.at : row.at, second = later ? row.at : before.at;
                problems.report(second, "this " + row.mark.kind().word() + (before.mark.from() == row.mark.from() ? " begins with" : " overlaps") + " the one in line " + first.line() + "; make them one, or set them apart");
            }
            if (before == null || row.mark.to() >= before.mark.to()) last.put(row.mark.kind(), row);
        }
    }

    private static String not(Tree value) {
        return value instanceof Leaf leaf ? ", not \"" + shown(leaf.word().text()) + "\"" : "";
    }

    private static String shown(String word) {
        return word.length() > 40 ? word.substring(0, 40) + "…" : word;
    }

    private static String listed(List<String> words) {
        return String.join(", ", words.subList(0, words.size() - 1)) + " and " + words.get(words.size() - 1);
    }
}

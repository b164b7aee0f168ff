package linnet.list;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.setting.Unit;
import linnet.text.Listed;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.yaml.Siblings;
import linnet.yaml.Tree;
import linnet.yaml.Tree.Entry;
import linnet.yaml.Tree.Leaf;
import linnet.yaml.Tree.Rows;
import linnet.yaml.Tree.Table;
import linnet.yaml.Yaml;

/** What lists that lie beside a take have in common: which take they are of, and one row for each thing in it. */
abstract class ListReader<F> {
    private static final int LONGEST_WORD = 200;
    private static final double LOWEST_RATE = 1000, HIGHEST_RATE = 1_000_000, LONGEST = 1e12;

    private final Optional<Take> take;
    private final String noun, again;
    private Path file;
    final List<String> keys;
    final Problems problems;
    double rate;
    long frames;

    /**
     * @param take the take that the list must be of
     * @param noun what is listed: marks or notes; the word that names the take too
     * @param again the command that makes a new list
     * @param keys all words at the top
     * @param problems that are found, and what is read
     */
    ListReader(Optional<Take> take, String noun, String again, List<String> keys, Problems problems) {
        this.take = take;
        this.noun = noun;
        this.again = again;
        this.keys = keys;
        this.problems = problems;
    }

    F read(Path file) throws ProblemsException {
        this.file = file;
        Optional<Tree> tree = Yaml.read("list of " + noun, file, file.toString(), problems);
        F read = tree.map(this::top).orElse(null);
        problems.check();
        return read;
    }

    private F top(Tree tree) {
        if (!(tree instanceof Table top)) {
            problems.report(tree.at(), "a list of " + noun + " begins with '" + noun + ":', the name of its take, and has a 'list:'");
            return null;
        }
        top.entries().values().stream().filter(e -> !keys.contains(e.key().text())).forEach(e -> problems.report(e.key().at(),
                "a list of " + noun + " has no '" + shown(e.key().text()) + "'" + Nearest.hint(e.key().text(), keys) + " (it has " + Listed.of(keys) + ")"));
        String name = need(top, noun, "the name of its take").flatMap(this::name).orElse("");
        rate = need(top, Listing.RATE, "the rate of its take, such as 48000 Hz").map(e -> number(e, Unit.HZ, LOWEST_RATE, HIGHEST_RATE)).orElse(0.0);
        frames = Math.round(need(top, Listing.FRAMES, "the length of its take in samples").map(e -> number(e, Unit.PLAIN, 0, LONGEST)).orElse(0.0));
        String sound = Optional.ofNullable(top.entries().get(Listing.SOUND)).flatMap(this::text).orElse("");
        take.ifPresent(t -> fit(top, t, name));
        return list(top, new Take(name, rate, frames, sound), !Seal.holds(top.at().source().lines()));
    }

    /** Reads what this list has beside its take. */
    abstract F list(Table top, Take take, boolean edited);

    private Optional<Entry> need(Table top, String key, String what) {
        Entry entry = top.entries().get(key);
        if (entry == null && !Nearest.isHinted(key, top.entries().keySet(), keys)) {
            problems.report(top.at(), "a list of " + noun + " needs '" + key + ":', " + what);
        }
        return Optional.ofNullable(entry);
    }

    /** A list of another take would put everything in the wrong place. */
    private void fit(Table top, Take t, String name) {
        Entry given = top.entries().get(noun);
        if (given != null && !name.isEmpty() && !Siblings.isSame(name, t.name())) {
            problems.report(given.value().at(), "this list is of another take, not of " + t.name() + "; where the take only got a new name, write that here");
        }
        Entry of = top.entries().get(Listing.RATE);
        if (of != null && rate > 0 && rate != t.rate()) {
            problems.report(of.value().at(),
                    t.name() + " has " + Unit.PLAIN.format(t.rate())
                    + " Hz: this list is of another take, or of this one before its rate was changed; make a new one with '" + again + "'");
        }
        Entry length = top.entries().get(Listing.FRAMES);
        if (length != null && frames > 0 && frames != t.frames()) {
            problems.report(length.value().at(),
                    t.name() + " has " + t.frames() + " samples: this list is of another take, or of this one before it was cut; make a new one with "
                    + anew(file, t.name()));
        }
    }

    /** The whole command that makes a new list in the place of one that no longer fits, and what is lost by it. */
    String anew(Path file, String take) {
        return "'" + again + "'";
    }

    double number(Entry e, Unit unit, double least, double most) {
        OptionalDouble value = e.value() instanceof Leaf leaf ? unit.parse(leaf.word().text()) : OptionalDouble.empty();
        if (value.isPresent() && value.getAsDouble() >= least && value.getAsDouble() <= most) return value.getAsDouble();
        problems.report(e.value().at(), e.key().text() + " wants " + (unit == Unit.HZ ? "a frequency such as 48000 Hz" : "a whole number") + not(e.value()));
        return 0;
    }

    /** The rows of the list, as they stand. */
    List<Tree> rows(Table top) {
        Tree list = need(top, Listing.LIST, "its " + noun + ", one row each").map(Entry::value).orElse(null);
        if (list == null || list instanceof Leaf leaf && leaf.word().text().isEmpty()) return List.of();
        if (!(list instanceof Rows rows)) {
            problems.report(list.at(), "list has one row for each " + noun.substring(0, noun.length() - 1) + ": '- ' before each");
            return List.of();
        }
        if (rows.rows().size() > MarksFile.MOST) {
            problems.report(rows.rows().get(MarksFile.MOST).at(), "a list holds at most " + MarksFile.MOST + " " + noun + ", not " + rows.rows().size());
            return List.of();
        }
        return new ArrayList<>(rows.rows());
    }

    /** The first sample of what a row begins with, or -1 if that is a problem. */
    long begin(Entry what, String wants) {
        OptionalDouble begins = seconds(what.value(), wants);
        if (begins.isEmpty()) return -1;
        long from = Listing.frames(begins.getAsDouble(), rate);
        if (begins.getAsDouble() < 0) problems.report(what.value().at(), what.key().text() + " begins before the take does");
        else if (rate > 0 && frames > 0 && from >= frames) problems.report(what.value().at(),
                what.key().text() + " begins past the end of the take, which is " + end() + " long");
        return from;
    }

    /** The sample after the last, or -1 if that is a problem. */
    long end(Entry what, Table row, long from) {
        Entry length = row.entries().get(Listing.LENGTH);
        String noun = what.key().text();
        if (length == null) {
            if (!Nearest.isHinted(Listing.LENGTH, row.entries().keySet(), List.of(Listing.LENGTH))) {
                problems.report(what.key().at(), noun + " needs its length too, such as 'length: 331 ms'");
            }
            return -1;
        }
        OptionalDouble seconds = seconds(length.value(), "length wants a time such as 331 ms");
        if (seconds.isEmpty() || from < 0 || rate == 0) return -1;
        if (Listing.frames(seconds.getAsDouble(), rate) < 1) {
            problems.report(length.value().at(), "length must be more than nothing" + not(length.value()));
            return -1;
        }
        long to = from + Listing.frames(seconds.getAsDouble(), rate);
        if (frames > 0 && from < frames && to > frames) {
            problems.report(length.value().at(), noun + " ends past the end of the take, which is " + end() + " long");
        }
        return to;
    }

    String end() {
        return Unit.SECONDS.format(frames / rate);
    }

    OptionalDouble seconds(Tree value, String wants) {
        OptionalDouble seconds = value instanceof Leaf leaf ? Unit.SECONDS.parse(leaf.word().text()) : OptionalDouble.empty();
        if (seconds.isEmpty()) problems.report(value.at(), wants + not(value));
        return seconds;
    }

    double sure(Entry e) {
        OptionalDouble percent = e.value() instanceof Leaf leaf ? Unit.PERCENT.parse(leaf.word().text()) : OptionalDouble.empty();
        if (percent.isPresent() && percent.getAsDouble() >= 0 && percent.getAsDouble() <= 100) return percent.getAsDouble() / 100;
        problems.report(e.value().at(), "sure is from 0 % to 100 %" + not(e.value()));
        return 1;
    }

    /** Any text at all: a file can be called what no word of a list may be. */
    private Optional<String> name(Entry e) {
        return e.value() instanceof Leaf leaf ? Optional.of(leaf.word().text()) : text(e);
    }

    Optional<String> text(Entry e) {
        if (e.value() instanceof Leaf leaf && leaf.word().text().length() <= LONGEST_WORD && leaf.word().text().chars().noneMatch(Character::isISOControl)) {
            return Optional.of(leaf.word().text());
        }
        problems.report(e.value().at(), e.key().text() + " wants a line of text, of at most " + LONGEST_WORD + " characters");
        return Optional.empty();
    }

    static String not(Tree value) {
        return value instanceof Leaf leaf ? ", not \"" + shown(leaf.word().text()) + "\"" : "";
    }

    static String shown(String word) {
        return word.length() > 40 ? word.substring(0, 40) + "…" : word;
    }
}

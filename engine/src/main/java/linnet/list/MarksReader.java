package linnet.list;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.setting.YesNo;
import linnet.text.Listed;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.Span;
import linnet.yaml.Tree;
import linnet.yaml.Tree.Entry;
import linnet.yaml.Tree.Leaf;
import linnet.yaml.Tree.Table;

/** A list of marks, from YAML. */
final class MarksReader extends ListReader<MarksFile> {
    private static final List<String> TOP = List.of(MarksFile.TAKE, Listing.RATE, Listing.FRAMES, Listing.SOUND, Listing.CHECK, Listing.LIST);
    private static final List<String> BESIDE = List.of(Listing.LENGTH, Listing.SURE, Listing.WORD);
    private static final List<String> KINDS = Arrays.stream(Mark.Kind.values()).map(Mark.Kind::word).toList();

    /** A mark and where it stands. */
    private record Row(Mark mark, Span at) {}

    /**
     * @param take the take that the list must be of
     * @param problems that are found, and what is read
     */
    MarksReader(Optional<Take> take, Problems problems) {
        super(take, MarksFile.TAKE, "linnet mark", TOP, problems);
    }

    /** It takes the place of a list that was corrected more often than not, so what is lost of that is said. */
    @Override
    String anew(Path file, String take) {
        Path sound = file.resolveSibling(take);
        boolean beside = MarksFile.beside(sound).equals(file);
        return "'linnet mark " + quoted(beside ? sound.toString() : take) + " --like " + quoted(file.toString())
                + (beside ? "" : " --out " + quoted(file.toString())) + " --force': words and what is kept are carried over, other rows that were moved, "
                + "added or taken out by hand are not; with another --out and no --force the old list stays";
    }

    /** As a shell takes it for one word. */
    private static String quoted(String path) {
        return path.chars().allMatch(c -> Character.isLetterOrDigit(c) || "/\\:._-+".indexOf(c) >= 0) ? path : '"' + path + '"';
    }

    @Override
    MarksFile list(Table top, Take take, boolean edited) {
        List<Row> rows = new ArrayList<>();
        for (Tree row : rows(top)) row(row).ifPresent(m -> rows.add(new Row(m, row.at())));
        apart(rows);
        return new MarksFile(take, new Marks(rows.stream().map(Row::mark).toList()), edited);
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
                ? "there is no mark '" + shown(e.key().text()) + "'" + Nearest.hint(e.key().text(), KINDS) + " (there are " + Listed.of(KINDS) + ")"
                : "a mark has no '" + shown(e.key().text()) + "'" + Nearest.hint(e.key().text(), BESIDE)
                        + " (beside its kind and time it has length, sure, keep and word)");
        if (kinds.isEmpty()) {
            if (unknown.isEmpty()) problems.report(row.at(), "a row begins with what is marked and where it begins, such as 'breath: 3.352 s'");
            return Optional.empty();
        }
        for (Entry more : kinds.subList(1, kinds.size())) {
            problems.report(more.key().at(), "this row marks a " + kinds.get(0).key().text() + " already; begin a new row with '- ' for the "
                    + more.key().text());
        }
        return mark(kinds.get(0), row);
    }

    /** YAML takes what follows a comma in braces for another key. */
    private static boolean isRestOfWord(Entry e, Table row) {
        return row.entries().containsKey(Listing.WORD) && e.value() instanceof Leaf leaf && leaf.word().text().isEmpty();
    }

    private Optional<Mark> mark(Entry what, Table row) {
        Mark.Kind kind = Mark.Kind.values()[KINDS.indexOf(what.key().text())];
        String noun = kind.word();
        long from = begin(what, kind == Mark.Kind.KEEP ? "keep, where nothing else is marked, wants the time where a stretch begins, such as 12.1 s"
                : noun + " wants the time where it begins, such as 3.352 s");
        long to = kind == Mark.Kind.VOWEL ? from : end(what, row, from);
        Entry length = row.entries().get(Listing.LENGTH);
        if (kind == Mark.Kind.VOWEL && length != null) problems.report(length.key().at(), "a vowel has no length: it marks where the vowel begins");
        double sure = Optional.ofNullable(row.entries().get(Listing.SURE)).map(this::sure).orElse(1.0);
        Entry keep = row.entries().get(MarksFile.KEEP);
        boolean kept = kind == Mark.Kind.KEEP || keep != null && isYes(keep);
        String word = Optional.ofNullable(row.entries().get(Listing.WORD)).flatMap(this::text).orElse("");
        return from < 0 || to < from ? Optional.empty() : Optional.of(new Mark(kind, from, to, sure, kept, word));
    }

    private boolean isYes(Entry e) {
        String word = e.value() instanceof Leaf leaf ? leaf.word().text() : "";
        Optional<Boolean> yes = YesNo.read(word);
        if (yes.isEmpty()) problems.report(e.value().at(), "keep is yes or no beside another mark" + not(e.value()));
        return yes.orElse(false);
    }

    /** Two of a kind in one place would be treated twice. */
    private void apart(List<Row> rows) {
        Map<Mark.Kind, Row> last = new HashMap<>();
        for (Row row : rows.stream().sorted(Comparator.comparingLong(r -> r.mark.from())).toList()) {
            Row before = last.get(row.mark.kind());
            if (before != null && (before.mark.to() > row.mark.from() || before.mark.from() == row.mark.from())) {
                boolean later = row.at.compareTo(before.at) > 0;
                Span first = later ? before.at : row.at, second = later ? row.at : before.at;
                problems.report(second, "this " + row.mark.kind().word() + (before.mark.from() == row.mark.from() ? " begins with" : " overlaps")
                        + " the one in line " + first.line() + "; make them one, or set them apart");
            }
            if (before == null || row.mark.to() >= before.mark.to()) last.put(row.mark.kind(), row);
        }
    }

}

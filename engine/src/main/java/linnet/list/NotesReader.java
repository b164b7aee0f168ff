package linnet.list;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.hear.Note;
import linnet.hear.Notes;
import linnet.setting.ConcertPitch;
import linnet.setting.NoteName;
import linnet.setting.Unit;
import linnet.text.Listed;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.Span;
import linnet.yaml.Tree;
import linnet.yaml.Tree.Entry;
import linnet.yaml.Tree.Leaf;
import linnet.yaml.Tree.Table;

/** A list of notes, from YAML. */
final class NotesReader extends ListReader<NotesFile> {
    private static final List<String> TOP =
            List.of(NotesFile.TAKE, Listing.RATE, Listing.FRAMES, Listing.SOUND, Listing.CHECK, NotesFile.REFERENCE, Listing.LIST);
    private static final List<String> ROW = List.of(NotesFile.NOTE, Listing.LENGTH, NotesFile.HEARD, NotesFile.TARGET, NotesFile.VIBRATO, NotesFile.SCOOP,
            NotesFile.FALL, Listing.SURE, Listing.WORD);
    private static final Pattern OFF = Pattern.compile("(\\S+)\\s*([+\u2212-]\\s*\\S+(\\s*cents?)?)");
    private static final Pattern SWINGS = Pattern.compile("(\\S+ ?Hz)\\s+(\\S+( ?cents?)?)");
    private static final double FARTHEST = 100;

    private double offset;
    private boolean flats;

    /** A note and where it stands. */
    private record Row(Note note, Span at) {}

    /**
     * @param take the take that the list must be of
     * @param problems that are found, and what is read
     */
    NotesReader(Optional<Take> take, Problems problems) {
        super(take, NotesFile.TAKE, "linnet notes", TOP, problems);
    }

    @Override
    NotesFile list(Table top, Take take, boolean edited) {
        double reference = Optional.ofNullable(top.entries().get(NotesFile.REFERENCE)).map(this::reference).orElse(ConcertPitch.USUAL);
        offset = NotesFile.offset(reference);
        List<Row> rows = new ArrayList<>();
        for (Tree row : rows(top)) row(row).ifPresent(n -> rows.add(new Row(n, row.at())));
        apart(rows);
        return new NotesFile(take, reference, flats, new Notes(rows.stream().map(Row::note).toList()), edited);
    }

    private double reference(Entry e) {
        OptionalDouble hz = e.value() instanceof Leaf leaf ? Unit.HZ.parse(leaf.word().text()) : OptionalDouble.empty();
        if (hz.isPresent() && hz.getAsDouble() >= ConcertPitch.LOWEST && hz.getAsDouble() <= ConcertPitch.HIGHEST) return hz.getAsDouble();
        problems.report(e.value().at(), "reference is the pitch of A4, from " + Unit.HZ.format(ConcertPitch.LOWEST) + " to "
                + Unit.HZ.format(ConcertPitch.HIGHEST) + not(e.value()));
        return ConcertPitch.USUAL;
    }

    private Optional<Note> row(Tree tree) {
        if (!(tree instanceof Table row)) {
            problems.report(tree.at(), "a note is a row such as '- { note: 12.34 s, length: 620 ms, target: F#4 }'");
            return Optional.empty();
        }
        for (Entry e : row.entries().values()) {
            if (!ROW.contains(e.key().text())) {
                problems.report(e.key().at(), "a note has no '" + shown(e.key().text()) + "'" + Nearest.hint(e.key().text(), ROW) + " (it has "
                        + Listed.of(ROW) + ")");
            }
        }
        Entry what = row.entries().get(NotesFile.NOTE);
        if (what == null) {
            problems.report(row.at(), "a row begins with the time where its note begins, such as 'note: 12.34 s'");
            return Optional.empty();
        }
        long from = begin(what, "note wants the time where it begins, such as 12.34 s"), to = end(what, row, from);
        double heard = entry(row, NotesFile.HEARD).map(e -> pitch(e, "")).orElse(Double.NaN);
        Optional<Note.Target> target = entry(row, NotesFile.TARGET).flatMap(this::target);
        double[] vibrato = entry(row, NotesFile.VIBRATO).map(this::vibrato).orElse(new double[2]);
        double scoop = entry(row, NotesFile.SCOOP).map(this::cents).orElse(0.0), fall = entry(row, NotesFile.FALL).map(this::cents).orElse(0.0);
        double sure = entry(row, Listing.SURE).map(this::sure).orElse(1.0);
        entry(row, Listing.WORD).ifPresent(this::text);
        if (from < 0 || to < from) return Optional.empty();
        return Optional.of(new Note(from, to, heard, vibrato[0], vibrato[1], scoop, fall, sure, target));
    }

    private static Optional<Entry> entry(Table row, String key) {
        return Optional.ofNullable(row.entries().get(key));
    }

    private Optional<Note.Target> target(Entry e) {
        String word = e.value() instanceof Leaf leaf ? leaf.word().text().strip() : "";
        if (word.equals(NotesFile.LEAVE)) return Optional.of(Note.Target.leave());
        if (word.equals(NotesFile.NEIGHBOURS)) return Optional.of(Note.Target.withNeighbours());
        double pitch = pitch(e, ", or \"leave\" or \"neighbours\"");
        return Double.isNaN(pitch) ? Optional.empty() : Optional.of(Note.Target.at(pitch));
    }

    /** A note and how far it is off; not a number if that is a problem. */
    private double pitch(Entry e, String otherwise) {
        String text = e.value() instanceof Leaf leaf ? leaf.word().text().strip() : "";
        Matcher off = OFF.matcher(text);
        String name = off.matches() ? off.group(1) : text;
        OptionalDouble cents = off.matches() ? Unit.CENTS.parse(off.group(2).replaceFirst("\\s+", "")) : OptionalDouble.of(0);
        OptionalInt key = NoteName.withOctave(name);
        if (key.isEmpty() || cents.isEmpty() || Math.abs(cents.getAsDouble()) > FARTHEST) {
            problems.report(e.value().at(), e.key().text() + " wants a note such as \"F#4\" or \"F#4 -23 cents\"" + otherwise + not(e.value()));
            return Double.NaN;
        }
        flats |= name.length() == 3 && (name.charAt(1) == 'b' || name.charAt(1) == '♭');
        return key.getAsInt() + cents.getAsDouble() / 100 + offset;
    }

    private double[] vibrato(Entry e) {
        Matcher swings = SWINGS.matcher(e.value() instanceof Leaf leaf ? leaf.word().text().strip() : "");
        OptionalDouble hz = swings.matches() ? Unit.HZ.parse(swings.group(1)) : OptionalDouble.empty();
        OptionalDouble cents = swings.matches() ? Unit.CENTS.parse(swings.group(2)) : OptionalDouble.empty();
        if (hz.isPresent() && cents.isPresent() && hz.getAsDouble() >= 0 && cents.getAsDouble() >= 0) {
            return new double[] {hz.getAsDouble(), cents.getAsDouble()};
        }
        problems.report(e.value().at(), "vibrato is what was heard, such as \"5.6 Hz 42 cents\"" + not(e.value()));
        return new double[2];
    }

    private double cents(Entry e) {
        OptionalDouble cents = e.value() instanceof Leaf leaf ? Unit.CENTS.parse(leaf.word().text()) : OptionalDouble.empty();
        if (cents.isEmpty()) problems.report(e.value().at(), e.key().text() + " is what was heard, such as \"-60 cents\"" + not(e.value()));
        return cents.orElse(0);
    }

    /** A voice sings one note at a time. */
    private void apart(List<Row> rows) {
        Row before = null;
        for (Row row : rows.stream().sorted(Comparator.comparingLong(r -> r.note.from())).toList()) {
            if (before != null && before.note.to() > row.note.from()) {
                boolean later = row.at.compareTo(before.at) > 0;
                Span first = later ? before.at : row.at, second = later ? row.at : before.at;
                problems.report(second, "this note overlaps the one in line " + first.line() + "; make it shorter or begin it later");
            }
            if (before == null || row.note.to() > before.note.to()) before = row;
        }
    }
}

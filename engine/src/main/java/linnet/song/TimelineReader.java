package linnet.song;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.setting.Value;
import linnet.step.Routing;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.Span;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Reads tempo, metre, pick-up and sections of a song. */
final class TimelineReader {
    private static final Pattern BAR = Pattern.compile("(?:bar )?(\\d{1,5})");
    private static final Pattern METRE = Pattern.compile("(\\d{1,2})/(1|2|4|8|16|32)");
    private static final Pattern BEATS = Pattern.compile("(\\d{1,2}(?:\\.\\d{1,6})?)(?: beats?)?");
    /** The key of the sections that is none: the bar after the last. */
    private static final String END = Timeline.END;
    private static final int MOST_BARS = 10_000;

    private static final String BARS = "(bar )?\\d{1,5}";
    private static final Form BAR_FORM = Form.either(new Form.Bare(1, MOST_BARS), Form.words(BARS, "bar 9"));
    private static final Form SECTIONS = new Form.Table(new Shape("sections").key(END, "The bar after the last section.", BAR_FORM)
            .others("", "The bar the section begins at.", BAR_FORM).need(Shape.How.ALL, END));
    private static final Form GUIDED = new Form.Table(new Shape("sections of a file")
            .key("from", "A sound file that begins with the song and has a cue label for each section.", Form.words("(?!" + BARS + "$).+", "guide.wav"))
            .key(END, "The bar after the last section.", BAR_FORM).need(Shape.How.ALL, "from"));

    private final Reading text;
    private final Problems problems;

    TimelineReader(Reading text) {
        this.text = text;
        problems = text.problems();
    }

    /** What a song says of its time. */
    static Shape declare(Shape top) {
        return top.key("tempo", "Quarter notes a minute, or from which bar on: { bar 1: 100 bpm, bar 33: 96 bpm }.",
                byBar("tempo", new Form.Amount(Routing.TEMPO)))
                .key("metre", "Beats in a bar and the note that is one, 4/4 where it is not given; or from which bar on.",
                        byBar("metre", Form.words("(0?[1-9]|[1-9][0-9])/(1|2|4|8|16|32)", "4/4", "6/8")))
                .key("pick-up", "Beats before bar 1; the song begins with them.", new Form.Bare(0, 99),
                        Form.words("\\d{1,2}([.]\\d{1,6})?( beats?)?", "1 beat"));
    }

    static Shape declareSections(Shape top) {
        return top.key("sections", "The bar each begins at, in order, and 'end', the bar after the last; or { from: FILE } for the cue labels of a sound file.",
                SECTIONS, GUIDED);
    }

    private static Form byBar(String what, Form value) {
        return Form.either(value,
                new Form.Table(new Shape(what + " by bar").others(BARS, "What holds from this bar on.", value).need(Shape.How.ANY, "bar 1", "1")));
    }

    /** The time of a song; what is wrong becomes a problem, and is then guessed, so that the rest can be read. */
    Timeline read(Fields top) {
        Tree.Table song = top.table();
        Map<Integer, Metre> metres = byBar(song.entries().get("metre"), "metre", this::metre, new Metre(4, 4), "4/4");
        Map<Integer, Double> tempos = byBar(song.entries().get("tempo"), "tempo", this::tempo, 0.0, "96 bpm");
        if (tempos.get(1) == 0) {
            if (top.lacks("tempo")) problems.report(song.at(), "a song needs 'tempo:', such as 96 bpm");
            tempos.put(1, 120.0);
        }
        double pickUp = pickUp(song.entries().get("pick-up"), metres.get(1));
        CueSections cues = new CueSections(text, new Timeline(pickUp, tempos, metres, List.of()));
        List<Timeline.Section> sections = sections(top, cues);
        if (sections.isEmpty() && problems.isEmpty()) {
            problems.report(song.entries().get("sections").value().at(), "a section is wanted before 'end', such as { verse: 1, end: 17 }");
        }
        return new Timeline(pickUp, tempos, metres, sections, cues.remarks());
    }

    private <T> Map<Integer, T> byBar(Tree.Entry entry, String what, Function<Word, Optional<T>> value, T usual, String example) {
        Map<Integer, T> read = new TreeMap<>();
        read.put(1, usual);
        if (entry == null) return read;
        if (entry.value() instanceof Tree.Leaf leaf) {
            value.apply(leaf.word()).ifPresent(v -> read.put(1, v));
        } else if (entry.value() instanceof Tree.Table table) {
            for (Tree.Entry e : table.entries().values()) {
                OptionalInt bar = bar(e.key());
                if (e.value() instanceof Tree.Leaf leaf) value.apply(leaf.word()).ifPresent(v -> bar.ifPresent(b -> read.put(b, v)));
                else problems.report(e.value().at(), what + " wants one value at each bar, such as " + example);
            }
            if (table.entries().keySet().stream().noneMatch(k -> k.equals("1") || k.equals("bar 1"))) {
                problems.report(table.at(), what + " must begin at bar 1");
            }
        } else {
            problems.report(entry.value().at(), what + " wants a value such as " + example + ", or bars with values: { bar 1: " + example + ", bar 33: … }");
        }
        return read;
    }

    private Optional<Double> tempo(Word word) {
        return Routing.TEMPO.read(word, problems).map(v -> ((Value.Amount) v).value());
    }

    private Optional<Metre> metre(Word word) {
        Matcher m = METRE.matcher(word.text().strip());
        if (m.matches() && Integer.parseInt(m.group(1)) > 0) return Optional.of(new Metre(Integer.parseInt(m.group(1)), Integer.parseInt(m.group(2))));
        problems.report(word.at(), "a metre is beats and the note that is one, such as 4/4 or 6/8");
        return Optional.empty();
    }

    private OptionalInt bar(Word word) {
        OptionalInt bar = barOf(word);
        if (bar.isPresent()) return bar;
        problems.report(word.at(),
                "here a bar is wanted, from bar 1 to bar " + MOST_BARS + Nearest.hint(word.text().strip(), List.of("bar"), t -> BAR.matcher(t).matches()));
        return OptionalInt.empty();
    }

    static OptionalInt barOf(Word word) {
        Matcher m = BAR.matcher(word.text().strip());
        int bar = m.matches() ? Integer.parseInt(m.group(1)) : 0;
        return bar >= 1 && bar <= MOST_BARS ? OptionalInt.of(bar) : OptionalInt.empty();
    }

    private double pickUp(Tree.Entry entry, Metre metre) {
        if (entry == null) return 0;
        if (entry.value() instanceof Tree.Leaf leaf) {
            Matcher m = BEATS.matcher(leaf.word().text().strip());
            if (m.matches() && Double.parseDouble(m.group(1)) < metre.beats()) return Double.parseDouble(m.group(1));
        }
        problems.report(entry.value().at(),
                "a pick-up is less than a bar of beats, such as '1 beat'"
                + (entry.value() instanceof Tree.Leaf leaf
                        ? Nearest.hint(leaf.word().text().strip(), List.of("beat", "beats"), t -> BEATS.matcher(t).matches()) : ""));
        return 0;
    }

    private List<Timeline.Section> sections(Fields top, CueSections cues) {
        Tree.Table song = top.table();
        Tree.Entry entry = song.entries().get("sections");
        if (entry == null || !(entry.value() instanceof Tree.Table table)) {
            Span at = entry == null ? song.at() : entry.value().at();
            if (!top.isMeant("sections")) {
                problems.report(at, "a song needs 'sections:' with the bar each begins at, such as { verse 1: 1, chorus 1: 9, end: 17 }");
            }
            return List.of();
        }
        boolean guided = CueSections.isGuide(table);
        Map<Word, Integer> starts = new LinkedHashMap<>();
        for (Tree.Entry e : table.entries().values()) {
            if (guided && !e.key().text().equals(END)) continue;
            if (e.value() instanceof Tree.Leaf leaf) bar(leaf.word()).ifPresent(bar -> starts.put(e.key(), bar));
            else problems.report(e.value().at(), "a section wants the bar it begins at");
        }
        if (guided) return inOrder(cues.read(table, starts));
        if (table.entries().containsKey(END)) {
            for (Tree.Entry e : table.entries().values()) if (isTakenForTheEnd(e.key().text())) {
                problems.report(e.key().at(), "'" + e.key().text() + "' would be read as the end of the song where the labels of a print are read again;"
                        + " call this section otherwise, such as 'ending'");
            }
        }
        if (!table.entries().containsKey(END)) {
            Optional<Word> meant = table.entries().values().stream().map(Tree.Entry::key).reduce((a, b) -> b)
                    .filter(k -> Nearest.to(k.text(), List.of(END)).isPresent());
            problems.report(meant.map(Word::at).orElse(table.at()),
                    "sections need 'end:', the bar after the last one" + meant.map(k -> Nearest.hint(k.text(), List.of(END))).orElse(""));
        }
        return inOrder(starts);
    }

    /** A label of that name is the end in any capitals: see {@link CueSections}. */
    private static boolean isTakenForTheEnd(String section) {
        return !section.equals(END) && section.equalsIgnoreCase(END);
    }

    private List<Timeline.Section> inOrder(Map<Word, Integer> starts) {
        List<Timeline.Section> sections = new ArrayList<>();
        Word name = null;
        int from = 0;
        for (Map.Entry<Word, Integer> e : starts.entrySet()) {
            if (name != null && e.getValue() <= from) {
                problems.report(e.getKey().at(), "'" + e.getKey().text() + "' begins at bar " + e.getValue() + ", no later than '" + name.text() + "'");
            } else if (name != null) {
                sections.add(new Timeline.Section(name.text(), from, e.getValue()));
            }
            if (name != null && name.text().equals(END)) problems.report(name.at(), "'end' must be the last of the sections");
            name = e.getKey();
            from = e.getValue();
        }
        return sections;
    }
}

package linnet.song;

import java.io.IOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Sections from the cue labels of a sound file that begins with the song: each at the bar line that is nearest. */
final class CueSections {
    private static final String END = Timeline.END;
    /** In seconds: what the ear does not tell from the beat, and a person who sets a cue by eye misses it by. */
    private static final double NEAR = 0.005;
    /** In beats: from here on the tempo of the song is not that of the file. */
    private static final double FAR = 0.5;
    private static final int MOST = 1000;

    private final Reading text;
    private final Timeline time;
    private final List<String> remarks = new ArrayList<>();

    /** @param time of the song, as yet without sections */
    CueSections(Reading text, Timeline time) {
        this.text = text;
        this.time = time;
    }

    /** Whether sections are to be read from a file. */
    static boolean isGuide(Tree.Table sections) {
        Tree.Entry from = sections.entries().get("from");
        return from != null && from.value() instanceof Tree.Leaf leaf && TimelineReader.barOf(leaf.word()).isEmpty();
    }

    /** What one should know of the cues. */
    List<String> remarks() {
        return remarks;
    }

    /** @return the bar each begins at, {@code end} the last of them */
    Map<Word, Integer> read(Tree.Table sections, Map<Word, Integer> given) {
        Word file = ((Tree.Leaf) sections.entries().get("from").value()).word();
        for (String key : sections.entries().keySet()) {
            if (!key.equals("from") && !key.equals(END)) {
                text.problems().report(sections.entries().get(key).key().at(), "sections come from a file, or from here: beside 'from' there is only 'end'");
            }
        }
        Map<Word, Integer> starts = new java.util.LinkedHashMap<>();
        text.beside(file).ifPresent(path -> {
            try {
                Guide.Cues cues = text.guide().read(path);
                place(cues, file, starts);
                Word end = starts.keySet().stream().filter(w -> w.text().equals(END)).findFirst().orElse(null);
                Integer told = given.entrySet().stream().filter(e -> e.getKey().text().equals(END)).map(Map.Entry::getValue).findFirst().orElse(null);
                if (told != null && end != null) starts.put(end, told);
                else if (end == null) starts.put(new Word(END, file.at()), told != null ? told : lastBar(cues.seconds()));
            } catch (IOException e) {
                text.problems().report(file.at(), "sections: " + e.getMessage());
            }
        });
        return starts;
    }

    private int lastBar(double seconds) {
        int bar = Math.max(1, time.bar(seconds - NEAR));
        return bar + 1;
    }

    private void place(Guide.Cues cues, Word file, Map<Word, Integer> starts) {
        List<Guide.Cue> named = cues.all().stream().filter(c -> !c.name().isEmpty()).map(CueSections::plain).toList();
        if (named.isEmpty()) text.problems().report(file.at(), file.text() + " has no cue with a label: mark the sections in it, or write them here by bar");
        if (named.size() > MOST) {
            text.problems().report(file.at(), file.text() + " has more than " + MOST + " labels: they are no sections");
            return;
        }
        int bare = cues.all().size() - named.size();
        if (bare > 0) remarks.add(file.text() + ": " + bare + (bare == 1 ? " cue without a label is no section" : " cues without a label are no sections"));
        Map<String, Integer> count = new HashMap<>(), so = new HashMap<>();
        named.forEach(c -> count.merge(c.name(), 1, Integer::sum));
        if (count.getOrDefault(END, 0) > 1) {
            text.problems().report(file.at(),
                    file.text() + " has " + count.get(END) + " labels '" + END + "', and a song ends once: take all but the last out of it");
            return;
        }
        for (Guide.Cue c : named) {
            String name = count.get(c.name()) == 1 ? c.name() : c.name() + " " + so.merge(c.name(), 1, Integer::sum);
            Integer twice = starts.put(new Word(name, file.at()), bar(c, name, file));
            if (twice != null) text.problems().report(file.at(), file.text() + " has two sections that would be called '" + name + "'");
        }
    }

    /** Who sets cues may write all their labels in capitals. */
    private static Guide.Cue plain(Guide.Cue cue) {
        return cue.name().equalsIgnoreCase(END) ? new Guide.Cue(END, cue.seconds()) : cue;
    }

    private int bar(Guide.Cue cue, String name, Word file) {
        int bar = time.bar(cue.seconds());
        double after = cue.seconds() - time.start(bar), before = time.start(bar + 1) - cue.seconds();
        // What lies in the pick-up sings on into bar 1.
        int nearest = bar < 1 || before < after ? Math.max(1, bar + 1) : bar;
        double off = cue.seconds() - time.start(nearest), beat = 60 / time.bpm(cue.seconds()) * time.metre(Math.max(1, bar)).quarters();
        String where = String.format(Locale.ROOT, "'%s' lies %.0f ms %s bar %d", name, 1000 * Math.abs(off), off < 0 ? "before" : "after", nearest);
        if (bar >= 1 && Math.abs(off) > FAR * beat) {
            text.problems().report(file.at(), file.text() + ": " + where + ": are tempo and pick-up those of the file?");
        }
        else if (Math.abs(off) > NEAR) remarks.add(file.text() + ": " + where + ", and begins there");
        return nearest;
    }
}

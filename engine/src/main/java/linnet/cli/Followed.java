package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import linnet.render.SongFindings;
import linnet.report.Clock;
import linnet.report.Sheet;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.song.Source;
import linnet.tidy.Aims;
import linnet.tidy.Decision;
import linnet.tidy.Decision.What;

/** What was done to the parts of a song that follow another. */
record Followed(List<SongFindings.PartDecisions> all, Song song, double rate) {
    private static final int MOST_WITHOUT_OVERVIEW = 6;
    private static final List<String> OVERVIEW = List.of("Part", "Phrases moved", "Largest offset left", "Where");
    private static final Set<What> LATER = EnumSet.of(What.TAKE, What.COPY, What.TIMING, What.END);

    /**
     * For each part what was done in sum, then each phrase that was left alone.
     *
     * @param each whether phrases that were moved, and ends that were faded, are told too
     */
    void say(PrintWriter out, boolean each) {
        if (all.isEmpty()) return;
        out.println();
        out.println("Tidied:");
        for (SongFindings.PartDecisions f : all) {
            out.printf(Locale.ROOT, "  %-16s like %s: %s%n", f.part(), f.like(), sum(f.decisions()));
            lines(f, each).forEach(line -> out.println("    " + line));
        }
    }

    private List<String> lines(SongFindings.PartDecisions f, boolean each) {
        List<String> lines = new ArrayList<>();
        for (Decision d : f.decisions()) {
            wrong(f.part(), d).ifPresent(lines::add);
            boolean told = d.done() ? each && (d.what() == What.TIMING || d.what() == What.END) : d.what() == What.TIMING;
            if (told) lines.add(clock(d.from()) + "  " + (d.what() == What.END ? "end " : d.done() ? "" : "as it is: ") + d.told(this::clock));
        }
        return lines;
    }

    /** For the sheet: of each part what was done in sum, and under it each phrase; before that, where they are many, which of them to look at. */
    Sheet.Chapter chapter() {
        return new Sheet.Chapter("Tidied", OVERVIEW, all.size() > MOST_WITHOUT_OVERVIEW ? all.stream().map(this::overview).toList() : List.of(),
                all.stream().map(f -> new Sheet.Item(f.part() + ": like " + f.like() + ": " + sum(f.decisions()), Sheet.items(lines(f, true)))).toList());
    }

    private List<String> overview(SongFindings.PartDecisions f) {
        List<Decision> timing = f.decisions().stream().filter(d -> d.what() == What.TIMING).toList();
        Optional<Decision.Place> left = timing.stream().flatMap(d -> d.off().stream()).map(Decision.Off::after)
                .max(Comparator.comparingDouble(p -> Math.abs(p.late())));
        return List.of(f.part(), timing.stream().filter(Decision::done).count() + " of " + timing.size(), left.map(Decision.Place::amount).orElse("-"),
                left.map(p -> p.where(this::clock)).orElse("-"));
    }

    /** Takes that lie elsewhere or are another's: a line each. */
    List<String> wrong() {
        return all.stream().flatMap(f -> f.decisions().stream().flatMap(d -> wrong(f.part(), d).stream()).map(w -> f.part() + ": " + w)).toList();
    }

    private Optional<String> wrong(String part, Decision d) {
        return switch (d.what()) {
            case TAKE -> Optional.of(d.why() + ": " + remedy(part, d));
            case COPY -> Optional.of("from " + clock(d.from()) + ": " + d.why() + "; " + insteadOf(part, d));
            default -> Optional.empty();
        };
    }

    private static String sum(List<Decision> decisions) {
        StringBuilder text = new StringBuilder();
        for (What what : What.values()) {
            List<Decision> all = decisions.stream().filter(d -> d.what() == what).toList();
            if (all.isEmpty() || what == What.TAKE || what == What.COPY) continue;
            long done = all.stream().filter(Decision::done).count();
            text.append(text.length() == 0 ? "" : ", ").append(done).append(" of ").append(all.size()).append(' ').append(switch (what) {
                case TAKE, COPY -> "";
                case TIMING -> "phrases moved";
                case BREATH -> "breaths removed";
                case CONSONANT -> "consonants softened";
                case END -> "ends faded";
                case LEVEL -> "phrases evened by " + range(all);
            });
        }
        return text.length() == 0 ? "nothing is asked" : text.toString();
    }

    private static String range(List<Decision> levels) {
        double low = levels.stream().mapToDouble(Decision::by).min().orElse(0), high = levels.stream().mapToDouble(Decision::by).max().orElse(0);
        return Unit.DB.format(low, 1) + " to " + Unit.DB.format(high, 1);
    }

    /** What is to be said in a part that lies early or late, in place of what it says. */
    private Optional<String> nudge(String part, Decision take) {
        double by = take.by() + 1000 * song.parts().stream().filter(p -> p.name().text().equals(part))
                .mapToDouble(p -> p.source() instanceof Source.Edited e ? e.later() : 0).sum();
        if (Math.abs(by) > 1000 * Aims.FARTHEST_NUDGE) return Optional.empty();
        return Optional.of(Unit.MS.format(Math.abs(by), 0) + (by < 0 ? " earlier" : " later"));
    }

    private String remedy(String part, Decision take) {
        return nudge(part, take).map(n -> "say 'nudge: " + n + "' in " + part)
                .orElse("a nudge is " + Unit.SECONDS.format(Aims.FARTHEST_NUDGE) + " at most, so say with 'at' where it begins");
    }

    /** What is to be done about a copy. */
    private String insteadOf(String part, Decision copy) {
        return copy.by() == 0 ? "sing a double, or leave it so" : "sing a double, or " + remedy(part, copy);
    }

    private String clock(long sample) {
        return Clock.of(sample / rate);
    }

    private JsonArray words(List<Decision.Sung> sung) {
        JsonArray words = new JsonArray();
        for (Decision.Sung s : sung) {
            JsonObject word = json(s.before());
            word.addProperty("late_after_ms", Json.rounded(s.late(), 2));
            words.add(word);
        }
        return words;
    }

    private JsonObject json(Decision.Place place) {
        JsonObject o = new JsonObject();
        o.addProperty("late_ms", Json.rounded(place.late(), 2));
        o.addProperty("at_s", Json.rounded(place.at() / rate, 4));
        if (!place.word().isEmpty()) o.addProperty("word", place.word());
        return o;
    }

    JsonArray json() {
        JsonArray array = new JsonArray();
        for (SongFindings.PartDecisions f : all) {
            JsonObject part = new JsonObject();
            part.addProperty("part", f.part());
            part.addProperty("like", f.like());
            JsonArray list = new JsonArray();
            for (Decision d : f.decisions()) {
                JsonObject o = new JsonObject();
                o.addProperty("what", d.what().word());
                o.addProperty("from_s", Json.rounded(d.from() / rate, 4));
                o.addProperty("to_s", Json.rounded(d.to() / rate, 4));
                o.addProperty("done", d.done());
                o.addProperty(LATER.contains(d.what()) ? "later_ms" : "gain_db", Json.rounded(d.by(), 2));
                d.off().ifPresent(off -> {
                    o.addProperty("end_later_ms", Json.rounded(off.end(), 2));
                    o.add("before", json(off.before()));
                    o.add("after", json(off.after()));
                    o.add("words", words(off.sung()));
                });
                o.addProperty("why", d.told(this::clock));
                if (d.what() == What.TAKE || d.what() == What.COPY && d.by() != 0) nudge(f.part(), d).ifPresent(n -> o.addProperty("nudge", n));
                list.add(o);
            }
            part.add("decisions", list);
            array.add(part);
        }
        return array;
    }
}

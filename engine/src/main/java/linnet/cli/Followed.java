package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.PrintWriter;
import java.util.List;
import java.util.Locale;
import linnet.render.SongRenderer;
import linnet.setting.Unit;
import linnet.tidy.Decision;
import linnet.tidy.Decision.What;

/** What was done to the parts of a song that follow another. */
record Followed(List<SongRenderer.Followed> all, double rate) {
    /**
     * For each part what was done in sum, then each phrase that was left alone.
     *
     * @param each whether phrases that were moved, and ends that were faded, are told too
     */
    void say(PrintWriter out, boolean each) {
        if (all.isEmpty()) return;
        out.println();
        out.println("Tidied:");
        for (SongRenderer.Followed f : all) {
            out.printf(Locale.ROOT, "  %-16s like %s: %s%n", f.part(), f.like(), sum(f.decisions()));
            for (Decision d : f.decisions()) {
                boolean told = d.done() ? each && (d.what() == What.TIMING || d.what() == What.END) : d.what() == What.TIMING;
                if (told) out.printf(Locale.ROOT, "    %s  %s%s%n", clock(d.from()), d.what() == What.END ? "end " : d.done() ? "" : "as it is: ", d.why());
            }
        }
    }

    private static String sum(List<Decision> decisions) {
        StringBuilder text = new StringBuilder();
        for (What what : What.values()) {
            List<Decision> all = decisions.stream().filter(d -> d.what() == what).toList();
            if (all.isEmpty()) continue;
            long done = all.stream().filter(Decision::done).count();
            text.append(text.length() == 0 ? "" : ", ").append(done).append(" of ").append(all.size()).append(' ').append(switch (what) {
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

    private String clock(long sample) {
        double seconds = sample / rate;
        return String.format(Locale.ROOT, "%d:%06.3f", (int) (seconds / 60), seconds % 60);
    }

    JsonArray json() {
        JsonArray array = new JsonArray();
        for (SongRenderer.Followed f : all) {
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
                o.addProperty(d.what() == What.TIMING || d.what() == What.END ? "later_ms" : "gain_db", Json.rounded(d.by(), 2));
                o.addProperty("why", d.why());
                list.add(o);
            }
            part.add("decisions", list);
            array.add(part);
        }
        return array;
    }
}

package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import linnet.hear.Joint;
import linnet.render.SongFindings;
import linnet.report.Sheet;

/** What became of the joins of a song's comps and cuts, and of what is muted by marks. */
record Joins(List<SongFindings.PartJoint> all, List<SongFindings.Mute> muted, double rate) {
    /** In dB: what is no longer taken for the same level, and for the same microphone at the same place. */
    private static final double LEVEL = 1.5, TONE = 6;

    /** One line each. */
    void say(PrintWriter out) {
        if (!all.isEmpty()) out.printf("%nJoins:%n");
        for (SongFindings.PartJoint j : all) out.printf(Locale.ROOT, "  %-16s %s%n", j.part(), line(j));
        if (!muted.isEmpty()) out.printf("%nMuted:%n");
        for (SongFindings.Mute m : muted) out.printf(Locale.ROOT, "  %-16s %s%n", m.part(), line(m));
    }

    /** For the sheet: under each part its joins, and what is muted of it. */
    List<Sheet.Chapter> chapters() {
        Map<String, List<String>> joins = new LinkedHashMap<>(), mutes = new LinkedHashMap<>();
        for (SongFindings.PartJoint j : all) joins.computeIfAbsent(j.part(), p -> new ArrayList<>()).add(line(j));
        for (SongFindings.Mute m : muted) mutes.computeIfAbsent(m.part(), p -> new ArrayList<>()).add(line(m));
        return List.of(Sheet.Chapter.of("Joins", Sheet.items(joins)), Sheet.Chapter.of("Muted", Sheet.items(mutes)));
    }

    /** What is odd at a join, or was not there to be muted: a line each. */
    List<String> odd() {
        List<String> odd = new ArrayList<>();
        for (SongFindings.PartJoint j : all) if (!remarks(j.joint()).isEmpty()) odd.add("join of " + j.part() + " at " + line(j));
        for (SongFindings.Mute m : muted) if (m.marks() == 0) odd.add("mute of " + m.part() + ", " + m.where() + ": none is there");
        return odd;
    }

    private static String line(SongFindings.Mute m) {
        return m.where() + ": " + (m.marks() == 0 ? "none is there" : Integer.toString(m.marks()));
    }

    private String line(SongFindings.PartJoint join) {
        Joint j = join.joint();
        StringBuilder text = new StringBuilder(join.where()).append(": ").append(moved(j.at() - j.asked())).append(" in ").append(j.lies().word());
        text.append(String.format(Locale.ROOT, ", fade %.0f ms", 1000 * j.fade() / rate));
        if (j.known()) text.append(String.format(Locale.ROOT, ", level %+.1f dB, tone %+.1f dB", j.level(), j.tone()));
        if (j.shift() != 0) {
            text.append(String.format(Locale.ROOT, ", what follows %.1f ms %s so that pitch periods meet", 1000 * Math.abs(j.shift()) / rate,
                    j.shift() > 0 ? "later" : "earlier"));
        }
        return text + remarks(j);
    }

    private static String remarks(Joint j) {
        StringBuilder text = new StringBuilder();
        if (j.lies() == Joint.Lies.VOWEL) text.append("; listen to it");
        if (j.breaths() == Joint.Breaths.DOUBLE) text.append("; two breaths in a row");
        if (j.breaths() == Joint.Breaths.LOST) text.append("; its breath is lost");
        if (j.cut()) text.append("; a consonant is cut in two");
        if (j.known() && Math.abs(j.level()) > LEVEL) text.append("; a step in level");
        else if (j.known() && j.uneven() > LEVEL) text.append(String.format(Locale.ROOT, "; a step in level of %.1f dB inside the fade", j.uneven()));
        if (j.known() && Math.abs(j.tone()) > TONE) text.append("; a step in tone");
        return text.toString();
    }

    private String moved(long samples) {
        double ms = 1000 * samples / rate;
        return samples == 0 ? "there," : String.format(Locale.ROOT, "%.0f ms %s,", Math.abs(ms), ms < 0 ? "earlier" : "later");
    }

    JsonArray mutedJson() {
        JsonArray array = new JsonArray();
        for (SongFindings.Mute m : muted) {
            JsonObject o = new JsonObject();
            o.addProperty("part", m.part());
            o.addProperty("what", m.where());
            o.addProperty("marks", m.marks());
            array.add(o);
        }
        return array;
    }

    JsonArray json() {
        JsonArray array = new JsonArray();
        for (SongFindings.PartJoint join : all) {
            Joint j = join.joint();
            JsonObject o = new JsonObject();
            o.addProperty("part", join.part());
            o.addProperty("where", join.where());
            o.addProperty("asked_s", Json.rounded(j.asked() / rate, 4));
            o.addProperty("at_s", Json.rounded(j.at() / rate, 4));
            o.addProperty("lies_in", j.lies().word().replace("a ", ""));
            o.addProperty("consonant_cut", j.cut());
            o.addProperty("fade_ms", Json.rounded(1000 * j.fade() / rate, 2));
            if (j.known()) {
                o.addProperty("shift_ms", Json.rounded(1000 * j.shift() / rate, 3));
                o.addProperty("correlation", Json.rounded(j.correlation(), 3));
                o.addProperty("level_step_db", Json.rounded(j.level(), 2));
                o.addProperty("uneven_db", Json.rounded(j.uneven(), 2));
                o.addProperty("tone_step_db", Json.rounded(j.tone(), 2));
                o.addProperty("breaths", j.breaths().name().toLowerCase(Locale.ROOT));
            }
            array.add(o);
        }
        return array;
    }
}

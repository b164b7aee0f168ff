package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonElement;
import com.google.gson.JsonNull;
import com.google.gson.JsonObject;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import linnet.plan.SongPlan;
import linnet.render.SongRenderer;
import linnet.revision.Change;
import linnet.song.Song;
import linnet.text.ProblemsException;

/**
 * Which prints of a song a newer version changes. They are planned and not rendered: only what a song wants by ear is measured, where the store does not have
 * it.
 */
final class ChangedPrints {
    /** Of the prints that both versions have, by name. */
    private final List<String> changed = new ArrayList<>(), same = new ArrayList<>();
    /** Why nothing is known of them; empty where it is. */
    private String unknown = "";
    /** Takes and lists, of the old version and the new, where they could be read. */
    private final List<TakesAsTheyLie> takes = new ArrayList<>();

    private ChangedPrints() {}

    static ChangedPrints between(Path old, Song was, Path now, Song is) {
        ChangedPrints prints = new ChangedPrints();
        Session session = new Session();
        Optional<Map<String, String>> before = prints.samples(old, was, session), after = before.isEmpty() ? before : prints.samples(now, is, session);
        if (after.isEmpty()) return prints;
        after.get().forEach((name, samples) -> {
            if (before.get().containsKey(name)) (before.get().get(name).equals(samples) ? prints.same : prints.changed).add(name);
        });
        return prints;
    }

    /** What stands for the samples of each print; empty where that cannot be known. */
    private Optional<Map<String, String>> samples(Path file, Song song, Session session) {
        if (song.prints().isEmpty()) return Optional.of(Map.of());
        // Why nothing is known is told, and nothing else of the takes.
        try (PlannedSong planned = PlannedSong.open(file, song, session, Threads.USUAL, line -> {})) {
            takes.add(new TakesAsTheyLie(song, planned.takes()));
            SongPlan plan = planned.plan();
            Map<String, String> samples = new LinkedHashMap<>();
            try (SongRenderer renderer = planned.renderer(plan)) {
                for (SongPlan.SongPrint p : plan.prints()) samples.put(p.name(), renderer.signature(p) + " " + cut(song, p.name()));
            }
            return Optional.of(samples);
        } catch (Refusal | ProblemsException | IOException | UncheckedIOException e) {
            String first = String.valueOf(e.getMessage()).lines().findFirst().orElse("");
            unknown = first.contains(file.toString()) ? first : file + ": " + first;
            return Optional.empty();
        }
    }

    /** How its samples are cut; integers under the dither of what is printed. */
    private static String cut(Song song, String print) {
        Song.Wanted asked = song.prints().stream().filter(w -> w.called().equals(print)).findFirst().orElseThrow();
        return asked.depth() + (asked.depth().equals(Optional.of(Song.Depth.FLOAT)) ? "" : " " + asked.name().text());
    }

    /** Takes and lists that are others, as far as that is known. */
    List<Change> takes() {
        return takes.size() < 2 ? List.of() : takes.get(1).since(takes.get(0));
    }

    /** All prints are as long as the longest, which only a render knows; what is added or goes at the end of the others is silence. */
    void say(PrintWriter out) {
        if (!unknown.isEmpty()) out.println("Which prints change is not known: " + unknown);
        else if (changed.isEmpty() && !same.isEmpty()) out.println("No print that both have changes, with takes and lists as they are now.");
        else if (!changed.isEmpty()) out.println("Prints that change: " + String.join(", ", changed)
                + (same.isEmpty() ? "" : "; the others stay the same to the bit, unless the song ends in another second: " + String.join(", ", same)));
    }

    /** Null where nothing is known. */
    JsonElement json() {
        if (!unknown.isEmpty()) return JsonNull.INSTANCE;
        JsonObject o = new JsonObject();
        o.add("changed", array(changed));
        o.add("same", array(same));
        return o;
    }

    /** Why nothing is known; empty where it is. */
    String unknown() {
        return unknown;
    }

    private static JsonArray array(List<String> names) {
        JsonArray array = new JsonArray();
        names.forEach(array::add);
        return array;
    }
}

package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import linnet.deliver.Delivery;
import linnet.deliver.WantedPrint;
import linnet.render.Rendered;
import linnet.render.SongRenderer;
import linnet.song.Song;
import linnet.weigh.Weighing;

/** What a render of a song did, as JSON: its prints, what was found by ear and at the checks, and where the time went. */
final class PrintedSong {
    private final JsonObject o = new JsonObject();
    private Song song;
    private final Map<String, Double> phases = new LinkedHashMap<>();
    private final long began = System.nanoTime();
    private long since = began;

    /** What was done since the last was done. */
    void did(String phase) {
        long now = System.nanoTime();
        phases.merge(phase, (now - since) * 1e-9, Double::sum);
        since = now;
    }

    /** Seconds so far. */
    double seconds() {
        return (System.nanoTime() - began) * 1e-9;
    }

    void song(Song song, String file, String folder, double rate, long frames) {
        this.song = song;
        o.addProperty("song", file);
        o.addProperty("folder", folder);
        Json.rate(o, rate);
        o.addProperty("frames", frames);
        o.add("prints", new JsonArray());
    }

    /** @param written false where it was there as it would be, and was left */
    void print(String name, WantedPrint wanted, SongPrints.Extent extent, double lufs, double dbtp, boolean written) {
        JsonObject print = asJson(song, song.prints().stream().filter(w -> w.called().equals(name)).findFirst().orElseThrow(), wanted.path());
        print.addProperty("channels", wanted.form().channels());
        print.addProperty("depth_bits", wanted.form().format().bits());
        print.addProperty("float", wanted.form().format().isFloat());
        double rate = wanted.form().rate(), start = wanted.form().from() / rate;
        print.addProperty("frames", extent.frames());
        print.addProperty("seconds", Json.rounded(extent.frames() / rate, 4));
        print.addProperty("start_frame", wanted.form().from());
        print.addProperty("start_s", Json.rounded(start, 4));
        print.addProperty("end_s", Json.rounded(start + extent.frames() / rate, 4));
        print.addProperty("sound_sha256", extent.sha256());
        Json.level(print, "integrated_lufs", lufs);
        Json.level(print, "true_peak_dbtp", dbtp);
        print.addProperty("written", written);
        o.getAsJsonArray("prints").add(print);
    }

    /** What a print is called, where it is and what is in it. */
    static JsonObject asJson(Song song, Song.Wanted wanted, Path file) {
        JsonObject print = new JsonObject();
        print.addProperty("name", wanted.called());
        print.addProperty("file", file.toString());
        print.addProperty("of", wanted.name().text());
        print.addProperty("what", new WhatItIs(song).kind(wanted.content()));
        return print;
    }

    /** @param files that say it; none where a part of the song was printed */
    void sheet(List<Path> files) {
        o.add("sheet", Json.strings(files.stream().map(Path::toString).toList()));
    }

    void heard(Weighing weighing, SongIntake takes, Joins joins, Followed followed, OddSettings settings) {
        o.add("takes", takes.json());
        o.add("levels", levels(weighing));
        o.add("joins", joins.json());
        o.add("muted", joins.mutedJson());
        o.add("tidied", followed.json());
        o.add("odd", settings.json());
    }

    /** Levels that were found by ear. */
    static JsonArray levels(Weighing weighing) {
        JsonArray levels = new JsonArray();
        for (Weighing.Found f : weighing.found()) {
            JsonObject level = new JsonObject();
            level.addProperty("kind", f.kind().word());
            level.addProperty("what", f.what());
            level.addProperty("value_" + f.kind().unit(), Json.rounded(f.number(), 1));
            level.addProperty("value", f.value());
            level.addProperty("why", f.why());
            levels.add(level);
        }
        return levels;
    }

    void checks(List<Delivery.Finding> findings) {
        o.add("checks", asJson(findings));
    }

    static JsonArray asJson(List<Delivery.Finding> findings) {
        JsonArray checks = new JsonArray();
        for (Delivery.Finding f : findings) {
            JsonObject check = new JsonObject();
            check.addProperty("check", f.check().word());
            check.addProperty("state", f.state().word());
            check.addProperty("text", f.text());
            checks.add(check);
        }
        return checks;
    }

    /**
     * @param found works that were taken from the store
     * @param costs of those that were made; side by side, so they may add up to more than the time that went by
     */
    void works(List<String> found, List<SongRenderer.Cost> costs) {
        JsonArray stored = new JsonArray();
        found.forEach(stored::add);
        o.add("from_store", stored);
        JsonArray works = new JsonArray();
        for (SongRenderer.Cost c : costs) {
            JsonObject work = new JsonObject();
            work.addProperty("work", c.work());
            Json.taken(work, c.seconds());
            JsonObject steps = new JsonObject();
            for (Rendered.Cost s : c.steps()) steps.addProperty(s.step(), Json.rounded(s.seconds() + s.hearingSeconds(), 6));
            work.add("seconds_by_step", steps);
            works.add(work);
        }
        o.add("made", works);
    }

    /** What was told and has no place of its own here. */
    void remarks(Remarks remarks) {
        o.add(Remarks.KEY, remarks.json());
    }

    /** On what every step did. */
    void pages(SongReporting.Pages pages) {
        o.addProperty("report", pages.index().toString());
        JsonArray warnings = new JsonArray();
        pages.warnings().forEach(warnings::add);
        o.add("warnings", warnings);
    }

    JsonObject json() {
        JsonObject times = new JsonObject();
        phases.forEach((phase, s) -> times.addProperty(phase, Json.rounded(s, 3)));
        o.add("seconds_by_phase", times);
        Json.taken(o, seconds());
        return o;
    }
}

package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.IOException;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.concurrent.ConcurrentHashMap;
import linnet.audio.WavFile;
import linnet.deliver.Delivery;
import linnet.hear.Intake;
import linnet.plan.SongPlanner;
import linnet.render.Shelf;
import linnet.render.SideBySide;
import linnet.render.Signature;
import linnet.report.Clock;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.song.Source;

/** What is odd about the takes of a song. */
final class SongIntake {
    /** In dBFS: what should be taken out. Common practice. */
    private static final double DC = -60;
    /** In seconds. */
    private static final double SAME_LENGTH = 0.01;

    /**
     * @param remarks all of them
     * @param heard those that are found in the sound itself, or against other takes: a render tells the others by itself
     */
    private record Odd(String part, WavFile file, List<String> remarks, List<String> heard) {}

    private final List<Odd> takes = new ArrayList<>();

    /** @param jobs takes that may be heard at once, 1 or more */
    SongIntake(Song song, PlannedSong planned, int jobs) throws IOException {
        SongTakes takes = planned.takes();
        Map<WavFile, String> parts = new LinkedHashMap<>();
        List<WavFile> whole = new ArrayList<>();
        Set<WavFile> played = new HashSet<>();
        for (Song.Part p : SongPlanner.parts(song)) {
            for (Source.Take t : p.source().takes()) parts.putIfAbsent(takes.file(t), p.name().text());
            if (!(p.source().unedited() instanceof Source.Clip c) || c.ends().isPresent()) continue;
            // What is edited has its ends where the edits leave them.
            if (p.source() instanceof Source.Clip) played.add(takes.file(c.take()));
            if (c.at() == 0 && !whole.contains(takes.file(c.take()))) whole.add(takes.file(c.take()));
        }
        double usual = usualLength(whole);
        TimeReferences recorded = new TimeReferences(song, takes);
        Map<WavFile, Intake> intakes = intakes(planned, parts.keySet(), jobs);
        parts.forEach((file, part) -> {
            List<String> odd = new ArrayList<>(file.header().remarks());
            if (file.rate() != takes.rate()) odd.add("converted from " + Unit.HZ.format(file.rate()) + " to " + Unit.HZ.format(takes.rate()));
            List<String> heard = new ArrayList<>();
            double off = seconds(file) - usual;
            if (whole.contains(file) && Math.abs(off) > SAME_LENGTH) {
                heard.add(String.format(Locale.ROOT, "lasts %s, %.3f s %s than most that begin with the song", Clock.of(seconds(file)), Math.abs(off),
                        off < 0 ? "less" : "more"));
            }
            // It stands at the first of its parts, and may lie there where it belongs.
            for (TimeReferences.Later l : recorded.later()) if (l.file() == file) odd.add((l.part().equals(part) ? "" : "in " + l.part() + " ") + l.told());
            heard(intakes.get(file), file.rate(), heard);
            if (played.contains(file)) cutOff(intakes.get(file), seconds(file), heard);
            odd.addAll(heard);
            this.takes.add(new Odd(part, file, odd, heard));
        });
    }

    private static Map<WavFile, Intake> intakes(PlannedSong planned, Set<WavFile> files, int jobs) throws IOException {
        Map<WavFile, Intake> intakes = new ConcurrentHashMap<>();
        List<Callable<Void>> pieces = new ArrayList<>();
        for (WavFile file : files) {
            pieces.add(() -> {
                intakes.put(file, intake(planned, file));
                return null;
            });
        }
        SideBySide.run(pieces, jobs);
        return intakes;
    }

    private static Intake intake(PlannedSong planned, WavFile file) {
        Shelf.Recollection kept = planned.shelf().recollection(Signature.ofFile(planned.takes().digest(file), planned.engine()));
        Intake intake = kept.memory().fact("intake", Intake.FORM, () -> Intake.of(file));
        try {
            file.checkUnchanged();
            kept.close();
        } catch (IOException e) {
            // What cannot be kept is heard again the next time.
        }
        return intake;
    }

    private static double seconds(WavFile file) {
        return file.frames() / file.rate();
    }

    /** What at least half of them last, two or more; not a number where they have nothing in common. */
    private static double usualLength(List<WavFile> files) {
        for (WavFile one : files) {
            long same = files.stream().filter(o -> Math.abs(seconds(o) - seconds(one)) <= SAME_LENGTH).count();
            if (same >= 2 && 2 * same >= files.size()) return seconds(one);
        }
        return Double.NaN;
    }

    private static void heard(Intake heard, double rate, List<String> odd) {
        if (heard.silent()) {
            odd.add("nothing is on it");
            return;
        }
        if (heard.sides() == Intake.Sides.ALIKE) odd.add("both channels are alike: mono saved as stereo");
        if (heard.sides() == Intake.Sides.LEFT_ALONE) odd.add("nothing is on its right channel");
        if (heard.sides() == Intake.Sides.RIGHT_ALONE) odd.add("nothing is on its left channel");
        if (heard.sides() == Intake.Sides.OPPOSED) odd.add(Intake.OPPOSING);
        int clipped = heard.clipped().size();
        if (clipped > 0) {
            odd.add("clipped in " + clipped + (clipped == 1 ? " place" : " places") + ", " + (clipped == 1 ? "" : "first ") + "at "
                    + Clock.of(heard.clipped().get(0).from() / rate));
        }
        if (heard.dc() > DC) odd.add(String.format(Locale.ROOT, "a DC offset of %.0f dBFS: a high-pass at 20 Hz takes it out", heard.dc()));
    }

    /** What begins or ends in the middle of a sound: only spans of a file are faded. */
    private static void cutOff(Intake heard, double seconds, List<String> odd) {
        if (heard.begins() > Delivery.CLICK_DBFS) {
            odd.add(String.format(Locale.ROOT, "begins in the middle of a sound, at %.0f dBFS, which clicks: 'from: 0.001 s' in its part fades it in",
                    heard.begins()));
        }
        if (heard.ends() > Delivery.CLICK_DBFS) {
            odd.add(String.format(Locale.ROOT, "ends in the middle of a sound, at %.0f dBFS, which clicks: 'to: %.3f s' in its part fades it out", heard.ends(),
                    Math.floor(1000 * seconds) / 1000));
        }
    }

    /** For a render, which tells by itself what its files say: what was heard of them, a line each. */
    List<String> heard() {
        return takes.stream().flatMap(t -> t.heard.stream().map(remark -> t.part + ": " + t.file.path().getFileName() + ": " + remark)).toList();
    }

    void say(PrintWriter out) {
        if (takes.stream().allMatch(t -> t.remarks.isEmpty())) return;
        out.println();
        out.println("Takes:");
        for (Odd t : takes) for (String remark : t.remarks) out.printf("  %-16s %s: %s%n", t.part, t.file.path().getFileName(), remark);
    }

    JsonArray json() {
        JsonArray array = new JsonArray();
        for (Odd t : takes) {
            JsonObject o = new JsonObject();
            o.addProperty("part", t.part);
            o.addProperty("take", t.file.path().getFileName().toString());
            Json.rate(o, t.file.rate());
            o.addProperty("channels", t.file.channels());
            o.addProperty("seconds", Json.rounded(seconds(t.file), 3));
            JsonArray odd = new JsonArray();
            t.remarks.forEach(odd::add);
            o.add("odd", odd);
            array.add(o);
        }
        return array;
    }
}

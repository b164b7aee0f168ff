package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import linnet.report.Clock;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.song.Source;

/** What each part sings, from where, and what is done to that before its chain: in the words of {@code check} and of the sheet. */
record Sung(SongTakes takes) {
    /** In a line: takes, where they lie in the song, and how they are turned. */
    String words(Song.Part part) {
        return words(part.source()) + (part.flipped() ? ", polarity flipped" : "");
    }

    /** What belongs to that: ranges of a comp, and edits; a line each. */
    List<String> lines(Song.Part part) {
        List<String> lines = new ArrayList<>();
        if (part.source().unedited() instanceof Source.Comp comp) {
            for (int r = 0; r < comp.ranges().size(); r++) lines.add(words(comp.ranges().get(r), next(comp, r)));
        }
        lines.addAll(Edits.of(part));
        return lines;
    }

    /** The same for a script: {@code take}, {@code comp} or {@code from}, with the seconds of the song from which and to which each sounds. */
    JsonObject json(Song.Part part) {
        JsonObject o = new JsonObject();
        o.addProperty("name", part.name().text());
        Source source = part.source().unedited();
        if (source instanceof Source.Print print) {
            o.addProperty("from", print.part().text());
        } else if (source instanceof Source.Comp comp) {
            JsonArray ranges = new JsonArray();
            for (int r = 0; r < comp.ranges().size(); r++) {
                Source.Range range = comp.ranges().get(r);
                JsonObject one = new JsonObject();
                take(range.take(), range.from(), end(range, next(comp, r)), one);
                ranges.add(one);
            }
            o.add("comp", ranges);
        } else {
            Source.Clip clip = (Source.Clip) source;
            take(clip.take(), clip.at(), clip.at() + end(clip) - clip.from(), o);
        }
        o.addProperty("sung", words(part));
        return o;
    }

    private static void take(Source.Take take, double from, double to, JsonObject into) {
        into.addProperty("take", take.named().text());
        into.addProperty("from_s", Json.rounded(from, 4));
        into.addProperty("to_s", Json.rounded(to, 4));
    }

    /** Second of its file at which it ends. */
    private double end(Source.Clip clip) {
        return Math.min(clip.to(), takes.seconds(clip.take()));
    }

    /** Second of the song at which a range ends. */
    private double end(Source.Range r, double next) {
        return Math.min(Math.min(r.to(), next), r.at() + takes.seconds(r.take()));
    }

    /** Second at which the next range begins. */
    private static double next(Source.Comp comp, int range) {
        return range + 1 < comp.ranges().size() ? comp.ranges().get(range + 1).from() : Double.POSITIVE_INFINITY;
    }

    private String words(Source source) {
        if (source instanceof Source.Edited e) {
            String nudged = e.later() == 0 ? "" : String.format(Locale.ROOT, ", %.1f ms %s", 1000 * Math.abs(e.later()), e.later() > 0 ? "later" : "earlier");
            return words(e.of()) + nudged + (e.edits().isEmpty() ? "" : ", " + e.edits().size() + (e.edits().size() == 1 ? " edit" : " edits"));
        }
        if (source instanceof Source.Print print) return "what '" + print.part().text() + "' comes to";
        if (source instanceof Source.Comp comp) {
            return "a comp of " + comp.ranges().size() + (comp.ranges().size() == 1 ? " range" : " ranges") + ", from " + Clock.of(comp.ranges().get(0).from());
        }
        Source.Clip clip = (Source.Clip) source;
        double to = end(clip);
        String span = clip.ends().isEmpty() ? "" : " (" + Clock.of(clip.from()) + " to " + Clock.of(to) + " of it)";
        return clip.take().named().text() + span + ", from " + Clock.of(clip.at()) + " to " + Clock.of(clip.at() + to - clip.from());
    }

    /** @param next second at which the next range begins */
    private String words(Source.Range r, double next) {
        double to = end(r, next);
        return r.take().named().text() + ", from " + Clock.of(r.from()) + " to " + Clock.of(to)
                + (r.at() == 0 ? "" : ", its take begins at " + Clock.of(r.at()))
                + (r.fade() == 0 ? "" : ", fade " + Unit.MS.format(1000 * r.fade())) + (r.exact() ? ", kept where it is" : "")
                + (r.into() == 0 ? "" : ", " + Unit.DB.format(r.into()) + " into the comp");
    }
}

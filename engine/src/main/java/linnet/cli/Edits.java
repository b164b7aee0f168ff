package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.util.List;
import linnet.plan.SongPlanner;
import linnet.report.Clock;
import linnet.song.Edit;
import linnet.song.Place;
import linnet.song.Song;
import linnet.song.Source;

/** What the edits of a song's parts do, and where each begins and ends. */
record Edits(Song song) {
    /**
     * @param what it does: left, muted, faded in, faded out, taken out
     * @param marks the words of the text, of an edit that goes by marks; else empty
     * @param where none for all of the part
     */
    private record Description(String what, String marks, List<Place.Range> where) {
        static Description of(Edit edit) {
            if (edit instanceof Edit.Only only) return new Description("left", "", only.where());
            if (edit instanceof Edit.Mute mute) return new Description("muted", "", mute.where());
            if (edit instanceof Edit.Fade fade) return new Description(fade.in() ? "faded in" : "faded out", "", List.of(fade.where()));
            if (edit instanceof Edit.Close close) return new Description("taken out", "", List.of(close.where()));
            Edit.Marked marked = (Edit.Marked) edit;
            return new Description("muted", marked.what().text(), marked.where().stream().filter(r -> r.to() < Double.POSITIVE_INFINITY).toList());
        }

        String line() {
            String stretches = String.join(", ", where.stream().map(r -> Clock.of(r.from()) + " to " + Clock.of(r.to())).toList());
            return what + ": " + marks + (marks.isEmpty() || stretches.isEmpty() ? "" : ", ") + stretches;
        }

        JsonObject json(String part) {
            JsonObject o = new JsonObject();
            o.addProperty("part", part);
            o.addProperty("what", what);
            if (!marks.isEmpty()) o.addProperty("marks", marks);
            JsonArray all = new JsonArray();
            for (Place.Range r : where) {
                JsonObject stretch = new JsonObject();
                stretch.addProperty("from_s", Json.rounded(r.from(), 4));
                stretch.addProperty("to_s", Json.rounded(r.to(), 4));
                all.add(stretch);
            }
            o.add("where", all);
            return o;
        }
    }

    private static List<Description> told(Song.Part part) {
        return part.source() instanceof Source.Edited e ? e.edits().stream().map(Description::of).toList() : List.of();
    }

    /** One line for each edit of a part. */
    static List<String> of(Song.Part part) {
        return told(part).stream().map(Description::line).toList();
    }

    JsonArray json() {
        JsonArray array = new JsonArray();
        for (Song.Part p : SongPlanner.parts(song)) told(p).forEach(t -> array.add(t.json(p.name().text())));
        return array;
    }
}

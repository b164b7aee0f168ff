package linnet.cli;

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
            for (int r = 0; r < comp.ranges().size(); r++) {
                double next = r + 1 < comp.ranges().size() ? comp.ranges().get(r + 1).from() : Double.POSITIVE_INFINITY;
                lines.add(words(comp.ranges().get(r), next));
            }
        }
        lines.addAll(Edits.of(part));
        return lines;
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
        double to = Math.min(clip.to(), takes.seconds(clip.take()));
        String span = clip.ends().isEmpty() ? "" : " (" + Clock.of(clip.from()) + " to " + Clock.of(to) + " of it)";
        return clip.take().named().text() + span + ", from " + Clock.of(clip.at()) + " to " + Clock.of(clip.at() + to - clip.from());
    }

    /** @param next second at which the next range begins */
    private String words(Source.Range r, double next) {
        double to = Math.min(Math.min(r.to(), next), r.at() + takes.seconds(r.take()));
        return r.take().named().text() + ", from " + Clock.of(r.from()) + " to " + Clock.of(to)
                + (r.at() == 0 ? "" : ", its take begins at " + Clock.of(r.at()))
                + (r.fade() == 0 ? "" : ", fade " + Unit.MS.format(1000 * r.fade())) + (r.exact() ? ", kept where it is" : "")
                + (r.into() == 0 ? "" : ", " + Unit.DB.format(r.into()) + " into the comp");
    }
}

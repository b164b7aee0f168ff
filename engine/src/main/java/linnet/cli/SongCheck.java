package linnet.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import linnet.plan.SongPlanner;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.song.Source;
import linnet.song.Timeline;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import linnet.text.Word;

/** What {@code check} says of a song. */
final class SongCheck {
    private SongCheck() {}

    /** Says what is wrong with a song, or where its sections lie and what sounds in it. */
    static void check(Path file, PrintWriter out) throws ProblemsException, IOException {
        Song song = SongReader.read(file, Builtins.catalogue());
        try (SongTakes takes = SongTakes.open(song, out)) {
            List<String> notes = SongPlanner.plan(song, takes.rate(), takes.channels()).notes();
            print(file, song, takes, out);
            notes.forEach(out::println);
        }
    }

    private static void print(Path file, Song song, SongTakes takes, PrintWriter out) {
        out.println(file + ": nothing wrong");
        out.println();
        for (Timeline.Section s : song.time().sections()) {
            double at = song.time().start(s.from());
            out.printf(Locale.ROOT, "  %-16s bar %3d  %s%n", s.name(), s.from(), clock(at));
        }
        out.println();
        for (Song.Part p : SongPlanner.parts(song)) out.printf(Locale.ROOT, "  %-16s %s%s%n", p.name().text(), source(p.source(), takes), feeds(p.sends()));
        for (Song.Group g : song.groups()) out.printf("  %-16s %s%s%n", g.name().text(), String.join(", ", g.parts().stream().map(Word::text).toList()), feeds(g.sends()));
        for (Song.Return r : song.returns()) out.printf("  %-16s a return%n", r.name().text());
        out.println();
        out.println("Prints: " + (song.prints().isEmpty() ? "none" : String.join(", ", song.prints().stream().map(w -> w.name().text()).toList())));
    }

    private static String source(Source source, SongTakes takes) {
        Source.Clip clip = (Source.Clip) source;
        double length = Math.min(clip.to(), takes.seconds(clip.take())) - clip.from();
        return clip.take().named().text() + ", from " + clock(clip.at()) + " to " + clock(clip.at() + length);
    }

    private static String feeds(List<Song.Send> sends) {
        return sends.isEmpty() ? "" : "; sends to " + String.join(", ", sends.stream().map(s -> s.to().text() + " " + Unit.DB.format(s.level())).toList());
    }

    private static String clock(double seconds) {
        return String.format(Locale.ROOT, "%d:%06.3f", (int) (seconds / 60), seconds % 60);
    }
}

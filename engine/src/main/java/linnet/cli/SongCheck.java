package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.render.SideBySide;
import linnet.render.SongFindings;
import linnet.render.SongRenderer;
import linnet.report.Clock;
import linnet.setting.Unit;
import linnet.song.Excepted;
import linnet.song.Place;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.song.Timeline;
import linnet.step.Catalogue;
import linnet.text.ProblemsException;
import linnet.text.Word;
import linnet.weigh.PartMarks;
import linnet.weigh.ThrowPlaces;
import linnet.weigh.Weighing;

/** What {@code check} says of a song. */
final class SongCheck {
    private SongCheck() {}

    /**
     * Says what is wrong with a song, or where its sections lie and what sounds in it.
     *
     * @param steps the steps there are, asked for once its text is read
     * @param err for what is known of the takes of a song that is refused for one of them
     */
    static void check(Path file, Supplier<Catalogue> steps, boolean json, PrintWriter out, PrintWriter err) throws ProblemsException, IOException {
        Cues cues = new Cues();
        Song song = SongReader.read(file, steps, cues);
        // The intake goes by nothing that is found of the song.
        try (PlannedSong planned = PlannedSong.open(file, song, new Session(), Threads.USUAL, err::println);
                SideBySide.Begun<SongIntake> odd = SideBySide.begin(() -> new SongIntake(song, planned, Threads.USUAL))) {
            SongTakes takes = planned.takes();
            List<String> remarks = new ArrayList<>();
            SongRemarks told = new SongRemarks(remarks::add);
            SongPlan plan = told.plan(song, planned);
            Weighing weighing = planned.weighing();
            List<ThrowPlaces.Suggestion> throwable = throwable(planned.aiming().song(), planned.marks(), takes.rate());
            Joins joins;
            Followed followed;
            OddSettings settings;
            SongIntake intake;
            try (SongRenderer renderer = planned.renderer(plan)) {
                SongFindings findings = renderer.findings();
                joins = new Joins(findings.joins(), findings.mutes(), takes.rate());
                followed = new Followed(findings.followed(true), song, takes.rate());
                settings = new OddSettings(findings.odd(true));
                told.found(planned, findings);
                intake = odd.get();
                findings.unheard().check();
            }
            Reads reads = new Reads(file).texts(song.label().texts().keySet()).sounds(takes.paths()).sounds(cues.files());
            for (int t = 0; t < takes.paths().size(); t++) reads.lists(takes.lists(t).keySet());
            if (json) {
                JsonObject all = asJson(song, plan, weighing, throwable, joins, followed, settings, intake);
                strips(planned.song(), takes, all);
                all.add(Remarks.KEY, Json.strings(remarks));
                all.add("reads", reads.json());
                out.println(Json.of(all));
                return;
            }
            // Handed on in one piece: what goes to a terminal goes there line by line.
            StringWriter text = new StringWriter();
            PrintWriter page = new PrintWriter(text);
            print(file, planned.song(), takes, page);
            intake.say(page);
            SongJob.levels(weighing, page);
            joins.say(page);
            followed.say(page, true);
            settings.lines().forEach(page::println);
            remarks.forEach(page::println);
            Optional<String> wants = ThrowPlaces.wants(song);
            if (!throwable.isEmpty()) page.printf("%nGood words to throw%s:%n", wants.isPresent() ? ", once there is a return for them" : "");
            if (!throwable.isEmpty()) wants.ifPresent(w -> page.println("  " + w));
            throwable.forEach(t -> page.println("  " + t.line() + "  # " + t.why()));
            reads.say(page);
            out.print(text);
            out.flush();
        }
    }

    /** Of what is thrown already, else of the first part: that is the lead. */
    private static List<ThrowPlaces.Suggestion> throwable(Song song, PartMarks marks, double rate) throws ProblemsException, IOException {
        List<String> parts = song.thrown().isEmpty() ? List.of(song.parts().get(0).name().text()) : song.thrown().stream().map(t -> t.part().text()).distinct()
                .toList();
        List<ThrowPlaces.Suggestion> found = new ArrayList<>();
        for (String part : parts) marks.of(part).ifPresent(m -> found.addAll(new ThrowPlaces(song, rate).in(part, m)));
        return found;
    }

    private static JsonObject asJson(Song song, SongPlan plan, Weighing weighing, List<ThrowPlaces.Suggestion> throwable, Joins joins, Followed followed,
            OddSettings settings, SongIntake intake) {
        JsonObject o = new JsonObject();
        o.addProperty("song", song.title());
        o.addProperty("about", song.label().credits().about());
        JsonObject credits = new JsonObject();
        song.label().credits().rows().forEach((row, lines) -> credits.add(row, Json.strings(lines)));
        o.add("credits", credits);
        Json.rate(o, plan.rate());
        JsonArray sections = new JsonArray();
        for (Timeline.Section s : song.time().sections()) {
            JsonObject section = new JsonObject();
            section.addProperty("name", s.name());
            section.addProperty("bar", s.from());
            section.addProperty("start_s", Json.rounded(song.time().start(s.from()), 4));
            section.addProperty("end_s", Json.rounded(song.time().start(s.to()), 4));
            sections.add(section);
        }
        o.add("sections", sections);
        o.add("takes", intake.json());
        o.add("levels", PrintedSong.levels(weighing));
        JsonArray words = new JsonArray();
        for (ThrowPlaces.Suggestion t : throwable) {
            JsonObject word = new JsonObject();
            word.addProperty("at_s", Json.rounded(t.seconds(), 3));
            word.addProperty("line", t.line());
            word.addProperty("why", t.why());
            words.add(word);
        }
        o.add("throwable", words);
        if (!throwable.isEmpty()) ThrowPlaces.wants(song).ifPresent(w -> o.addProperty("throwable_wants", w));
        JsonArray layers = new JsonArray();
        for (Song.Group g : song.groups()) if (g.spread().isPresent()) for (Word part : g.parts()) layers.add(layer(song, g, part.text()));
        o.add("layers", layers);
        o.add("edits", new Edits(song).json());
        o.add("joins", joins.json());
        o.add("muted", joins.mutedJson());
        o.add("tidied", followed.json());
        o.add("odd", settings.json());
        return o;
    }

    /**
     * Who sings what and goes where, and what is printed of it.
     *
     * @param song with levels where it had wishes
     */
    private static void strips(Song song, SongTakes takes, JsonObject into) {
        Sung sung = new Sung(takes);
        JsonArray parts = new JsonArray(), groups = new JsonArray(), returns = new JsonArray(), prints = new JsonArray();
        for (Song.Part p : SongPlanner.parts(song)) {
            JsonObject part = sung.json(p);
            part.addProperty("group", song.groupOf(p).map(g -> g.name().text()).orElse(null));
            part.add("sends", sends(p.sends()));
            parts.add(part);
        }
        for (Song.Group g : song.groups()) {
            JsonObject group = new JsonObject();
            group.addProperty("name", g.name().text());
            group.add("parts", Json.strings(g.parts().stream().map(Word::text).toList()));
            group.add("sends", sends(g.sends()));
            groups.add(group);
        }
        for (Song.Return r : song.returns()) {
            JsonObject one = new JsonObject();
            one.addProperty("name", r.name().text());
            returns.add(one);
        }
        for (Song.Wanted w : song.prints()) {
            JsonObject print = PrintedSong.asJson(song, w, Path.of(song.fileName(w) + ".wav"));
            print.addProperty("from_s", w.range().map(r -> Json.rounded(r.from(), 4)).orElse(null));
            print.addProperty("to_s", w.range().map(Place.Range::to).filter(Double::isFinite).map(to -> Json.rounded(to, 4)).orElse(null));
            prints.add(print);
        }
        into.add("parts", parts);
        into.add("groups", groups);
        into.add("returns", returns);
        into.add("prints", prints);
    }

    private static JsonArray sends(List<Song.Send> sends) {
        JsonArray array = new JsonArray();
        for (Song.Send s : sends) {
            JsonObject send = new JsonObject();
            send.addProperty("to", s.to().text());
            Json.level(send, "level_db", s.level());
            array.add(send);
        }
        return array;
    }

    private static void print(Path file, Song song, SongTakes takes, PrintWriter out) {
        out.println(file + ": nothing wrong");
        out.println();
        for (Timeline.Section s : song.time().sections()) {
            double at = song.time().start(s.from());
            out.printf(Locale.ROOT, "  %-16s bar %3d  %s%n", s.name(), s.from(), Clock.of(at));
        }
        out.println();
        Sung sung = new Sung(takes);
        for (Song.Part p : SongPlanner.parts(song)) {
            out.printf(Locale.ROOT, "  %-16s %s%s%s%s%n", p.name().text(), sung.words(p), dealt(song, p),
                    Excepted.words(song, p).map("; "::concat).orElse(""), feeds(p.sends()));
            sung.lines(p).forEach(line -> out.println("                     " + line));
        }
        for (Song.Group g : song.groups()) {
            List<String> members = new Members(g.parts().stream().map(Word::text).toList()).lines(feeds(g.sends()));
            for (int k = 0; k < members.size(); k++) out.printf("  %-16s %s%n", k == 0 ? g.name().text() : "", members.get(k));
        }
        for (Song.Return r : song.returns()) out.printf("  %-16s a return%n", r.name().text());
        out.println();
        out.println("Prints: " + (song.prints().isEmpty() ? "none" : String.join(", ", song.prints().stream().map(SongCheck::print).toList())));
    }

    /** What it is called; of what has a name of its own or is a stretch also what that is. */
    private static String print(Song.Wanted w) {
        String stretch = w.range().map(r -> " from " + Clock.of(r.from()) + (r.to() == Double.POSITIVE_INFINITY ? "" : " to " + Clock.of(r.to()))).orElse("");
        if (w.called().equals(w.name().text())) return w.called() + stretch;
        return w.called() + " (" + w.name().text() + stretch + ")";
    }

    /** Where a layer lies of a group that deals its layers to both sides. */
    private static String dealt(Song song, Song.Part part) {
        return song.groups().stream().filter(g -> g.spread().isPresent() && g.parts().stream().anyMatch(p -> p.text().equals(part.name().text())))
                .map(g -> "; " + Unit.PAN.format(part.fader().pan())).collect(Collectors.joining());
    }

    private static JsonObject layer(Song song, Song.Group group, String part) {
        JsonObject layer = new JsonObject();
        layer.addProperty("part", part);
        layer.addProperty("group", group.name().text());
        double pan = SongPlanner.parts(song).stream().filter(p -> p.name().text().equals(part)).findFirst().orElseThrow().fader().pan();
        layer.addProperty("pan_percent", Json.rounded(pan, 2));
        return layer;
    }

    private static String feeds(List<Song.Send> sends) {
        return sends.isEmpty() ? "" : "; sends to " + String.join(", ", sends.stream().map(s -> s.to().text() + " " + Unit.DB.format(s.level())).toList());
    }
}

package linnet.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.render.SongRenderer;
import linnet.revision.Change;
import linnet.revision.Version;
import linnet.song.Place;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.song.Source;
import linnet.song.Timeline;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;

/** Renders a song whenever it, one of its chains or one of its takes was saved. */
final class Watching {
    /** The stretch that changed, of the mix, before all of it is printed. */
    static final String CHANGED = "changed.wav";

    private final Path file;
    private final Path folder;
    private final SampleFormat format;
    private final int jobs;
    private final PrintWriter out, err;
    private final Session session = new Session();
    /** Files that the song is made from, with what tells whether they were saved again. */
    private Map<Path, String> seen = Map.of();
    private Optional<Version> before = Optional.empty();
    private Place.Range last;

    Watching(Path file, Path folder, SampleFormat format, int jobs, PrintWriter out, PrintWriter err) {
        this.file = file;
        this.folder = folder;
        this.format = format;
        this.jobs = jobs;
        this.out = out;
        this.err = err;
    }

    /** Renders what a change touches; does nothing where nothing was saved since the last look. */
    boolean look() throws IOException {
        if (!seen.isEmpty() && seen.equals(stamps(seen.keySet()))) return false;
        try {
            Song song = SongReader.read(file, Builtins.catalogue(), new Cues());
            // Noted before it is rendered, so that what is saved meanwhile is seen.
            seen = stamps(files(song));
            Version now = Version.of(file, song);
            List<Change> changes = before.map(now::since).orElse(List.of());
            changes.forEach(c -> out.println(c.sentence()));
            if (before.isPresent() && song.prints().stream().noneMatch(w -> song.fileName(w).equals("changed"))) preview(song, stretch(song, changes));
            out.flush();
            new SongJob(file, folder, format, true, jobs, err).with(session).render(out);
            before = Optional.of(now);
        } catch (ProblemsException | Refusal e) {
            err.println(e.getMessage());
            if (seen.isEmpty()) seen = stamps(List.of(file));
            else seen = stamps(seen.keySet());
        }
        out.flush();
        err.flush();
        return true;
    }

    private static List<Path> files(Song song) {
        List<Path> files = new ArrayList<>(song.label().texts());
        for (Song.Part p : SongPlanner.parts(song)) for (Source.Take t : p.source().takes()) files.add(t.path());
        return files;
    }

    /** A file that is not there has a stamp too: it may come back. */
    private static Map<Path, String> stamps(Iterable<Path> files) throws IOException {
        Map<Path, String> stamps = new HashMap<>();
        for (Path f : files) stamps.put(f, Files.exists(f) ? Files.size(f) + " " + Files.getLastModifiedTime(f) : "");
        return stamps;
    }

    /** The first stretch that a change names; where all of the song is another, the one that was heard last, or else the longest section. */
    private Place.Range stretch(Song song, List<Change> changes) {
        Optional<Place.Range> named = changes.stream().flatMap(c -> List.of(c.where().split(", ")).stream()).flatMap(w -> Place.named(song.time(), w).stream()).min(Comparator.comparingDouble(Place.Range::from));
        Place.Range longest = song.time().sections().stream().max(Comparator.comparingInt((Timeline.Section s) -> s.to() - s.from()).thenComparing(Comparator.comparingInt((Timeline.Section s) -> s.from()).reversed()))
                .map(s -> new Place.Range(song.time().start(s.from()), song.time().start(s.to()))).orElse(new Place.Range(0, 10));
        last = named.orElse(last == null ? longest : last);
        return last;
    }

    private void preview(Song song, Place.Range stretch) throws ProblemsException, IOException {
        long began = System.nanoTime();
        PrintWriter quiet = new PrintWriter(new StringWriter());
        try (PlannedSong planned = PlannedSong.open(file, song, session, jobs, quiet).turned(session.turned())) {
            SongTakes takes = planned.takes();
            Song.Wanted mix = new Song.Wanted(SongPlanner.parts(song).get(0).name(), new Song.Content.Mix(true), "mix", Optional.of(stretch), Optional.empty());
            SongPlan plan = planned.plan(mix);
            long from = Math.round(stretch.from() * takes.rate()), to = Math.round(stretch.to() * takes.rate());
            Files.createDirectories(folder);
            Print form = Print.of((int) takes.rate(), 2, SampleFormat.INT_24).overwriting().sparing(takes.paths());
            try (SongRenderer renderer = planned.renderer(plan);
                    WavWriter writer = WavWriter.create(folder.resolve(CHANGED), form)) {
                renderer.preview(from, to, session.heard(), writer::write);
                writer.finish();
            }
            out.printf(Locale.ROOT, "  %s: %.1f s to %.1f s of the mix, ready after %.2f s%n", folder.resolve(CHANGED), stretch.from(), stretch.to(), (System.nanoTime() - began) * 1e-9);
        }
    }
}

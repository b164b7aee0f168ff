package linnet.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.list.MarksFile;
import linnet.list.NotesFile;
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
import linnet.song.Wishes;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;

/** Renders a song whenever it, one of its chains, one of its takes or a list beside one was saved. */
final class Watching {
    /** The stretch that changed, of the mix, before all of it is printed. */
    static final String CHANGED = "changed.wav";
    /** How long a text, or a sound, stays as it is before it is taken for whole, in nanoseconds: who exports writes on within less. */
    private static final long TEXT_NS = 30_000_000, SOUND_NS = 500_000_000;
    /** How long it goes on being saved before somebody may wonder why nothing happens. */
    private static final long PATIENCE_NS = 3_000_000_000L;

    private final Path file;
    private final Path folder;
    private final SampleFormat format;
    private final int jobs;
    private final PrintWriter out, err;
    private Watched told;
    private final Session session = new Session();
    /** Files that the song is made from, with what tells whether they were saved again. */
    private Map<Path, String> seen = Map.of();
    /** What is being saved, and since when it stays as it is. */
    private Map<Path, String> coming = Map.of();
    private long came;
    /** When the first of it came, and whether that was told. */
    private long began;
    private boolean isWaiting;
    private Optional<Version> before = Optional.empty();
    private Place.Range last;
    /** By what the samples of the last mix are known again. */
    private String mix = "";

    Watching(Path file, Path folder, SampleFormat format, int jobs, PrintWriter out, PrintWriter err) {
        this.file = file;
        this.folder = folder;
        this.format = format;
        this.jobs = jobs;
        this.out = out;
        this.err = err;
        told = new WatchedInWords(out);
    }

    /** Asks for all that is told as JSON, an object a line. */
    Watching asJson(boolean json) {
        told = json ? new WatchedAsLines(out) : new WatchedInWords(out);
        return this;
    }

    /** Renders what a change touches, once what was saved stays as it is for a moment; does nothing where nothing was saved since the last time. */
    boolean look() {
        if (!seen.isEmpty() && !isSaved()) return false;
        coming = Map.of();
        // Noted before anything is read, so that what is saved meanwhile is seen, be it that the render fails.
        Map<Path, String> now = stamps(seen.keySet());
        note(List.of(file), now);
        Cues cues = new Cues();
        try {
            Song song = SongReader.read(file, Builtins.catalogue(), cues);
            List<Path> files = files(song, cues);
            note(files, now);
            now.keySet().retainAll(files);
            render(song);
        } catch (ProblemsException e) {
            note(e.texts(), now);
            note(cues.files(), now);
            fail(e);
        } catch (Refusal | IOException | UncheckedIOException e) {
            fail(e);
        }
        seen = now;
        out.flush();
        err.flush();
        return true;
    }

    private void fail(Exception e) {
        Fault fault = Fault.of(e);
        fault.say(err);
        told.failed(fault);
    }

    /** A sound that is exported now is not read before it has come to its end; of a text half of it would be a slip. */
    private boolean isSaved() {
        Map<Path, String> now = stamps(seen.keySet());
        if (now.equals(seen)) {
            coming = Map.of();
            return false;
        }
        if (!now.equals(coming)) {
            came = System.nanoTime();
            if (coming.isEmpty()) {
                began = came;
                isWaiting = false;
            } else if (!isWaiting && came - began > PATIENCE_NS) {
                isWaiting = true;
                told.waiting(different(now, coming));
            }
            coming = now;
            return false;
        }
        boolean sound = now.entrySet().stream()
                .anyMatch(e -> !e.getValue().equals(seen.get(e.getKey())) && e.getKey().toString().toLowerCase(Locale.ROOT).endsWith(".wav"));
        return System.nanoTime() - came > (sound ? SOUND_NS : TEXT_NS);
    }

    private static List<Path> different(Map<Path, String> now, Map<Path, String> before) {
        return now.keySet().stream().filter(f -> !now.get(f).equals(before.get(f))).sorted().toList();
    }

    private void render(Song song) throws ProblemsException, IOException {
        Version now = Version.of(file, song);
        List<Change> changes = before.map(now::since).orElse(List.of());
        told.begun(changes);
        // Where capitals do not count in the names of files, a print of that name would be replaced.
        if (before.isPresent() && song.prints().stream().noneMatch(w -> (song.fileName(w) + ".wav").equalsIgnoreCase(CHANGED))) {
            preview(song, stretch(song, changes));
        }
        out.flush();
        told.telling(new SongJob(file, folder, format, true, jobs, err).with(session)).render(song, out);
        before = Optional.of(now);
        try (PlannedSong planned = planned(song)) {
            mix = mix(song, planned);
        }
    }

    /** As loud as the last mix was found to be; what should be known of the takes the render says. */
    private PlannedSong planned(Song song) throws ProblemsException, IOException {
        return PlannedSong.open(file, song, session, jobs, err::println).turned(session.turned());
    }

    private static String mix(Song song, PlannedSong planned) throws ProblemsException, IOException {
        SongPlan plan = planned.plan(mix(song, Optional.empty()));
        try (SongRenderer renderer = planned.renderer(plan)) {
            // The gain that makes it as loud as is wished is still that of the last mix.
            return renderer.signature(plan.prints().get(0)) + song.wishes().loud().map(Wishes.Loud::lufs);
        }
    }

    private static Song.Wanted mix(Song song, Optional<Place.Range> stretch) {
        return new Song.Wanted(SongPlanner.parts(song).get(0).name(), new Song.Content.Mix(true), "mix", stretch, Optional.empty());
    }

    private List<Path> files(Song song, Cues cues) {
        List<Path> files = new ArrayList<>(song.label().texts().keySet());
        files.add(file);
        files.addAll(cues.files());
        for (Song.Part p : SongPlanner.parts(song)) {
            for (Source.Take t : p.source().takes()) files.addAll(List.of(t.path(), MarksFile.beside(t.path()), NotesFile.beside(t.path())));
        }
        return files;
    }

    /** Those that are noted already keep what is noted. */
    private static void note(Collection<Path> files, Map<Path, String> into) {
        stamps(files).forEach(into::putIfAbsent);
    }

    /** A file that is not there has a stamp too: it may come back. */
    private static Map<Path, String> stamps(Collection<Path> files) {
        Map<Path, String> stamps = new HashMap<>();
        for (Path f : files) {
            try {
                stamps.put(f, Files.size(f) + " " + Files.getLastModifiedTime(f));
            } catch (IOException e) {
                stamps.put(f, "");
            }
        }
        return stamps;
    }

    /** The first stretch that a change names; where all of the song is another, the one that was heard last, or else the longest section. */
    private Place.Range stretch(Song song, List<Change> changes) {
        Optional<Place.Range> named = changes.stream().flatMap(c -> List.of(c.where().split(", ")).stream()).flatMap(w -> Place.named(song.time(), w).stream())
                .min(Comparator.comparingDouble(Place.Range::from));
        Place.Range longest = song.time().sections().stream()
                .max(Comparator.comparingInt((Timeline.Section s) -> s.to() - s.from())
                        .thenComparing(Comparator.comparingInt((Timeline.Section s) -> s.from()).reversed()))
                .map(s -> new Place.Range(song.time().start(s.from()), song.time().start(s.to()))).orElse(new Place.Range(0, 10));
        last = named.orElse(last == null ? longest : last);
        return last;
    }

    private void preview(Song song, Place.Range stretch) throws ProblemsException, IOException {
        long began = System.nanoTime();
        try (PlannedSong planned = planned(song)) {
            if (mix(song, planned).equals(mix)) {
                told.same();
                return;
            }
            SongTakes takes = planned.takes();
            SongPlan plan = planned.plan(mix(song, Optional.of(stretch)));
            long from = Math.round(stretch.from() * takes.rate()), to = Math.round(stretch.to() * takes.rate());
            Files.createDirectories(folder);
            Print form = Print.of((int) takes.rate(), 2, format).overwriting().sparing(takes.paths());
            try (SongRenderer renderer = planned.renderer(plan);
                    WavWriter writer = WavWriter.create(folder.resolve(CHANGED), form)) {
                renderer.preview(from, to, session.heard(), writer::write);
                writer.finish();
            }
            told.ready(folder.resolve(CHANGED), stretch, (System.nanoTime() - began) * 1e-9);
        }
    }
}

package linnet.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.OptionalDouble;
import java.util.function.Consumer;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.render.Shelf;
import linnet.render.Signature;
import linnet.render.SongRenderer;
import linnet.render.Sums;
import linnet.song.Song;
import linnet.song.Timeline;
import linnet.store.Store;
import linnet.text.ProblemsException;
import linnet.text.SourceText;
import linnet.weigh.Aiming;
import linnet.weigh.PartMarks;
import linnet.weigh.RenderedScales;
import linnet.weigh.Weighing;

/**
 * A song with its takes open, and what comes of it step by step: throws put where words are sung, levels found by ear, the plan. Each is made when it is
 * first asked for, and goes by what the store beside the song remembers.
 */
final class PlannedSong implements AutoCloseable {
    /** What the store beside a song may hold: some versions of a song of a dozen parts. */
    private static final long STORE_BYTES = 8L << 30;

    /** The folder of the store. */
    static final String STORE = ".linnet";

    private final Song written;
    private final Store store;
    private final Shelf shelf;
    private final String engine;
    private final SongTakes takes;
    private final int jobs;
    private final Sums sums = new Sums();
    private final Shelf.Recollection answers;
    private final RenderedScales scales;
    private OptionalDouble turned = OptionalDouble.empty();
    private final PartMarks marks;
    private Aiming aiming;
    private Weighing weighing;

    private PlannedSong(Song written, Store store, Shelf shelf, String engine, SongTakes takes, int jobs) {
        this.written = written;
        this.store = store;
        this.shelf = shelf;
        this.engine = engine;
        this.takes = takes;
        this.jobs = jobs;
        answers = shelf.recollection(signature(written, takes, engine));
        scales = new RenderedScales(takes.heard(), engine, shelf, sums, jobs, answers.memory());
        marks = new PartMarks(written, takes.rate(), takes.channels(), scales);
    }

    /** Stands for all that a song comes to: what its texts said, its takes, and what renders it. */
    private static String signature(Song song, SongTakes takes, String engine) {
        StringBuilder text = new StringBuilder(engine).append(" song at ").append(takes.rate()).append('\n');
        // They may come from a sound file.
        for (Timeline.Section s : song.time().sections()) text.append(s.name()).append(' ').append(s.from()).append(' ').append(s.to()).append('\n');
        for (SourceText s : song.label().sources()) s.lines().forEach(line -> text.append(' ').append(line).append('\n'));
        takes.heard().forEach(t -> text.append(t.whole()).append('\n'));
        return Signature.digest(text.toString());
    }

    /**
     * Opens the takes.
     *
     * @param file the song's, beside which its store lies
     * @param jobs works that may run at once
     * @param untold is given what should be known of the takes, a line each, where the song is refused for one of them
     * @throws Refusal with every take that cannot be used
     */
    static PlannedSong open(Path file, Song song, Session session, int jobs, Consumer<String> untold) throws ProblemsException, IOException {
        Store store = store(file);
        Shelf shelf = session.shelf(store);
        SongTakes takes = SongTakes.open(song, take -> session.digest(take, shelf), jobs, untold);
        return new PlannedSong(song, store, shelf, session.engine(shelf), takes, jobs);
    }

    /** What is kept beside a song. A folder that came with a song may be a link to any other, and there is nothing ours to write or tidy away. */
    private static Store store(Path song) {
        if (Files.isSymbolicLink(song.resolveSibling(STORE))) {
            throw new Refusal(Exit.USAGE,
                    song.resolveSibling(STORE)
                    + " is a link, and what is kept of a song is not written where a link leads; delete the link, or put a folder in its place");
        }
        return new Store(song.toAbsolutePath().resolveSibling(STORE), STORE_BYTES);
    }

    /** @param db by how much the mix is turned up to be as loud as is wanted, where that need not be measured */
    PlannedSong turned(OptionalDouble db) {
        turned = db;
        return this;
    }

    Store store() {
        return store;
    }

    /** What is remembered goes here. */
    Shelf shelf() {
        return shelf;
    }

    /** What renders it. */
    String engine() {
        return engine;
    }

    SongTakes takes() {
        return takes;
    }

    RenderedScales scales() {
        return scales;
    }

    /** What is heard in its parts before a throw is aimed. */
    PartMarks marks() {
        return marks;
    }

    Aiming aiming() throws ProblemsException, IOException {
        if (aiming == null) aiming = Aiming.of(written, takes.rate(), marks);
        return aiming;
    }

    Weighing weighing() throws ProblemsException, IOException {
        if (weighing == null) {
            weighing = Weighing.of(aiming().song(), takes.rate(), takes.channels(), scales, turned);
            keep();
        }
        return weighing;
    }

    /** For the next run; it is asked again where that cannot be, and where a take was changed meanwhile. */
    private void keep() {
        try {
            for (SongRenderer.Take t : takes.heard()) t.intact().check();
            answers.close();
        } catch (IOException e) {
            // What was found holds for this run.
        }
    }

    /** With throws in their places and numbers for levels. */
    Song song() throws ProblemsException, IOException {
        return weighing().song();
    }

    SongPlan plan() throws ProblemsException, IOException {
        return SongPlanner.plan(song(), takes.rate(), takes.channels());
    }

    /** For a print of its own. */
    SongPlan plan(Song.Wanted print) throws ProblemsException, IOException {
        return SongPlanner.plan(song().printing(List.of(print)), takes.rate(), takes.channels());
    }

    SongRenderer renderer(SongPlan plan) {
        return new SongRenderer(plan, takes.heard(), engine, shelf, sums, jobs);
    }

    @Override
    public void close() {
        try {
            sums.close();
        } finally {
            takes.close();
        }
    }
}

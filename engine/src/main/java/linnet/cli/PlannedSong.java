package linnet.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.OptionalDouble;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.render.Shelf;
import linnet.render.SongRenderer;
import linnet.song.Song;
import linnet.store.Store;
import linnet.text.ProblemsException;
import linnet.weigh.Aiming;
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

    /** Works that may run at once where nothing else is said. */
    static final int JOBS = 2;

    private final Song written;
    private final Store store;
    private final Shelf shelf;
    private final String engine;
    private final SongTakes takes;
    private final int jobs;
    private final RenderedScales scales;
    private OptionalDouble turned = OptionalDouble.empty();
    private Aiming aiming;
    private Weighing weighing;

    private PlannedSong(Song written, Store store, Shelf shelf, String engine, SongTakes takes, int jobs) {
        this.written = written;
        this.store = store;
        this.shelf = shelf;
        this.engine = engine;
        this.takes = takes;
        this.jobs = jobs;
        scales = new RenderedScales(takes.heard(), engine, shelf, jobs);
    }

    /**
     * Opens the takes.
     *
     * @param file the song's, beside which its store lies
     * @param jobs works that may run at once
     * @param err what the user should know of the takes
     * @throws Refusal with every take that cannot be used
     */
    static PlannedSong open(Path file, Song song, Session session, int jobs, PrintWriter err) throws ProblemsException, IOException {
        Store store = store(file);
        Shelf shelf = session.shelf(store);
        return new PlannedSong(song, store, shelf, session.engine(shelf), SongTakes.open(song, take -> session.digest(take, shelf), err), jobs);
    }

    /** What is kept beside a song. A folder that came with a song may be a link to any other, and there is nothing ours to write or tidy away. */
    private static Store store(Path song) {
        if (Files.isSymbolicLink(song.resolveSibling(STORE))) {
            throw new Refusal(Exit.USAGE, song.resolveSibling(STORE) + " is a link, and what is kept of a song is not written where a link leads; delete the link, or put a folder in its place");
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

    Aiming aiming() throws ProblemsException, IOException {
        if (aiming == null) aiming = new Aiming(written, takes.rate(), takes.channels(), scales);
        return aiming;
    }

    Weighing weighing() throws ProblemsException, IOException {
        if (weighing == null) weighing = new Weighing(aiming().song(), takes.rate(), takes.channels(), scales, turned);
        return weighing;
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
        return new SongRenderer(plan, takes.heard(), engine, shelf, jobs);
    }

    @Override
    public void close() {
        takes.close();
    }
}

package linnet.cli;

import java.nio.file.Path;
import java.util.List;
import linnet.revision.Change;
import linnet.song.Place;

/** Tells how a song fares that is watched, to whoever listens or to a script. */
interface Watched {
    /** Goes on being saved for longer than somebody would wait. */
    void waiting(List<Path> files);

    /** A round begins. */
    void begun(List<Change> changes);

    /** Nothing that is heard in the mix is different. */
    void same();

    /**
     * What changed can be heard.
     *
     * @param stretch of the song that the file has
     * @param seconds after which it was ready
     */
    void ready(Path file, Place.Range stretch, double seconds);

    /** A round whose prints tell of themselves in the same way. */
    SongJob telling(SongJob round);

    /** A round that comes to nothing, or of which something could not be written behind its prints; standard error has its words. */
    void failed(Fault fault);
}

package linnet.song;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;

/** Where a sound file says that sections begin. Whoever reads songs gives one that can open sound files. */
public interface Guide {
    /**
     * A cue with its label.
     *
     * @param name empty where none is written to it
     */
    record Cue(String name, double seconds) {}

    /** The cues of a file in order of time; and how long it is. */
    record Cues(List<Cue> all, double seconds) {}

    /** @throws IOException with a message for the user, where the file cannot be read */
    Cues read(Path file) throws IOException;
}

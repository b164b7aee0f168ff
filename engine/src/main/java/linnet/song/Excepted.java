package linnet.song;

import java.util.Optional;
import linnet.chain.Link;

/** Parts that go without what their group does to each of its parts, or have steps of their own in place of that: how it is told. */
public final class Excepted {
    /** What a part says of it. */
    public enum Says { NOTHING, NO, STEPS }

    private Excepted() {}

    public static Says says(Song.Part part) {
        return part.each().map(own -> own.links().isEmpty() ? Says.NO : Says.STEPS).orElse(Says.NOTHING);
    }

    /** The group of a part, if it has steps for each of its parts. */
    public static Optional<String> group(Song song, Song.Part part) {
        return song.groupOf(part).filter(g -> !g.each().links().isEmpty()).map(g -> g.name().text());
    }

    /** "without the each of backs", "its own each in place of that of backs (eq, de-ess)"; empty where that of its group holds, or there is none. */
    public static Optional<String> words(Song song, Song.Part part) {
        String group = song.groupOf(part).map(g -> g.name().text()).orElse("no group");
        return part.each().map(own -> says(part) == Says.NO ? "without the each of " + group
                : "its own each in place of that of " + group + " (" + String.join(", ", own.links().stream().map(Link::name).toList()) + ")");
    }
}

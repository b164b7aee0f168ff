package linnet.revision;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import linnet.song.Excepted;
import linnet.song.Song;

/** Which parts go without what their group does to each of its parts, or have steps of their own in place of that, against another version. */
final class OwnEach {
    private static final String PARTS = "parts", EACH = "each";

    private final Song song;

    OwnEach(Song song) {
        this.song = song;
    }

    private Optional<Song.Part> part(String name) {
        return song.parts().stream().filter(p -> p.name().text().equals(name)).findFirst();
    }

    /** Of parts that both have; steps against other steps are compared as those of any chain. */
    List<Change> since(OwnEach before) {
        List<Change> changes = new ArrayList<>();
        for (Song.Part now : song.parts()) {
            String name = now.name().text();
            before.part(name).filter(was -> Excepted.says(was) != Excepted.says(now)).flatMap(was -> told(Excepted.says(was), now))
                    .ifPresent(t -> changes.add(new Change("", name, t)));
        }
        return changes;
    }

    private Optional<String> told(Excepted.Says was, Song.Part now) {
        String before = was == Excepted.Says.NOTHING ? "" : was == Excepted.Says.NO ? ", was without" : ", was with its own";
        // Where it left the group, that is told.
        return Excepted.says(now) == Excepted.Says.NOTHING ? Excepted.group(song, now).map(group -> "with the each of " + group + before)
                : Excepted.words(song, now).map(w -> (Excepted.says(now) == Excepted.Says.NO ? "" : "with ") + w + before);
    }

    /** Whether an entry of the text says nothing but that. */
    boolean isTold(List<String> path, OwnEach before) {
        if (path.size() != 3 || !path.get(0).equals(PARTS) || !path.get(2).equals(EACH)) return false;
        Optional<Song.Part> now = part(path.get(1)), was = before.part(path.get(1));
        return now.isPresent() && was.isPresent() && Excepted.says(now.get()) != Excepted.says(was.get());
    }
}

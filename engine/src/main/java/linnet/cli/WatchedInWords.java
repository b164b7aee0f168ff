package linnet.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import linnet.revision.Change;
import linnet.song.Place;

/** For who reads along while listening. */
record WatchedInWords(PrintWriter out) implements Watched {
    @Override
    public void waiting(List<Path> files) {
        out.println("Waiting for " + files.stream().map(Path::toString).collect(Collectors.joining(", ")) + ", still being written.");
    }

    @Override
    public void begun(List<Change> changes) {
        changes.forEach(c -> out.println(c.sentence()));
    }

    @Override
    public void same() {
        out.println("Nothing in the mix is different.");
    }

    @Override
    public void ready(Path file, Place.Range stretch, double seconds) {
        out.printf(Locale.ROOT, "  %s: %.1f s to %.1f s of the mix, ready after %.2f s%n", file, stretch.from(), stretch.to(), seconds);
    }

    @Override
    public SongJob telling(SongJob round) {
        return round;
    }

    @Override
    public void failed(Fault fault) {}
}

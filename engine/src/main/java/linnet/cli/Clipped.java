package linnet.cli;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import linnet.chain.Link;
import linnet.deliver.PrintFile;
import linnet.plan.SongPlanner;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.song.Wishes;

/** Prints that integers cannot hold, with what helps each: what lies before the fader, the bus or the limiter of the mix is not helped by these. */
final class Clipped {
    /** In dB: the mix comes as near to its loudness as this, before and after. */
    private static final double LOUDNESS_NEAR = 0.4;

    private record Over(String file, double dbfs) {}

    private final Song song;
    /** By what would help them, given by how many dB they are over. */
    private final Map<Remedy, List<Over>> over = new LinkedHashMap<>();
    private boolean ownDepth;

    private enum Kind { MIX, SHARE, UNBUSED, DRY, UNTUNED }

    /** @param part of what is printed alone; empty of the rest */
    private record Remedy(Kind kind, String part) {}

    Clipped(Song song) {
        this.song = song;
    }

    boolean isEmpty() {
        return over.isEmpty();
    }

    void add(Song.Wanted wanted, PrintFile print) {
        over.computeIfAbsent(remedy(wanted.content()), r -> new ArrayList<>()).add(new Over(print.path().getFileName().toString(), print.peakDbfs()));
        ownDepth |= wanted.depth().isPresent();
    }

    private static Remedy remedy(Song.Content content) {
        if (content instanceof Song.Content.Dry d) return new Remedy(Kind.DRY, d.part());
        if (content instanceof Song.Content.Untuned u) return new Remedy(Kind.UNTUNED, u.part());
        if (!content.bus()) return new Remedy(Kind.UNBUSED, "");
        return new Remedy(content instanceof Song.Content.Mix || content instanceof Song.Content.Turned ? Kind.MIX : Kind.SHARE, "");
    }

    /** A line for all that is helped alike. */
    String lines() {
        String lines = over.entrySet().stream()
                .map(e -> "\n  " + e.getValue().stream().map(o -> o.file + " with " + Meter.over(o.dbfs)).collect(Collectors.joining(", "))
                + ": " + words(e.getKey(), e.getValue().stream().mapToDouble(Over::dbfs).max().orElseThrow())).collect(Collectors.joining());
        return lines + "\n  Floats hold what is over: " + (ownDepth ? "'depth: float' of a print, where it has a depth of its own; --depth float of the others"
                : "--depth float, or 'depth: float' of one print");
    }

    private String words(Remedy remedy, double dbfs) {
        // More than it is over, never as much: full scale itself is no sample of integers.
        double by = (Math.floor(10 * dbfs) + 1) / 10;
        boolean loud = song.wishes().loud().isPresent();
        return switch (remedy.kind) {
            case MIX -> loud ? "lower 'ceiling' of the mix" : "end the chain of the mix with '- limit'";
            case SHARE -> "it is a share of the mix and goes with that: "
                    + (loud ? String.format(Locale.ROOT, "lower 'loudness' and 'ceiling' of the mix by %s each", db(by + LOUDNESS_NEAR))
                    : "end the chain of the mix with '- trim: { level: " + db(-by) + " }'");
            case UNBUSED -> "it has nothing of the chain of the mix: lower 'level' of " + feeding() + " by " + db(by);
            case DRY -> "it has no fader and no bus: put '- limit' " + mending(remedy.part);
            case UNTUNED -> "it has no fader, no bus and no steps: lower 'into' of '" + remedy.part + "' by " + db(by);
        };
    }

    private static String db(double db) {
        return Unit.DB.format(db, 1);
    }

    /** What goes into the mix, returns aside, which follow: what is balanced against something goes down with that. */
    private String feeding() {
        Set<String> balanced = song.wishes().balance().stream().map(Wishes.Balance::what).map(w -> w.text()).collect(Collectors.toSet());
        Set<String> grouped = song.groups().stream().flatMap(g -> g.parts().stream()).map(w -> w.text()).collect(Collectors.toSet());
        Stream<String> names = Stream.concat(SongPlanner.parts(song).stream().map(p -> p.name().text()).filter(p -> !grouped.contains(p)),
                song.groups().stream().map(g -> g.name().text()));
        return String.join(", ", names.filter(n -> !balanced.contains(n)).toList());
    }

    /** Where a limiter goes into a dry print: see {@link SongPlanner}. */
    private String mending(String part) {
        List<Link> links = SongPlanner.parts(song).stream().filter(p -> p.name().text().equals(part)).findFirst().orElseThrow().chain().links();
        return links.stream().skip(SongPlanner.mending(links).size()).findFirst().map(l -> "before '" + l.name() + "' in the chain of '" + part + "'")
                .orElse("at the end of the chain of '" + part + "'");
    }
}

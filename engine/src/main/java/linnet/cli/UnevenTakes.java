package linnet.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import linnet.hear.LevelBeside;
import linnet.render.CompLevels;
import linnet.setting.Unit;
import linnet.song.Address;
import linnet.song.Source;
import linnet.song.Timeline;

/**
 * Takes of a comp that are louder or softer than the one that sings most of it, with what brings them to its level. A soft verse and a loud chorus are no
 * fault: it is told of takes whose pauses differ as much as what is sung in them, and where one follows the other within a section.
 */
final class UnevenTakes {
    /** In dB: what singers differ by from one take of a line to the next is less. Judgement. */
    private static final double UNEVEN = 6;
    /** How far before its section a line may begin. */
    private static final int PICK_UP_BARS = 1;
    private static final int MOST_PLACES = 4;

    private final List<CompLevels.Beside> all;
    private final List<Path> takes;
    private final Timeline time;
    private final double rate;

    /** @param takes of the song, in its order */
    UnevenTakes(List<CompLevels.Beside> all, List<Path> takes, Timeline time, double rate) {
        this.all = all;
        this.takes = takes;
        this.time = time;
        this.rate = rate;
    }

    /** A line for each of them. */
    List<String> lines() {
        List<String> lines = new ArrayList<>();
        for (CompLevels.Beside b : all) {
            List<Double> within = b.meets().stream().map(m -> m / rate).filter(this::isWithin).toList();
            LevelBeside level = b.level();
            if (Math.abs(level.sung()) <= UNEVEN || !level.isOfRecording() && (!level.together() || within.isEmpty())) continue;
            String than = takes.get(b.like()).getFileName().toString();
            double sung = level.sung(), into = Math.max(-Source.Range.MOST_INTO, Math.min(Source.Range.MOST_INTO,
                    Math.rint(2 * (b.into() - level.louder())) / 2));
            StringBuilder line = new StringBuilder(b.part()).append(": ").append(takes.get(b.take()).getFileName());
            if (level.isOfRecording()) {
                line.append(b.into() == 0 ? " was recorded " : " with its 'into: " + Unit.DB.format(b.into()) + "' lies ")
                        .append(differs(level.louder())).append(" than ").append(than).append(" (what is sung in it lies ")
                        .append(differs(sung)).append(level.together() ? ", where both sing" : "").append(", and its pauses ")
                        .append(differs(level.noise().orElseThrow())).append(")");
            } else {
                line.append(" is ").append(differs(sung)).append(" than ").append(than).append(" where both sing, and they meet within a section, at ")
                        .append(within.stream().limit(MOST_PLACES).map(s -> Address.of(time, s)).collect(Collectors.joining(", ")));
            }
            lines.add(line.append("; to even them write 'into: ").append(Unit.DB.format(into)).append("' in its ").append(ranges(b.ranges())).toString());
        }
        return lines;
    }

    private static String differs(double db) {
        return String.format(Locale.ROOT, "%.1f dB %s", Math.abs(db), db < 0 ? "softer" : "louder");
    }

    private static String ranges(List<String> from) {
        List<String> named = from.stream().limit(MOST_PLACES).map(w -> w.isEmpty() ? "the beginning" : w).toList();
        return (from.size() == 1 ? "range from " : "ranges from ") + String.join(", ", named)
                + (from.size() > MOST_PLACES ? " and " + (from.size() - MOST_PLACES) + " more" : "");
    }

    /** Whether a place is inside a section: what leads into the next one belongs to that. */
    private boolean isWithin(double seconds) {
        int bar = time.bar(seconds);
        return time.sections().stream().noneMatch(s -> s.from() == bar || s.from() == bar + PICK_UP_BARS);
    }
}

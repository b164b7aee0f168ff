package linnet.list;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import linnet.setting.Unit;
import linnet.text.Scalar;
import linnet.yaml.Siblings;

/** What the files of lists have in common as text: a head in words, the take they are of, the seal, then one row for each thing in the take. */
final class Listing {
    static final String RATE = "rate", FRAMES = "frames", SOUND = "sound", CHECK = "check", LIST = "list";
    static final String LENGTH = "length", SURE = "sure", WORD = "word";
    /** A microsecond is less than half a sample at any rate. */
    private static final int PLACES = 6;

    private Listing() {}

    /** The place for a list of a take: beside it, under its name with another ending. */
    static Path beside(Path take, String ending) {
        String name = take.getFileName().toString();
        int dot = name.lastIndexOf('.');
        return Siblings.named(take.resolveSibling((dot > 0 ? name.substring(0, dot) : name) + ending));
    }

    /**
     * A whole file, sealed.
     *
     * @param key under which it names its take
     * @param more lines that say what holds for the whole list
     */
    static String text(String head, String key, Take take, List<String> more, List<String> rows) {
        List<String> lines = new ArrayList<>(head.lines().toList());
        lines.add(key + ": " + Scalar.quoted(take.name()));
        lines.add(RATE + ": " + Unit.PLAIN.format(take.rate()) + " Hz");
        lines.add(FRAMES + ": " + take.frames());
        lines.add(SOUND + ": " + Scalar.quoted(take.sound()));
        lines.addAll(more);
        int seal = lines.size();
        lines.add(rows.isEmpty() ? LIST + ": []" : LIST + ":");
        lines.addAll(rows);
        lines.add(seal, Seal.line(lines));
        return String.join("\n", lines) + "\n";
    }

    /** A place in a take of that rate. */
    static String time(long frames, double rate) {
        return shortest(Unit.SECONDS, frames / rate, frames, PLACES, rate);
    }

    static String length(long frames, double rate) {
        double seconds = frames / rate;
        return seconds < 1 ? shortest(Unit.MS, 1000 * seconds, frames, PLACES - 3, rate) : time(frames, rate);
    }

    /** With as few digits as still read back to the same sample. */
    private static String shortest(Unit unit, double value, long frames, int most, double rate) {
        for (int places = 0; places < most; places++) {
            String text = unit.format(value, places);
            if (frames(Unit.SECONDS.parse(text).orElseThrow(), rate) == frames) return text;
        }
        return unit.format(value, most);
    }

    static long frames(double seconds, double rate) {
        return Math.round(seconds * rate);
    }
}

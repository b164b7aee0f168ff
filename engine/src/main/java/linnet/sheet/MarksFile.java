package linnet.sheet;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.setting.Unit;
import linnet.text.ProblemsException;

/**
 * The marks of a take as a file that a person reads and corrects. What is written reads back to the sample.
 *
 * @param take which take they are of
 * @param edited whether a person changed the file since the tool wrote it
 */
public record MarksFile(Take take, Marks marks, boolean edited) {
    /** More than a quarter of an hour of dense singing has. */
    public static final int MOST = 10_000;

    static final String TAKE = "marks", RATE = "rate", FRAMES = "frames", SOUND = "sound", CHECK = "check", LIST = "list";
    static final String LENGTH = "length", SURE = "sure", KEEP = "keep", WORD = "word";
    /** A microsecond is less than half a sample at any rate. */
    private static final int PLACES = 6;

    private static final String HEAD = """
            # What sounds where in a take: every step that acts on breaths, clicks and the like goes by this list.
            # Correct it freely. Move, add or take away rows, in any order. A row has
            #   phrase, breath, sibilant, plosive, stop, vowel or click, and the time where it begins; or keep, a stretch that no repair touches
            #   length, which all have but a vowel: that is where the vowel begins
            #   sure, how certain the ear was; leave it out in rows of your own
            #   keep: yes, where no repair may touch it
            #   word, any text of your own
            # Once you have changed it, it is never overwritten without --force: 'check' then no longer fits. Leave that line as it is.
            """;

    /** The place for the list of a take: lead.marks.yaml beside lead.wav. */
    public static Path beside(Path take) {
        String name = take.getFileName().toString();
        int dot = name.lastIndexOf('.');
        return take.resolveSibling((dot > 0 ? name.substring(0, dot) : name) + ".marks.yaml");
    }

    /** Whether the tool wrote this file and nobody changed it since. A file of any other kind is somebody's. */
    public static boolean isUntouched(Path file) {
        return Seal.holds(file);
    }

    /**
     * Reads a list.
     *
     * @param take the take it must be of; empty if it may be of any
     * @throws ProblemsException with everything that is wrong with it
     */
    public static MarksFile read(Path file, Optional<Take> take) throws ProblemsException {
        return new MarksReader(take).read(file);
    }

    /** The file, with its seal. */
    public String text() {
        List<String> lines = new ArrayList<>(HEAD.lines().toList());
        lines.add(TAKE + ": " + quoted(take.name()));
        lines.add(RATE + ": " + Unit.PLAIN.format(take.rate()) + " Hz");
        lines.add(FRAMES + ": " + take.frames());
        lines.add(SOUND + ": " + quoted(take.sound()));
        int seal = lines.size();
        lines.add(marks.all().isEmpty() ? LIST + ": []" : LIST + ":");
        for (Mark m : marks.all()) lines.add(row(m));
        lines.add(seal, Seal.line(lines));
        return String.join("\n", lines) + "\n";
    }

    private String row(Mark m) {
        StringBuilder row = new StringBuilder("  - { ").append(m.kind().word()).append(": ").append(time(m.from(), take.rate()));
        if (m.kind() != Mark.Kind.VOWEL) row.append(", " + LENGTH + ": ").append(length(m.to() - m.from(), take.rate()));
        if (m.confidence() < 1) row.append(", " + SURE + ": ").append(Unit.PERCENT.format(100 * m.confidence(), 0));
        if (m.kept() && m.kind() != Mark.Kind.KEEP) row.append(", " + KEEP + ": yes");
        if (!m.word().isEmpty()) row.append(", " + WORD + ": ").append(quoted(m.word()));
        return row.append(" }").toString();
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

    static String quoted(String text) {
        return '"' + text.replace("\\", "\\\\").replace("\"", "\\\"") + '"';
    }
}

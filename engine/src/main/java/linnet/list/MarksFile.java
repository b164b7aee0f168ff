package linnet.list;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.setting.Unit;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Scalar;

/**
 * The marks of a take as a file that a person reads and corrects. What is written reads back to the sample.
 *
 * @param take which take they are of
 * @param edited whether a person changed the file since the tool wrote it
 */
public record MarksFile(Take take, Marks marks, boolean edited) {
    /** More than a quarter of an hour of dense singing has. */
    public static final int MOST = 10_000;

    static final String TAKE = "marks", KEEP = "keep";

    private static final String HEAD = """
            # What sounds where in a take: every step that acts on breaths, sibilants, clicks and the like goes by it.
            # Correct it freely. Move, add or take away rows, in any order. A row has
            #   phrase, breath, sibilant, plosive, stop, vowel or click, and the time where it begins; or keep, a stretch that no repair touches
            #   length, which all have but a vowel: that is where the vowel begins
            #   sure, how certain the ear was; leave it out in rows of your own: a sibilant without it is lowered whatever it sounds like
            #   keep: yes, where no repair may touch it
            #   word, any text of your own
            # Once you have changed it, it is never overwritten without --force: 'check' then no longer fits. Leave that line as it is.
            """;

    /** The place for the list of a take: lead.marks.yaml beside lead.wav. */
    public static Path beside(Path take) {
        return Listing.beside(take, ".marks.yaml");
    }

    /**
     * Reads a list.
     *
     * @param take the take it must be of; empty if it may be of any
     * @throws ProblemsException with everything that is wrong with it
     */
    public static MarksFile read(Path file, Optional<Take> take) throws ProblemsException {
        return read(file, take, new Problems());
    }

    /**
     * Reads a list.
     *
     * @param take the take it must be of; empty if it may be of any
     * @param problems takes note of what is read
     * @throws ProblemsException with everything that is wrong with it
     */
    public static MarksFile read(Path file, Optional<Take> take, Problems problems) throws ProblemsException {
        return new MarksReader(take, problems).read(file);
    }

    /** The file, with its seal. */
    public String text() {
        return Listing.text(HEAD, TAKE, take, List.of(), marks.all().stream().map(this::row).toList());
    }

    private String row(Mark m) {
        StringBuilder row = new StringBuilder("  - { ").append(m.kind().word()).append(": ").append(Listing.time(m.from(), take.rate()));
        if (m.kind() != Mark.Kind.VOWEL) row.append(", " + Listing.LENGTH + ": ").append(Listing.length(m.to() - m.from(), take.rate()));
        if (m.confidence() < 1) row.append(", " + Listing.SURE + ": ").append(Unit.PERCENT.format(100 * m.confidence(), 0));
        if (m.kept() && m.kind() != Mark.Kind.KEEP) row.append(", " + KEEP + ": yes");
        if (!m.word().isEmpty()) row.append(", " + Listing.WORD + ": ").append(Scalar.quoted(m.word()));
        return row.append(" }").toString();
    }
}

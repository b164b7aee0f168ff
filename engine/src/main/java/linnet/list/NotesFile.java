package linnet.list;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import linnet.dsp.pitch.Semitones;
import linnet.hear.Note;
import linnet.hear.Notes;
import linnet.setting.NoteName;
import linnet.setting.Unit;
import linnet.text.Problems;
import linnet.text.ProblemsException;

/**
 * The sung notes of a take as a file that a person reads and corrects. Times read back to the sample, pitches to the cent.
 *
 * @param take which take they are of
 * @param reference the pitch of A4 that names are meant at, in Hz
 * @param flats whether names are written with flats
 * @param edited whether a person changed the file since the tool wrote it
 */
public record NotesFile(Take take, double reference, boolean flats, Notes notes, boolean edited) {
    /** As many as a list of marks holds. */
    public static final int MOST = MarksFile.MOST;

    static final String TAKE = "notes", REFERENCE = "reference";
    static final String NOTE = "note", HEARD = "heard", TARGET = "target", LEAVE = "leave", NEIGHBOURS = "neighbours", VIBRATO = "vibrato", SCOOP = "scoop",
            FALL = "fall";

    private static final String HEAD = """
            # The sung notes of a take, and where each should be: the step 'tune' goes by this list.
            # Correct it freely. Move, add or take away rows, in any order. A row has
            #   note, the time where it begins, and length
            #   target, the note it should be, such as F#4 or F#4 +20 cents; or leave, to keep it as it was sung; or neighbours, to
            #     go as far as the notes that it is sung into or out of; without a target the key of the step decides
            #   heard, vibrato, scoop, fall and sure: what the ear found; only told, they change nothing
            # Once you have changed it, it is never overwritten without --force: 'check' then no longer fits. Leave that line as it is.
            """;

    /** The place for the list of a take: lead.notes.yaml beside lead.wav. */
    public static Path beside(Path take) {
        return Listing.beside(take, ".notes.yaml");
    }

    /**
     * Reads a list.
     *
     * @param take the take it must be of; empty if it may be of any
     * @throws ProblemsException with everything that is wrong with it
     */
    public static NotesFile read(Path file, Optional<Take> take) throws ProblemsException {
        return read(file, take, new Problems());
    }

    /**
     * Reads a list.
     *
     * @param take the take it must be of; empty if it may be of any
     * @param problems takes note of what is read
     * @throws ProblemsException with everything that is wrong with it
     */
    public static NotesFile read(Path file, Optional<Take> take, Problems problems) throws ProblemsException {
        return new NotesReader(take, problems).read(file);
    }

    /** The file, with its seal. */
    public String text() {
        return Listing.text(HEAD, TAKE, take, List.of(REFERENCE + ": " + Unit.HZ.format(reference)), notes.all().stream().map(this::row).toList());
    }

    private String row(Note n) {
        StringBuilder row = new StringBuilder("  - { " + NOTE + ": ").append(Listing.time(n.from(), take.rate()));
        row.append(", " + Listing.LENGTH + ": ").append(Listing.length(n.to() - n.from(), take.rate()));
        if (!Double.isNaN(n.pitch())) row.append(", " + HEARD + ": ").append(name(n.pitch()));
        n.target().ifPresent(t -> row.append(", " + TARGET + ": ").append(target(t)));
        if (n.vibratoHz() > 0) {
            row.append(", " + VIBRATO + ": ").append(Unit.HZ.format(n.vibratoHz(), 1)).append(' ').append(Unit.CENTS.format(n.vibratoCents(), 0));
        }
        if (Math.round(n.scoopCents()) != 0) row.append(", " + SCOOP + ": ").append(Unit.CENTS.format(n.scoopCents(), 0));
        if (Math.round(n.fallCents()) != 0) row.append(", " + FALL + ": ").append(Unit.CENTS.format(n.fallCents(), 0));
        if (n.confidence() < 1) row.append(", " + Listing.SURE + ": ").append(Unit.PERCENT.format(100 * n.confidence(), 0));
        return row.append(" }").toString();
    }

    private String target(Note.Target t) {
        return switch (t.kind()) {
            case LEAVE -> LEAVE;
            case NEIGHBOURS -> NEIGHBOURS;
            case PITCH -> name(t.pitch());
        };
    }

    /** The note nearest to a pitch and how far it is off: F#4 -23 cents. */
    public String name(double pitch) {
        return name(pitch, reference, flats);
    }

    /** The note nearest to a pitch and how far it is off, where A4 has that many Hz. */
    public static String name(double pitch, double reference, boolean flats) {
        double p = pitch - offset(reference);
        long key = Math.round(p), cents = Math.round(100 * (p - key));
        return NoteName.of((int) key, flats) + (cents == 0 ? "" : (cents > 0 ? " +" : " ") + Unit.CENTS.format(cents, 0));
    }

    /** By how many semitones names lie higher than at 440 Hz. */
    static double offset(double reference) {
        return Semitones.of(reference) - 69;
    }
}

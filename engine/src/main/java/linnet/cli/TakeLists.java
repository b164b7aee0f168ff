package linnet.cli;

import com.google.gson.JsonElement;
import com.google.gson.JsonNull;
import com.google.gson.JsonObject;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;
import linnet.audio.WavFile;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Facts;
import linnet.hear.Told;
import linnet.list.MarksFile;
import linnet.list.NotesFile;
import linnet.list.Take;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import picocli.CommandLine.Option;

/** What lies beside a take and tells of it: its lists of marks and of notes. Every command that hears a take goes by it. */
final class TakeLists {
    @Option(names = "--marks", paramLabel = "LIST.yaml",
            description = "The list of marks of the take. Usual: TAKE.marks.yaml beside it, where it is; else marks are found by ear.")
    Path marks;

    @Option(names = "--notes", paramLabel = "LIST.yaml",
            description = "The list of notes of the take. Usual: TAKE.notes.yaml beside it, where it is; else notes are found by ear.")
    Path notes;

    /**
     * Reads what there is. A list that is named must be there; one that lies beside the take need not.
     *
     * @param told is given each line on what is odd about them
     */
    Known of(Path take, WavFile sound, Consumer<String> told) throws ProblemsException {
        return Known.of(marks, notes, take, sound, told);
    }

    /** What was told of a take. */
    static final class Known {
        /**
         * A list that was read.
         *
         * @param digest of its bytes
         */
        private record Lying<F>(Path path, String digest, F file) {}

        private interface Reader<F> {
            F read(Path file, Optional<Take> take, Problems problems) throws ProblemsException;
        }

        private final double rate;
        private final Optional<Lying<MarksFile>> marks;
        private final Optional<Lying<NotesFile>> notes;

        private Known(double rate, Optional<Lying<MarksFile>> marks, Optional<Lying<NotesFile>> notes) {
            this.rate = rate;
            this.marks = marks;
            this.notes = notes;
        }

        /** Reads what lies beside a take. */
        static Known beside(Path take, WavFile sound, Consumer<String> told) throws ProblemsException {
            return of(null, null, take, sound, told);
        }

        /** Reads what there is. A list that is named must be there; one that lies beside the take, where none is named, need not. */
        static Known of(Path marks, Path notes, Path take, WavFile sound, Consumer<String> told) throws ProblemsException {
            Path marked = there(marks, MarksFile.beside(take)), sung = there(notes, NotesFile.beside(take));
            if (marked == null && sung == null) return new Known(sound.rate(), Optional.empty(), Optional.empty());
            Take own = Take.of(take.getFileName().toString(), sound);
            Problems problems = new Problems();
            Optional<Lying<MarksFile>> marksFile = read(marked, MarksFile::read, own, problems);
            Optional<Lying<NotesFile>> notesFile = read(sung, NotesFile::read, own, problems);
            problems.check();
            marksFile.ifPresent(f -> warn(f.path, f.file.take(), own, "marks were", "mark", told));
            notesFile.ifPresent(f -> warn(f.path, f.file.take(), own, "notes were", "notes", told));
            return new Known(sound.rate(), marksFile, notesFile);
        }

        /** An ear on the take; {@code sound} is it, or what it is at another rate. */
        Ear ear(Sound sound) {
            return new Ear(sound, told(sound));
        }

        Facts facts(Sound sound) {
            return new Facts(sound, told(sound));
        }

        /** What is told of the take, in samples of the sound: it, or what it is at another rate. */
        Told told(Sound sound) {
            double ratio = sound.rate() / rate;
            return new Told(marks.map(m -> ratio == 1 ? m.file.marks() : m.file.marks().scaled(ratio)), true,
                    marks.isPresent() && marks.get().file.edited(),
                    notes.map(n -> (ratio == 1 ? n.file.notes() : n.file.notes().scaled(ratio)).written()));
        }

        /** The lists that were read, with the digests of their bytes. */
        Map<Path, String> lists() {
            Map<Path, String> lists = new LinkedHashMap<>();
            marks.ifPresent(m -> lists.put(m.path, m.digest));
            notes.ifPresent(n -> lists.put(n.path, n.digest));
            return lists;
        }

        /** One line for each list that a person corrected: who reads the result should know. */
        void say(Consumer<String> to) {
            marks.filter(m -> m.file.edited()).ifPresent(m -> to.accept("Marks: as corrected by hand in " + m.path));
            notes.filter(n -> n.file.edited()).ifPresent(n -> to.accept("Notes: as corrected by hand in " + n.path));
        }

        /** One line for each list. */
        void sayAll(PrintWriter to) {
            marks.ifPresent(m -> to.println("Marks: " + m.file.marks().all().size() + ", from " + m.path + (m.file.edited() ? ", corrected by hand" : "")));
            notes.ifPresent(n -> to.println("Notes: " + n.file.notes().all().size() + ", from " + n.path + (n.file.edited() ? ", corrected by hand" : "")));
        }

        void tell(JsonObject o) {
            o.add("marks", marks.map(m -> asJson(m.path, m.file.edited(), m.file.marks().all().size())).orElse(JsonNull.INSTANCE));
            o.add("notes", notes.map(n -> asJson(n.path, n.file.edited(), n.file.notes().all().size())).orElse(JsonNull.INSTANCE));
        }

        private static JsonElement asJson(Path path, boolean edited, int count) {
            JsonObject o = new JsonObject();
            o.addProperty("file", path.toString());
            o.addProperty("edited", edited);
            o.addProperty("count", count);
            return o;
        }

        private static Path there(Path named, Path beside) {
            return named != null ? named : Files.exists(beside, LinkOption.NOFOLLOW_LINKS) ? beside : null;
        }

        /** What is wrong with one list does not hide what is with the other. */
        private static <F> Optional<Lying<F>> read(Path path, Reader<F> reader, Take own, Problems problems) {
            if (path == null) return Optional.empty();
            Problems here = new Problems();
            try {
                F file = reader.read(path, Optional.of(own), here);
                return Optional.of(new Lying<>(path, here.digests().get(path.toAbsolutePath().normalize()), file));
            } catch (ProblemsException e) {
                e.problems().forEach(p -> problems.report(p.at(), p.message()));
                e.texts().forEach(problems::reads);
                return Optional.empty();
            }
        }

        private static void warn(Path path, Take listed, Take own, String what, String command, Consumer<String> told) {
            if (listed.sound().isEmpty() || listed.sound().equals(own.sound())) return;
            told.accept(path + ": " + own.name() + " does not sound as it did when its " + what
                    + " listed; where it is another recording, make a new list with 'linnet " + command + "'");
        }
    }
}

package linnet.cli;

import com.google.gson.JsonElement;
import com.google.gson.JsonNull;
import com.google.gson.JsonObject;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.Optional;
import linnet.audio.WavFile;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Facts;
import linnet.hear.Told;
import linnet.sheet.MarksFile;
import linnet.sheet.Take;
import linnet.text.ProblemsException;
import picocli.CommandLine.Option;

/** What lies beside a take and tells of it: its list of marks. Every command that hears a take goes by it. */
final class Beside {
    @Option(names = "--marks", paramLabel = "LIST.yaml", description = "The list of marks of the take. Usual: TAKE.marks.yaml beside it, where it is; else marks are found by ear.")
    Path marks;

    /** A list that was read. */
    private record Lying(Path path, MarksFile file) {}

    /** What was told of a take. */
    static final class Known {
        private final double rate;
        private final Optional<Lying> marks;

        private Known(double rate, Optional<Lying> marks) {
            this.rate = rate;
            this.marks = marks;
        }

        /** An ear on the take; {@code sound} is it, or what it is at another rate. */
        Ear ear(Sound sound) {
            return new Ear(sound, told(sound));
        }

        Facts facts(Sound sound) {
            return new Facts(sound, told(sound));
        }

        private Told told(Sound sound) {
            return new Told(marks.map(m -> sound.rate() == rate ? m.file.marks() : m.file.marks().scaled(sound.rate() / rate)));
        }

        /** One line for each list that a person corrected: who reads the result should know. */
        void say(PrintWriter to) {
            marks.filter(m -> m.file.edited()).ifPresent(m -> to.println("Marks: as corrected by hand in " + m.path));
        }

        /** One line for each list. */
        void sayAll(PrintWriter to) {
            marks.ifPresent(m -> to.println("Marks: " + m.file.marks().all().size() + ", from " + m.path + (m.file.edited() ? ", corrected by hand" : "")));
        }

        void tell(JsonObject o) {
            o.add("marks", marks.map(Known::asJson).orElse(JsonNull.INSTANCE));
        }

        private static JsonElement asJson(Lying m) {
            JsonObject o = new JsonObject();
            o.addProperty("file", m.path.toString());
            o.addProperty("edited", m.file.edited());
            o.addProperty("count", m.file.marks().all().size());
            return o;
        }
    }

    /** Reads what there is. A list that is named must be there; one that lies beside the take need not. */
    Known of(Path take, WavFile sound, PrintWriter err) throws ProblemsException {
        Path path = marks != null ? marks : MarksFile.beside(take);
        if (marks == null && !Files.exists(path, LinkOption.NOFOLLOW_LINKS)) return new Known(sound.rate(), Optional.empty());
        Take own = Take.of(take.getFileName().toString(), sound);
        MarksFile file = MarksFile.read(path, Optional.of(own));
        if (!file.take().sound().isEmpty() && !file.take().sound().equals(own.sound())) {
            err.println(path + ": " + own.name() + " does not sound as it did when its marks were listed; where it is another recording, make a new list with 'linnet mark'");
        }
        return new Known(sound.rate(), Optional.of(new Lying(path, file)));
    }
}

package linnet.cli;

import com.google.gson.JsonObject;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import linnet.audio.WavFile;
import linnet.hear.Ear;
import linnet.hear.Likeness;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.list.MarksFile;
import linnet.list.Take;
import linnet.text.ProblemsException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
        name = "mark",
        description = {
            "Writes the list of what sounds where in a take: phrases, breaths, sibilants, plosives, stops, vowels, clicks. "
                    + "Every step that acts on them goes by that list once it lies beside the take, so correct in it what the ear got wrong."
        },
        mixinStandardHelpOptions = true)
final class MarkCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Parameters(index = "0", paramLabel = "TAKE.wav", description = "The take.")
    Path take;

    @Mixin
    ListFile listFile;

    @Option(names = "--like", paramLabel = "LEAD.marks.yaml",
            description = "The list of another take of the same words, such as the lead of this double: its words and what is kept in it are carried over.")
    Path like;

    @Option(names = "--json", description = "Print the marks as JSON.")
    boolean json;

    @Override
    public Integer call() throws ProblemsException, IOException {
        WholeFile list = listFile.open(MarksFile.beside(take), "marks", like);
        try (WavFile sound = WavFile.open(take)) {
            Remarks remarks = new Remarks(spec.commandLine().getErr());
            remarks.sayOf(take, sound);
            Ear ear = new Ear(sound);
            Likeness.Carried carried = like == null ? null : carried(ear);
            Marks marks = carried == null ? ear.marks() : carried.marks();
            if (marks.all().size() > MarksFile.MOST) {
                throw new Refusal(Exit.FILE, take + ": " + marks.all().size() + " marks are found in it, and a list holds at most " + MarksFile.MOST
                        + "; cut the take into shorter ones");
            }
            MarksFile file = new MarksFile(Take.of(take.getFileName().toString(), sound), marks, false);
            list.write(to -> to.write(file.text().getBytes(StandardCharsets.UTF_8)));
            if (json) spec.commandLine().getOut().println(Json.of(asJson(list.path(), file, carried, remarks)));
            else if (System.console() != null) print(list.path(), file, carried);
        }
        return Exit.DONE;
    }

    private Likeness.Carried carried(Ear ear) throws ProblemsException {
        MarksFile lead = MarksFile.read(like, Optional.empty());
        return Likeness.carry(lead.marks().scaled(ear.sound().rate() / lead.take().rate()), ear).orElseThrow(() -> new Refusal(Exit.CHECK,
                take + ": fewer than half of its marks are found in " + like + ": it does not have the same words; make its list without --like"));
    }

    private void print(Path path, MarksFile file, Likeness.Carried carried) {
        PrintWriter to = spec.commandLine().getOut();
        to.println(path + ":");
        for (Mark.Kind kind : Mark.Kind.values()) {
            List<Mark> of = file.marks().of(kind);
            if (of.isEmpty()) continue;
            long unsure = of.stream().filter(m -> m.confidence() < 0.5).count();
            to.println(String.format(Locale.ROOT, "  %-9s %4d", kind.word(), of.size()) + (unsure == 0 ? "" : ", " + unsure + " unsure"));
        }
        if (carried != null) {
            to.println("Carried over from " + like + ": " + carried.words() + " words, " + carried.kept() + " kept, " + carried.faint()
                    + " faint breaths and sibilants; " + carried.pairs() + " marks are in both");
        }
    }

    private JsonObject asJson(Path path, MarksFile file, Likeness.Carried carried, Remarks remarks) {
        JsonObject o = new JsonObject();
        o.addProperty("file", path.toString());
        if (carried != null) {
            JsonObject over = new JsonObject();
            over.addProperty("from", like.toString());
            over.addProperty("pairs", carried.pairs());
            over.addProperty("words", carried.words());
            over.addProperty("kept", carried.kept());
            over.addProperty("faint", carried.faint());
            o.add("carried", over);
        }
        o.add("marks", Json.marks(file.marks(), file.take().rate()));
        o.add(Remarks.KEY, remarks.json());
        return o;
    }
}

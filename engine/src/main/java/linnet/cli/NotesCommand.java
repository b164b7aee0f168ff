package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import linnet.audio.WavFile;
import linnet.hear.Ear;
import linnet.hear.Note;
import linnet.hear.Notes;
import linnet.hear.Tuning;
import linnet.hear.Wanted;
import linnet.list.NotesFile;
import linnet.list.Take;
import linnet.setting.ConcertPitch;
import linnet.setting.Key;
import linnet.setting.NoteName;
import linnet.setting.Unit;
import linnet.text.Nearest;
import linnet.text.ProblemsException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
        name = "notes",
        description = {
            "Writes the list of the notes that are sung in a take: when, how long, at what pitch, and which note each should be. "
                    + "The step 'tune' goes by that list once it lies beside the take, so correct in it what the ear got wrong."
        },
        mixinStandardHelpOptions = true)
final class NotesCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Parameters(index = "0", paramLabel = "TAKE.wav", description = "The take.")
    Path take;

    @Option(names = "--key", paramLabel = "KEY", description = "The key of the song, such as \"G major\". Usual: the nearest semitone.")
    String key;

    @Option(names = "--scale", paramLabel = "NOTES", split = ",", description = "The notes that may be sung, instead of a key, such as D,E,F#,A.")
    List<String> scale;

    @Option(names = "--reference", paramLabel = "HZ",
            description = "Pitch of A4, from " + (int) ConcertPitch.LOWEST + " to " + (int) ConcertPitch.HIGHEST + " Hz. Usual: "
                    + (int) ConcertPitch.USUAL + ".")
    String reference;

    @Mixin
    ListFile listFile;

    @Option(names = "--json", description = "Print the notes as JSON.")
    boolean json;

    @Override
    public Integer call() throws ProblemsException, IOException {
        if (key != null && scale != null) throw new Refusal(Exit.USAGE, "give --key or --scale, not both");
        double hz = hz();
        Key named = key == null ? null : named();
        int allowed = named != null ? named.notes() : scale != null ? scale() : Tuning.CHROMATIC;
        WholeFile list = listFile.open(NotesFile.beside(take), "notes");
        try (WavFile sound = WavFile.open(take)) {
            Remarks remarks = new Remarks(spec.commandLine().getErr());
            remarks.sayOf(take, sound);
            List<Wanted> wanted = new Tuning(hz, allowed).wanted(new Ear(sound).notes(), sound.rate());
            if (wanted.size() > NotesFile.MOST) {
                throw new Refusal(Exit.FILE, take + ": " + wanted.size() + " notes are found in it, and a list holds at most " + NotesFile.MOST
                        + "; cut the take into shorter ones");
            }
            List<Note> aimed = new ArrayList<>();
            for (Wanted w : wanted) aimed.add(w.note().aimed(target(w)));
            NotesFile file = new NotesFile(Take.of(take.getFileName().toString(), sound), hz, named != null ? named.flats() : flatScale(),
                    new Notes(aimed), false);
            list.write(to -> to.write(file.text().getBytes(StandardCharsets.UTF_8)));
            if (json) spec.commandLine().getOut().println(Json.of(asJson(list.path(), file, wanted, remarks)));
            else if (System.console() != null) spec.commandLine().getOut().println(list.path() + ": " + told(wanted));
        }
        return Exit.DONE;
    }

    private static Note.Target target(Wanted w) {
        if (w.pitch().isPresent()) return Note.Target.at(w.pitch().getAsDouble());
        return w.why() == Wanted.Why.CARRIED ? Note.Target.withNeighbours() : Note.Target.leave();
    }

    private static String told(List<Wanted> wanted) {
        long left = wanted.stream().filter(w -> target(w).kind() == Note.Target.Kind.LEAVE).count();
        return wanted.size() + " notes" + (left == 0 ? "" : ", " + left + " left as they are because it is not sure what they should be");
    }

    private double hz() {
        if (reference == null) return ConcertPitch.USUAL;
        double hz = Unit.HZ.parse(reference).orElse(0);
        if (hz >= ConcertPitch.LOWEST && hz <= ConcertPitch.HIGHEST) return hz;
        throw new Refusal(Exit.USAGE, "--reference is the pitch of A4, from " + Unit.HZ.format(ConcertPitch.LOWEST) + " to "
                + Unit.HZ.format(ConcertPitch.HIGHEST) + ", not " + reference);
    }

    private Key named() {
        return Key.FORM.read(key.strip())
                .orElseThrow(() -> new Refusal(Exit.USAGE, "--key wants " + Key.FORM.noun() + " such as \"" + Key.FORM.examples().get(0) + "\", not \"" + key
                        + "\"" + Nearest.hint(key.strip(), Key.FORM.known())));
    }

    private int scale() {
        int notes = 0;
        for (String name : scale) {
            int note = NoteName.FORM.read(name.strip())
                    .orElseThrow(() -> new Refusal(Exit.USAGE, "--scale wants notes such as D,E,F#,A, not \"" + name + "\""));
            notes |= 1 << note;
        }
        return notes;
    }

    private boolean flatScale() {
        return scale != null && scale.stream().anyMatch(n -> n.strip().length() == 2 && n.strip().charAt(1) == 'b');
    }

    private static JsonObject asJson(Path path, NotesFile file, List<Wanted> wanted, Remarks remarks) {
        JsonObject o = new JsonObject();
        o.addProperty("file", path.toString());
        o.addProperty("reference_hz", file.reference());
        JsonArray notes = new JsonArray();
        for (Wanted w : wanted) notes.add(note(w, file));
        o.add("notes", notes);
        o.add(Remarks.KEY, remarks.json());
        return o;
    }

    private static JsonObject note(Wanted w, NotesFile file) {
        Note n = w.note();
        JsonObject o = new JsonObject();
        o.addProperty("start_s", Json.rounded(n.from() / file.take().rate(), 4));
        o.addProperty("end_s", Json.rounded(n.to() / file.take().rate(), 4));
        o.addProperty("heard", file.name(n.pitch()));
        o.addProperty("target", w.pitch().isPresent() ? file.name(w.pitch().getAsDouble()) : null);
        o.addProperty("why", w.why().name().toLowerCase(Locale.ROOT));
        o.addProperty("off_cents", w.pitch().isPresent() ? Json.rounded(-w.cents(), 1) : null);
        o.addProperty("vibrato_hz", n.vibratoHz() > 0 ? Json.rounded(n.vibratoHz(), 2) : null);
        o.addProperty("vibrato_cents", n.vibratoHz() > 0 ? Json.rounded(n.vibratoCents(), 1) : null);
        o.addProperty("scoop_cents", Json.rounded(n.scoopCents(), 0));
        o.addProperty("fall_cents", Json.rounded(n.fallCents(), 0));
        o.addProperty("confidence", Json.rounded(n.confidence(), 2));
        return o;
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonElement;
import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.demo.Performance;
import linnet.demo.Score;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.demo.Truth;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** A double one of whose words comes late, or early, while the rest of its line is in time: which, where, and by how much is told. */
class LateWordTest extends SongFolder {
    private static final double RATE = 48_000;
    /** "Stones" in "Salt on the stones, the boats come in". */
    private static final int WORD = 3;
    private static final double NEAR_MS = 25;

    private final Performance lead = Performance.sing(line(0), Singer.high(), RATE);

    /** The first line of the song, one word of it so many seconds later. */
    private static Score line(double late) {
        Score s = SevenLanterns.lead();
        Score.Phrase p = s.phrases().get(0);
        List<Score.Note> notes = new ArrayList<>();
        for (int k = 0; k < p.notes().size(); k++) {
            Score.Note n = p.notes().get(k);
            double by = (k == WORD - 1 ? late : k == WORD ? -late : 0) / s.secondsPerBeat();
            notes.add(new Score.Note(n.midi(), n.beats() + by, n.onset(), n.vowel(), n.glide(), n.coda(), 0, 0, n.held()));
        }
        return new Score(s.title(), s.beatsPerMinute(), s.beatsPerBar(), s.key(), 4,
                List.of(new Score.Phrase(p.beat(), p.section(), p.effort(), p.words(), notes)));
    }

    private void take(String name, double[] samples) throws IOException {
        try (WavWriter writer = WavWriter.create(folder.resolve(name), Print.of((int) RATE, 1, SampleFormat.INT_24))) {
            writer.write(new double[][] {samples}, samples.length);
            writer.finish();
        }
    }

    /** The word stands where the lead's vowel is in the list of its marks. */
    @BeforeEach
    void words() throws IOException {
        take("lead.wav", lead.samples());
        assertEquals(0, run("mark", folder.resolve("lead.wav")), err::toString);
        Path list = folder.resolve("lead.marks.yaml");
        double at = lead.truth().notes().get(WORD).start();
        Matcher row = Pattern.compile("\\{ vowel: (\\S+) s[^}]*?(?= })").matcher(Files.readString(list));
        assertTrue(row.results().anyMatch(r -> Math.abs(Double.parseDouble(r.group(1)) - at) < 0.04), () -> "a vowel at " + at);
        Files.writeString(list, row.reset().replaceAll(r -> Math.abs(Double.parseDouble(r.group(1)) - at) < 0.04 ? r.group() + ", word: stones" : r.group()));
    }

    private Performance late(double seconds) throws IOException {
        Performance part = Performance.sing(line(seconds), Singer.high().seed(11), RATE);
        take("double.wav", part.samples());
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 6 }\nparts:\n  lead: { take: lead.wav }\n"
                + "  double: { take: double.wav, tidy: { like: lead } }\nprints: [ mix ]\n");
        return part;
    }

    private JsonObject timing() {
        assertEquals(0, run("check", song, "--json"), err::toString);
        JsonObject tidied = JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("tidied").get(0).getAsJsonObject();
        for (JsonElement d : tidied.getAsJsonArray("decisions")) {
            if (d.getAsJsonObject().get("what").getAsString().equals("timing")) return d.getAsJsonObject();
        }
        throw new AssertionError(out.toString());
    }

    private void isTold(double seconds, String side) throws IOException {
        Performance part = late(seconds);
        Truth.Note word = part.truth().notes().get(WORD);
        double ms = 1000 * (word.start() - lead.truth().notes().get(WORD).start());
        assertEquals(0, run("check", song), err::toString);
        Matcher told = Pattern.compile("; (\\d+) ms " + side + " at 0:0(\\d\\.\\d{3}) \\(\"stones\"\\) before, \\d+ ms (?:late|early) "
                + "at 0:0\\d\\.\\d{3}.* after").matcher(out.toString());
        assertTrue(told.find(), out.toString());
        assertEquals(Math.abs(ms), Double.parseDouble(told.group(1)), NEAR_MS);
        JsonObject timing = timing(), before = timing.getAsJsonObject("before"), after = timing.getAsJsonObject("after");
        assertEquals("stones", before.get("word").getAsString());
        assertEquals(ms, before.get("late_ms").getAsDouble(), NEAR_MS);
        // Its consonants are late as its vowel is.
        assertTrue(before.get("at_s").getAsDouble() > word.start() - 0.3 && before.get("at_s").getAsDouble() < word.start() + 0.05, before.toString());
        assertEquals(Double.parseDouble(told.group(2)), before.get("at_s").getAsDouble(), 0.001);
        assertTrue(Math.abs(after.get("late_ms").getAsDouble()) < Math.abs(ms), after.toString());
        assertTrue(after.get("at_s").getAsDouble() > timing.get("from_s").getAsDouble() - 0.5, after.toString());
        assertTrue(timing.has("later_ms") && Math.abs(timing.get("end_later_ms").getAsDouble()) <= 60, timing.toString());
        assertTrue(timing.get("why").getAsString().contains("(\"stones\")"), timing.toString());
    }

    @Test
    void aLateWordIsTold() throws IOException {
        isTold(0.14, "late");
    }

    @Test
    void anEarlyWordIsTold() throws IOException {
        isTold(-0.12, "early");
    }

    /** Who is late on a word is found where another place of the line is farther off: all of it comes early, and "stones" alone in time. */
    @Test
    void aWordIsFoundWhereAnotherIsFartherOff() throws IOException {
        Performance part = late(0.1);
        double[] early = new double[part.samples().length];
        System.arraycopy(part.samples(), (int) (0.12 * RATE), early, 0, early.length - (int) (0.12 * RATE));
        Files.delete(folder.resolve("double.wav"));
        take("double.wav", early);
        double ms = 1000 * (part.truth().notes().get(WORD).start() - 0.12 - lead.truth().notes().get(WORD).start());
        JsonObject timing = timing();
        assertTrue(timing.getAsJsonObject("before").get("late_ms").getAsDouble() < ms - 50, timing.toString());
        assertTrue(!timing.getAsJsonObject("before").has("word"), timing.toString());
        assertEquals(1, timing.getAsJsonArray("words").size(), timing.toString());
        JsonObject word = timing.getAsJsonArray("words").get(0).getAsJsonObject();
        assertEquals("stones", word.get("word").getAsString());
        assertEquals(ms, word.get("late_ms").getAsDouble(), NEAR_MS, timing.toString());
        assertEquals(part.truth().notes().get(WORD).start() - 0.12, word.get("at_s").getAsDouble(), 0.03);
        assertTrue(Math.abs(word.get("late_after_ms").getAsDouble()) < 100, timing.toString());
    }

    /** A list without words says nothing of any; what is told of the time is the same. */
    @Test
    void withoutAWordThePlaceIsTold() throws IOException {
        Path list = folder.resolve("lead.marks.yaml");
        late(0.14);
        JsonObject with = timing().getAsJsonObject("before");
        Files.writeString(list, Files.readString(list).replace(", word: stones", ""));
        JsonObject without = timing().getAsJsonObject("before");
        assertTrue(!without.has("word") && with.remove("word") != null, without.toString());
        assertEquals(with, without);
        assertEquals(0, timing().getAsJsonArray("words").size());
    }
}

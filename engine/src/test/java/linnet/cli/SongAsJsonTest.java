package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonElement;
import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.StreamSupport;
import linnet.setting.Unit;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What a script is told of a song: no less than who reads the text of {@code check}, and each fact under a name of its own. */
class SongAsJsonTest extends SongFolder {
    @BeforeEach
    void aWholeSong() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 4);
        Takes.tone(folder.resolve("other.wav"), 330, 0.2, 4);
        Takes.tone(folder.resolve("bed.wav"), 110, 0.2, 4);
        Files.writeString(song, """
                song: x
                tempo: 240 bpm
                sections: { a: 1, b: 2, end: 5 }
                parts:
                  lead:
                    comp: [ { take: take.wav, from: a }, { take: other.wav, from: b, to: end } ]
                    sends: { room: 12 LU under, far: -20 dB }
                  low: { from: lead, chain: [ shift: { by: -1200 cents } ] }
                  one: { take: other.wav }
                  two: { take: take.wav, from: 0.5 s, to: 2 s, at: b }
                groups: { pair: { parts: [ one, two ], spread: 80 %, sends: { far: -9 dB } } }
                instrumental: { take: bed.wav }
                balance: { lead: 2 LU over instrumental, pair: 6 LU under lead }
                returns:
                  room: { chain: [ delay: { time: 1/8 } ], duck: { from: lead, by: 3 dB } }
                  far: { chain: [ delay: { time: 1/4 } ] }
                mix: { loudness: -16 LUFS, ceiling: -1 dBTP }
                checks: { accept: [ tails, stems, sides, mono ] }
                prints: [ mix, lead dry, { print: mix, name: last, from: b beat 3 }, pair ]
                """);
    }

    private JsonObject said(Object... words) {
        assertEquals(0, run(words), err::toString);
        return JsonParser.parseString(out.toString()).getAsJsonObject();
    }

    private static List<JsonObject> all(JsonObject of, String key) {
        return StreamSupport.stream(of.getAsJsonArray(key).spliterator(), false).map(JsonElement::getAsJsonObject).toList();
    }

    private static JsonObject named(JsonObject of, String key, String name) {
        return all(of, key).stream().filter(o -> o.get("name").getAsString().equals(name)).findFirst().orElseThrow();
    }

    /** A level of a group and how its energy lies between left and right are two facts, and so are a level and what is taken from it while somebody sings. */
    @Test
    void eachLevelHasItsKindAndANumber() {
        for (Object[] words : new Object[][] {{"check", song, "--json"}, {"render", song, "--out", prints, "--json"}}) {
            List<JsonObject> levels = all(said(words), "levels");
            Set<String> facts = new HashSet<>();
            for (JsonObject l : levels) assertTrue(facts.add(l.get("kind").getAsString() + " of " + l.get("what").getAsString()), levels::toString);
            assertEquals(Set.of("level of lead", "level of pair", "send of lead to room", "duck of room", "loudness of mix", "sides of pair"),
                    facts);
            for (JsonObject l : levels) {
                double number = l.get("value_db").getAsDouble();
                if (!l.get("kind").getAsString().equals("sides")) assertEquals(l.get("value").getAsString(), Unit.DB.format(number, 1));
                if (l.get("kind").getAsString().equals("duck")) assertEquals(-3, number);
            }
        }
    }

    @Test
    void theCheckTellsThePrints() throws IOException {
        JsonObject check = said("check", song, "--json");
        List<JsonObject> told = all(check, "prints");
        assertEquals(List.of("mix", "lead dry", "last", "pair"), told.stream().map(p -> p.get("name").getAsString()).toList());
        JsonObject mix = told.get(0), last = told.get(2);
        assertEquals("mix.wav", mix.get("file").getAsString());
        assertTrue(mix.get("from_s").isJsonNull() && mix.get("to_s").isJsonNull(), mix::toString);
        assertEquals("mix", last.get("of").getAsString());
        assertEquals("all of it, with the bus", last.get("what").getAsString());
        // Bar 2 begins after four beats of 0.25 s, its third beat two later.
        assertEquals(1.5, last.get("from_s").getAsDouble());
        assertTrue(last.get("to_s").isJsonNull(), last::toString);
        JsonObject render = said("render", song, "--out", prints, "--json");
        for (JsonObject p : told) {
            JsonObject printed = named(render, "prints", p.get("name").getAsString());
            assertEquals(prints.resolve(p.get("file").getAsString()).toString(), printed.get("file").getAsString());
            for (String key : new String[] {"of", "what"}) assertEquals(p.get(key), printed.get(key));
            assertTrue(Files.readString(prints.resolve("sheet.md")).contains(p.get("what").getAsString()), p::toString);
        }
    }

    @Test
    void theCheckTellsWhoSingsWhatAndGoesWhere() {
        JsonObject check = said("check", song, "--json");
        JsonObject lead = named(check, "parts", "lead"), low = named(check, "parts", "low"), two = named(check, "parts", "two");
        List<JsonObject> comp = all(lead, "comp");
        assertEquals(List.of("take.wav", "other.wav"), comp.stream().map(r -> r.get("take").getAsString()).toList());
        assertEquals(1, comp.get(0).get("to_s").getAsDouble());
        assertEquals(1, comp.get(1).get("from_s").getAsDouble());
        assertEquals(4, comp.get(1).get("to_s").getAsDouble());
        assertTrue(lead.get("group").isJsonNull());
        String found = all(check, "levels").stream().filter(l -> l.get("what").getAsString().equals("lead to room")).findFirst().orElseThrow()
                .get("value_db").getAsString();
        assertEquals("[{\"to\":\"room\",\"level_db\":" + found + "},{\"to\":\"far\",\"level_db\":-20.0}]", lead.get("sends").toString());
        assertEquals("lead", low.get("from").getAsString());
        assertEquals("pair", two.get("group").getAsString());
        assertEquals("take.wav", two.get("take").getAsString());
        assertEquals(1, two.get("from_s").getAsDouble());
        assertEquals(2.5, two.get("to_s").getAsDouble());
        assertEquals("bed.wav", named(check, "parts", "instrumental").get("take").getAsString());
        JsonObject pair = named(check, "groups", "pair");
        assertEquals("[\"one\",\"two\"]", pair.get("parts").toString());
        assertEquals("[{\"to\":\"far\",\"level_db\":-9.0}]", pair.get("sends").toString());
        assertEquals(List.of("room", "far"), all(check, "returns").stream().map(r -> r.get("name").getAsString()).toList());
        // In the words of the text.
        assertEquals(0, run("check", song));
        for (JsonObject p : all(check, "parts")) assertTrue(out.toString().contains(" " + p.get("sung").getAsString()), p + "\n" + out);
    }

    /** Where it lies goes by the names that the song gives its prints; a stretch has none. */
    @Test
    void theRenderNamesItsSheet() {
        assertEquals(List.of(prints.resolve("sheet.md").toString(), prints.resolve("sheet.html").toString()),
                said("render", song, "--out", prints, "--json").getAsJsonArray("sheet").asList().stream().map(JsonElement::getAsString).toList());
        assertEquals(0, said("render", song, "--out", prints, "--from", "b", "--json").getAsJsonArray("sheet").size());
    }
}

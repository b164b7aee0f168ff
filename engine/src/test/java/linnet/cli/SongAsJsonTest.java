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
}

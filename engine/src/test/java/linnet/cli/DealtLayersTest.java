package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.nio.file.Files;
import java.util.List;
import org.junit.jupiter.api.Test;

/** The layers of a group that are dealt to both sides: whoever pans what goes with one of them must know where it lies. */
class DealtLayersTest extends SongFolder {
    @Test
    void theCheckTellsWhereEachLies() throws Exception {
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  lead: { take: take.wav }\n  one: { take: take.wav }\n"
                + "  two: { take: take.wav }\n  three: { take: take.wav }\n  four: { take: take.wav }\n  five: { take: take.wav }\n"
                + "groups: { back: { parts: [ one, two, three, four, five ], spread: 80 % } }\nprints: [ mix ]\n");
        assertEquals(0, run("check", song), err::toString);
        String[] places = {"one", "80 % left", "two", "80 % right", "three", "40 % right", "four", "40 % left", "five", "centre"};
        for (int k = 0; k < places.length; k += 2) {
            assertTrue(out.toString().matches("(?s).*\\n  " + places[k] + " +take.wav, from [0-9:.]+ to [0-9:.]+; " + places[k + 1] + "\\n.*"),
                    places[k] + " in " + out);
        }
        assertTrue(out.toString().matches("(?s).*\\n  lead +take.wav, from [0-9:.]+ to [0-9:.]+\\n.*"), out.toString());
        assertEquals(0, run("check", song, "--json"), err::toString);
        JsonArray layers = JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("layers");
        double[] percent = {-80, 80, 40, -40, 0};
        assertEquals(percent.length, layers.size());
        for (int k = 0; k < percent.length; k++) {
            JsonObject layer = layers.get(k).getAsJsonObject();
            assertEquals(places[2 * k], layer.get("part").getAsString());
            assertEquals("back", layer.get("group").getAsString());
            assertEquals(percent[k], layer.get("pan_percent").getAsDouble(), 1e-9, layer.toString());
        }
    }

    /** As the cookbook says: a layer without a level leaves the others where they are, also where the chain of all goes by the singer. */
    @Test
    void aLayerWithoutALevelKeepsItsPlace() throws Exception {
        int semitones = 0;
        for (String name : List.of("one", "two", "three", "four")) Takes.tone(folder.resolve(name + ".wav"), 220 * Math.pow(2, semitones++ / 12.0), 0.1, 2);
        String text = "song: x\ntempo: 120 bpm\nsections: { a: 1, end: 2 }\nparts:\n  one: { take: one.wav }\n  two: { take: two.wav }\n"
                + "  three: { take: three.wav }\n  four: { take: four.wav }\ngroups:\n  back:\n    parts: [ one, two, three, four ]\n"
                + "    each: [ compressor: { threshold: 6 dB under voice } ]\n    spread: 80 %\nprints: [ mix, back ]\n";
        Files.writeString(song, text);
        assertEquals(0, run("check", song, "--json"), err::toString);
        JsonArray layers = JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("layers");
        Files.writeString(song, text.replace("one.wav }", "one.wav, level: -90 dB }"));
        assertEquals(0, run("check", song, "--json"), err::toString);
        assertEquals(layers, JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("layers"));
        assertEquals(0, run("render", song, "--out", prints), err::toString);
    }
}

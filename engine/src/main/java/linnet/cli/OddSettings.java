package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.util.List;
import linnet.render.SongFindings;

/** What steps of a song find odd about how they are set. */
record OddSettings(List<SongFindings.Odd> all) {
    List<String> lines() {
        return all.stream().map(o -> o.work() + ": " + o.found().words()).toList();
    }

    JsonArray json() {
        JsonArray array = new JsonArray();
        for (SongFindings.Odd odd : all) {
            JsonObject o = new JsonObject();
            o.addProperty("of", odd.work());
            o.addProperty("step", odd.found().step());
            o.addProperty("setting", odd.found().setting());
            o.addProperty("text", odd.found().value());
            array.add(o);
        }
        return array;
    }
}

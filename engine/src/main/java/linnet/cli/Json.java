package linnet.cli;

import com.google.gson.GsonBuilder;
import com.google.gson.JsonArray;
import com.google.gson.JsonElement;
import com.google.gson.JsonObject;
import java.util.List;
import java.util.regex.Pattern;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.render.Resolved;

/** What the commands have in common in their JSON. */
final class Json {
    private static final Pattern UNSEEN = Pattern.compile("[\\x7f-\\x9f\\u202a-\\u202e\\u2066-\\u2069]");

    private Json() {}

    /** Signs that would move the cursor of a terminal, or turn the direction of a line, are escaped: they stand in strings only. */
    static String of(JsonElement element) {
        return of(element, new GsonBuilder().setPrettyPrinting());
    }

    /** The same without a break. */
    static String line(JsonElement element) {
        return of(element, new GsonBuilder());
    }

    private static String of(JsonElement element, GsonBuilder form) {
        String json = form.serializeNulls().disableHtmlEscaping().create().toJson(element);
        return UNSEEN.matcher(json).replaceAll(m -> String.format("\\\\u%04x", (int) m.group().charAt(0)));
    }

    static JsonArray resolved(List<Resolved> resolved) {
        JsonArray array = new JsonArray();
        for (Resolved r : resolved) {
            JsonObject o = new JsonObject();
            o.addProperty("step", r.step());
            o.addProperty("setting", r.setting());
            if (!r.given().isEmpty()) o.addProperty("given", r.given());
            o.addProperty("value", r.value());
            if (r.odd()) o.addProperty("odd", true);
            if (r.advised()) o.addProperty("advised", true);
            array.add(o);
        }
        return array;
    }

    static JsonArray marks(Marks marks, double rate) {
        JsonArray array = new JsonArray();
        for (Mark m : marks.all()) {
            JsonObject o = new JsonObject();
            o.addProperty("kind", m.kind().word());
            o.addProperty("start_s", Math.round(m.from() / rate * 1e6) / 1e6);
            o.addProperty("end_s", Math.round(m.to() / rate * 1e6) / 1e6);
            o.addProperty("confidence", Math.round(100 * m.confidence()) / 100.0);
            if (m.kept()) o.addProperty("keep", true);
            if (!m.word().isEmpty()) o.addProperty("word", m.word());
            array.add(o);
        }
        return array;
    }

    static JsonArray strings(List<String> strings) {
        JsonArray array = new JsonArray();
        strings.forEach(array::add);
        return array;
    }

    static double rounded(double value, int decimals) {
        double scale = Math.pow(10, decimals);
        return Math.round(value * scale) / scale;
    }

    /** Samples per second: every sound file has a whole number of them. */
    static void rate(JsonObject o, double rate) {
        o.addProperty("rate_hz", Math.round(rate));
    }

    /** How long something took, to a millisecond; a length, as that of a take, is {@code seconds}. */
    static void taken(JsonObject o, double seconds) {
        o.addProperty("seconds_taken", rounded(seconds, 3));
    }

    /** A level to two decimals; null where there is none. */
    static void level(JsonObject o, String key, double value) {
        o.addProperty(key, Double.isFinite(value) ? Math.round(value * 100) / 100.0 : null);
    }
}

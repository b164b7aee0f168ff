package linnet.publish;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import linnet.song.Form;
import linnet.song.Shape;
import linnet.song.SongReader;
import linnet.step.Catalogue;

/**
 * The JSON Schema (2020-12) of a song file, made of what its readers declare and of the schema of chains. It knows keys, forms and units;
 * which names, places and files there are, only the song says.
 */
public final class SongSchema {
    private final JsonObject defs;

    private SongSchema(JsonObject defs) {
        this.defs = defs;
    }

    public static JsonObject of(Catalogue catalogue) {
        JsonObject root = new JsonObject();
        root.addProperty("$schema", "https://json-schema.org/draft/2020-12/schema");
        root.addProperty("title", "Linnet song");
        root.addProperty("description", "The takes of a song, what is done to each, how they are put together, and what is printed.");
        JsonObject defs = Schema.defs(catalogue);
        JsonObject song = new SongSchema(defs).table(SongReader.shape());
        song.entrySet().forEach(e -> root.add(e.getKey(), e.getValue()));
        root.add("$defs", defs);
        return root;
    }

    private JsonObject form(Form form) {
        if (form instanceof Form.Amount a) return Schema.quantity(a.setting());
        if (form instanceof Form.Bare b) return bare(b);
        if (form instanceof Form.Choice c) return Schema.orFlag(c.words());
        if (form instanceof Form.Words w) return words(w);
        if (form instanceof Form.Line) return line("string", "number");
        if (form instanceof Form.Told) return told();
        if (form instanceof Form.Steps) return Schema.anyOf(Schema.chainFile("The path of a chain file, relative to the song."), Schema.steps());
        if (form instanceof Form.Rows r) return rows(r);
        if (form instanceof Form.Either e) return Schema.anyOf(e.forms().stream().map(this::form).toArray(JsonObject[]::new));
        return shared(((Form.Table) form).shape());
    }

    private static JsonObject bare(Form.Bare form) {
        JsonObject o = new JsonObject();
        o.addProperty("type", "number");
        if (Double.isFinite(form.least())) o.addProperty("minimum", form.least());
        if (Double.isFinite(form.most())) o.addProperty("maximum", form.most());
        return o;
    }

    private static JsonObject line(String... types) {
        JsonObject o = new JsonObject();
        if (types.length == 1) o.addProperty("type", types[0]);
        else o.add("type", Schema.array(types));
        return o;
    }

    private static JsonObject told() {
        JsonObject o = line("string", "number", "boolean");
        o.addProperty("pattern", "\\S");
        return o;
    }

    private static JsonObject words(Form.Words form) {
        JsonObject o = line("string");
        if (!form.pattern().isEmpty()) o.addProperty("pattern", "^(" + form.pattern() + ")$");
        o.add("examples", Schema.array(form.examples().toArray(String[]::new)));
        return o;
    }

    private JsonObject rows(Form.Rows form) {
        JsonObject list = Schema.array(form(form.row()));
        if (form.fewest() > 0) list.addProperty("minItems", form.fewest());
        return form.alone() ? Schema.anyOf(list, form(form.row())) : list;
    }

    private static JsonObject described(JsonObject o, String description) {
        return Schema.described(o, description);
    }

    /** A mapping stands once among the definitions. */
    private JsonObject shared(Shape shape) {
        String name = "song-" + shape.owner().replaceFirst("^(an?|the) ", "").replace(' ', '-');
        if (!defs.has(name)) {
            defs.add(name, new JsonObject());
            defs.add(name, table(shape));
        }
        return Schema.reference(name);
    }

    private JsonObject table(Shape shape) {
        JsonObject o = line("object");
        JsonObject properties = new JsonObject();
        for (Shape.Key k : shape.keys()) properties.add(k.name(), described(form(k.form()), sentence(k)));
        o.add("properties", properties);
        if (shape.others().isPresent()) {
            Shape.Others others = shape.others().get();
            o.add("additionalProperties", described(form(others.form()), others.doc()));
            if (!others.names().isEmpty()) o.add("propertyNames", pattern(others.names()));
        } else {
            o.addProperty("additionalProperties", false);
        }
        shape.needs().forEach(n -> need(o, n));
        shape.withs().forEach(w -> Schema.with(o, w.key(), w.needed(), w.others()));
        return o;
    }

    /** Where a key is a number as declared, with its range. */
    private static String sentence(Shape.Key key) {
        Form form = key.form() instanceof Form.Either e ? e.forms().get(0) : key.form();
        return form instanceof Form.Amount a && a.setting().doc().equals(key.doc()) ? Schema.sentence(a.setting()) : key.doc();
    }

    private static JsonObject pattern(String names) {
        JsonObject o = new JsonObject();
        o.addProperty("pattern", "^(" + names + ")$");
        return o;
    }

    private static void need(JsonObject table, Shape.Need need) {
        if (need.how() == Shape.How.ALL) {
            table.add("required", Schema.array(need.keys().toArray(String[]::new)));
            return;
        }
        JsonArray list = new JsonArray();
        need.keys().forEach(k -> list.add(Schema.required(k)));
        table.add(need.how() == Shape.How.ONE ? "oneOf" : "anyOf", list);
    }
}

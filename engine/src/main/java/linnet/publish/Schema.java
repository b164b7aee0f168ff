package linnet.publish;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.util.List;
import linnet.setting.Choice;
import linnet.setting.Group;
import linnet.setting.Live;
import linnet.setting.Quantity;
import linnet.setting.Reference;
import linnet.setting.Series;
import linnet.setting.Setting;
import linnet.setting.Settings;
import linnet.setting.Text;
import linnet.setting.Unit;
import linnet.setting.YesNo;
import linnet.step.Catalogue;
import linnet.step.Routing;
import linnet.step.Step;

/**
 * The JSON Schema (2020-12) of a chain file, so that editors complete and check it. It knows words, forms and the ranges of
 * bare numbers; that a number with a unit is in range, only the engine says.
 */
public final class Schema {
    private static final String NUMBER = "[+\u2212-]?([0-9]+([.][0-9]*)?|[.][0-9]+)";

    private static final String WHOLE = "[+\u2212-]?[0-9]+";

    private Schema() {}

    public static JsonObject of(Catalogue catalogue) {
        JsonObject root = new JsonObject();
        root.addProperty("$schema", "https://json-schema.org/draft/2020-12/schema");
        root.addProperty("title", "Linnet chain");
        root.addProperty("description", "A list of steps that turns a take into a finished vocal.");
        root.addProperty("type", "object");
        JsonObject properties = new JsonObject();
        properties.add("chain", line("What the chain is called."));
        properties.add("about", line("When to use it."));
        properties.add("tempo", quantity(Routing.TEMPO));
        properties.add("steps", steps());
        root.add("properties", properties);
        root.add("required", array("steps"));
        root.addProperty("additionalProperties", false);
        root.add("$defs", defs(catalogue));
        return root;
    }

    /** The steps there are. */
    static JsonObject defs(Catalogue catalogue) {
        JsonObject defs = new JsonObject();
        defs.add("steps", array(reference("step")));
        defs.add("step", step(catalogue));
        for (Step s : catalogue.steps()) defs.add(s.word(), body(s));
        return defs;
    }

    static JsonObject array(JsonObject items) {
        JsonObject o = new JsonObject();
        o.addProperty("type", "array");
        o.add("items", items);
        return o;
    }

    static JsonObject steps() {
        return reference("steps");
    }

    static JsonObject reference(String def) {
        JsonObject o = new JsonObject();
        o.addProperty("$ref", "#/$defs/" + def);
        return o;
    }

    static JsonArray array(String... words) {
        JsonArray a = new JsonArray();
        for (String w : words) a.add(w);
        return a;
    }

    private static JsonObject text(String description) {
        JsonObject o = new JsonObject();
        o.addProperty("type", "string");
        o.addProperty("description", description);
        return o;
    }

    /** A title may look like a number. */
    private static JsonObject line(String description) {
        JsonObject o = text(description);
        o.add("type", array("string", "number"));
        return o;
    }

    /** The path of a chain file. */
    static JsonObject chainFile(String description) {
        JsonObject o = text(description);
        o.addProperty("pattern", "[.][yY][aA]?[mM][lL]$");
        return o;
    }

    static JsonObject anyOf(JsonObject... forms) {
        JsonArray list = new JsonArray();
        for (JsonObject f : forms) list.add(f);
        JsonObject o = new JsonObject();
        o.add("anyOf", list);
        return o;
    }

    /** A bare word, or a word with its settings and what every step may say. */
    private static JsonObject step(Catalogue catalogue) {
        JsonObject bare = new JsonObject();
        JsonArray words = new JsonArray();
        JsonObject properties = new JsonObject();
        JsonArray oneOf = new JsonArray();
        for (Step s : catalogue.steps()) {
            words.add(s.word());
            properties.add(s.word(), described(reference(s.word()), s.about()));
            oneOf.add(required(s.word()));
        }
        bare.add("enum", words);
        properties.add(Routing.PARALLEL, described(branches(), Routing.PARALLEL_ABOUT));
        oneOf.add(required(Routing.PARALLEL));
        properties.add(Routing.USE, chainFile(Routing.USE_ABOUT));
        oneOf.add(required(Routing.USE));
        everyStep(properties);
        JsonObject with = new JsonObject();
        with.addProperty("type", "object");
        with.addProperty("description", "For 'use': settings to change, by name of the step; of several with a number, such as 'eq 2'.");
        properties.add("with", with);
        JsonObject full = new JsonObject();
        full.addProperty("type", "object");
        full.add("properties", properties);
        full.addProperty("additionalProperties", false);
        full.add("oneOf", oneOf);
        return anyOf(bare, full);
    }

    static JsonObject required(String word) {
        JsonObject o = new JsonObject();
        o.add("required", array(word));
        return o;
    }

    private static void everyStep(JsonObject properties) {
        properties.add("mix", live(Routing.MIX));
        properties.add("on", described(orFlag(YesNo.NAMED), "'no' leaves the step out."));
        JsonObject name = line("What to call the step, for messages and for 'with'.");
        name.addProperty("pattern", "[^ ]");
        properties.add("name", name);
    }

    /** One of some words. Yes and no are words here and flags to many an editor. */
    static JsonObject orFlag(List<String> words) {
        JsonObject word = new JsonObject();
        word.add("enum", array(YesNo.withOthers(words).toArray(String[]::new)));
        if (!words.contains("no")) return word;
        JsonObject flag = new JsonObject();
        if (words.contains("yes")) flag.addProperty("type", "boolean");
        else flag.addProperty("const", false);
        return anyOf(word, flag);
    }

    private static JsonObject branches() {
        JsonObject o = array(branch());
        o.addProperty("minItems", 1);
        return o;
    }

    private static JsonObject branch() {
        JsonObject o = new JsonObject();
        o.addProperty("type", "object");
        JsonObject properties = new JsonObject();
        properties.add("level", live(Routing.LEVEL));
        properties.add("steps", steps());
        o.add("properties", properties);
        o.addProperty("additionalProperties", false);
        return o;
    }

    private static JsonObject body(Step step) {
        JsonObject nothing = new JsonObject();
        nothing.addProperty("type", "null");
        if (step.body() != null) return anyOf(group(step.body()), nothing);
        JsonObject table = table(step.settings());
        everyStep(table.getAsJsonObject("properties"));
        return anyOf(table, nothing);
    }

    private static JsonObject table(Settings settings) {
        JsonObject o = new JsonObject();
        o.addProperty("type", "object");
        JsonObject properties = new JsonObject();
        for (Setting s : settings.all()) properties.add(s.name(), setting(s));
        o.add("properties", properties);
        o.addProperty("additionalProperties", false);
        JsonArray all = new JsonArray();
        for (Settings.OneOf rule : settings.rules()) all.add(rule(rule));
        if (!all.isEmpty()) o.add("allOf", all);
        settings.withs().forEach(w -> with(o, w.setting().name(), w.needed(), List.of(w.other().name())));
        return o;
    }

    /** Where a key is there, others must be, or may not. */
    static void with(JsonObject table, String key, boolean needed, List<String> others) {
        if (needed) {
            inside(table, "dependentRequired").add(key, array(others.toArray(String[]::new)));
            return;
        }
        JsonObject refused = new JsonObject(), schema = new JsonObject();
        others.forEach(k -> refused.addProperty(k, false));
        schema.add("properties", refused);
        inside(table, "dependentSchemas").add(key, schema);
    }

    private static JsonObject inside(JsonObject table, String key) {
        if (!table.has(key)) table.add(key, new JsonObject());
        return table.getAsJsonObject(key);
    }

    private static JsonObject rule(Settings.OneOf rule) {
        JsonArray names = new JsonArray();
        rule.settings().forEach(s -> names.add(required(s.name())));
        JsonObject o = new JsonObject();
        if (rule.needed()) {
            o.add("oneOf", names);
            return o;
        }
        // At most one: either none of them, or exactly one.
        JsonObject any = new JsonObject();
        any.add("anyOf", names.deepCopy());
        JsonObject none = new JsonObject();
        none.add("not", any);
        names.add(none);
        o.add("oneOf", names);
        return o;
    }

    private static JsonObject setting(Setting s) {
        if (s instanceof Live live) return live(live);
        if (s instanceof Quantity q) return quantity(q);
        if (s instanceof Choice<?> c) {
            JsonObject o = orFlag(c.words());
            o.addProperty("default", Choice.word(c.usual()));
            return described(o, c.doc());
        }
        if (s instanceof Text<?> t) return text(t);
        if (s instanceof Series series) {
            JsonObject o = array(quantity(series.element()));
            o.addProperty("minItems", series.fewest());
            o.addProperty("maxItems", series.most());
            return described(series.fewest() > 1 ? o : anyOf(o, quantity(series.element())), series.doc());
        }
        return group((Group) s);
    }

    private static JsonObject text(Text<?> t) {
        JsonObject one = new JsonObject();
        one.addProperty("type", "string");
        one.addProperty("pattern", "^(" + t.form().pattern() + ")$");
        one.add("examples", array(t.form().examples().toArray(String[]::new)));
        if (t.most() == 1) return described(one, t.doc());
        JsonObject list = array(one);
        list.addProperty("minItems", 1);
        list.addProperty("maxItems", t.most());
        return described(anyOf(list, one), t.doc());
    }

    private static JsonObject group(Group g) {
        JsonObject o = array(table(g.entry()));
        o.addProperty("maxItems", g.most());
        return described(o, g.doc());
    }

    /** A value, or a table of times and values. */
    private static JsonObject live(Live q) {
        JsonObject curve = new JsonObject();
        curve.addProperty("type", "object");
        curve.addProperty("description", "Moves: times and values, such as { 0 s: …, 12.5 s: … }.");
        JsonObject o = quantity(q);
        o.getAsJsonArray("anyOf").add(curve);
        return o;
    }

    static JsonObject quantity(Quantity q) {
        JsonObject number = new JsonObject();
        number.addProperty("type", q.isWhole() ? "integer" : "number");
        number.addProperty("minimum", q.min());
        number.addProperty("maximum", q.max());
        JsonObject text = new JsonObject();
        text.addProperty("type", "string");
        text.addProperty("pattern", pattern(q));
        JsonArray examples = new JsonArray();
        if (q.usual().isPresent()) examples.add(q.usualText());
        examples.add(q.unit().example());
        q.words().forEach(examples::add);
        text.add("examples", examples);
        JsonObject o = anyOf(number, text);
        return described(o, sentence(q));
    }

    /** What a number does, with its range. */
    static String sentence(Quantity q) {
        return q.doc() + " " + q.rangeAndUnit() + "; usual: " + q.usualText() + ".";
    }

    private static String pattern(Quantity q) {
        StringBuilder p = new StringBuilder("^(").append(q.isWhole() ? WHOLE : NUMBER).append("( *(")
                .append(String.join("|", q.unit().suffixes().stream().map(Schema::quoted).toList())).append("))?");
        if (q.unit() == Unit.PAN) p.append("|centre|(").append(NUMBER).append(" *%? *)?(left|right)");
        for (String w : q.words()) p.append('|').append(quoted(w));
        if (q.takesNotes()) p.append("|[0-9]{1,2}/[0-9]{1,2}( dotted| triplet)?");
        List<Reference> references = List.copyOf(q.references());
        if (references.stream().anyMatch(Reference::isLevel)) {
            p.append("|").append(NUMBER).append(" *(dB|dBFS)? (over|under) (").append(words(references, true)).append(')');
        }
        if (references.stream().anyMatch(f -> !f.isLevel())) p.append("|([0-9.]+ x )?(").append(words(references, false)).append(")( [1-4])?");
        return p.append(")$").toString();
    }

    private static String words(List<Reference> references, boolean level) {
        return String.join("|", references.stream().filter(f -> f.isLevel() == level).map(Reference::words).toList());
    }

    private static String quoted(String text) {
        return text.replaceAll("([.%()\\[\\]/?*+])", "[$1]");
    }

    static JsonObject described(JsonObject o, String description) {
        JsonObject d = o.deepCopy();
        d.addProperty("description", description);
        return d;
    }
}

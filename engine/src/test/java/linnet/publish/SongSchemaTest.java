package linnet.publish;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonObject;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaField;
import com.tngtech.archunit.core.domain.JavaModifier;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import java.io.IOException;
import java.lang.reflect.Field;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import linnet.Voices;
import linnet.song.Form;
import linnet.song.Shape;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The schema of songs against what their readers know, what they accept and what they refuse; it is read by an independent validator. */
class SongSchemaTest {
    private static final Path ROOT = Voices.repository();
    private static final JsonObject TEXT = SongSchema.of(Builtins.catalogue());
    private static final Schema SCHEMA = SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12).getSchema(TEXT.toString());
    private static final String HEAD = "tempo: 100 bpm\nsections: { verse: 1, end: 9 }\n";
    private static final String LEAD = "parts: { lead: { take: lead.wav } }\n";

    /** Broken by their form. What the others lack, such as a file, a name or a number with a unit in its range, a schema cannot know. */
    private static final Set<String> REFUSED = Set.of("balance-in-words", "comp-without-from", "edit-of-unknown-marks", "edit-unknown", "key-unknown",
            "level-in-words",
            "metre-unknown", "name-leads-out", "name-of-the-mix", "names-lead-out", "names-unknown-field", "no-end", "no-take", "no-tempo",
                    "nudge-without-direction", "parts-as-list", "polarity",
            "return-without-chain", "setting-unknown", "several-at-once", "step-unknown", "take-and-comp", "tempo-map-without-bar-1", "throw-without-word",
                    "top-key-unknown");

    private static List<?> faults(String song) {
        return SCHEMA.validate(song, InputFormat.YAML);
    }

    @Test
    void theExampleIsValid() throws IOException {
        assertEquals(List.of(), faults(Files.readString(ROOT.resolve("engine/src/main/resources/linnet/demo/song.yaml"))));
    }

    /** A song, entries of one, or parts. */
    @Test
    void whatThePageShowsIsValid() throws IOException {
        Matcher m = Pattern.compile("```yaml\n([^`]*)```").matcher(Files.readString(ROOT.resolve("docs/song-format.md")));
        int shown = 0;
        for (; m.find(); shown++) {
            String text = m.group(1);
            String song = text.startsWith("song:") ? text : text.startsWith("groups:") ? HEAD + LEAD + text : HEAD + "parts:\n" + text.indent(2);
            assertEquals(List.of(), faults(song), song);
        }
        assertTrue(shown >= 4);
    }

    @Test
    void songsThatAreBrokenByTheirFormAreRefused() throws IOException {
        TreeSet<String> refused = new TreeSet<>();
        try (Stream<Path> files = Files.list(ROOT.resolve("engine/src/test/resources/songs"))) {
            for (Path f : files.filter(f -> f.toString().endsWith(".yaml") && !f.endsWith("not-yaml.yaml")).toList()) {
                if (!faults(Files.readString(f)).isEmpty()) refused.add(f.getFileName().toString().replace(".yaml", ""));
            }
        }
        TreeSet<String> missed = new TreeSet<>(REFUSED);
        missed.removeAll(refused);
        assertEquals(Set.of(), missed);
    }

    @Test
    void slipsOfTheHandAreRefused() {
        for (String slip : new String[] {
            "parts: { lead: { take: lead.wav, from: { verse: 1 } } }", "parts: { lead: { take: lead.wav, at: 12 } }",
                    "parts: { lead: { take: lead.wav, to: verse } }",
            "parts: { lead: { from: low, at: verse } }", "parts: { lead: { take: lead.wav, pan: 20 dB } }",
                    "parts: { lead: { take: lead.wav, sends: [ plate ] } }",
            "parts: { lead: { take: lead.wav, sends: { plate: 10 LUFS } } }",
                    "parts: { lead: { take: lead.wav, sends: { plate: { level: -6 dB, after: level } } } }",
            "parts: { lead: { take: lead.wav, edits: [ { mute: verse, cut: verse } ] } }",
                    "parts: { lead: { take: lead.wav, edits: [ { mute: verse, close: yes } ] } }",
            "parts: { lead: { take: lead.wav, edits: [ { fade in: verse, fade: 8 ms } ] } }",
                    "parts: { lead: { take: lead.wav, edits: [ { cut: verse, exact: yes } ] } }",
            "parts: { lead: { take: lead.wav, tidy: { like: low, timing: 2 } } }", "parts: { lead: { take: lead.wav, tidy: { like: low, breaths: soften } } }",
                    "parts: { lead: { take: lead.wav, tidy: maybe } }",
            "parts: { lead: { take: lead.wav, duck: { by: 3 dB } } }", "parts: { lead: { take: lead.wav, chain: { steps: [] } } }",
                    "parts: { lead to low: { take: lead.wav } }",
            LEAD + "instrumental: { take: bed.wav, tidy: { like: lead } }", LEAD + "groups: { a: { spread: 50 % } }",
                    LEAD + "groups: { a: { parts: [ lead ], spread: 3 dB } }",
            LEAD + "moves: { verse: +1 dB }", LEAD + "moves: { verse: { ramp: soon, lead: +1 dB } }", LEAD + "moves: { verse: { lead: [ +1 dB ] } }",
            LEAD + "throws: [ { part: lead, word: verse, length: long, to: plate } ]", LEAD + "throws: { part: lead }",
                    LEAD + "balance: { lead: 1 dB over low }",
            LEAD + "mix: { loudness: -14 dB }", LEAD + "mix: [ limit ]", LEAD + "prints: [ { from: verse } ]",
                    LEAD + "prints: [ { print: mix, depth: 8-bit } ]",
            LEAD + "checks: { accept: [ lengths ] }", LEAD + "date: tomorrow", LEAD + "revision: one",
            LEAD + "revision: 1.5", LEAD + "revision: '1.5'", LEAD + "moves: { verse: { lead: 1 dB } }",
                    LEAD + "moves: { verse: { lead compressor ratio: '3:1' } }",
            LEAD + "rate: 48 kbps", LEAD + "pick-up: a beat"
        }) {
            assertFalse(faults(HEAD + slip).isEmpty(), slip);
        }
    }

    /** What readers take, in all its ways. */
    @Test
    void whatIsRightIsLeftAlone() {
        for (String right : new String[] {
            LEAD, "parts: { 1: { take: 2.wav }, 2: { from: 1, only: verse } }\ngroups: { low: { parts: 2 } }",
                    "parts: { lead: { take: lead.wav, from: 3, to: '1:02.5', at: bar 2 beat 1.5 } }",
            "parts: { lead: { comp: [ { take: a.wav, from: verse }, { take: b.wav, from: 3.5 s, to: end, at: verse, fade: 20, "
                    + "into: -6 dB, exact: yes } ], nudge: 1/8 "
                    + "triplet later } }",
            "parts: { lead: { take: lead.wav, only: [ verse, bar 2 to end ], edits: [ { mute: [ breaths, stops in verse, verse bar 2 to end ] }, { cut: verse "
                    + "bar 2 to verse bar 3, close: yes, exact: yes }, { fade out: verse } ] } }",
            "parts: { lead: { take: lead.wav, sends: { plate: 10 LU under, hall: { level: 3 LU over, before: level }, far: -6 }, sends level: -2 dB, pan: "
                    + "left, level: -3, into: 6 dB, polarity: as it is } }",
            "parts: { lead: { take: lead.wav, chain: lead.yaml }, low: { take: low.wav, chain: [ gate, compressor: { aim: 3 dB } ], tidy: no }, high: { take: "
                    + "high.wav, tidy: { like: lead, timing: leave, level: -20 dBFS, except: verse } } }",
            LEAD + "revision: '3'\nmoves: { verse: { lead: '+1', plate: -3 dB, low: \u22122 dB, plate reverb low-pass: to 9 kHz, lead pan: to 20 % left } }",
            LEAD + "moves: { verse *: { ramp: 1/8 dotted, lead: 1, lead pan: -20 %, lead compressor ratio: 'to 3:1' } }",
            LEAD + "throws: [ { part: lead, word: vowel 12 of lead, length: 2 beats, to: far, stop: next phrase, exact: no, in: 12, level: -4 dB } ]",
            LEAD + "balance: { lead: 1.5 LU over low }\nmix: { loudness: -14 LUFS, ceiling: -1 dBTP, chain: [ limit ] }\ndate: 2026-11-26 14:30\n"
                    + "names: '{song} {print} r{revision}'\nrevision: 3\nchecks: { ceiling: -1 dBTP, accept: mono }",
            LEAD + "prints: [ mix, lead up 1 dB, mix without lead, { print: mix, name: chorus, from: verse, to: end, depth: 16-bit } ]\nrate: 48 kHz",
                    LEAD + "prints: stems", LEAD + "prints: [ stems without bus, { print: lead without bus, depth: float } ]"
        }) {
            assertEquals(List.of(), faults(HEAD + right), right);
        }
        for (String time : new String[] {
            "tempo: 96\nmetre: 6/8\npick-up: 1 beat\nsections: { verse: bar 1, end: 9 }\n",
                    "tempo: { bar 1: 100 bpm, 33: 96 bpm }\nmetre: { 1: 4/4, bar 9: 3/4 }\npick-up: 1.5\nsections: { from: guide.wav }\n",
            "tempo: 96 bpm\nsections: { from: guide.wav, end: bar 33 }\n", "tempo: 96 bpm\nsections: { from: 2, to: 5, end: 9 }\n"
        }) {
            assertEquals(List.of(), faults(time + LEAD), time);
        }
    }

    @TempDir
    Path folder;

    private boolean isRead(String song) throws IOException {
        try {
            SongReader.read(Files.writeString(folder.resolve("song.yaml"), song), Builtins.catalogue());
            return true;
        } catch (ProblemsException e) {
            return false;
        }
    }

    /** What an editor marks is refused, and what it does not mark is taken, as far as forms go. */
    @ParameterizedTest
    @CsvSource(delimiter = '|', quoteCharacter = '`', value = {
        "true  | parts: { lead: { take: a.wav, tidy: no } }",
        "true  | parts: { lead: { take: a.wav, tidy: off } }",
        "true  | parts: { lead: { take: a.wav, tidy: false } }",
        "false | parts: { lead: { take: a.wav, tidy: yes } }",
        "false | parts: { lead: { take: a.wav, tidy: true } }",
        "true  | credits: { artist: The Kites, year: 2026, explicit: no }",
        "true  | credits: { explicit: false, live: true }",
        "true  | credits: { sung by: [ one, 2, false ] }",
        "false | credits: { artist: [] }",
        "false | credits: { artist: ' ' }",
        "false | credits: { artist: '' }",
        "false | credits: { artist: [ one, ' ' ] }",
        "false | credits: { artist: { name: x } }"})
    void theSchemaAndTheReaderTakeTheSame(boolean taken, String text) throws IOException {
        String song = HEAD + (text.startsWith("parts:") ? "" : LEAD) + text + "\n";
        assertEquals(taken, isRead(song), "read");
        assertEquals(taken, faults(song).isEmpty(), "valid");
    }

    private static void reach(Form form, Set<Shape> shapes) {
        if (form instanceof Form.Rows r) reach(r.row(), shapes);
        if (form instanceof Form.Either e) e.forms().forEach(f -> reach(f, shapes));
        if (form instanceof Form.Table t) reach(t.shape(), shapes);
    }

    private static void reach(Shape shape, Set<Shape> shapes) {
        if (!shapes.add(shape)) return;
        shape.keys().forEach(k -> reach(k.form(), shapes));
        shape.others().ifPresent(o -> reach(o.form(), shapes));
    }

    private static Set<Shape> shapes() {
        Set<Shape> shapes = Collections.newSetFromMap(new IdentityHashMap<>());
        reach(SongReader.shape(), shapes);
        return shapes;
    }

    /** A reader refuses keys that its shape does not declare; so none can know one that is not in the schema, if the schema has all shapes. */
    @Test
    void theSchemaHasEveryShapeThatAReaderKnows() throws ReflectiveOperationException {
        Set<Shape> known = shapes();
        int found = 0;
        for (JavaClass c : new ClassFileImporter().importPackages("linnet.song")) {
            for (JavaField f : c.getFields()) {
                if (!f.getModifiers().contains(JavaModifier.STATIC) || !f.getRawType().isEquivalentTo(Shape.class)) continue;
                Field field = f.reflect();
                field.setAccessible(true);
                assertTrue(known.contains((Shape) field.get(null)), f.getFullName() + " is in no form of the song's shape");
                found++;
            }
        }
        assertTrue(found >= 12, "only " + found + " were found");
    }

    /** What 'tidy: { like: lead }' does by itself. */
    @Test
    void whatIsUsualOfTidyIsInTheSchemaAndOnThePage() throws IOException {
        List<String> page = Files.readAllLines(ROOT.resolve("docs/song-format.md"));
        JsonObject tidy = TEXT.getAsJsonObject("$defs").getAsJsonObject("song-tidy").getAsJsonObject("properties");
        for (String key : List.of("timing", "reach", "stretch", "breaths", "consonants", "ends", "level", "other words")) {
            assertTrue(tidy.getAsJsonObject(key).get("description").getAsString().contains("usual: "), key);
            String row = page.stream().filter(l -> l.startsWith("| `" + key + "` |")).reduce((a, b) -> b).orElseThrow();
            assertTrue(page.stream().anyMatch(l -> l.startsWith("| `" + key + "` |") && l.contains("where it is not given")), row);
        }
    }

    @Test
    void everyKeyIsInTheSchemaAndOnThePage() throws IOException {
        String page = Files.readString(ROOT.resolve("docs/song-format.md"));
        List<String> missing = new ArrayList<>();
        for (Shape s : shapes()) {
            JsonObject table = s == SongReader.shape() ? TEXT
                    : TEXT.getAsJsonObject("$defs").getAsJsonObject("song-" + s.owner().replaceFirst("^(an?|the) ", "").replace(' ', '-'));
            assertEquals(s.keys().stream().map(Shape.Key::name).toList(), List.copyOf(table.getAsJsonObject("properties").keySet()), s.owner());
            for (Shape.Key k : s.keys()) {
                assertTrue(table.getAsJsonObject("properties").getAsJsonObject(k.name()).get("description").getAsString().startsWith(k.doc()), k.name());
                if (!page.contains("`" + k.name() + "`") && !Pattern.compile("\\b" + k.name() + ":").matcher(page).find()) {
                    missing.add(s.owner() + " " + k.name());
                }
            }
        }
        assertEquals(List.of(), missing);
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Parts that stay in their group, and go without what it does to each of its parts. */
class ExceptedPartsTest extends SongFolder {
    private static final String EACH = "trim: { level: -20 dB }", WITHOUT = "without the each of backs", OWN = "its own each in place of that of backs (trim)";

    @BeforeEach
    void aGroupOfThree() throws IOException {
        write("", "");
    }

    private void write(String ofTwo, String more) throws IOException {
        Files.writeString(song, text(ofTwo, "each: [ " + EACH + " ]", more));
    }

    private static String text(String ofTwo, String each, String more) {
        return "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  lead: { take: take.wav }\n  one: { take: take.wav }\n"
                + "  two: { take: take.wav" + ofTwo + " }\n  three: { take: take.wav }\n"
                + "groups: { backs: { parts: [ one, two, three ], " + each + ", spread: 80 %, chain: [ trim ] } }\n" + more
                + "prints: [ { print: one, depth: float }, { print: two, depth: float }, { print: three, depth: float } ]\n";
    }

    private double peak(String print) {
        for (var p : JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("prints")) {
            if (p.getAsJsonObject().get("name").getAsString().equals(print)) return p.getAsJsonObject().get("true_peak_dbtp").getAsDouble();
        }
        throw new AssertionError(print + " in " + out);
    }

    private void render() {
        assertEquals(0, run("render", song, "--out", prints, "--force", "--json"), err::toString);
    }

    private boolean lists(String part, String line) {
        return out.toString().lines().anyMatch(l -> l.matches("  " + part + " +take\\.wav, from .*") && l.contains(line));
    }

    @Test
    void oneGoesWithoutAndKeepsAllElseOfTheGroup() throws Exception {
        write(", each: no", "");
        assertEquals(0, run("check", song), err::toString);
        assertTrue(lists("two", "; 80 % right; " + WITHOUT), out.toString());
        assertFalse(lists("one", "each"), out.toString());
        render();
        // What the group does to each is 20 dB; the spread puts one and two as far out.
        assertEquals(20, peak("two") - peak("one"), 0.05);
        String sheet = Files.readString(prints.resolve("sheet.md"));
        assertTrue(sheet.contains(", " + WITHOUT), sheet);
        assertTrue(sheet.contains("After the chain of each of one, three"), sheet);
    }

    @Test
    void oneHasStepsOfItsOwnInPlaceOfThose() throws Exception {
        write(", chain: [ trim: { level: -1 dB } ], each: [ trim: { level: -6 dB } ]", "");
        assertEquals(0, run("check", song), err::toString);
        assertTrue(lists("two", "; " + OWN), out.toString());
        render();
        assertEquals(13, peak("two") - peak("one"), 0.05);
        String sheet = Files.readString(prints.resolve("sheet.md"));
        assertTrue(sheet.contains("two: each") && sheet.contains("After the chain of two, in place of the each of backs"), sheet);
        assertTrue(sheet.contains("After the chain of each of one, three"), sheet);
    }

    /** They move by the name of the part, and not with those of the group. */
    @Test
    void itsOwnStepsMove() throws Exception {
        write(", each: [ trim: { level: -6 dB } ]", "moves: { a: { two each trim level: to -3 dB, backs each trim level: to -10 dB } }\n");
        render();
        assertEquals(7, peak("two") - peak("one"), 0.1);
        write(", each: no", "moves: { a: { two each trim level: +3 dB } }\n");
        assertEquals(3, run("check", song));
        assertTrue(err.toString().contains("'two each' has no step and setting 'trim level'"), err.toString());
    }

    @Test
    void whereThereIsNothingToGoWithoutItIsRefused() throws Exception {
        refused("parts:\n  lead: { take: take.wav, each: no }\n", "'lead' is in no group: there is no 'each' that it could go without; take this out");
        refused("parts:\n  lead: { take: take.wav, each: [ trim ] }\n",
                "'lead' is in no group: there is no 'each' that this could take the place of; its own steps go into its 'chain'");
        refused("parts:\n  lead: { take: take.wav, each: no }\ngroups: { backs: { parts: [ lead ] } }\n",
                "the group 'backs' of 'lead' has no 'each' that it could go without; take this out");
        refused("parts:\n  lead: { take: take.wav, each: [ trim ] }\ngroups: { backs: { parts: [ lead ] } }\n",
                "the group 'backs' of 'lead' has no 'each' that this could take the place of; its own steps go into its 'chain'");
    }

    private void refused(String parts, String why) throws IOException {
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\n" + parts + "prints: [ mix ]\n");
        assertEquals(3, run("check", song), out::toString);
        assertTrue(err.toString().contains("song.yaml:5:27: " + why), err.toString());
    }

    /** A slip is told once: in the names of a group, or in its key. */
    @Test
    void aSlipInTheGroupIsNotToldOfThePartAgain() throws Exception {
        Files.writeString(song, text(", each: no", "each: [ trim ]", "").replace("[ one, two,", "[ one, twoo,"));
        assertEquals(3, run("check", song));
        assertTrue(err.toString().contains("did you mean 'two'?") && !err.toString().contains("in no group"), err.toString());
        Files.writeString(song, text(", each: no", "eahc: [ trim ]", ""));
        assertEquals(3, run("check", song));
        assertTrue(err.toString().contains("did you mean 'each'?") && !err.toString().contains("has no 'each'"), err.toString());
    }

    @Test
    void diffTellsItInOneLine() throws Exception {
        String none = "", no = ", each: no", own = ", each: [ trim: { level: -6 dB } ]";
        assertEquals("two " + WITHOUT, told(none, no));
        assertEquals("two with the each of backs, was without", told(no, none));
        assertEquals("two with " + OWN, told(none, own));
        assertEquals("two with the each of backs, was with its own", told(own, none));
        assertEquals("two " + WITHOUT + ", was with its own", told(own, no));
        assertEquals("two with " + OWN + ", was without", told(no, own));
        assertEquals("two each trim level 3 dB higher (-3 dB, was -6 dB)", told(own, own.replace("-6", "-3")));
        Files.writeString(folder.resolve("own.yaml"), "chain: own\nsteps:\n  - trim: { level: -6 dB }\n");
        assertEquals("two with " + OWN, told(none, ", each: own.yaml"));
        assertEquals("Nothing that sounds is different in the texts.", told(own, ", each: own.yaml"));
    }

    /** The line of the change, without that of the prints. */
    private String told(String was, String is) throws IOException {
        Path old = folder.resolve("old.yaml");
        write(was, "");
        Files.copy(song, old, java.nio.file.StandardCopyOption.REPLACE_EXISTING);
        write(is, "");
        assertEquals(0, run("diff", old, song), err::toString);
        return String.join("\n", out.toString().lines().filter(l -> !l.startsWith("Prints that change") && !l.startsWith("No ") && !l.isBlank()).toList());
    }

    /** The stems of all layers: one entry, one word, one line. */
    @Test
    void onePrintOfEachPartIsOneEntry() throws Exception {
        String one = text("", "each: [ " + EACH + " ]", "").replaceFirst("prints: .*", "prints: [ mix, lead ]");
        Path old = folder.resolve("old.yaml");
        Files.writeString(old, one);
        Files.writeString(song, one.replace("mix, lead ]", "mix, lead, { print: parts of backs dry, depth: 16-bit } ]"));
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().contains("Prints: mix, lead, one dry, two dry, three dry\n"), out.toString());
        assertEquals(0, run("diff", old, song), err::toString);
        assertEquals(1, out.toString().lines().filter(l -> l.startsWith("print parts of backs dry is new")).count(), out.toString());
        assertFalse(out.toString().lines().anyMatch(l -> l.startsWith("print one")), out.toString());
        assertEquals(0, run("render", song, "--out", prints, "--only", "parts of backs dry"), err::toString);
        for (String part : new String[] {"one", "two", "three"}) assertTrue(Files.exists(prints.resolve(part + " dry.wav")), part);
        assertFalse(Files.exists(prints.resolve("lead.wav")));
        assertEquals(2, run("render", song, "--out", prints, "--only", "parts of backs wet"));
        assertTrue(err.toString().contains("has no print 'parts of backs wet'"), err.toString());
    }

    /** What none of its layers goes through puts nothing to a side. */
    @Test
    void itIsNotToldOfPansThatItGoesWithout() throws Exception {
        Files.writeString(song, text(", each: no, pan: 40 % right", "each: [ pan: { to: 50 % left } ]", "").replace("spread: 80 %, ", ""));
        assertEquals(0, run("check", song), err::toString);
        assertFalse(out.toString().contains("two: 'pan'"), out.toString());
        Files.writeString(song, text(", pan: 40 % right, each: [ pan: { to: 50 % left } ]", "each: [ trim ]", "").replace("spread: 80 %, ", ""));
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().contains("two: 'pan' of the part moves nothing that 'pan' in its 'each' has put in a place already"), out.toString());
        Files.writeString(song, text(", each: [ pan: { to: 50 % left } ]", "each: [ trim ]", ""));
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().contains("backs: 'spread' deals to both sides what 'pan' in 'each' of two has put in a place already"), out.toString());
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The sheet tells what was rendered, and warns of all that the render warned of. */
class SongSheetTest extends SongFolder {
    private static final String SONG = """
            song: x
            tempo: 120 bpm
            sections: { a: 1, b: 2, end: 4 }
            parts:
              lead:
                comp: [ { take: take.wav, from: a }, { take: other.wav, at: a, from: b } ]
                sends: { room: 12 LU under }
              double: { take: other.wav, tidy: { like: lead, timing: 10 ms } }
              other: { take: other.wav, level: -9 dB, sends: { room: -12 dB } }
            groups: { stack: { parts: [ double ] } }
            instrumental: { take: other.wav }
            balance: { lead: 2 LU over instrumental, stack: 6 LU under lead }
            returns:
              room: { chain: [ delay: { time: 1/8 } ], duck: { from: lead, by: 3 dB } }
              far: { chain: [ delay: { time: 1/4 } ] }
            mix: { loudness: -16 LUFS, ceiling: -1 dBTP }
            throws: [ { part: other, word: b beat 4, length: 1 beat, to: far, level: -4 dB, out: 200 ms, stop: 1 bar } ]
            prints: [ mix, lead, far, throws ]
            """;

    @BeforeEach
    void takes() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 3);
        Takes.tone(folder.resolve("other.wav"), 330, 0.1, 3);
        Files.writeString(song, SONG);
    }

    private String sheet(String heading) throws IOException {
        String all = Files.readString(prints.resolve("sheet.md"));
        int at = all.indexOf("\n## " + heading + "\n");
        assertTrue(at >= 0, heading + "\n" + all);
        int end = all.indexOf("\n## ", at + 1);
        return all.substring(at, end < 0 ? all.length() : end);
    }

    private static String found(String in, String what, String why) {
        Matcher m = Pattern.compile("(?m)^ *" + what + " +(\\S+ dB): " + why).matcher(in);
        assertTrue(m.find(), what + "\n" + in);
        return m.group(1);
    }

    /** A change of words makes no sound anew. Which rows a label asks for is common practice, as are rows that only one of them has. */
    @Test
    void whatIsTheSongsStandsFirst() throws IOException {
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertFalse(Files.readString(prints.resolve("sheet.md")).contains("## The song"));
        Files.writeString(song, SONG + "about: a demo <1>\ncredits: { artist: The Kites, written by: [ \"words: A\", \"music: B, 50 %\" ], explicit: no }\n");
        assertEquals(0, run("render", song, "--out", prints, "--force"), err::toString);
        assertEquals("\n## The song\n\na demo \\<1\\>\n\n- artist: The Kites\n- written by: words: A; music: B, 50 %\n- explicit: no\n", sheet("The song"));
        assertTrue(Files.readString(prints.resolve("sheet.html")).contains("a demo &lt;1&gt;</p>"));
        assertTrue(Pattern.compile("lead[.]wav .*, left as it was\n").matcher(out.toString()).find(), out::toString);
    }

    @Test
    void aSongOfWhichNothingIsToldButASentence() throws IOException {
        Files.writeString(song, SONG + "about: a demo\n");
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertEquals("\n## The song\n\na demo\n", sheet("The song"));
    }

    /** Levels by ear stand where they belong, each with what was wished. */
    @Test
    void levelsAreThoseOfTheMix() throws IOException {
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        String told = out.toString(), chains = sheet("Chains");
        String lead = found(told, "lead", "2 LU over instrumental"), send = found(told, "lead to room", "12 LU under lead"),
                stack = found(told, "stack", "6 LU under lead"), mix = found(told, "mix", "-16");
        assertFalse(lead.equals("0 dB") || send.equals("-12 dB") || stack.equals("0 dB"), told);
        assertTrue(chains.contains("Part, level " + lead + " (2 LU over instrumental), sends to room " + send + " (12 LU under)\n"), chains);
        assertTrue(chains.contains("Group of double, level " + stack + " (6 LU under lead)\n"), chains);
        assertTrue(chains.contains("Part, level -9 dB, sends to room -12 dB\n"), chains);
        assertTrue(chains.contains("loudness (trim): level: " + mix + " (-16 LUFS)\n"), chains);
    }

    /** What gives way, follows or is thrown is told, where it was rendered. */
    @Test
    void ducksTidyingAndThrowsAreTold() throws IOException {
        Files.writeString(song,
                SONG.replace("b beat 4", "b beat 1")
                .replace("{ like: lead, timing: 10 ms }",
                        "{ like: lead, timing: 10 ms, breaths: leave, consonants: leave, level: -18 dBFS, except: [ b to end ] }"));
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        String chains = sheet("Chains"), throwing = sheet("Throws");
        assertTrue(chains.contains("Return, level 0 dB, 3 dB lower while lead sounds, attack 10 ms, release 250 ms\n"), chains);
        assertTrue(chains.contains("Part, level 0 dB, tidied like lead: timing 10 ms, reach 500 ms, stretch 10 %, ends with lead, level -18 dBFS, except "
                + "0:02.000 to 0:06.000\n"), chains);
        assertTrue(throwing.contains("- other at b bar 1 (0:02.000) for 0.5 s to far, level -4 dB, fade in 10 ms, fade out 200 ms, stopped at 0:04.500\n"),
                throwing);
    }

    /** Under each heading what belongs to it, and under each part what was done to it. */
    @Test
    void whatWasHeardStandsUnderWhatItIsAbout() throws IOException {
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        String heard = sheet("Heard");
        assertTrue(heard.matches("(?s).*\n### Levels\n\n- lead \\S+ dB: 2 LU over instrumental[^\n]*\n.*"), heard);
        assertTrue(heard.matches("(?s).*\n\n### Joins\n\n- lead\n  - b: [^\n]*\n\n.*"), heard);
        assertTrue(heard.matches("(?s).*\n\n### Tidied\n\n- double: like lead: [^\n]*\n  - 0:[^\n]*\n.*"), heard);
        assertFalse(heard.contains("- Joins") || heard.contains("- Tidied") || heard.contains("| Part |"), heard);
        String page = Files.readString(prints.resolve("sheet.html"));
        assertTrue(page.matches("(?s).*>Joins</h3>\n<ul class=\"lines\">\n<li>lead<ul class=\"lines\">\n<li>b: .*"), page);
    }

    /** Where more than six follow, those to look at are found in a table before all their lines. */
    @Test
    void ofManyPartsATableComesFirst() throws IOException {
        StringBuilder more = new StringBuilder("  double: { take: other.wav, tidy: { like: lead } }\n");
        for (int k = 1; k < 7; k++) more.append("  layer ").append(k).append(": { take: other.wav, tidy: { like: lead } }\n");
        Files.writeString(song, SONG.replace("  double: { take: other.wav, tidy: { like: lead, timing: 10 ms } }\n", more));
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        String heard = sheet("Heard");
        assertTrue(heard.matches("(?s).*\n### Tidied\n\n\\| Part \\| Phrases moved \\| Largest offset left \\| Where \\|\n\\|---\\|---\\|---\\|---\\|\n"
                + "\\| double \\| \\d of \\d \\| [^\n]*\\|\n(\\| layer \\d \\| [^\n]*\\|\n){6}\n- double: like lead: .*"), heard);
    }

    /** Each line of the terminal's warnings, and what is odd at a join, stands under "To look at". */
    @Test
    void whatTheRenderWarnsOfIsToBeLookedAt() throws IOException {
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        String look = sheet("To look at");
        assertTrue(err.toString().contains("throw of other at b beat 4: no vowel begins within 150 ms of it"), err.toString());
        assertTrue(err.toString().contains("throws: nothing can be heard in it"), err.toString());
        assertTrue(err.toString().contains("far: nothing can be heard in it"), err.toString());
        for (String line : err.toString().lines().toList()) assertTrue(look.contains("- " + line + "\n"), line + "\n" + look);
        Matcher join = Pattern.compile("(?m)^  lead +(b: .*; .*)$").matcher(out.toString());
        assertTrue(join.find(), out.toString());
        assertTrue(look.contains("- join of lead at " + join.group(1) + "\n"), look);
    }

    /** Of a part that is made of others that is known once they are rendered: it is told then, and by each check from then on. */
    @ParameterizedTest
    @ValueSource(strings = {"double", "dub"})
    void aThrowOfADerivedPartThatMeetsNoVowelIsTold(String part) throws IOException {
        String derived = SONG.replace("groups:", "  dub: { from: lead }\ngroups:").replace("part: other", "part: " + part);
        Files.writeString(song, derived);
        String told = "throw of " + part + " at b beat 4: no vowel begins within 150 ms of it, so it begins right there";
        assertEquals(0, run("check", song), err::toString);
        assertFalse(out.toString().contains(told), out::toString);
        for (int k = 0; k < 2; k++) {
            assertEquals(0, run("render", song, "--out", prints, "--force"), err::toString);
            assertTrue(err.toString().contains(told), err::toString);
            assertTrue(sheet("To look at").contains(told));
        }
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().contains(told), out::toString);
        Files.writeString(song, derived.replace("length: 1 beat", "length: 1 beat, exact: yes"));
        assertEquals(0, run("render", song, "--out", prints, "--force"), err::toString);
        assertFalse(err.toString().contains("no vowel begins"), err::toString);
    }

    /** What stands out on the pages is told at the render, so on the sheet too. */
    @Test
    void whatStandsOutOnPagesIsToBeLookedAt() throws IOException {
        Files.writeString(song, SONG.replace("room: { chain: [ delay: { time: 1/8 } ]", "room: { chain: [ delay: { time: 1/8 }, gate: { threshold: 0 dB } ]")
                .replace("sends: { room: 12 LU under }", "sends: { room: -12 dB }"));
        assertEquals(0, run("render", song, "--out", prints, "--report", folder.resolve("pages")), err::toString);
        String look = sheet("To look at");
        assertTrue(err.toString().contains("room: "), err.toString());
        for (String line : err.toString().lines().toList()) assertTrue(look.contains("- " + line + "\n"), line + "\n" + look);
    }

    /** Where the song counts its revisions in the names of its prints, there is another way than to replace one. */
    @Test
    void aPrintThatIsThereLeadsToTheNextRevision() throws IOException {
        String text = "song: x\n%stempo: 120 bpm\nsections: { a: 1, end: 2 }\nparts:\n  lead: { take: take.wav, level: %s }\nprints: [ lead ]\n";
        String counted = "revision: 2\nnames: \"{print} r{revision}\"\n";
        for (String names : new String[] {counted, "", "revision: 2\n"}) {
            Files.writeString(song, text.formatted(names, "-3 dB"));
            assertEquals(0, run("render", song, "--out", prints), err::toString);
            Files.writeString(song, text.formatted(names, "-6 dB"));
            assertEquals(Exit.USAGE, run("render", song, "--out", prints));
            String there = prints.resolve(names.equals(counted) ? "lead r2.wav" : "lead.wav") + " is there already; say --force to replace it";
            assertEquals(there + (names.equals(counted) ? ", or count 'revision' up in the song, which is 2 now" : ""), err.toString().strip());
            Files.delete(prints.resolve(names.equals(counted) ? "lead r2.wav" : "lead.wav"));
        }
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The table of prints says what each is, so that whoever gets only the files knows which of them to put together. */
class SheetPrintsTest extends SongFolder {
    private static final String ALL = "mix, mix without bus, vocals, instrumental, lead, doubles, left, echo, lead dry, lead untuned, lead wet, throws, "
            + "mix without lead, vocals without lead, lead up 1 dB, vocals down 0.5 dB, stems without bus, vocals without bus";

    private static final String BEFORE = ", before its level, its place and the chains of groups and mix";

    @BeforeEach
    void takes() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.1, 3);
    }

    private void song(String mix, String prints) throws IOException {
        Files.writeString(song, """
                song: x
                tempo: 120 bpm
                sections: { a: 1, b: 2, end: 3 }
                parts:
                  lead: { take: take.wav, sends: { echo: -12 dB } }
                  left: { take: take.wav, level: -12 dB }
                instrumental: { take: take.wav, level: -12 dB }
                groups: { doubles: { parts: [ left ] } }
                returns: { echo: { chain: [ delay: { time: 1/8 } ] } }
                throws: [ { part: lead, word: a beat 2, length: 1 beat, to: echo, level: -6 dB, exact: yes } ]
                mix: { chain: [ %s ] }
                prints: [ %s ]
                """.formatted(mix, prints));
    }

    /** What stands beside the file of each print in the column. */
    private Map<String, String> told(String column) throws IOException {
        Map<String, String> told = new LinkedHashMap<>();
        List<String> lines = prints().lines().filter(l -> l.startsWith("| ")).map(l -> l.replace("\\", "")).toList();
        int at = Arrays.asList(lines.get(0).split(" ?\\| ?")).indexOf(column);
        assertTrue(at > 0, column + " in " + lines.get(0));
        for (String row : lines.subList(1, lines.size())) told.put(row.split(" ?\\| ?")[1], row.split(" ?\\| ?")[at]);
        return told;
    }

    private String prints() throws IOException {
        String all = Files.readString(prints.resolve("sheet.md"));
        return all.substring(all.indexOf("\n## Prints\n"), all.indexOf("\n## To look at"));
    }

    @Test
    void eachKindOfPrintHasItsPhrase() throws IOException {
        song("compressor: { ratio: 2:1 }", ALL);
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        Map<String, String> told = told("What it is");
        String through = ", with the bus";
        assertEquals("all of it, with the bus", told.get("mix.wav"));
        assertEquals("all of it, without the bus, for mastering: stems without bus add up to it, those with it do not",
                told.get("mix without bus.wav"));
        assertEquals("everything but the instrumental, as it stands in the mix" + through, told.get("vocals.wav"));
        assertEquals("what is played, as it stands in the mix" + through, told.get("instrumental.wav"));
        assertEquals("part, as it stands in the mix" + through, told.get("lead.wav"));
        assertEquals("group of left, as it stands in the mix" + through, told.get("doubles.wav"));
        assertEquals("part of doubles and in that already, as it stands in the mix" + through, told.get("left.wav"));
        assertEquals("return, as it stands in the mix" + through, told.get("echo.wav"));
        assertEquals("lead before anything shapes it: edited and mended" + BEFORE, told.get("lead dry.wav"));
        assertEquals("lead as it was sung: edited, through no step" + BEFORE, told.get("lead untuned.wav"));
        assertEquals("lead with what the returns make of it, as it stands in the mix" + through, told.get("lead wet.wav"));
        assertEquals("what echo makes of thrown words and has in it already, as it stands in the mix" + through, told.get("throws.wav"));
        assertEquals("the mix without lead and what the returns make of it, under the gain that it has in the mix", told.get("mix without lead.wav"));
        assertEquals("the vocals without lead and what the returns make of it, as they stand in the mix" + through, told.get("vocals without lead.wav"));
        assertEquals("the mix with lead up 1 dB", told.get("lead up 1 dB.wav"));
        assertEquals("the mix with vocals down 0.5 dB", told.get("vocals down 0.5 dB.wav"));
        assertEquals("part, without the bus", told.get("lead without bus.wav"));
        assertEquals("return, without the bus", told.get("echo without bus.wav"));
        assertEquals("everything but the instrumental, without the bus", told.get("vocals without bus.wav"));
        assertTrue(prints().contains("The bus is the chain of the mix: it goes by all of the mix, in each stem as in the mix itself."), prints());
        assertTrue(Files.readString(prints.resolve("sheet.html")).contains("<td>part, as it stands in the mix" + through + "</td>"));
    }

    /** What there is nothing on the mix to hear is not said to be under it. */
    @Test
    void aMixWithoutChainDoesNothing() throws IOException {
        song("", "mix, mix without bus, lead");
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertEquals("part, as it stands in the mix", told("What it is").get("lead.wav"));
        assertFalse(prints().contains("The bus is"), prints());
        assertEquals("all of it, without the bus, for mastering", told("What it is").get("mix without bus.wav"));
    }

    @Test
    void whatAddsUpToTheMixIsListed() throws IOException {
        song("compressor: { ratio: 2:1 }", ALL);
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertTrue(prints().contains("These add up to the mix: lead.wav, instrumental.wav, doubles.wav, echo.wav."), prints());
        song("compressor: { ratio: 2:1 }", ALL.replace(", echo", ""));
        assertEquals(0, run("render", song, "--out", prints, "--force"), err::toString);
        assertFalse(prints().contains("add up to the mix"), prints());
    }

    /** Prints that were there already are put together as well. */
    @Test
    void whatWasLeftAddsUpToo() throws IOException {
        song("compressor: { ratio: 2:1 }", ALL);
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        Files.delete(prints.resolve("sheet.md"));
        Files.delete(prints.resolve("lead.wav"));
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertTrue(prints().contains("These add up to the mix: lead.wav, instrumental.wav, doubles.wav, echo.wav."), prints());
    }

    @Test
    void ofAStretchItIsToldOfWhatAndFromWhereToWhere() throws IOException {
        song("", "mix, { print: mix, from: b, to: b }, { print: lead dry, name: hook, from: b beat 3 }, { print: lead, name: solo }");
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        Map<String, String> told = told("What it is");
        assertEquals("mix from 0:02.000 to 0:04.000: all of it", told.get("mix b to b.wav"));
        assertEquals("lead dry from 0:03.000 to 0:05.000: lead before anything shapes it: edited and mended" + BEFORE,
                told.get("hook.wav"));
        assertEquals("lead: part, as it stands in the mix", told.get("solo.wav"));
        assertTrue(prints().contains("All but stretches begin together."), prints());
        song("", "mix, lead");
        assertEquals(0, run("render", song, "--out", prints, "--force"), err::toString);
        assertTrue(prints().contains("All begin together."), prints());
    }
}

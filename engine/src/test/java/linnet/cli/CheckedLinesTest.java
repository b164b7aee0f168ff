package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/** What a check says of a song of many parts can be read on a terminal of 80 columns: each thing under its own heading, and who sings together in lines. */
class CheckedLinesTest extends SongFolder {
    private static final int COLUMNS = 80;

    private void check(List<String> parts, String more) throws IOException {
        StringBuilder text = new StringBuilder("song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  lead: { take: take.wav }\n");
        for (String p : parts) text.append("  ").append(p).append(": { take: take.wav }\n");
        Files.writeString(song, text + "groups: { backs: { parts: " + parts + " " + more + " } }\nprints: [ mix ]\n");
        assertEquals(0, run("check", song), err::toString);
    }

    private List<String> group() {
        List<String> lines = out.toString().lines().toList();
        int from = IntStream.range(0, lines.size()).filter(k -> lines.get(k).startsWith("  backs ")).findFirst().orElseThrow(), to = from + 1;
        while (lines.get(to).startsWith("    ")) to++;
        return lines.subList(from, to);
    }

    @Test
    void aGroupIsToldInLinesByItsLayers() throws IOException {
        List<String> parts = new ArrayList<>();
        for (String kind : List.of("Dbl", "Hi", "Lo")) {
            for (int k = 1; k <= 5; k++) parts.add(String.format("BV%02d_%s_S%d_T1", parts.size() + 1, kind, k));
        }
        check(parts, ", sends: { plate: -12 dB } } }\nreturns: { plate: { chain: [ reverb ]");
        assertEquals(List.of(
                "  backs            BV01_Dbl_S1_T1, BV02_Dbl_S2_T1, BV03_Dbl_S3_T1,",
                "                   BV04_Dbl_S4_T1, BV05_Dbl_S5_T1,",
                "                   BV06_Hi_S1_T1, BV07_Hi_S2_T1, BV08_Hi_S3_T1, BV09_Hi_S4_T1,",
                "                   BV10_Hi_S5_T1,",
                "                   BV11_Lo_S1_T1, BV12_Lo_S2_T1, BV13_Lo_S3_T1, BV14_Lo_S4_T1,",
                "                   BV15_Lo_S5_T1; sends to plate -12 dB"), group());
        for (String line : group()) assertTrue(line.length() <= COLUMNS, line);
    }

    /** Names that have nothing in common fill the lines; what fits in one stays in one. */
    @Test
    void aShortGroupStaysALine() throws IOException {
        check(List.of("one", "two", "high left", "high right"), "");
        assertEquals(List.of("  backs            one, two, high left, high right"), group());
        List<String> choir = new ArrayList<>();
        for (String who : List.of("alto", "bass", "tenor", "soprano")) choir.addAll(List.of("the " + who + " of the left", "the " + who + " of the right"));
        check(choir, "");
        assertEquals(List.of(
                "  backs            the alto of the left, the alto of the right,",
                "                   the bass of the left, the bass of the right,",
                "                   the tenor of the left, the tenor of the right,",
                "                   the soprano of the left, the soprano of the right"), group());
    }

    @Test
    void levelsStandUnderAHeadingOfTheirOwn() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 3);
        Takes.tone(folder.resolve("other.wav"), 330, 0.1, 3);
        Takes.tone(folder.resolve("long.wav"), 330, 0.1, 3.5);
        Files.writeString(song, "song: x\ntempo: 120 bpm\nsections: { a: 1, end: 2 }\nparts: { lead: { take: take.wav }, long: { take: long.wav } }\n"
                + "instrumental: { take: other.wav }\nbalance: { lead: 2 LU over instrumental }\nprints: [ mix ]\n");
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().matches("(?s).*\n\nTakes:\n(  .*\n)+\nLevels:\n  lead +\\S+ dB: 2 LU over instrumental.*"), out.toString());
        Files.writeString(song, Files.readString(song).replace("balance: { lead: 2 LU over instrumental }\n", ""));
        assertEquals(0, run("check", song), err::toString);
        assertTrue(!out.toString().contains("Levels:"), out.toString());
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonElement;
import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.io.StringReader;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.xml.parsers.DocumentBuilderFactory;
import linnet.render.Signature;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.xml.sax.InputSource;

/** What {@code render --report} tells of a song: a page for each of its chains. */
class SongReportTest extends SongFolder {
    private static final String COMPRESSOR = "compressor: { threshold: -20 dB, ratio: 4:1, knee: 0 dB }";

    private Path pages;

    @BeforeEach
    void pages() throws IOException {
        pages = folder.resolve("pages");
        // Long enough for a loudness.
        Takes.tone(folder.resolve("take.wav"), 997, 0.5012, 2);
    }

    private void song(String parts, String rest) throws IOException {
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n" + parts + "\n" + rest);
    }

    /** Two parts in a group, one of which has no chain of its own, one by itself without any, a room, and a mix. */
    private void whole() throws IOException {
        song("  lead: { take: take.wav, level: -9 dB, chain: [ " + COMPRESSOR
                + " ], sends: { room: -12 dB } }\n  low: { take: take.wav, at: 1.2 s }\n  plain: { take: take.wav, level: -20 dB }\n",
                "groups: { both: { parts: [ lead, low ], each: [ trim: { level: -6 dB } ], chain: [ eq: [ { bell: 1 kHz, gain: -3 dB } ] ] } }\n"
                        + "returns: { room: { chain: [ reverb ] } }\nmix: { chain: [ trim: { level: -3 dB }, limit: { ceiling: -1 dBTP } ] }\n"
                                + "prints: [ mix, lead, plain ]\n");
    }

    private List<String> links() throws IOException {
        List<String> links = new ArrayList<>();
        Matcher link = Pattern.compile("href=\"([^\"]*)\"").matcher(Files.readString(pages.resolve("report.html")));
        while (link.find()) links.add(URI.create(link.group(1)).getPath());
        return links;
    }

    /** The figures of each step without the time it took. */
    private static List<String> figures(Path page) throws IOException {
        List<String> rows = new ArrayList<>();
        Matcher row = Pattern.compile("<tr><th scope=\"row\"><div class=\"called\">(.*)<td>[^<]*</td></tr>").matcher(Files.readString(page));
        while (row.find()) rows.add(row.group(1));
        return rows;
    }

    private void assertNothingIsPrinted() throws IOException {
        assertFalse(Files.exists(prints));
        assertFalse(Files.exists(folder.resolve(PlannedSong.STORE)));
    }

    @Test
    void eachChainHasAPageInTheOrderOfTheSong() throws IOException {
        whole();
        assertEquals(0, run("render", song, "--out", prints, "--report", pages), err::toString);
        assertEquals(List.of("lead.html", "low.html", "both.html", "room.html", "mix.html"), links());
        try (var all = Files.list(pages)) {
            assertEquals(6, all.count());
        }
        assertTrue(out.toString().contains("What every step did: " + pages.resolve("report.html")), out.toString());
        // What is done to each part of a group is done in its own chain.
        assertEquals(2, figures(pages.resolve("lead.html")).size());
        assertEquals(1, figures(pages.resolve("low.html")).size());
        assertTrue(Files.readString(pages.resolve("lead.html")).contains("What leaves the chain"));
        assertTrue(Files.readString(pages.resolve("mix.html")).contains(">The print</h2>"));
        for (String page : links()) {
            String text = Files.readString(pages.resolve(page));
            assertTrue(text.contains("default-src 'none'; script-src 'none'"), page);
            assertFalse(text.contains("NaN"), page);
        }
    }

    /** Of one take through one chain the page of a song says what that of the chain alone says, and that is known: see {@link ReportTest}. */
    @Test
    void figuresAreThoseOfTheChainAlone() throws IOException {
        song("  lead: { take: take.wav, level: -20 dB, chain: [ " + COMPRESSOR + ", trim: { level: 2 dB, mix: 50 % } ] }", "prints: [ mix ]\n");
        assertEquals(0, run("render", song, "--out", prints, "--report", pages), err::toString);
        Path chain = Files.writeString(folder.resolve("chain.yaml"), "steps:\n- " + COMPRESSOR + "\n- trim: { level: 2 dB, mix: 50 % }\n");
        assertEquals(0, run("render", chain, folder.resolve("take.wav"), "--out", folder.resolve("alone.wav"), "--report", folder.resolve("alone")),
                err::toString);
        List<String> figures = figures(pages.resolve("lead.html"));
        assertEquals(figures(folder.resolve("alone").resolve("report.html")), figures);
        // 14 dB over its threshold, turned down by 14 (1 - 1/4).
        assertTrue(figures.get(0).contains("<td>10.5</td>"), figures.toString());
    }

    /** What a chain alone is warned of, with the name of the part before it; in the JSON too, as there. */
    @Test
    void warningsAreThoseOfTheChainAlone() throws IOException {
        Path chain = Files.writeString(folder.resolve("chain.yaml"), "steps:\n- " + COMPRESSOR + "\n- saturate: { drive: 9 dB }\n");
        assertEquals(0, run("render", chain, folder.resolve("take.wav"), "--out", folder.resolve("alone.wav"), "--report", folder.resolve("alone")),
                err::toString);
        List<String> warned = err.toString().lines().map(w -> "lead: " + w).toList();
        assertTrue(warned.stream().anyMatch(w -> w.startsWith("lead: 1, compressor: It ")), warned.toString());
        song("  lead: { take: take.wav, level: -20 dB, chain: chain.yaml }\n  plain: { take: take.wav, level: -20 dB }", "prints: [ lead, plain ]\n");
        assertEquals(0, run("render", song, "--out", prints, "--report", pages), err::toString);
        assertTrue(err.toString().lines().toList().containsAll(warned), err::toString);
        assertEquals(0, run("render", song, "--out", prints, "--report", pages, "--force", "--json"), err::toString);
        assertTrue(err.toString().lines().toList().containsAll(warned), err::toString);
        List<String> told = JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("warnings").asList().stream().map(JsonElement::getAsString)
                .toList();
        assertEquals(warned, told.stream().filter(w -> w.startsWith("lead: ")).toList());
    }

    /** The prints are there by then: a script hears of them all the same, and by the exit code that something is missing. */
    @Test
    void whereNoPageCanBeWrittenThePrintsAreTold() throws IOException {
        whole();
        assertEquals(2, run("render", song, "--out", prints, "--report", folder.resolve("x".repeat(300)), "--json"));
        assertTrue(err.toString().contains("xxx"), err::toString);
        JsonObject told = JsonParser.parseString(out.toString()).getAsJsonObject();
        assertEquals(3, told.getAsJsonArray("prints").size());
        assertFalse(told.has("report"));
        assertTrue(Files.exists(prints.resolve("mix.wav")));
    }

    /** The page of the mix has the loudness of its print. */
    @Test
    void thePageOfTheMixIsThatOfItsPrint() throws IOException {
        song("  lead: { take: take.wav, level: -12 dB }", "mix: { chain: [ trim: { level: -3 dB } ] }\nprints: [ mix ]\n");
        assertEquals(0, run("render", song, "--out", prints, "--report", pages), err::toString);
        assertEquals(List.of("mix.html"), links());
        String printed = out.toString().lines().filter(l -> l.contains("mix.wav")).findFirst().orElseThrow();
        Matcher lufs = Pattern.compile("(-\\d+\\.\\d) LUFS").matcher(printed);
        assertTrue(lufs.find(), printed);
        String page = Files.readString(pages.resolve("mix.html"));
        assertTrue(page.contains("<dt>Loudness</dt><dd>" + lufs.group(1).replace('-', '−') + " LUFS</dd>"), printed);
        assertTrue(figures(pages.resolve("mix.html")).get(0).contains("<td>−3.0</td>"));
    }

    @Test
    void printsHaveTheSameBitsWithAndWithoutIt() throws IOException {
        whole();
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        // From nothing as well, and with prints that are all there.
        for (String to : new String[] {"again", "again", "prints"}) {
            assertEquals(0, run("render", song, "--out", folder.resolve(to), "--report", pages, "--force"), err::toString);
            for (String print : new String[] {"mix", "lead", "plain"}) {
                assertArrayEquals(Files.readAllBytes(prints.resolve(print + ".wav")), Files.readAllBytes(folder.resolve(to).resolve(print + ".wav")), print);
            }
            assertEquals(5, links().size());
        }
    }

    /** Where the store was deleted and every print is left as it was, nothing is there that a chain could be run over. */
    @Test
    void whatIsNotInTheStoreIsMadeForThePages() throws IOException {
        whole();
        assertEquals(0, run("render", song, "--out", prints, "--report", pages), err::toString);
        List<String> before = figures(pages.resolve("mix.html"));
        try (var all = Files.walk(folder.resolve(PlannedSong.STORE))) {
            for (Path p : all.sorted(Comparator.reverseOrder()).toList()) Files.delete(p);
        }
        assertEquals(0, run("render", song, "--out", prints, "--report", pages, "--force"), err::toString);
        assertEquals(before, figures(pages.resolve("mix.html")));
    }

    /** But for the digest of the take, which is kept as soon as the take is three seconds old: see {@link linnet.store.FileDigests}. */
    private Map<Path, String> facts() throws IOException {
        String digest = Signature.digest("digest of " + folder.resolve("take.wav").toAbsolutePath());
        Map<Path, String> facts = new TreeMap<>();
        try (var all = Files.list(folder.resolve(PlannedSong.STORE))) {
            for (Path p : all.filter(p -> p.toString().endsWith(".facts") && !p.getFileName().toString().startsWith(digest)).toList()) {
                facts.put(p, HexFormat.of().formatHex(Files.readAllBytes(p)));
            }
        }
        return facts;
    }

    /** What was heard for the pages is kept beside what was heard for the prints, and no file of facts is written anew where nothing came to it. */
    @Test
    void nothingIsHeardTwice() throws IOException {
        whole();
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        Map<Path, String> printed = facts();
        assertEquals(0, run("render", song, "--out", prints, "--report", pages), err::toString);
        Map<Path, String> told = facts();
        assertNotEquals(printed, told);
        assertEquals(0, run("render", song, "--out", prints, "--report", pages, "--force"), err::toString);
        assertEquals(told, facts());
    }

    @ParameterizedTest
    @ValueSource(strings = {"report.html", "room.html"})
    void aPageThatIsThereIsRefusedBeforeAnythingIsRendered(String name) throws IOException {
        whole();
        Files.createDirectories(pages);
        Path mine = Files.writeString(pages.resolve(name), "mine");
        assertEquals(2, run("render", song, "--out", prints, "--report", pages));
        assertTrue(err.toString().contains(mine + " is there already; say --force to replace it"), err.toString());
        assertEquals("mine", Files.readString(mine));
        assertNothingIsPrinted();
        assertEquals(0, run("render", song, "--out", prints, "--report", pages, "--force"), err::toString);
        assertTrue(Files.readString(mine).startsWith("<!doctype html>"));
    }

    @Test
    void aLinkIsReplacedAndNotWrittenThrough() throws IOException {
        whole();
        Path precious = Files.writeString(folder.resolve("precious.txt"), "mine");
        Files.createDirectories(pages);
        Files.createSymbolicLink(pages.resolve("lead.html"), precious);
        assertEquals(2, run("render", song, "--out", prints, "--report", pages));
        assertNothingIsPrinted();
        assertEquals(0, run("render", song, "--out", prints, "--report", pages, "--force"), err::toString);
        assertEquals("mine", Files.readString(precious));
        assertTrue(Files.isRegularFile(pages.resolve("lead.html"), LinkOption.NOFOLLOW_LINKS));
    }

    /** No name of a song leads out of a folder, so none of its pages does. */
    @Test
    void aNameThatLeadsElsewhereIsNoName() throws IOException {
        song("  '../x <b>': { take: take.wav, chain: [ trim ] }", "prints: [ mix ]\n");
        assertEquals(3, run("render", song, "--out", prints, "--report", pages));
        assertFalse(Files.exists(pages));
        assertNothingIsPrinted();
    }

    /** Parsed as XML, where the page is also that: every element closed, every name escaped. */
    @Test
    void namesAreTextAndEachHasAPageOfItsOwn() throws Exception {
        List<String> names = List.of("a&amp; 'b' #1 %2e%2e", "réport 録", "Report", "sheet");
        StringBuilder parts = new StringBuilder();
        for (String name : names) {
            parts.append("  '").append(name.replace("'", "''")).append("': { take: take.wav, level: -30 dB, chain: [ trim: { name: \"<script>\" } ] }\n");
        }
        song(parts.toString(), "prints: [ mix ]\n");
        // Beside the sheet, which is none of them.
        assertEquals(0, run("render", song, "--out", pages, "--report", pages), err::toString);
        assertEquals(List.of("a&amp; 'b' #1 %2e%2e.html", "réport 録.html", "Report..html", "sheet..html"), links());
        for (String page : links()) {
            assertTrue(Files.readString(pages.resolve(page)).contains("&lt;script&gt;"), page);
            assertFalse(Files.readString(pages.resolve(page)).contains("<script"), page);
        }
        String index = Files.readString(pages.resolve("report.html"));
        assertTrue(index.contains("a&amp;amp; &#39;b&#39; #1 %2e%2e"));
        DocumentBuilderFactory.newInstance().newDocumentBuilder()
                .parse(new InputSource(new StringReader(index.substring(index.indexOf("<body>"), index.indexOf("</html>")))));
        assertTrue(Files.readString(pages.resolve("sheet.html")).contains("What was printed"));
    }

    /** What nothing flows into has a page that says so little. */
    @Test
    void silenceHasAPageToo() throws IOException {
        song("  lead: { take: take.wav, level: -12 dB }", "returns: { room: { chain: [ reverb, compressor: { threshold: -20 dB } ] } }\nprints: [ mix ]\n");
        assertEquals(0, run("render", song, "--out", prints, "--report", pages), err::toString);
        assertEquals(List.of("room.html"), links());
        assertFalse(Files.readString(pages.resolve("room.html")).contains("NaN"));
    }

    @Test
    void aStretchOfOnePrintHasPagesToo() throws IOException {
        whole();
        assertEquals(0, run("render", song, "--out", prints, "--only", "lead", "--from", "0.5 s", "--to", "1 s", "--report", pages), err::toString);
        assertEquals(List.of("lead.html", "low.html", "both.html", "room.html", "mix.html"), links());
    }
}

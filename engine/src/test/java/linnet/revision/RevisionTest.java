package linnet.revision;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.Comparator;
import java.util.List;
import linnet.chain.ChainReader;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Revision notes that are made from two texts. How a producer would say a change is common practice. */
class RevisionTest {
    private static final String SONG = """
            song: lines
            tempo: 100 bpm
            sections: { verse 1: 1, chorus 1: 5, verse 2: 9, chorus 2: 13, end: 17 }
            parts:
              lead: { take: lead.wav, chain: lead.yaml, level: -5 dB, sends: { plate: -14 dB } }
              low: { take: low.wav, pan: 40 % left }
            groups:
              under: { parts: [ low ], chain: [ compressor: { aim: 3 dB } ] }
            returns:
              plate: { chain: [ reverb: { decay: 1.8 s, high-pass: 300 Hz } ] }
            moves:
              chorus *: { ramp: 1 beat, plate: +4 dB, lead to plate: +1 dB }
            throws:
              - { part: lead, word: verse 1 bar 4 beat 1, length: 1 beat, to: plate }
            mix: { chain: [ limit: { ceiling: -1 dBTP } ] }
            prints: [ mix, lead ]
            """;
    private static final String CHAIN =
            "chain: lead\nsteps:\n  - gate: { threshold: 10 dB over noise }\n  - compressor: { name: slow, ratio: 3:1, threshold: -20 dB }\n  - de-ess\n";

    @TempDir
    Path folder;

    private Path old, now;

    @BeforeEach
    void twoVersions() throws IOException {
        old = Files.createDirectories(folder.resolve("old")).resolve("song.yaml");
        now = Files.createDirectories(folder.resolve("new")).resolve("song.yaml");
        for (Path song : List.of(old, now)) {
            Files.writeString(song, SONG);
            Files.writeString(song.resolveSibling("lead.yaml"), CHAIN);
        }
    }

    private List<String> after(String was, String is) throws IOException, ProblemsException {
        String song = SONG.replace(was, is);
        assertEquals(false, song.equals(SONG), "nothing was replaced");
        Files.writeString(now, song);
        return notes();
    }

    private List<String> notes() throws ProblemsException {
        return Version.of(now, SongReader.read(now, Builtins.catalogue())).since(Version.of(old, SongReader.read(old, Builtins.catalogue()))).stream()
                .map(Change::sentence).toList();
    }

    @Test
    void nothingIsSaidOfWhatDoesNotSound() throws Exception {
        assertEquals(List.of(), notes());
        assertEquals(List.of(), after("song: lines\n", "song: lines   # for the trio\n"));
        assertEquals(List.of(), after("level: -5 dB, sends: { plate: -14 dB }", "sends: { plate: { level: -14 dB } }, level: -5.0 dB"));
    }

    /** A level is told by where it is heard, however the text comes by it. */
    @Test
    void levelsAreToldBySection() throws Exception {
        assertEquals(List.of("lead 0.5 dB higher"), after("level: -5 dB", "level: -4.5 dB"));
        assertEquals(List.of("verse 2: plate 3 dB lower"), after("moves:\n", "moves:\n  verse 2: { plate: -3 dB }\n"));
        assertEquals(List.of("chorus 1, chorus 2: plate 2 dB lower"), after("plate: +4 dB", "plate: +2 dB"));
        assertEquals(List.of("chorus 2: lead to plate 1 dB lower", "chorus 2: plate 4 dB lower"), after("chorus *:", "chorus 1:"));
        assertEquals(List.of("bar 3 to bar 4 beat 3: low 2 dB higher"), after("moves:\n", "moves:\n  bar 3 to bar 4 beat 3: { low: +2 dB }\n"));
        assertEquals(List.of("lead to plate 2 dB lower"), after("plate: -14 dB }", "plate: -16 dB }"));
        // Two ways of saying the same.
        assertEquals(List.of(), after("chorus *: { ramp: 1 beat, plate: +4 dB, lead to plate: +1 dB }",
                "chorus 1: { ramp: 1 beat, plate: +4 dB, lead to plate: +1 dB }\n  chorus 2: { ramp: 1 beat, plate: +4 dB, lead to plate: +1 dB }").stream()
                        .filter(s -> s.contains("dB")).toList());
    }

    /** Of what is balanced or sent by ear the wish is told in LU, and moves over it as levels are; what changes alike in one sentence. */
    @Test
    void levelsByEarAreToldToo() throws Exception {
        String byEar = SONG.replace("level: -5 dB, sends: { plate: -14 dB }", "sends: { plate: 15 LU under }") + "balance: { lead: 2 LU over low }\n";
        Files.writeString(old, byEar.replace("parts: [ low ], ", "parts: [ high ], ").replace("groups:", "  high: { take: high.wav }\ngroups:"));
        String before = Files.readString(old);
        String[][] changes = {
            {"plate: 15 LU under", "plate: 18 LU under", "lead to plate 3 LU lower (18 LU under, was 15 LU under)"},
            {"2 LU over low", "1 LU under low", "lead 3 LU lower (1 LU under low, was 2 LU over low)"},
            {"2 LU over low", "2 LU over under", "balance lead 2 LU over under, was 2 LU over low"},
            {"plate: 15 LU under", "plate: -9 dB", "lead to plate -9 dB, was 15 LU under"},
            {"moves:\n", "moves:\n  verse 1 to end: { lead: +0.5 dB }\n", "lead 0.5 dB higher"},
            {"moves:\n", "moves:\n  verse 2: { lead: +1 dB, under: +1 dB, low: +1 dB }\n", "verse 2: lead, low and under 1 dB higher"},
            {"lead to plate: +1 dB", "lead to plate: +3 dB", "chorus 1, chorus 2: lead to plate 2 dB higher"},
            // How far that is from a level by ear is known only once it is heard.
            {"moves:\n", "moves:\n  verse 2: { lead: to -3 dB }\n", "verse 2: lead to -3 dB"},
        };
        for (String[] c : changes) {
            Files.writeString(now, before.replace(c[0], c[1]));
            if (c[2].startsWith("balance lead")) c[2] = "lead 2 LU over under, was 2 LU over low";
            assertEquals(List.of(c[2]), notes(), c[1]);
        }
    }

    /** What is balanced against something goes along with it: that is what is heard, and no rendering is needed to know it. */
    @Test
    void whoFollowsByBalanceIsTold() throws Exception {
        String before = SONG.replace(", level: -5 dB", "")
                .replace("groups:", "  high: { take: high.wav, level: -9 dB }\ninstrumental: { take: bed.wav, level: -4 dB }\ngroups:")
                + "balance: { lead: 2 LU over instrumental, under: 10 LU under lead }\n";
        String loud = before.replace("mix: { chain:", "mix: { loudness: -14 LUFS, chain:");
        String with = "instrumental 1 dB lower, and lead and under with it (balance); ",
                alone = "; if instrumental alone is meant, also write 'lead: 3 LU over instrumental'";
        String again = "the mix is brought to -14 LUFS all the same, so that nothing changes between them";
        assertEquals(List.of(with + "nothing changes between them" + alone), between(before, "-4 dB", "-5 dB"));
        assertEquals(List.of(with + again + ", and high is 1 dB higher beside them" + alone), between(loud, "-4 dB", "-5 dB"));
        assertEquals(List.of(with + again + alone),
                between(loud.replace("under: 10", "high: 9 LU under lead, under: 10").replace(", level: -9 dB", ""), "-4 dB", "-5 dB").stream()
                .map(s -> s.replace("lead, high and under", "lead and under")).toList());
        // What it was over it may have to be under: 1 LU over less 3 dB are 2 under.
        assertEquals(List.of("instrumental 3 dB higher, and lead and under with it (balance); nothing changes between them; if instrumental alone is meant, "
                + "also write 'lead: 2 LU under instrumental'"), between(before.replace("2 LU over", "1 LU over"), "-4 dB", "-1 dB"));
        // As it says, the instrumental alone is lower.
        assertEquals(List.of("instrumental 1 dB lower",
                "lead 1 LU higher (3 LU over instrumental, was 2 LU over instrumental); with instrumental as loud as it was"),
                between(loud, "-4 dB", "-5 dB", "2 LU over", "3 LU over"));
        assertEquals(List.of("lead 1 LU higher (3 LU over instrumental, was 2 LU over instrumental), and under with it (balance); if lead alone is meant, "
                + "also write 'under: 11 LU under lead'"), between(loud, "2 LU over", "3 LU over"));
        assertEquals(List.of("lead 1 LU higher (3 LU over instrumental, was 2 LU over instrumental)",
                "under 1.5 LU lower (11.5 LU under lead, was 10 LU under lead); with lead 0.5 dB lower in all"),
                between(loud, "2 LU over", "3 LU over", "10 LU", "11.5 LU"));
        // Moves come on top of the base: nobody goes along with them.
        assertEquals(List.of("verse 2: instrumental 1 dB lower"), between(loud, "moves:\n", "moves:\n  verse 2: { instrumental: -1 dB }\n"));
        assertEquals(List.of("verse 2: instrumental 3 dB lower", "verse 1, chorus 1, chorus 2: instrumental 1 dB lower",
                "lead and under 1 dB lower in their base, with instrumental (balance)"),
                between(loud, "-4 dB", "-5 dB", "moves:\n", "moves:\n  verse 2: { instrumental: -2 dB }\n").stream()
                        .sorted(Comparator.comparing((String s) -> s.startsWith("verse 2") ? 0 : s.startsWith("verse") ? 1 : 2)).toList());
    }

    /** Where a distance comes or goes, what is balanced against that goes along, by as much as only a render tells. */
    @Test
    void whoFollowsABalanceThatIsNewOrGoneIsTold() throws Exception {
        String before = SONG.replace(", level: -5 dB", "")
                .replace("groups:", "  high: { take: high.wav }\ninstrumental: { take: bed.wav, level: -4 dB }\ngroups:")
                + "balance: { under: 10 LU under lead, high: 3 LU under under }\n";
        String all = before.replace("balance: { ", "balance: { lead: 2 LU over instrumental, ");
        assertEquals(List.of("balance lead is new: 2 LU over instrumental, and under and high with it (balance)"),
                between(before, "balance: { ", "balance: { lead: 2 LU over instrumental, "));
        assertEquals(List.of("balance lead is gone, was 2 LU over instrumental, and under and high with it (balance); nothing changes between them"),
                between(all, "lead: 2 LU over instrumental, ", ""));
        // Each is told by itself; nobody goes along whose own distance is new.
        assertEquals(List.of("balance under is new: 10 LU under lead", "balance high is new: 3 LU under under"),
                between(before.replaceFirst("balance: .*\n", ""), "prints: [ mix, lead ]\n",
                        "prints: [ mix, lead ]\nbalance: { under: 10 LU under lead, high: 3 LU under under }\n"));
    }

    private List<String> between(String was, String... changes) throws IOException, ProblemsException {
        Files.writeString(old, was);
        String is = was;
        for (int i = 0; i < changes.length; i += 2) is = is.replace(changes[i], changes[i + 1]);
        assertEquals(false, is.equals(was), "nothing was replaced");
        Files.writeString(now, is);
        return notes();
    }

    /** What has no name has no order, but for its rows. */
    @Test
    void entriesWithoutANameAreNotInAnotherOrder() throws Exception {
        assertEquals(List.of(),
                between(SONG.replace("chain: lead.yaml", "chain: [ eq: [ { high-pass: 80 Hz }, { bell: 1 kHz, gain: 1 dB } ], de-ess ]"), "song: lines",
                        "song:  lines"));
        List<String> told = between(SONG.replace("chain: lead.yaml",
                "chain: [ eq: [ { high-pass: 80 Hz, slope: 12 dB/oct }, { high-shelf: 9 kHz, gain: 1 dB } ] ]"), "{ high-pass: 80 Hz, slope: 12 dB/oct }, ",
                "{ high-pass: 80 Hz, slope: 12 dB/oct }, { bell: 300 Hz, gain: -1 dB }, { bell: 2 kHz, gain: -1 dB }, ");
        assertEquals(List.of(), told.stream().filter(s -> s.contains("in another order")).toList(), String.join("\n", told));
    }

    /** How much of a voice goes to a return hangs on it as much as on the level of the send. */
    @Test
    void whereASendIsTakenIsTold() throws Exception {
        String after = "lead to plate taken after the level, was before it", before = "lead to plate taken before the level, was after it";
        assertEquals(List.of(before), after("plate: -14 dB }", "plate: { level: -14 dB, before: level } }"));
        assertEquals(List.of("lead to plate 2 dB lower", before), after("plate: -14 dB }", "plate: { level: -16 dB, before: level } }"));
        Files.writeString(old, SONG.replace("plate: -14 dB }", "plate: { level: -14 dB, before: level } }"));
        assertEquals(List.of(after), after("plate: -14 dB }", "plate: { level: -14 dB } }"));
        assertEquals(List.of("lead to plate 15 LU under, was -14 dB", after), after("plate: -14 dB }", "plate: 15 LU under }"));
        Files.writeString(old, SONG.replace("plate: -14 dB }", "plate: 15 LU under }"));
        assertEquals(List.of("lead to plate 1 LU lower (16 LU under, was 15 LU under)", before),
                after("plate: -14 dB }", "plate: { level: 16 LU under, before: level } }"));
    }

    /** A setting that moves is told by how far, and the whole song needs no place. */
    @Test
    void movesOfSettingsAreDifferences() throws Exception {
        assertEquals(List.of("lead compressor threshold 3 dB lower"), after("moves:\n", "moves:\n  verse 1 to end: { lead slow threshold: -3 dB }\n").stream()
                .map(s -> s.replace("lead slow", "lead compressor")).toList());
        assertEquals(List.of("verse 2: plate reverb high-pass 200 Hz higher", "verse 2: low pan 20 % to the right"),
                after("moves:\n", "moves:\n  verse 2: { plate reverb high-pass: +200 Hz, low pan: +20 % }\n"));
        assertEquals(List.of("verse 2: plate reverb high-pass to 500 Hz"), after("moves:\n", "moves:\n  verse 2: { plate reverb high-pass: to 500 Hz }\n"));
        Files.writeString(old, SONG.replace("moves:\n", "moves:\n  verse 2: { plate reverb high-pass: +200 Hz, plate reverb width: to 50 % }\n"));
        Files.writeString(now, SONG);
        assertEquals(List.of("verse 2: plate reverb high-pass 200 Hz lower", "verse 2: plate reverb width no longer to 50 %"), notes());
    }

    /** Where a setting moves is told by what is heard, as levels are, and not by which entry of the text says so. */
    @Test
    void movesOfSettingsAreToldBySection() throws Exception {
        String cut = "plate reverb high-pass: ";
        String[][] changes = {
            {"chorus *: { @+200 Hz }", "chorus 2: { @+200 Hz }", "chorus 1: plate reverb high-pass 200 Hz lower"},
            {"chorus 2: { @+200 Hz }", "chorus *: { @+200 Hz }", "chorus 1: plate reverb high-pass 200 Hz higher"},
            {"chorus *: { @+0.2 kHz }", "chorus 1: { @+200 Hz }\n  chorus 2: { @+150 Hz }", "chorus 2: plate reverb high-pass 50 Hz lower"},
            {"chorus *: { @+200 Hz }", "chorus *: { @+150 Hz }\n  chorus 2 to end: { @+50 Hz }", "chorus 1: plate reverb high-pass 50 Hz lower"},
            {"chorus *: { @to 500 Hz }", "chorus *: { @to 0.5 kHz }", ""},
            {"chorus *: { @to 500 Hz }", "chorus 2: { @to 500 Hz }", "chorus 1: plate reverb high-pass no longer to 500 Hz"},
            {"chorus *: { @to 500 Hz }", "chorus *: { @to 600 Hz }", "chorus 1, chorus 2: plate reverb high-pass to 600 Hz, was to 500 Hz"},
            {"chorus *: { @to 500 Hz }", "chorus 1: { @+200 Hz }\n  chorus 2: { @to 500 Hz }", "chorus 1: plate reverb high-pass 200 Hz higher, was to 500 Hz"},
            {"verse 2: { @+100 Hz }", "bar 9 to bar 11: { @+100 Hz }", "bar 11 to bar 13: plate reverb high-pass 100 Hz lower"},
            {"verse 2: { low pan: +20 % }", "verse 2: { low pan: +10 % }", "verse 2: low pan 10 % to the left"},
            {"verse 2: { lead gate release: +0.1 s }", "verse 2: { lead  gate release: +90 ms }", "verse 2: lead gate release 10 ms shorter"},
            {"chorus *: { lead slow ratio: +2:1 }", "chorus 2: { lead slow ratio: +1:1 }",
                    "chorus 1: lead slow ratio no longer +2:1|chorus 2: lead slow ratio +1:1, was +2:1"},
        };
        for (String[] c : changes) {
            Files.writeString(old, SONG.replace("chorus *: { ramp: 1 beat, plate: +4 dB, lead to plate: +1 dB }", c[0].replace("@", cut)));
            Files.writeString(now, SONG.replace("chorus *: { ramp: 1 beat, plate: +4 dB, lead to plate: +1 dB }", c[1].replace("@", cut)));
            assertEquals(c[2].isEmpty() ? List.of() : List.of(c[2].split("\\|")), notes(), c[1]);
        }
    }

    /** A ramp is told of what moves over it, wherever the text says how long it is. */
    @Test
    void rampsAreToldWhereTheyAreAnother() throws Exception {
        String[][] changes = {
            {"verse 2: { ramp: 1 beat, plate: +1 dB }", "bar 9 to bar 13: { ramp: 2 beats, plate: +1 dB }", "verse 2: ramp of plate 2 beats, was 1 beat"},
            {"verse 2: { ramp: 1 beat, plate: +1 dB }", "bar 9 to bar 13: { ramp: 1 beat, plate: +1 dB }", ""},
            {"chorus *: { ramp: 1 beat, plate: +1 dB, low  pan: +20 % }", "chorus *: { ramp: 2 beats, low pan: +20 %, plate: +1 dB }",
                    "chorus 1, chorus 2: ramp of low pan and plate 2 beats, was 1 beat"},
            {"chorus *: { ramp: 1 beat, plate: +1 dB }", "chorus 1: { ramp: 1 beat, plate: +1 dB }\n  chorus 2: { ramp: 50 ms, plate: +1 dB }",
                    "chorus 2: ramp of plate 50 ms, was 1 beat"},
            {"verse 1 to end: { ramp: 1 s, lead to plate: +1 dB }", "verse 1 to end: { ramp: 3 s, lead to plate: +1 dB }",
                    "ramp of lead to plate 2 s longer (3 s, was 1 s)"},
            {"verse 2: { plate: +1 dB }", "verse 2: { ramp: 0.06 s, plate: +1 dB }", ""},
            {"verse 2: { plate: +1 dB }", "verse 2: { ramp: 100 ms, plate: +1 dB }", "verse 2: ramp of plate 40 ms longer (100 ms, was 60 ms)"},
            // What begins to move, or moves by more, brings its own ramp.
            {"verse 2: { ramp: 1 beat, plate: +1 dB }",
                    "verse 2: { ramp: 1 beat, plate: +1 dB }\n  verse *: { low pan: +20 % }\n  chorus 2: { ramp: 2 beats, plate: +1 dB }",
                    "chorus 2: plate 1 dB higher|verse 1, verse 2: low pan 20 % to the right"},
            {"verse 2: { ramp: 1 beat, plate: +1 dB }", "verse 2: { ramp: 1 beat, plate: +1 dB }\n  verse 2 to end: { plate: +1 dB }",
                    "verse 2, chorus 2: plate 1 dB higher"},
        };
        for (String[] c : changes) {
            Files.writeString(old, SONG.replace("chorus *: { ramp: 1 beat, plate: +4 dB, lead to plate: +1 dB }", c[0]));
            Files.writeString(now, SONG.replace("chorus *: { ramp: 1 beat, plate: +4 dB, lead to plate: +1 dB }", c[1]));
            assertEquals(c[2].isEmpty() ? List.of() : List.of(c[2].split("\\|")), notes(), c[1]);
        }
    }

    /** Whoever watches a song reads it once: what is saved after that is none of this version. */
    @Test
    void aVersionIsTheTextThatTheSongWasReadFrom() throws Exception {
        Version before = Version.of(old, SongReader.read(old, Builtins.catalogue()));
        Path chain = now.resolveSibling("lead.yaml");
        Files.writeString(now, SONG.replace("1.8 s", "2.2 s"));
        Files.writeString(chain, CHAIN.replace("-20 dB", "-22 dB"));
        Song read = SongReader.read(now, Builtins.catalogue());
        Files.writeString(now, SONG.replace("aim: 3 dB", "aim: 5 dB").replace("-14 dB", "-20 dB"));
        Files.delete(chain);
        assertEquals(List.of("plate reverb decay 0.4 s longer (2.2 s, was 1.8 s)", "lead compressor threshold 2 dB lower (-22 dB, was -20 dB)"),
                Version.of(now, read).since(before).stream().map(Change::sentence).sorted(Comparator.reverseOrder()).toList());
    }

    /** A step that comes between moves nothing: chains that are brought in go by their files. */
    @Test
    void chainsThatAreUsedAreKnownByTheirFile() throws Exception {
        String used = "chain: [ { use: lead.yaml }, { use: other.yaml, with: { trim: { level: 1 dB } } } ]";
        for (Path song : List.of(old, now)) {
            Files.writeString(song, SONG.replace("chain: lead.yaml", used));
            Files.writeString(song.resolveSibling("other.yaml"), "chain: other\nsteps:\n  - trim\n");
        }
        Files.writeString(now, SONG.replace("chain: lead.yaml", used.replace("[ { use", "[ { declick: {} }, { use")));
        assertEquals(List.of("lead declick is new"), notes().stream().map(s -> s.replaceFirst(": .*", "")).toList());
        Files.writeString(now, SONG.replace("chain: lead.yaml", used.replace("1 dB", "3 dB")));
        assertEquals(List.of("lead other.yaml with trim level 2 dB higher (3 dB, was 1 dB)"), notes());
        Files.writeString(now, SONG.replace("chain: lead.yaml", used.replace("{ use: lead.yaml }, ", "")));
        assertEquals(List.of("lead lead.yaml is gone"), notes());
    }

    /** At another tempo the same bars have other seconds; only the tempo is different, and takes that are tied to no bar: 16 bars last 38.4 s, then 35.89 s. */
    @Test
    void anotherTempoMovesNoPlace() throws Exception {
        assertEquals(List.of("tempo 7 bpm faster (107 bpm, was 100 bpm)",
                "takes without 'at' stay in seconds: from bar 1 they lie up to 2.51 s behind the bars"), after("100 bpm", "107 bpm"));
    }

    @Test
    void settingsAreToldWithTheirStep() throws Exception {
        assertEquals(List.of("plate reverb decay 0.4 s longer (2.2 s, was 1.8 s)"), after("decay: 1.8 s", "decay: 2.2 s"));
        assertEquals(List.of("under compressor aim 1 dB lower (2 dB, was 3 dB)"), after("aim: 3 dB", "aim: 2 dB"));
        assertEquals(List.of("low pan 60 % left, was 40 % left"), after("40 % left", "60 % left"));
        assertEquals(List.of("mix limit ceiling 1 dB lower (-2 dBTP, was -1 dBTP)"), after("-1 dBTP", "-2 dBTP"));
        assertEquals(List.of("plate reverb pre-delay is new: 20 ms"), after("decay: 1.8 s", "decay: 1.8 s, pre-delay: 20 ms"));
    }

    private static final String LOW = "low: { take: low.wav, pan: 40 % left }";

    /** What is heard of a comp is which take sings where: a place that is written otherwise is none other. */
    @Test
    void aCompIsToldByWhatSingsWhere() throws Exception {
        String comp = "low: { comp: [ { take: a.wav, from: verse 1 }, { take: b.wav, from: 9.6 s, to: 12 s } ], pan: 40 % left }";
        Files.writeString(old, SONG.replace(LOW, comp));
        String[][] changes = {
            {"9.6 s", "chorus 1 bar 1", ""},
            {"a.wav, from: verse 1", "a.wav, from: verse 1, at: 0 s", ""},
            {"{ take: b.wav", "{ take: a.wav, from: verse 1 bar 3 }, { take: b.wav", ""},
            {"9.6 s", "10.8 s", "bar 5 to bar 5 beat 3: low from a.wav, was b.wav"},
            {"9.6 s", "verse 1 bar 4", "bar 4 to bar 5: low from b.wav, was a.wav"},
            {"12 s", "11400 ms", "bar 5 beat 4 to bar 6: low silent, was b.wav"},
            {"12 s", "bar 7", "bar 6 to bar 7: low from b.wav, was silent"},
            {", to: 12 s", "", "bar 6 to bar 17: low from b.wav, was silent"},
            {"{ take: b.wav", "{ take: c.wav", "bar 5 to bar 6: low from c.wav, was b.wav"},
            {"a.wav, from: verse 1", "c.wav, from: verse 1", "verse 1: low from c.wav, was a.wav"},
            {"from: 9.6 s", "from: 9.6 s, at: 300 ms", "bar 5 to bar 6: low b.wav 0.3 s later"},
            {"b.wav, from: 9.6 s", "c.wav, from: 9.6 s, at: bar 2", "bar 5 to bar 6: low from c.wav at bar 2, was b.wav"},
            {"from: 9.6 s", "from: 9.6 s, into: -6 dB", "bar 5 to bar 6: low b.wav 6 dB lower into the comp"},
            {"from: 9.6 s", "from: 9.6 s, into: 0 dB", ""},
            {"from: 9.6 s", "from: 9.6 s, at: 300 ms, into: 2 dB", "bar 5 to bar 6: low b.wav 0.3 s later and 2 dB higher into the comp"},
            {"b.wav, from: 9.6 s", "c.wav, from: 9.6 s, into: -6 dB", "bar 5 to bar 6: low from c.wav with -6 dB into the comp, was b.wav"},
            {"b.wav, from: 9.6 s", "c.wav, from: 9.6 s, into: 6 dB", "bar 5 to bar 6: low from c.wav with 6 dB into the comp, was b.wav"},
            {"from: 9.6 s", "from: 9.6 s, fade: 50 ms", "bar 5, bar 6: join of low fade is new: 50 ms"},
            {"from: 9.6 s, to: 12 s", "from: 9.6 s, to: 12 s, exact: yes", "bar 5, bar 6: join of low kept at its place, was moved to where it is heard least"},
        };
        for (String[] c : changes) {
            Files.writeString(now, SONG.replace(LOW, comp.replace(c[0], c[1])));
            assertEquals(c[2].isEmpty() ? List.of() : List.of(c[2]), notes(), c[1]);
        }
    }

    /** Many ranges by few: each stretch says what sings there, and no range is told against another that lies elsewhere. */
    @Test
    void rangesAreMatchedByTheTimeTheyCover() throws Exception {
        Files.writeString(old, SONG.replace(LOW, "low: { comp: [ { take: a.wav, from: verse 1 }, { take: b.wav, from: verse 1 bar 3 }, "
                + "{ take: c.wav, from: chorus 1 }, { take: a.wav, from: verse 2 }, { take: b.wav, from: chorus 2 bar 3 } ], pan: 40 % left }"));
        Files.writeString(now, SONG.replace(LOW, "low: { comp: [ { take: a.wav, from: verse 1 }, { take: c.wav, from: chorus 1, to: chorus 2 bar 3 } ], "
                + "pan: 40 % left }"));
        assertEquals(List.of("bar 3 to bar 5: low from a.wav, was b.wav", "verse 2, bar 13 to bar 15: low from c.wav, was a.wav",
                "bar 15 to bar 17: low silent, was b.wav"), notes());
    }

    /** A take is a comp of one range that lies where the take does. */
    @Test
    void aCompInPlaceOfATakeIsToldTheSameWay() throws Exception {
        Files.writeString(now, SONG.replace(LOW, "low: { comp: [ { take: low.wav, from: 0 s }, { take: b.wav, from: chorus 2 } ], pan: 40 % left }"));
        assertEquals(List.of("chorus 2: low from b.wav, was low.wav"), notes());
        Files.copy(now, old, StandardCopyOption.REPLACE_EXISTING);
        Files.writeString(now, SONG);
        assertEquals(List.of("chorus 2: low from low.wav, was b.wav"), notes());
        Files.writeString(old, SONG.replace(LOW, "low: { take: low.wav, from: 2 s, to: 14 s, at: 4.4 s, pan: 40 % left }"));
        Files.writeString(now, SONG.replace(LOW, "low: { comp: [ { take: low.wav, from: 4.4 s, to: bar 6, at: bar 2 } ], pan: 40 % left }"));
        assertEquals(List.of("bar 6 to bar 7 beat 4.33: low silent, was low.wav at bar 2"), notes());
    }

    @Test
    void aCompOfTheInstrumentalIsToldTheSameWay() throws Exception {
        String comp = SONG + "instrumental: { comp: [ { take: a.wav, from: verse 1 }, { take: b.wav, from: chorus 1 } ] }\n";
        Files.writeString(old, comp);
        Files.writeString(now, comp.replace("from: chorus 1", "from: verse 1 bar 4"));
        assertEquals(List.of("bar 4 to bar 5: instrumental from b.wav, was a.wav"), notes());
    }

    /** To another tempo a place in bars is another second, and a second another place in bars: neither is a take that was put elsewhere. */
    @Test
    void whereATakeLiesIsTheSameToAnotherTempo() throws Exception {
        String comp = "low: { comp: [ { take: a.wav, from: verse 1, at: %s }, { take: b.wav, from: chorus 1, at: bar 1 } ], pan: 40 %% left }";
        for (String at : new String[] {"3 s", "bar 2 beat 3"}) {
            String song = SONG.replace(LOW, comp.formatted(at));
            Files.writeString(old, song);
            Files.writeString(now, song.replace("100 bpm", "107 bpm"));
            assertEquals(List.of(), notes().stream().filter(n -> n.contains("low ")).toList(), at);
        }
    }

    /** A join that is moved is told against the one that was between the same takes, nearest to it. */
    @Test
    void aMovedJoinIsToldWithItsFade() throws Exception {
        String comp = "low: { comp: [ { take: a.wav, from: verse 1 }, { take: b.wav, from: chorus 1, fade: 20 ms }, { take: a.wav, from: verse 2 }, "
                + "{ take: b.wav, from: chorus 2, fade: 80 ms } ], pan: 40 % left }";
        Files.writeString(old, SONG.replace(LOW, comp));
        String moved = "bar 5 to bar 5 beat 2: low from a.wav, was b.wav", longer = "bar 5 beat 2: join of low fade 380 ms longer (400 ms, was 20 ms)";
        String kept = "bar 5 beat 2: join of low kept at its place, was moved to where it is heard least";
        String[][] changes = {
            {"chorus 1, fade: 20 ms", "chorus 1 beat 2, fade: 20 ms", moved},
            {"chorus 1, fade: 20 ms", "chorus 1 beat 2, fade: 400 ms", moved + "|" + longer},
            {"chorus 1, fade: 20 ms", "chorus 1 beat 2, exact: yes", moved + "|bar 5 beat 2: join of low fade is gone, was 20 ms|" + kept},
            {"chorus 1, fade: 20 ms", "chorus 1 beat 2, fade: 400 ms, exact: yes", moved + "|" + longer + "|" + kept},
            // Two at once, the nearer each.
            {"chorus 1, fade: 20 ms }, { take: a.wav, from: verse 2 }, { take: b.wav, from: chorus 2,",
                    "chorus 1 beat 2, fade: 20 ms }, { take: a.wav, from: verse 2 }, { take: b.wav, from: chorus 2 beat 2,",
                    "bar 5 to bar 5 beat 2, bar 13 to bar 13 beat 2: low from a.wav, was b.wav"},
            // One became two: the second is new.
            {"chorus 1, fade: 20 ms }",
                    "chorus 1 beat 2, fade: 20 ms }, { take: a.wav, from: chorus 1 bar 2 }, { take: b.wav, from: chorus 1 bar 3, fade: 20 ms }",
                    "bar 5 to bar 5 beat 2, bar 6 to bar 7: low from a.wav, was b.wav|bar 7: join of low fade is new: 20 ms"},
            // Between other takes it is another.
            {"{ take: b.wav, from: chorus 1, fade: 20 ms", "{ take: c.wav, from: chorus 1 beat 2, fade: 20 ms",
                    moved + "|bar 5 beat 2 to bar 9: low from c.wav, was b.wav|bar 5 beat 2: join of low fade is new: 20 ms"},
            // Where none was.
            {"{ take: b.wav, from: chorus 1",
                    "{ take: c.wav, from: verse 1 bar 3, fade: 50 ms, exact: yes }, { take: a.wav, from: verse 1 bar 4 }, { take: b.wav, from: chorus 1",
                    "bar 3 to bar 4: low from c.wav, was a.wav|bar 3: join of low fade is new: 50 ms|bar 3: join of low kept at its place"},
        };
        for (String[] c : changes) {
            Files.writeString(now, SONG.replace(LOW, comp.replace(c[0], c[1])));
            assertEquals(List.of(c[2].split("\\|")), notes(), c[1]);
        }
    }

    /** What the text leaves open rings on behind the end, and is no more silent there than it was. */
    @Test
    void aLongerEndingMakesNothingNew() throws Exception {
        String comp = SONG.replace(LOW, "low: { comp: [ { take: a.wav, from: verse 1 }, { take: b.wav, from: chorus 1 } ], pan: 40 % left }");
        for (String[] versions : new String[][] {{"17", "19"}, {"19", "17"}}) {
            Files.writeString(old, comp.replace("end: 17", "end: " + versions[0]));
            Files.writeString(now, comp.replace("end: 17", "end: " + versions[1]));
            assertEquals(List.of(), notes().stream().filter(n -> n.contains("low ")).toList());
        }
        String cut = comp.replace("from: chorus 1 }", "from: chorus 1, to: end }");
        Files.writeString(old, cut);
        Files.writeString(now, cut.replace("end: 17", "end: 19"));
        assertEquals(List.of("bar 17 to bar 19: low from b.wav, was silent"), notes().stream().filter(n -> n.contains("low ")).toList());
    }

    /** What is cut off at the end rang on behind it. */
    @Test
    void aCompCutOffAtTheEndIsTold() throws Exception {
        Files.writeString(old, SONG.replace(LOW, "low: { comp: [ { take: a.wav, from: verse 1 } ], pan: 40 % left }"));
        Files.writeString(now, SONG.replace(LOW, "low: { comp: [ { take: a.wav, from: verse 1, to: end } ], pan: 40 % left }"));
        assertEquals(List.of("end: low cut off, rang on"), notes());
    }

    /** At 100 bpm a bar of 4/4 lasts 2.4 s, at 110 bpm 2.18 s (60 s / 110 times 4): 8 bars come to 1.75 s. */
    @Test
    void takesThatStayInSecondsAreToldWhereTheTempoChanges() throws Exception {
        String faster = "tempo: { bar 1: 100 bpm, bar 9: 110 bpm }", tempo = "tempo bar 9 is new: 110 bpm";
        String told = "takes without 'at' stay in seconds: from bar 9 they lie up to 1.75 s behind the bars";
        Files.writeString(old, SONG.replace("tempo: 100 bpm", "tempo: { bar 1: 100 bpm }"));
        Files.writeString(now, SONG.replace("tempo: 100 bpm", faster));
        assertEquals(List.of(tempo, told), notes());
        Files.writeString(now, SONG.replace("tempo: 100 bpm", faster.replace("110", "90")));
        assertEquals(List.of(tempo.replace("110", "90"), told.replace("1.75 s behind", "2.13 s ahead of")), notes());
        // Of a comp what is heard.
        String comp = "low: { comp: [ { take: a.wav, from: verse 1, to: %s } ], pan: 40 %% left }";
        String tied = SONG.replace("lead.wav,", "lead.wav, at: bar 1,");
        for (String[] until : new String[][] {{"verse 2", ""}, {"verse 2 bar 3", "0.44"}}) {
            String placed = tied.replace(LOW, comp.formatted(until[0]));
            Files.writeString(old, placed.replace("tempo: 100 bpm", "tempo: { bar 1: 100 bpm }"));
            Files.writeString(now, placed.replace("tempo: 100 bpm", faster));
            assertEquals(until[1].isEmpty() ? List.of(tempo) : List.of(tempo, told.replace("1.75", until[1])), notes());
        }
        // What is placed goes with the bars, and what sings on until the next range does is heard no further than that.
        for (String ranges : new String[] {"{ take: a.wav, from: verse 1, at: bar 1 }",
                "{ take: a.wav, from: verse 1 }, { take: b.wav, from: verse 2, at: bar 9 }"}) {
            String placed = tied.replace(LOW, "low: { comp: [ " + ranges + " ] }");
            Files.writeString(old, placed.replace("tempo: 100 bpm", "tempo: { bar 1: 100 bpm }"));
            Files.writeString(now, placed.replace("tempo: 100 bpm", faster));
            assertEquals(List.of(tempo), notes(), ranges);
        }
        // What was recorded anew may well have been to the new tempo.
        Files.writeString(old, tied.replace("low.wav", "other.wav").replace("tempo: 100 bpm", "tempo: { bar 1: 100 bpm }"));
        Files.writeString(now, tied.replace("tempo: 100 bpm", faster));
        assertEquals(List.of(tempo, "low take low.wav, was other.wav"), notes());
    }

    /** Bars of another length have other beats: a place in the one is none in the other. */
    @Test
    void ofBarsOfAnotherMetreNothingIsToldOfTakes() throws Exception {
        assertEquals(List.of(), after("tempo: 100 bpm", "tempo: 100 bpm\nmetre: 3/4").stream().filter(n -> n.contains("'at'")).toList());
    }

    /** What a throw stops at is a place in seconds, and a length in milliseconds. */
    @Test
    void aThrowStopsEarlierOrSooner() throws Exception {
        String then = "length: 1 beat, to: plate, stop: ";
        for (String[] s : new String[][] {{"12.5 s", "12 s", "stop 0.5 s earlier (12 s, was 12.5 s)"},
                {"300 ms", "350 ms", "stop 50 ms longer (350 ms, was 300 ms)"}, {"12 s", "350 ms", "stop 350 ms, was 12 s"}}) {
            Files.writeString(old, SONG.replace("length: 1 beat, to: plate", then + s[0]));
            Files.writeString(now, SONG.replace("length: 1 beat, to: plate", then + s[1]));
            assertEquals(List.of("throw of lead at verse 1 bar 4 beat 1 " + s[2]), notes());
        }
    }

    @Test
    void whatCameAndWentIsTold() throws Exception {
        assertEquals(List.of("print plate is new"), after("[ mix, lead ]", "[ mix, lead, plate ]"));
        assertEquals(List.of("print lead is gone"), after("[ mix, lead ]", "[ mix ]"));
        assertEquals(List.of("throw of lead at verse 1 bar 4 beat 1 length 2 beats, was 1 beat"), after("length: 1 beat", "length: 2 beats"));
        assertEquals(List.of("mix compressor is new: aim 2 dB"), after("[ limit", "[ compressor: { aim: 2 dB }, limit"));
        Files.writeString(old, SONG.replace("groups:\n  under: { parts: [ low ], chain: [ compressor: { aim: 3 dB } ] }\n", "")
                .replace("moves:\n  chorus *: { ramp: 1 beat, plate: +4 dB, lead to plate: +1 dB }\n", ""));
        Files.writeString(now, SONG);
        assertEquals(List.of("chorus 1, chorus 2: lead to plate 1 dB higher", "chorus 1, chorus 2: plate 4 dB higher",
                "under is new: parts [ low ], chain [ { compressor: { aim: 3 dB } } ]"), notes());
        Files.writeString(old, SONG);
        assertEquals(List.of("high is new: take high.wav"), after("groups:\n", "  high: { take: high.wav }\ngroups:\n"));
    }

    @Test
    void chainFilesAreReadToo() throws Exception {
        Path chain = now.resolveSibling("lead.yaml");
        Files.writeString(chain, CHAIN.replace("-20 dB", "-22 dB").replace("  - de-ess\n", ""));
        assertEquals(List.of("lead compressor threshold 2 dB lower (-22 dB, was -20 dB)", "lead de-ess is gone"), notes());
        assertEquals(List.of("compressor threshold 2 dB lower (-22 dB, was -20 dB)", "de-ess is gone"),
                version(chain).since(version(old.resolveSibling("lead.yaml"))).stream().map(Change::sentence).toList());
        Files.writeString(chain, CHAIN.replace("  - de-ess\n", "").replace("  - gate", "  - de-ess\n  - gate"));
        assertEquals(List.of("lead in another order: de-ess, gate, compressor"), notes());
    }

    /** A number in the list would be another print in each of the texts. */
    @Test
    void printsGoByTheirNames() throws Exception {
        String was = "[ mix, { print: low, name: end of low, from: verse 2, to: end }, { print: lead }, { print: low } ]";
        Files.writeString(old, SONG.replace("[ mix, lead ]", was));
        assertEquals(List.of("print end of low depth is new: 16-bit", "print lead is gone"),
                prints("[ mix, { print: low, name: end of low, from: verse 2, to: end, depth: 16-bit }, { print: low } ]"));
        assertEquals(List.of("print plate is new", "print end of low from chorus 2, was verse 2"),
                prints("[ mix, { print: plate }, { print: low, name: end of low, from: chorus 2, to: end }, { print: lead }, { print: low } ]"));
        // Their order changes no sound.
        assertEquals(List.of(), prints("[ mix, { print: low }, { print: lead }, { print: low, name: end of low, from: verse 2, to: end } ]"));
    }

    /** With settings or without, alone or in a list, a print is the one that is called so. */
    @Test
    void aPrintIsWhatItIsCalled() throws Exception {
        assertEquals(List.of("print q is new: print mix, from chorus 1"), prints("[ mix, { print: mix, name: q, from: chorus 1 }, lead ]"));
        assertEquals(List.of("print lead depth is new: 16-bit"), prints("[ { print: lead, depth: 16-bit }, mix ]"));
        assertEquals(List.of("print lead is gone"), prints("mix"));
        // Stems of a stretch stand beside those of the whole, and have no name of their own.
        Files.writeString(old, SONG.replace("[ mix, lead ]", "[ { print: stems, depth: float }, stems, { print: stems, from: verse 2, to: end } ]"));
        assertEquals(List.of("print stems depth is gone, was float", "print stems from verse 2 to end depth is new: 16-bit"),
                prints("[ stems, { print: stems, from: verse 2, to: end, depth: 16-bit } ]"));
        Files.writeString(old, SONG);
        assertEquals(List.of("print Lead is new: lead", "print lead is gone"), prints("[ mix, { print: lead, name: Lead } ]"));
        assertEquals(List.of("print lead print low, was lead"), prints("[ mix, { print: low, name: lead } ]"));
    }

    /** A value that is written otherwise is no other. */
    @Test
    void theSameValueIsNoChange() throws Exception {
        assertEquals(List.of(), after("100 bpm", "100.0"));
        assertEquals(List.of(), after("1.8 s, high-pass: 300 Hz", "1800 ms, high-pass: 0.3 kHz"));
        Path chain = now.resolveSibling("lead.yaml");
        Files.writeString(now, SONG);
        Files.writeString(chain, CHAIN.replace("3:1", "3.0:1").replace("-20 dB", "-20.00"));
        assertEquals(List.of(), notes());
        // A number alone has the unit of its setting, which is not told here.
        Files.writeString(chain, CHAIN.replace("3:1", "4"));
        assertEquals(List.of("lead compressor ratio 4, was 3:1"), notes());
        Files.writeString(chain, CHAIN.replace("{ threshold: 10 dB over noise }", "{ hold: 65 }"));
        Files.writeString(old.resolveSibling("lead.yaml"), CHAIN.replace("{ threshold: 10 dB over noise }", "{ hold: 65 ms }"));
        assertEquals(List.of("lead gate hold 65, was 65 ms"), notes());
    }

    /** A difference and a value are two, as are a place in the song and a length, whatever they come to alone. */
    @Test
    void theSameNumberMayMeanAnother() throws Exception {
        Files.writeString(old, SONG.replace("plate: +4 dB", "plate reverb high-pass: +200 Hz"));
        Files.writeString(now, SONG.replace("plate: +4 dB", "plate reverb high-pass: to 200 Hz"));
        assertEquals(List.of("chorus 1, chorus 2: plate reverb high-pass to 200 Hz, was +200 Hz"), notes());
        Files.writeString(old, SONG.replace("to: plate }", "to: plate, stop: 20 s }"));
        Files.writeString(now, SONG.replace("to: plate }", "to: plate, stop: 20000 ms }"));
        assertEquals(1, notes().size(), notes().toString());
    }

    /** A file of a chain and a list that uses it are one; where chains differ, that is told in the words of the text. */
    @Test
    void aChainIsTheSameInAListOrAlone() throws Exception {
        String file = "chain: lead.yaml";
        Files.writeString(now.resolveSibling("other.yaml"), "chain: other\nsteps:\n  - trim\n");
        Files.writeString(old.resolveSibling("other.yaml"), "chain: other\nsteps:\n  - trim\n");
        for (String same : List.of("chain: [ use: lead.yaml ]", "chain: [ { use: ./lead.yaml } ]",
                "chain: [ { gate: { threshold: 10 dB over noise } }, { compressor: { name: slow, ratio: 3:1, threshold: -20 dB } }, de-ess ]")) {
            Files.writeString(old, SONG.replace(file, same));
            Files.writeString(now, SONG);
            assertEquals(List.of(), notes(), same);
            Files.writeString(now, SONG.replace(file, same));
            Files.writeString(old, SONG);
            assertEquals(List.of(), notes(), same);
        }
        Files.writeString(now, SONG.replace(file, "chain: [ { use: lead.yaml, with: { slow: { ratio: 4:1 } } } ]"));
        assertEquals(List.of("lead lead.yaml with is new: slow { ratio: 4:1 }"), notes());
        Files.writeString(now, SONG.replace(file, "chain: [ { use: lead.yaml }, { use: other.yaml } ]"));
        assertEquals(List.of("lead other.yaml is new"), notes());
        Files.writeString(old, SONG.replace(file, "chain: [ trim ]"));
        Files.writeString(now, SONG);
        assertEquals(List.of("lead gate is new: threshold 10 dB over noise", "lead compressor is new: name slow, ratio 3:1, threshold -20 dB",
                "lead de-ess is new", "lead trim is gone"), notes());
        Files.writeString(old, SONG);
        Files.writeString(now, SONG.replace("low.wav, pan", "low.wav, chain: other.yaml, pan"));
        assertEquals(List.of("low other.yaml is new"), notes());
        Files.writeString(now, SONG.replace("low.wav, pan", "low.wav, chain: [ trim, de-ess ], pan"));
        assertEquals(List.of("low trim is new", "low de-ess is new"), notes());
        Files.writeString(now, SONG.replace("groups:\n", "  high: { take: high.wav, chain: [ use: other.yaml ] }\ngroups:\n"));
        assertEquals(List.of("high is new: take high.wav, chain other.yaml"), notes());
    }

    /** Who reads that a threshold is new must know that the aim of the chain holds no more. */
    @Test
    void whatTheUserOfAChainReplacesIsTold() throws Exception {
        String file = "chain: lead.yaml", used = "chain: [ { use: lead.yaml, with: { de-ess: { most: 8 dB } } } ]";
        for (String[] c : new String[][] {
                {file, used.replace("de-ess: { most: 8 dB }", "slow: { ratio: 4:1, aim: 4 dB }"),
                        "lead lead.yaml with is new: slow { ratio: 4:1, aim: 4 dB in place of threshold -20 dB }",
                        "lead lead.yaml with is gone, was slow { ratio: 4:1, aim: 4 dB in place of threshold -20 dB }"},
                {used, used.replace("8 dB }", "8 dB }, slow: { aim: 4 dB }"), "lead lead.yaml with slow is new: aim 4 dB in place of threshold -20 dB",
                        "lead lead.yaml with slow is gone, was aim 4 dB in place of threshold -20 dB"},
                {used.replace("8 dB }", "8 dB }, slow: { ratio: 4:1 }"), used.replace("8 dB }", "8 dB }, slow: { ratio: 4:1, aim: 4 dB }"),
                        "lead lead.yaml with slow aim is new: 4 dB in place of threshold -20 dB",
                        "lead lead.yaml with slow aim is gone, was 4 dB in place of threshold -20 dB"}}) {
            Files.writeString(old, SONG.replace(file, c[0]));
            Files.writeString(now, SONG.replace(file, c[1]));
            assertEquals(List.of(c[2]), notes());
            Files.writeString(old, SONG.replace(file, c[1]));
            Files.writeString(now, SONG.replace(file, c[0]));
            assertEquals(List.of(c[3]), notes());
        }
    }

    /** A chain by itself, too. */
    @Test
    void soItIsOfAChainThatUsesAnother() throws Exception {
        Path was = old.resolveSibling("user.yaml"), is = now.resolveSibling("user.yaml");
        Files.writeString(was, "chain: u\nsteps: [ use: lead.yaml ]\n");
        Files.writeString(is, "chain: u\nsteps: [ { use: lead.yaml, with: { slow: { aim: 4 dB } } } ]\n");
        assertEquals(List.of("lead.yaml with is new: slow { aim: 4 dB in place of threshold -20 dB }"),
                version(is).since(version(was)).stream().map(Change::sentence).toList());
    }

    private static Version version(Path chain) throws ProblemsException {
        Problems problems = new Problems();
        ChainReader.read(chain, Builtins.catalogue(), problems);
        return Version.ofChain(chain, problems);
    }

    /** The word of the text is a switch: who hears the change knows whether the step is on. */
    @Test
    void aStepIsSwitchedOnOrOff() throws Exception {
        String slow = "{ name: slow, ratio", off = "{ on: no, name: slow, ratio";
        Path chain = now.resolveSibling("lead.yaml"), before = old.resolveSibling("lead.yaml");
        Files.writeString(chain, CHAIN.replace(slow, off));
        assertEquals(List.of("lead compressor switched off"), notes());
        Files.writeString(chain, CHAIN.replace(slow, "{ on: yes, name: slow, ratio"));
        assertEquals(List.of(), notes());
        Files.writeString(before, CHAIN.replace(slow, off));
        assertEquals(List.of("lead compressor switched on"), notes());
        Files.writeString(chain, CHAIN);
        assertEquals(List.of("lead compressor switched on"), notes());
        Files.writeString(before, CHAIN);
        Files.writeString(chain, CHAIN.replace("- de-ess", "- de-ess: { on: no }"));
        assertEquals(List.of("lead de-ess switched off"), notes());
        Files.writeString(chain, CHAIN.replace("- de-ess", "- de-ess: { most: 8 dB }"));
        assertEquals(List.of("lead de-ess most is new: 8 dB"), notes());
        Files.writeString(before, CHAIN.replace("- de-ess", "- de-ess: { on: no }"));
        Files.writeString(chain, CHAIN);
        assertEquals(List.of("lead de-ess switched on"), notes());
        Files.writeString(before, CHAIN);
        Files.writeString(now, SONG.replace("chain: lead.yaml", "chain: [ { use: lead.yaml, with: { slow: { on: no } } } ]"));
        assertEquals(List.of("lead lead.yaml slow switched off"), notes());
    }

    /** Beside a list, which has no room for it, that stands beside the word of the step. */
    @Test
    void aStepWithAListIsSwitchedOnOrOffBesideIt() throws Exception {
        String eq = "eq: [ { bell: 1 kHz, gain: 2 dB } ]", parallel = "parallel: [ { level: -12 dB, steps: [ trim ] } ]";
        for (String step : List.of(eq, parallel)) {
            String word = step.substring(0, step.indexOf(':')), on = SONG.replace("chain: lead.yaml", "chain: [ de-ess, { " + step + " } ]"),
                    off = on.replace(step, step + ", on: no");
            assertEquals(List.of("lead " + word + " switched off"), between(on, step, step + ", on: no"));
            assertEquals(List.of("lead " + word + " switched on"), between(off, ", on: no", ""));
            assertEquals(List.of("lead " + word + " switched on"), between(off, "on: no", "on: yes"));
            assertEquals(List.of(), between(on, step, step + ", on: yes"));
            assertEquals(List.of("lead " + word + " mix is new: 50 %"), between(on, step, step + ", mix: 50 %"));
            assertEquals(List.of("lead " + word + " mix is new: 50 %", "lead " + word + " switched off"),
                    between(on, step, step + ", mix: 50 %, on: no").stream().sorted().toList());
            assertEquals(List.of("lead " + word + " is new: " + step.substring(word.length() + 2) + ", on no"),
                    between(off.replace("{ " + step + ", on: no }", "trim"), "trim ]", "trim, { " + step + ", on: no } ]").stream()
                    .filter(s -> s.contains(word)).toList());
            assertEquals(List.of("lead in another order: " + word + ", de-ess"),
                    between(off, "de-ess, { " + step + ", on: no }", "{ " + step + ", on: no }, de-ess"));
        }
        assertEquals(List.of("lead eq 1 gain 1 dB higher (3 dB, was 2 dB)", "lead eq switched on"),
                between(SONG.replace("chain: lead.yaml", "chain: [ { " + eq + ", on: no } ]"), ", on: no", "", "gain: 2 dB", "gain: 3 dB").stream().sorted()
                .toList());
        for (String bare : List.of("eq", "{ eq: { on: yes } }", "{ eq: , on: yes }")) {
            assertEquals(List.of("lead eq 1 is new: bell 1 kHz, gain 2 dB", "lead eq switched off"),
                    between(SONG.replace("chain: lead.yaml", "chain: [ de-ess, " + bare + " ]"), bare + " ]", "{ " + eq + ", on: no } ]").stream().sorted()
                    .toList(), bare);
        }
        Path chain = now.resolveSibling("lead.yaml"), before = old.resolveSibling("lead.yaml");
        Files.writeString(old, SONG);
        Files.writeString(now, SONG);
        Files.writeString(before, CHAIN.replace("  - de-ess", "  - " + eq + "\n    on: no"));
        Files.writeString(chain, CHAIN.replace("  - de-ess", "  - " + eq));
        assertEquals(List.of("lead eq switched on"), notes());
    }

    /** Beside the word or among the settings: the same is said. */
    @Test
    void whatEveryStepMaySayIsTheSameBesideItsWord() throws Exception {
        Path chain = now.resolveSibling("lead.yaml"), before = old.resolveSibling("lead.yaml");
        Files.writeString(before, CHAIN.replace("- de-ess", "- de-ess: { on: no, mix: 50 %, most: 8 dB }"));
        Files.writeString(chain, CHAIN.replace("- de-ess", "- de-ess: { most: 8 dB }\n    on: no\n    mix: 50 %"));
        assertEquals(List.of(), notes());
        Files.writeString(chain, CHAIN.replace("- de-ess", "- de-ess: { most: 8 dB }\n    mix: 60 %"));
        assertEquals(List.of("lead de-ess mix 10 % more (60 %, was 50 %)", "lead de-ess switched on"), notes().stream().sorted().toList());
        for (String off : List.of("- de-ess: {}\n    on: no", "- de-ess:\n    on: no", "- { de-ess: , on: no }")) {
            Files.writeString(before, CHAIN);
            Files.writeString(chain, CHAIN.replace("- de-ess", off));
            assertEquals(List.of("lead de-ess switched off"), notes(), off);
            Files.writeString(before, CHAIN.replace("- de-ess", off));
            Files.writeString(chain, CHAIN.replace("- de-ess", "- de-ess: { most: 8 dB }"));
            assertEquals(List.of("lead de-ess most is new: 8 dB", "lead de-ess switched on"), notes().stream().sorted().toList(), off);
        }
    }

    /** A move over all sections leaves the pick-up as it was. */
    @Test
    void thePickUpIsNoSection() throws Exception {
        String up = SONG.replace("100 bpm\n", "100 bpm\npick-up: 1 beat\n");
        Files.writeString(old, up);
        Files.writeString(now, up.replace("moves:\n", "moves:\n  verse 1 to end: { lead: +0.5 dB }\n"));
        assertEquals(List.of("all but the pick-up: lead 0.5 dB higher"), notes());
        Files.writeString(now, up.replace("moves:\n", "moves:\n  bar 0 to end: { lead: +0.5 dB }\n"));
        assertEquals(List.of("lead 0.5 dB higher"), notes());
        Files.writeString(now, up.replace("moves:\n", "moves:\n  bar 0: { lead: +0.5 dB, plate reverb width: -10 % }\n"));
        assertEquals(List.of("pick-up: lead 0.5 dB higher", "pick-up: plate reverb width 10 % less"), notes());
    }

    private List<String> prints(String prints) throws IOException, ProblemsException {
        Files.writeString(now, SONG.replace("[ mix, lead ]", prints));
        return notes();
    }
}

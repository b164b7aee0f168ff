package linnet.song;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.chain.ChainReader;
import linnet.step.Catalogue;
import linnet.step.builtin.Builtins;
import linnet.text.Problem;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every word of a song and of a chain with one letter wrong, missing, too many or in the wrong place: the first thing that is said proposes the word that was
 * meant, at its place. What the texts name themselves is in capitals, and is not slipped.
 */
class SlipsTest {
    private static final Pattern WORD = Pattern.compile("\\p{L}[\\p{L}-]*");
    private static final Pattern NAME = Pattern.compile("[A-Z]{3,}");
    private static final Pattern PROPOSED = Pattern.compile("did you mean '([^']*)'(?: or '([^']*)')?");
    private static final String SONG = """
            song: TITLE
            about: WORDS
            revision: 1
            date: 2026-11-26
            names: "{song} r{revision} {print}"
            tempo: { bar 1: 100 bpm, bar 9: 96 bpm }
            metre: 4/4
            pick-up: 1 beat
            key: G# major
            pitch: 440 Hz
            rate: 48 kHz
            sections: { VERSE: 1, CHORUS 1: 5, CHORUS 2: 9, END: 13 }
            parts:
              LEAD:
                comp: [ { take: ONE.wav, from: VERSE, fade: 20 ms, exact: yes }, { take: TWO.wav, at: bar 1, from: CHORUS 1 beat 2, to: CHORUS 1 bar 3 } ]
                edits: [ { mute: breaths in VERSE, fade: 10 ms }, { cut: CHORUS 1 bar 2 to CHORUS 1 bar 3, close: yes, exact: no }, { fade in: bar 1 to bar 2 }, { fade out: bar 3 to bar 4 } ]
                nudge: 20 ms earlier
                chain: [ compressor: { ratio: 3:1 }, eq: [ { bell: 1 kHz, gain: 2 dB } ], parallel: [ { level: 0 dB }, { level: -6 dB, steps: [ saturate ] } ] ]
                into: 1 dB
                sends: { ROOM: 9 LU under, PLATE: { level: -9 dB, before: level } }
                sends level: 1 dB
                duck: { from: OTHER, by: 3 dB, attack: 10 ms, release: 200 ms }
              LEFT: { take: TWO.wav, from: 1 s, to: 20 s, at: VERSE, polarity: flipped, pan: 30 % left, level: 1 dB, tidy: { like: LEAD, timing: leave, level: with lead, other words: 1 dB } }
              RIGHT: { take: ONE.wav, pan: centre }
              OTHER: { take: TWO.wav, only: [ VERSE, bar 4 to bar 5 ], tidy: no }
              DUB: { from: LEAD }
            instrumental: { take: ONE.wav, level: -20 dB }
            groups:
              DOUBLES:
                parts: [ LEFT, RIGHT ]
                tidy: { like: LEAD, timing: 12 ms, reach: 500 ms, stretch: 10 %, breaths: remove, consonants: soften, ends: with lead, level: leave, except: [ CHORUS 1 ] }
                each: [ de-ess ]
                spread: 50 %
                level: -3 dB
                chain: [ compressor: { ratio: 2:1 } ]
                sends: { ROOM: -12 dB }
            balance: { LEAD: 2 LU over instrumental }
            returns:
              ROOM: { chain: [ delay: { feedback: 30 % } ], duck: { from: LEAD } }
              PLATE: { chain: [ reverb: { low-pass: 9 kHz } ], level: 0 dB, pan: 10 % right }
            moves:
              CHORUS 1: { DOUBLES: -3 dB, DOUBLES to ROOM: -3 dB, LEFT pan: +60 % }
              CHORUS *: { ramp: 1 beat, PLATE reverb low-pass: to 8 kHz, LEAD compressor ratio: to 4:1, LEAD eq gain of band 1: +1 dB }
              VERSE to CHORUS 1: { ramp: 1/8 dotted, ROOM delay feedback: +10 %, ROOM delay mix: -10 %, LEAD parallel level of branch 2: +1 dB }
            throws:
              - { part: LEAD, word: CHORUS 1 beat 2, length: 1 beat, to: PLATE, level: -4 dB, in: 10 ms, out: 200 ms, stop: next phrase, exact: yes }
              - { part: LEAD, word: vowel 3, length: 350 ms, to: ROOM, stop: 2 beats }
            mix: { chain: [ compressor: { ratio: 1.5:1 } ], loudness: -14 LUFS, ceiling: -1 dBTP }
            prints:
              - mix
              - mix without bus
              - vocals
              - throws
              - LEAD
              - LEAD dry
              - LEAD untuned
              - LEAD wet
              - LEAD without bus
              - vocals without bus
              - stems without bus
              - mix without LEAD
              - mix without vocals
              - LEAD up 1 dB
              - vocals down 1 dB
              - instrumental
              - { print: mix, name: PART, from: CHORUS 1, to: end, depth: 16-bit }
              - { print: mix, name: WHOLE, depth: float }
            checks: { ceiling: -1 dBTP, accept: [ tails, mono ] }
            """.replace("END:", "end:");
    private static final String CHAIN = """
            chain: TITLE
            about: WORDS
            tempo: 100 bpm
            steps:
              - use: PLAIN.yaml
                with: { trim: { level: 1 dB } }
              - parallel: [ { level: 0 dB }, { level: -9 dB, steps: [ saturate ] } ]
              - gate: { threshold: 10 dB over noise }
                mix: 50 %
                on: yes
                name: FRONT
              - gate: { threshold: 10 dB under voice }
              - gate: { threshold: -10 dBFS }
              - eq: [ { high-pass: 0.8 x lowest note }, { bell: resonance 2, gain: 1 dB }, { bell: 1.5 x sibilance, bandwidth: 1 octave, gain: 1 dB }, { high-shelf: 3 kHz, steepness: 1, gain: 1 dB, design: cookbook } ]
              - delay: { time: 1/8 dotted, pattern: ping-pong }
            """;
    /** Words for which another may stand, and what is no word of the formats. */
    private static final Set<String> FREE = Set.of("wav", "yaml", "G", "r");

    /** Slips that are words too, or nearer to another. */
    private static final Set<String> OTHERS = Set.of("Hz", "ot", "center", "beat");

    @TempDir
    Path folder;

    private final Catalogue catalogue = Builtins.catalogue();

    @Test
    void ofASong() throws IOException {
        assertEquals(List.of(), untold("song.yaml", SONG));
    }

    @Test
    void ofAChain() throws IOException {
        Files.writeString(folder.resolve("PLAIN.yaml"), "chain: plain\nsteps: [ trim ]\n");
        assertEquals(List.of(), untold("chain.yaml", CHAIN));
    }

    private List<String> untold(String name, String text) throws IOException {
        assertEquals(List.of(), problems(name, text).stream().map(Problem::show).toList());
        List<String> untold = new ArrayList<>();
        int tried = 0;
        for (Matcher word = WORD.matcher(text); word.find(); ) {
            if (NAME.matcher(word.group()).matches() && !word.group().equals("LUFS") || FREE.contains(word.group())) continue;
            for (String slip : slips(word.group(), word.start())) {
                tried++;
                String slipped = text.substring(0, word.start()) + slip + text.substring(word.end());
                int begin = text.lastIndexOf('\n', word.start()) + 1, line = (int) text.substring(0, begin).lines().count() + 1;
                List<Problem> told = problems(name, slipped);
                if (told.stream().noneMatch(p -> proposes(p, word.group()) && p.at().line() == line && p.at().column() <= word.start() - begin + 1)) {
                    untold.add(line + ":" + (word.start() - begin + 1) + " " + slip + " for " + word.group() + ": " + told.stream()
                            .map(p -> p.at().line() + ":" + p.at().column() + " " + p.message()).toList());
                }
            }
        }
        assertTrue(tried > 150, tried + " slips");
        return untold;
    }

    private List<Problem> problems(String name, String text) throws IOException {
        Path file = folder.resolve(name);
        Files.writeString(file, text);
        try {
            if (name.startsWith("song")) SongReader.read(file, catalogue);
            else ChainReader.read(file, catalogue);
            return List.of();
        } catch (ProblemsException e) {
            return e.problems();
        }
    }

    private static boolean proposes(Problem problem, String word) {
        Matcher m = PROPOSED.matcher(problem.message());
        return m.find() && (m.group(1).contains(word) || m.group(2) != null && m.group(2).contains(word));
    }

    /** Its letters, one after the other, are another, missing, there twice, or change places with the next. */
    private static Set<String> slips(String word, int turn) {
        Set<String> slips = new LinkedHashSet<>();
        for (int i = 0; i < word.length(); i++) {
            char c = word.charAt(i);
            if (c == '-') continue;
            String before = word.substring(0, i), after = word.substring(i + 1);
            switch ((i + turn) % 4) {
                case 0 -> slips.add(before + (c == 'o' ? 'p' : 'o') + after);
                case 1 -> slips.add(before + after);
                case 2 -> slips.add(before + c + c + after);
                default -> slips.add(after.isEmpty() || after.startsWith("-") ? word : before + after.charAt(0) + c + after.substring(1));
            }
        }
        slips.remove(word);
        // Of one letter nobody can tell what it was.
        slips.removeIf(s -> s.length() < 2);
        slips.removeAll(OTHERS);
        return slips;
    }
}

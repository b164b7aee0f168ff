package linnet.chain;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A chain used with changes is the chain whose text says so. */
class WithTest {
    private static final String EQS = "chain: c\nsteps: [ eq: [ { bell: 1 kHz, gain: 1 dB } ], trim: { level: -3 dB }, eq: [ { bell: 2 kHz, gain: 2 dB } ], "
            + "eq: [ { bell: 3 kHz, gain: 3 dB } ] ]\n";

    @TempDir
    Path folder;

    private void write(String name, String text) throws IOException {
        Files.writeString(folder.resolve(name), text);
    }

    /** Each step with its share and its settings. */
    private List<String> used(String steps) throws IOException, ProblemsException {
        write("user.yaml", "chain: u\nsteps: " + steps + "\n");
        List<String> shown = new ArrayList<>();
        for (Link link : Steps.of(ChainReader.read(folder.resolve("user.yaml"), Builtins.catalogue()).links())) {
            shown.add(link.name() + link.mix() + (link instanceof Link.Use u ? u.values().write() : ""));
        }
        return shown;
    }

    @Test
    void oneOfSeveralIsNamedByItsNumber() throws Exception {
        write("eqs.yaml", EQS);
        List<String> all = used("[ { use: eqs.yaml } ]");
        assertEquals(List.of(all.get(0), all.get(1), all.get(3)), used("[ { use: eqs.yaml, with: { eq 2: { on: no } } } ]"));
        assertEquals(List.of(all.get(1), all.get(2), all.get(3)), used("[ { use: eqs.yaml, with: { eq 1: { on: no } } } ]"));
        assertEquals(List.of(all.get(1), all.get(3)), used("[ { use: eqs.yaml, with: { eq 1: { on: no }, eq 2: { on: no } } } ]"));
    }

    @Test
    void stepsThatAreOffKeepTheirNumber() throws Exception {
        write("eqs.yaml", EQS);
        List<String> all = used("[ { use: eqs.yaml } ]");
        write("some.yaml", "chain: s\nsteps: [ { use: eqs.yaml, with: { eq 2: { on: no } } } ]\n");
        assertEquals(List.of(all.get(0), all.get(1)), used("[ { use: some.yaml, with: { eq 3: { on: no } } } ]"));
        assertEquals(all, used("[ { use: some.yaml, with: { eq 2: { on: yes } } } ]"));
    }

    @Test
    void eachUserCountsWhatItUses() throws Exception {
        write("eqs.yaml", EQS);
        List<String> all = used("[ { use: eqs.yaml } ]");
        write("more.yaml", "chain: m\nsteps: [ eq: [ { bell: 500 Hz, gain: 1 dB } ], { use: eqs.yaml, with: { eq 1: { on: no } } }, de-ess ]\n");
        List<String> more = used("[ { use: more.yaml } ]");
        assertEquals(all.subList(1, 4), more.subList(1, 4));
        assertEquals(List.of(more.get(0), more.get(1), more.get(2), more.get(4)), used("[ { use: more.yaml, with: { eq 4: { on: no } } } ]"));
    }

    @Test
    void theStepsOfABranchComeBeforeTheBranches() throws Exception {
        write("branches.yaml", "chain: b\nsteps: [ { parallel: [ { steps: [ { trim: { level: 1 dB }, name: both } ] } ], name: both } ]\n");
        assertEquals(List.of(), used("[ { use: branches.yaml, with: { both 2: { on: no } } } ]"));
    }

    /** Whoever uses the chain that names it anew sees the new name. */
    @Test
    void aStepGetsAnotherName() throws Exception {
        write("one.yaml", "chain: o\nsteps: [ eq: [ { bell: 1 kHz, gain: 1 dB } ], { compressor: { ratio: 2:1 }, name: first } ]\n");
        write("inner.yaml", "chain: i\nsteps: [ { use: one.yaml, with: { first: { name: peaks }, eq: { name: tone } } } ]\n");
        assertEquals(List.of("tone", "peaks"), names("[ { use: inner.yaml } ]"));
        assertEquals(List.of("tone", "body"), names("[ { use: inner.yaml, with: { peaks: { name: body } } } ]"));
        assertEquals(List.of("tone"), names("[ { use: inner.yaml, with: { peaks: { on: no } } } ]"));
        write("outer.yaml", "chain: o\nsteps: [ { use: inner.yaml, with: { first: { on: no } } } ]\n");
        assertTrue(assertThrows(ProblemsException.class, () -> ChainReader.read(folder.resolve("outer.yaml"), Builtins.catalogue())).getMessage()
                .contains("that chain has no step called 'first'"));
    }

    private List<String> names(String steps) throws Exception {
        write("outer.yaml", "chain: o\nsteps: " + steps + "\n");
        return ChainReader.read(folder.resolve("outer.yaml"), Builtins.catalogue()).links().stream().map(Link::name).toList();
    }

    @Test
    void theOutermostHasTheLastWordOnEachSetting() throws Exception {
        write("one.yaml", "chain: o\nsteps: [ compressor: { ratio: 2:1, attack: 1 ms, release: 60 ms } ]\n");
        write("inner.yaml", "chain: i\nsteps: [ { use: one.yaml, with: { compressor: { ratio: 3:1, attack: 2 ms } } } ]\n");
        write("expected.yaml", "chain: e\nsteps: [ compressor: { ratio: 4:1, attack: 2 ms, release: 60 ms } ]\n");
        assertEquals(used("[ { use: expected.yaml } ]"), used("[ { use: inner.yaml, with: { compressor: { ratio: 4:1 } } } ]"));
    }

    /** Of settings that cannot stand beside each other the one that the user gives holds, and the other is not in the chain any more. */
    @Test
    void aSettingTakesThePlaceOfTheOneItExcludes() throws Exception {
        write("one.yaml", "chain: o\nsteps: [ compressor: { ratio: 2:1, aim: 3 dB }, tune: { scale: [ C, D ], amount: 50 % } ]\n");
        write("inner.yaml", "chain: i\nsteps: [ { use: one.yaml, with: { compressor: { threshold: -24 dB }, tune: { key: D major } } } ]\n");
        assertEquals(used("[ compressor: { ratio: 2:1, threshold: -24 dB }, tune: { key: D major, amount: 50 % } ]"), used("[ { use: inner.yaml } ]"));
        assertEquals(used("[ compressor: { ratio: 2:1, aim: 4 dB }, tune: { scale: [ E, F ], amount: 50 % } ]"),
                used("[ { use: inner.yaml, with: { compressor: { aim: 4 dB }, tune: { scale: [ E, F ] } } } ]"));
    }

    /** The chain that is used is right by itself: what a change makes wrong of it is to be mended where it is changed. */
    @Test
    void whatAChangeMakesWrongIsToldWhereItStands() throws Exception {
        write("one.yaml", "chain: o\nsteps:\n  - compressor: { aim: 3 dB, most: 5 dB }\n"
                + "  - multiband: { splits: [ 200 Hz, 2 kHz ], bands: [ {}, {}, {} ] }\n  - eq\n");
        write("inner.yaml", "chain: i\nsteps: [ { use: one.yaml, with: { compressor: { ratio: 4:1 } } } ]\n");
        String reach = "at most 5 dB are taken off, so an aim of 6 dB cannot be reached; give a smaller aim, or a threshold";
        // Where a bar stands it is told.
        for (String[] c : new String[][] {
                {"{ use: one.yaml, with: { compressor: { threshold: -20 dB, |aim: 4 dB } } }", "compressor has either threshold or aim, not both"},
                {"{ use: one.yaml, with: { |compressor: { aim: 6 dB } } }", reach},
                {"{ use: one.yaml, with: { compressor: { aim: 6 dB, most: |5 dB } } }", reach},
                {"{ use: inner.yaml, with: { |compressor: { aim: 6 dB } } }", reach},
                {"{ use: one.yaml, with: { |multiband: { splits: [ 300 Hz ] } } }", "3 bands need 2 splits"},
                {"{ use: one.yaml, with: { multiband: { splits: |[ 3 kHz, 300 Hz ] } } }", "splits must rise"},
                {"{ use: one.yaml, with: { multiband: { bands: |[ {}, {}, {}, {} ] } } }", "4 bands need 3 splits"},
                {"{ use: one.yaml, with: { multiband: { bands: [ {}, { aim: 6 dB, most: |5 dB } ] } } }", reach},
                {"{ use: one.yaml, with: { |eq: { bell: 1 kHz } } }", "only mix, on and name of 'eq' can be changed: its body is a list"}}) {
            String row = "steps: [ " + c[0] + " ]";
            assertEquals(List.of("user.yaml:2:" + (row.indexOf('|') + 1) + ": " + c[1]), wrong("user.yaml", row.replace("|", "")), c[0]);
        }
        String inner = "steps: [ { use: one.yaml, with: { |compressor: { aim: 6 dB } } } ]";
        List<String> told = List.of("wrong.yaml:2:" + (inner.indexOf('|') + 1) + ": " + reach);
        assertEquals(told, wrong("wrong.yaml", inner.replace("|", "")));
        assertEquals(told, wrong("user.yaml", "steps: [ { use: wrong.yaml, with: { compressor: { ratio: 3:1 } } } ]"));
    }

    private List<String> wrong(String file, String steps) throws IOException {
        write(file, "chain: w\n" + steps + "\n");
        return assertThrows(ProblemsException.class, () -> ChainReader.read(folder.resolve(file), Builtins.catalogue()))
                .problems().stream().map(p -> (p.at() + ": " + p.message()).replace(folder + "/", "")).toList();
    }
}

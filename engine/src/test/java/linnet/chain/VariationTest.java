package linnet.chain;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A varied chain is the chain whose text has the other value: compared with the reading of that text. */
class VariationTest {
    private static final String TEXT = """
            chain: test
            steps:
              - eq: [ { bell: 1 kHz, gain: -4 dB }, { high-shelf: 8 kHz, gain: 2 dB } ]
              - compressor: { ratio: 3:1, threshold: -20 dB }
              - multiband: { splits: [ 200 Hz, 2 kHz ], bands: [ {}, { ratio: 2:1, threshold: -30 dB }, {} ] }
              - compressor: { ratio: 8:1, aim: 3 dB, name: last }
              - parallel:
                  - { level: 0 dB }
                  - { level: -12 dB, steps: [ { compressor: { ratio: 10:1, aim: 12 dB } } ] }
              - reverb: { mix: 10 % }
            """;

    @TempDir
    Path folder;

    private Chain chain(String text) throws IOException, ProblemsException {
        Path file = folder.resolve("chain.yaml");
        Files.writeString(file, text);
        return ChainReader.read(file, Builtins.catalogue());
    }

    private static String shown(List<Link> links) {
        StringBuilder text = new StringBuilder();
        for (Link link : links) {
            text.append(link.name()).append(' ').append(link.mix()).append(' ');
            if (link instanceof Link.Use u) text.append(u.values().write()).append('\n');
            if (link instanceof Link.Parallel p) {
                for (Link.Branch b : p.branches()) text.append(b.level()).append(" [\n").append(shown(b.links())).append("]\n");
            }
        }
        return text.toString();
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "reverb.decay = 1,5 s, 2 s | write a point: 1.5 s",
        "compressor.ratio = 2,5:1, 4:1 | write a point: 2.5:1",
        "reverb.mix = 5, 10 %, 20 % | 5 has no unit and what follows has one: write it with each, or a point where both are one number",
        "reverb.low-pass = 1,200 Hz, 2 kHz | write it without: 1200 Hz"})
    void aNumberCutByACommaIsTold(String vary, String said) throws IOException, ProblemsException {
        Chain chain = chain(TEXT);
        ProblemsException e = assertThrows(ProblemsException.class, () -> Variation.read(vary, "--vary", chain));
        assertTrue(e.getMessage().contains(said), e.getMessage());
    }

    @Test
    void aStepThatIsOffIsTold() throws IOException, ProblemsException {
        Chain chain = chain("steps: [ trim, compressor: { name: peaks, on: no }, compressor: { on: no } ]");
        for (String step : List.of("peaks", "compressor", "compressor 2")) {
            String said = assertThrows(ProblemsException.class, () -> Variation.read(step + ".ratio = 2:1, 4:1", "--vary", chain)).getMessage();
            assertTrue(said.contains("step '" + step.replace(" 2", "")
                    + "' is off in this chain, and nothing of it is heard: leave out its 'on: no' to vary it"), said);
        }
        assertTrue(assertThrows(ProblemsException.class, () -> Variation.read("gate.floor = 2 dB, 4 dB", "--vary", chain)).getMessage()
                .contains("this chain has no step 'gate'"));
    }

    @Test
    void stepsWithNamesOfTheirOwnAreTold() throws IOException, ProblemsException {
        Chain chain = chain("steps: [ compressor: { name: peaks, threshold: -20 dB }, de-ess, compressor: { name: level, threshold: -20 dB } ]");
        assertTrue(assertThrows(ProblemsException.class, () -> Variation.read("compressor.ratio = 2:1, 4:1", "--vary", chain)).getMessage().contains(
                "this chain has no step 'compressor'; those that are one are called peaks and level (it has peaks, de-ess, level)"));
        assertTrue(assertThrows(ProblemsException.class,
                () -> Variation.read("compresor.ratio = 2:1, 4:1", "--vary", chain("steps: [ compressor: { name: peaks } ]"))).getMessage()
                .contains("no step 'compresor' (it has peaks)"));
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|',
            value = {"compressor.ratio = 2,4,8 | 3", "compressor.ratio = 2:1,4:1 | 2", "reverb.mix = 10, 20, 30 | 3", "compressor.ratio = 2:1, 4, 8 | 3"})
    void commasThatPartValuesDoSo(String vary, int values) throws IOException, ProblemsException {
        assertEquals(values, Variation.read(vary, "--vary", chain(TEXT)).size());
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "eq.gain of band 1 = 3 dB | gain: -4 dB | gain: 3 dB",
        "eq.high-shelf of band 2 = 5 kHz | high-shelf: 8 kHz | high-shelf: 5 kHz",
        "compressor.ratio = 20:1 | ratio: 3:1 | ratio: 20:1",
        "compressor.threshold = 10 dB under voice | threshold: -20 dB | threshold: 10 dB under voice",
        "last.aim = 6 dB | aim: 3 dB | aim: 6 dB",
        "compressor 2.aim = 6 dB | aim: 12 dB | aim: 6 dB",
        "multiband.split 2 = 3 kHz | 2 kHz ] | 3 kHz ]",
        "multiband.threshold of band 2 = -40 dB | threshold: -30 dB | threshold: -40 dB",
        "parallel.level of branch 2 = -6 dB | level: -12 dB | level: -6 dB",
        "reverb.mix = 30 % | mix: 10 % | mix: 30 %",
        "reverb 1.mix = 30 % | mix: 10 % | mix: 30 %",
        "compressor.aim = 6 dB | threshold: -20 dB | aim: 6 dB",
        "last.threshold = -30 dB | aim: 3 dB | threshold: -30 dB",
        "compressor.character = optical | ratio: 3:1 | ratio: 3:1, character: optical"
    })
    void isTheChainWithTheOtherText(String vary, String was, String becomes) throws Exception {
        Variation one = Variation.read(vary, "--vary", chain(TEXT)).get(0);
        assertEquals(shown(chain(TEXT.replace(was, becomes)).links()), shown(one.chain().links()));
    }

    @Test
    void givesOneForEachValueAndLeavesTheChainAlone() throws Exception {
        Chain chain = chain(TEXT);
        String before = shown(chain.links());
        List<Variation> all = Variation.read("compressor.ratio=2:1,4:1 , 8:1", "--vary", chain);
        assertEquals(List.of("2:1", "4:1", "8:1"), all.stream().map(Variation::value).toList());
        assertEquals(before, shown(chain.links()));
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "compressor 2 1.aim = 2 dB | --vary:1:1: this chain has no step 'compressor 2 1'; did you mean 'compressor 2'? (it has eq, compressor, multiband, "
                + "last, compressor 2, parallel, reverb)",
        "compressor 3.aim = 2 dB | --vary:1:1: this chain has no step 'compressor 3': 2 steps are called 'compressor'; of that kind there are compressor, "
                + "last, compressor 2 (it has eq,",
        "compresor.ratio = 2:1 | --vary:1:1: this chain has no step 'compresor'; did you mean 'compressor'?",
        "compressor.ratoi = 2:1 | --vary:1:12: compressor has no setting 'ratoi'; did you mean 'ratio'?",
        "compressor.ratio = 2:1, 3 dB | --vary:1:25: ratio wants a ratio such as \"4:1\", not \"3 dB\"",
        "compressor.ratio = 2:1, | --vary:1:24: here a value is missing",
        "eq.gain of band 3 = 1 dB | --vary:1:4: there is no band 3; there are 2",
        "eq.gian of band 2 = 1 dB | --vary:1:4: band 2 has no setting 'gian'; did you mean 'gain'?",
        "parallel.levl of branch 2 = 1 dB | --vary:1:10: parallel has no setting 'levl of branch 2'; it has mix and level of branch 1 … 2",
        "ratio | --vary:1:1: wants a setting and its values, such as",
        "= | --vary:1:1: wants a setting and its values, such as"
    })
    void saysWhatIsWrongAndWhere(String vary, String message) throws Exception {
        Chain chain = chain(TEXT);
        String said = assertThrows(ProblemsException.class, () -> Variation.read(vary, "--vary", chain)).getMessage();
        assertTrue(said.startsWith(message), said);
    }
}

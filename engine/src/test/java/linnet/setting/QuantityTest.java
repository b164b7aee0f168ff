package linnet.setting;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import linnet.text.Problems;
import linnet.text.SourceText;
import linnet.text.Span;
import linnet.text.Word;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What a number may be said as, and what is said of what it may not. */
class QuantityTest {
    private final Settings settings = new Settings();
    private final Live level = settings.live("threshold", Unit.DBFS).range(-90, 0).relative(Reference.NOISE, Reference.VOICE).usual("10 dB over noise")
            .doc("Level.");
    private final Live pitch = settings.live("bell", Unit.HZ).range(20, 20_000).relative(Reference.LOWEST_NOTE, Reference.RESONANCE).otherwise("not used")
            .doc("Frequency.");
    private final Live time = settings.live("time", Unit.MS).neutral("off").notes().words("bar", "off").range(1, 2000).doc("Time.");
    private final Fixed ahead = settings.fixed("lookahead", Unit.MS).range(0, 200).usual("90 ms").doc("Look-ahead.");

    private final Problems problems = new Problems();

    private Optional<Value> read(Quantity quantity, String text) {
        return quantity.read(new Word(text, new Span(new SourceText("chain.yaml", List.of(text)), 1, 1, text.length())), problems);
    }

    /** What is said of a text that cannot be used. */
    private String complaint(Quantity quantity, String text) {
        assertTrue(read(quantity, text).isEmpty(), text);
        return problems.sorted().get(0).message();
    }

    @Test
    void aDeclarationSaysWhatItWasTold() {
        assertEquals(Unit.DBFS, level.unit());
        assertEquals(-90, level.min());
        assertEquals(0, level.max());
        assertEquals(20_000, pitch.max());
        assertEquals("-90 dBFS … 0 dBFS", level.rangeText());
        assertEquals(Set.of(Reference.NOISE, Reference.VOICE), level.references());
        assertEquals("10 dB over noise", level.usualText());
        assertEquals(new Value.Relative(Reference.NOISE, 1, 10, "10 dB over noise"), level.usual().orElseThrow());
        assertEquals("not used", pitch.usualText());
        assertEquals("not set", time.usualText());
        assertTrue(pitch.usual().isEmpty());
        assertEquals(List.of("bar", "off"), time.words());
        assertEquals(Optional.of("off"), time.neutral());
        assertEquals(Optional.empty(), level.neutral());
        assertTrue(time.takesNotes());
        assertFalse(level.takesNotes());
        assertEquals("Look-ahead.", ahead.doc());
        assertEquals("lookahead", ahead.name());
        assertEquals("lookahead", ahead.toString());
        assertEquals(List.of(level, pitch, time, ahead), settings.all());
    }

    @Test
    void aUsualValueThatCannotBeReadIsADefect() {
        String message = assertThrows(IllegalStateException.class, () -> new Settings().live("gain", Unit.DB).usual("3 Hz").doc("Gain.")).getMessage();
        assertTrue(message.contains("gain") && message.contains("3 Hz"), message);
    }

    @ParameterizedTest
    @CsvSource({"10 dB over noise, NOISE, 10", "6 dB under voice, VOICE, -6", "3 over  noise, NOISE, 3"})
    void aLevelMayBeStatedAgainstTheSinger(String text, Reference fact, double db) {
        assertEquals(Optional.of(new Value.Relative(fact, 1, db, text)), read(level, text));
    }

    @ParameterizedTest
    @CsvSource({"lowest note, LOWEST_NOTE, 1, 1", "0.8 x lowest note, LOWEST_NOTE, 1, 0.8", "2x lowest note, LOWEST_NOTE, 1, 2", "resonance, RESONANCE, 1, 1",
            "resonance 3, RESONANCE, 3, 1", "1.5 x resonance 2, RESONANCE, 2, 1.5"})
    void aFrequencyMayBeStatedAgainstTheSinger(String text, Reference fact, int index, double factor) {
        assertEquals(Optional.of(new Value.Relative(fact, index, factor, text)), read(pitch, text));
    }

    @ParameterizedTest
    @CsvSource({"1/8, 0.5", "1/8 dotted, 0.75", "1/4 triplet, 0.6666666666666666", "3/16, 0.75", "1/1, 4", "12/16, 3"})
    void aTimeMayBeANoteValue(String text, double quarters) {
        assertEquals(Optional.of(new Value.Notes(quarters, text)), read(time, text));
    }

    @ParameterizedTest
    @ValueSource(strings = {"10 dB over peak", "x over noise", "10 dB above noise", "over noise", "10 dB over noise floor", "1/8", "lowest note"})
    void aLevelIsNothingElse(String text) {
        assertEquals("threshold wants a level such as \"-18 dB\" or \"10 dB over noise\", not \"" + text + "\"", complaint(level, text));
    }

    @ParameterizedTest
    @ValueSource(strings = {"sibilance", "resonance 5", "resonance 0", "0 x lowest note", "-1 x lowest note", ". x lowest note", "1.2.3 x resonance",
            "10 dB over noise"})
    void aFrequencyIsNothingElse(String text) {
        assertEquals("bell wants a frequency such as \"1.2 kHz\" or \"0.8 x lowest note\", not \"" + text + "\"", complaint(pitch, text));
    }

    @ParameterizedTest
    @ValueSource(strings = {"0/4", "1/0", "1/8 dot", "100/4", "1/100", "1/8 dotted triplet", "half"})
    void aTimeIsNothingElse(String text) {
        assertEquals("time wants a time such as \"65 ms\", a note value such as \"1/8 dotted\", \"bar\" or \"off\", not \"" + text + "\"",
                complaint(time, text));
    }

    @ParameterizedTest
    @CsvSource({"OCTAVES, a width", "PERCENT, a share", "RATIO, a ratio"})
    void aNumberThatTakesNothingElseWantsThat(Unit unit, String wants) {
        assertTrue(complaint(new Settings().fixed("amount", unit).doc("Amount."), "much").startsWith("amount wants " + wants + " such as"),
                problems.sorted().get(0).message());
    }

    @Test
    void bothEndsOfTheRangeBelongToIt() {
        assertEquals(Optional.of(new Value.Amount(-90)), read(level, "-90 dB"));
        assertEquals(Optional.of(new Value.Amount(0)), read(level, "0"));
        assertTrue(problems.isEmpty());
        assertEquals("threshold is outside -90 dBFS … 0 dBFS", complaint(level, "0.1 dB"));
        assertEquals("threshold is outside -90 dBFS … 0 dBFS", complaint(level, "-90.1 dB"));
        assertFalse(level.inRange(Double.NaN));
    }

    /** Whoever reads a message must find its end, and no text costs time without bound. */
    @Test
    void aLongTextIsShownShort() {
        assertEquals("lookahead wants a time such as \"65 ms\", not \"" + "a".repeat(40) + "\"", complaint(ahead, "a".repeat(40)));
        assertTrue(read(ahead, "b".repeat(41)).isEmpty());
        assertEquals("lookahead wants a time such as \"65 ms\", not \"" + "b".repeat(40) + "…\"", problems.sorted().get(1).message());
        String padded = "10 dB over" + " ".repeat(45) + "noise";
        assertEquals(60, padded.length());
        assertTrue(read(level, padded).isPresent());
        assertTrue(read(level, padded.replace("over", "over ")).isEmpty());
    }

    @Test
    void aDifferenceHasItsSign() {
        assertEquals(" + 2 dBFS", level.difference(2));
        assertEquals(" - 2.5 dBFS", level.difference(-2.5));
        assertEquals(" + 0 dBFS", level.difference(0));
    }

    @Test
    void everyKindOfValueIsWrittenAsItIsRead() {
        for (String text : List.of("-18 dBFS", "10 dB over noise")) assertEquals(text, level.write(read(level, text).orElseThrow()));
        for (String text : List.of("65 ms", "1/8 dotted", "bar")) assertEquals(text, time.write(read(time, text).orElseThrow()));
        Value voice = read(level, "6 dB under voice").orElseThrow();
        assertEquals("6 dB under voice - 1.5 dBFS", level.write(new Value.Shifted(voice, -1.5)));
        assertEquals("{ 0 s: 6 dB under voice, 2.5 s: -20 dBFS }",
                level.write(new Value.Curve(List.of(new Value.Point(0, voice), new Value.Point(2.5, new Value.Amount(-20))))));
    }

    /** YAML 1.1 reads 6:1 as six times sixty and one (its page on int, "Base 60"); YAML 1.2 dropped that. */
    @ParameterizedTest
    @CsvSource({"361, '; 361 is what some programs make of 6:1: write \"6:1\", in quotes'", "362, ''", "361:1, ''", "6061, ''"})
    void aRatioThatAnotherProgramMadeANumberOfIsToldAsThat(String ratio, String hint) {
        Quantity setting = new Settings().live("ratio", Unit.RATIO).range(1, 100).usual("3:1").doc("Ratio.");
        assertEquals("ratio is outside 1:1 … 100:1" + hint, complaint(setting, ratio));
    }
}

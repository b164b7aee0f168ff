package linnet.setting;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import linnet.text.Problems;
import linnet.text.SourceText;
import linnet.text.Span;
import linnet.text.Word;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What a text gives, what holds without it, and what is stated against the singer. */
class ValuesTest {
    private enum Pattern {
        SINGLE, PING_PONG
    }

    private static final Value VOICE = new Value.Relative(Reference.VOICE, 1, -6, "6 dB under voice");
    private static final Value PLAIN = new Value.Amount(-20);

    private final Settings band = new Settings();
    private final Live gain = band.live("gain", Unit.DB).range(-24, 24).relative(Reference.VOICE).usual("0 dB").doc("Gain.");
    private final Settings settings = new Settings();
    private final Live threshold = settings.live("threshold", Unit.DBFS).range(-90, 0).relative(Reference.VOICE).usual("-30 dB").doc("Level.");
    private final Live width = settings.live("width", Unit.PERCENT).otherwise("as it is").doc("Width.");
    private final Choice<Pattern> pattern = settings.choice("pattern", Pattern.SINGLE).doc("Pattern.");
    private final Text<Key> key = settings.text("key", Key.FORM).otherwise("any note").doc("Key.");
    private final Text<Integer> notes = settings.text("notes", NoteName.FORM).list(12).doc("Notes.");
    private final Series splits = settings.live("splits", Unit.HZ).range(20, 20_000).relative(Reference.SIBILANCE).series(1, 4, "Splits.");
    private final Group bands = settings.group("bands", band, 8).doc("Bands.");
    private final Values values = new Values(settings);

    private static Word word(String text) {
        return new Word(text, new Span(new SourceText("chain.yaml", List.of(text)), 1, 1, text.length()));
    }

    @Test
    void whatIsNotGivenHasItsUsualValue() {
        assertEquals(Optional.of(new Value.Amount(-30)), values.get(threshold));
        assertEquals(Optional.empty(), values.get(width));
        assertEquals(Pattern.SINGLE, values.get(pattern));
        assertEquals(List.of(), values.get(key));
        assertEquals(List.of(), values.get(splits));
        assertEquals(List.of(), values.get(bands));
        assertFalse(values.given(threshold));
        assertEquals("{  }", values.write());
        assertEquals(settings, values.settings());
    }

    @Test
    void whatIsGivenIsWrittenInOrderOfName() {
        values.put(threshold, VOICE);
        values.put(pattern, Pattern.PING_PONG);
        values.put(key, List.of(Key.FORM.read("Bb dorian").orElseThrow()));
        values.put(notes, List.of(0, 6));
        values.put(splits, List.of(new Value.Amount(180), new Value.Amount(2500)));
        Values first = new Values(band);
        first.put(gain, new Value.Amount(3));
        values.put(bands, List.of(first, new Values(band)));
        assertTrue(values.given(threshold));
        assertFalse(values.given(width));
        assertEquals(Optional.of(VOICE), values.get(threshold));
        assertEquals(Pattern.PING_PONG, values.get(pattern));
        assertEquals("{ bands: [{ gain: 3 dB }, {  }], key: Bb dorian, notes: [C, F#], pattern: ping-pong, splits: [180 Hz, 2.5 kHz], threshold: 6 dB "
                + "under voice }", values.write());
    }

    @Test
    void aListThatWasGivenNeverChanges() {
        List<Value> list = new ArrayList<>(List.of(PLAIN));
        values.put(splits, list);
        list.clear();
        assertEquals(List.of(PLAIN), values.get(splits));
        assertThrows(UnsupportedOperationException.class, () -> settings.all().clear());
        assertThrows(UnsupportedOperationException.class, () -> settings.rules().clear());
    }

    @Test
    void whatStandsAgainstTheSingerIsFoundWhereverItStands() {
        assertFalse(values.isRelative());
        values.put(splits, List.of(PLAIN, PLAIN));
        values.put(bands, List.of(new Values(band), new Values(band)));
        values.put(width, new Value.Named("any"));
        values.put(threshold, new Value.Curve(List.of(new Value.Point(0, PLAIN), new Value.Point(1, new Value.Shifted(PLAIN, 3)))));
        assertFalse(values.isRelative());

        for (Value relative : List.of(VOICE, new Value.Shifted(VOICE, 2), new Value.Curve(List.of(new Value.Point(0, PLAIN), new Value.Point(1, VOICE))))) {
            Values some = new Values(settings);
            some.put(threshold, relative);
            assertTrue(some.isRelative(), relative.toString());
        }
        Values series = new Values(settings);
        series.put(splits, List.of(PLAIN, VOICE));
        assertTrue(series.isRelative());
        Values entry = new Values(band), group = new Values(settings);
        entry.put(gain, VOICE);
        group.put(bands, List.of(new Values(band), entry));
        assertTrue(group.isRelative());
    }

    /** A step whose usual value is stated against the singer must hear him even if the text says nothing. */
    @Test
    void aUsualValueMayStandAgainstTheSinger() {
        Settings gate = new Settings();
        gate.live("threshold", Unit.DBFS).relative(Reference.NOISE).usual("10 dB over noise").doc("Level.");
        assertTrue(new Values(gate).isRelative());
    }

    @Test
    void placesAreThoseOfTheText() {
        Span here = word("x").at(), there = word("yy").at();
        assertTrue(values.place().isEmpty() && values.place(threshold).isEmpty());
        assertFalse(values.mentioned(threshold));
        values.place(here);
        values.place(threshold, there);
        assertEquals(Optional.of(here), values.place());
        assertEquals(Optional.of(there), values.place(threshold));
        assertTrue(values.mentioned(threshold));
        assertFalse(values.mentioned(width));
        assertFalse(values.given(threshold), "what is wrong is mentioned and not given");
    }

    @Test
    void everySettingIsVisitedWithThoseOfEntries() {
        List<String> names = new ArrayList<>();
        settings.each(s -> names.add(s.name()));
        assertEquals(List.of("threshold", "width", "pattern", "key", "notes", "splits", "bands", "gain"), names);
    }

    @Test
    void listsKnowTheirLengths() {
        assertEquals(1, splits.fewest());
        assertEquals(4, splits.most());
        assertEquals(Unit.HZ, splits.element().unit());
        assertEquals(8, bands.most());
        assertEquals(band, bands.entry());
        assertEquals(1, key.most());
        assertEquals(12, notes.most());
        assertEquals("a key such as G major", key.rangeText());
        assertEquals("1 to 12 of a note such as F#", notes.rangeText());
        assertEquals(Key.FORM, key.form());
        assertEquals("any note", key.usualText());
        assertEquals("not set", notes.usualText());
    }

    @Test
    void rulesSayWhetherOneMustBeGiven() {
        Settings either = new Settings();
        Live q = either.live("q", Unit.PLAIN).doc("Q."), octaves = either.live("bandwidth", Unit.OCTAVES).doc("Width."),
                steep = either.live("steepness", Unit.PLAIN).doc("S.");
        either.exactlyOne(q, octaves);
        either.atMostOne(q, steep);
        assertEquals(List.of(new Settings.OneOf(List.of(q, octaves), true), new Settings.OneOf(List.of(q, steep), false)), either.rules());
    }

    @ParameterizedTest
    @CsvSource({"single, SINGLE", "ping-pong, PING_PONG"})
    void aChoiceIsReadByItsWord(String text, Pattern read) {
        assertEquals(Optional.of(read), pattern.read(word(text), new Problems()));
    }

    @Test
    void aWrongWordIsAnsweredWithTheRightOnes() {
        Problems problems = new Problems();
        assertTrue(pattern.read(word("ping pong"), problems).isEmpty());
        assertEquals("pattern is single or ping-pong, not \"ping pong\"; did you mean 'ping-pong'?", problems.sorted().get(0).message());
    }

    @Test
    void wrongWordsWithAMeaningAreShownWithAnExample() {
        Problems problems = new Problems();
        assertTrue(key.read(word("G majr"), problems).isEmpty());
        assertTrue(key.read(word("g".repeat(40)), problems).isEmpty());
        assertTrue(key.read(word("g".repeat(41)), problems).isEmpty());
        assertEquals(List.of("key wants a key such as \"G major\", not \"G majr\"; did you mean 'G major'?",
                "key wants a key such as \"G major\", not \"" + "g".repeat(40) + "\"", "key wants a key such as \"G major\", not \"" + "g".repeat(40) + "…\""),
                problems.sorted().stream().map(p -> p.message()).toList());
        assertEquals(Optional.of(Key.FORM.read("D minor").orElseThrow()), key.read(word(" D minor "), problems));
    }
}

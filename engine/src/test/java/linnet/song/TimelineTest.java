package linnet.song;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.text.Problems;
import linnet.text.SourceText;
import linnet.text.Span;
import linnet.text.Word;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Against sums of beats done by hand: a quarter note lasts 60 / bpm seconds. */
class TimelineTest {
    /** One beat before bar 1; 100 bpm in four, from bar 9 three eighths, from bar 13 four again at 50 bpm. */
    private static final Timeline TIME = new Timeline(1, Map.of(1, 100.0, 13, 50.0), Map.of(1, new Metre(4, 4), 9, new Metre(3, 8), 13, new Metre(4, 4)),
            List.of(new Timeline.Section("verse 1", 1, 9), new Timeline.Section("chorus 1", 9, 13), new Timeline.Section("chorus 10", 13, 15)));
    private static final double BAR_1 = 0.6, BAR_9 = BAR_1 + 8 * 2.4, BAR_13 = BAR_9 + 4 * 0.9, BAR_15 = BAR_13 + 2 * 4.8;

    @ParameterizedTest
    @CsvSource({"0, 4, 0", "1, 1, 0.6", "1, 3, 1.8", "2, 1.5, 3.3", "9, 1, 19.8", "9, 2, 20.1", "13, 1, 23.4", "13, 2, 24.6", "8, 5, 19.8", "8, 6, 20.1",
            "12, 4.5, 24.0", "1, 0, 0", "2, -1, 1.8", "13, 0, 23.1", "14, 0, 27.0", "1, -1, -0.6"})
    void beatsLieWhereTheSumOfTheOnesBeforePutsThem(int bar, double beat, double seconds) {
        assertEquals(seconds, TIME.seconds(bar, beat), 1e-9);
    }

    @Test
    void aTimeKnowsItsBarAndBeat() {
        for (int bar = 1; bar < 20; bar++) {
            for (double beat = 1; beat < TIME.metre(bar).beats() + 1; beat += 0.25) {
                double at = TIME.seconds(bar, beat);
                assertEquals(bar, TIME.bar(at), "at bar " + bar + " beat " + beat);
                assertEquals(beat, TIME.beat(at), 1e-6);
            }
        }
        assertEquals(0, TIME.bar(0.3));
    }

    @ParameterizedTest
    @CsvSource({"verse 1, 0.6", "chorus 1, 19.8", "chorus 1 bar 2, 20.7", "chorus 1 bar 2 beat 3, 21.3", "chorus 10 beat 2, 24.6", "bar 2, 3.0",
            "bar 2 beat 1.5, 3.3",
            "12.5 s, 12.5", "0:12.500, 12.5", "0:30, 30", "850 ms, 0.85", "  chorus   1  bar 1, 19.8", "end, 33.0"})
    void readsPlaces(String text, double seconds) {
        Problems problems = new Problems();
        OptionalDouble at = new Place(TIME, problems).point(word(text));
        assertTrue(problems.isEmpty(), () -> problems.sorted().toString());
        assertEquals(seconds, at.orElseThrow(), 1e-9);
    }

    @Test
    void readsStretches() {
        assertEquals(rounded(List.of(new Place.Range(BAR_1, BAR_9))), ranges("verse 1"));
        assertEquals(rounded(List.of(new Place.Range(BAR_9, BAR_13), new Place.Range(BAR_13, BAR_15))), ranges("chorus *"));
        assertEquals(rounded(List.of(new Place.Range(BAR_1, BAR_13))), ranges("verse 1 to chorus 1"));
        assertEquals(List.of(new Place.Range(3.0, 20.7)), ranges("bar 2 to chorus 1 bar 2"));
        // From the bar line at which the chorus begins it is all of the chorus, as if that had been named.
        assertEquals(rounded(List.of(new Place.Range(BAR_9, BAR_13))), ranges("bar 9 to chorus 1"));
        // Up to the chorus is not through it.
        assertEquals(rounded(List.of(new Place.Range(3.0, BAR_9))), ranges("verse 1 bar 2 to chorus 1"));
        assertEquals(List.of(new Place.Range(1, 2.5)), ranges("1 s to 2.5 s"));
    }

    /** A bar alone is a stretch: from its first beat to that of the next, but no farther than the song. */
    @Test
    void aBarAloneIsThatBar() {
        assertEquals(ranges("bar 2 to bar 3"), ranges("bar 2"));
        assertEquals(ranges("verse 1 bar 2 to verse 1 bar 3"), ranges("verse 1 bar 2"));
        Problems problems = new Problems();
        int end = TIME.sections().get(TIME.sections().size() - 1).to();
        assertEquals(List.of(), new Place(TIME, problems).ranges(word("bar " + end)));
        assertEquals(1, problems.sorted().size());
    }

    /** What is told in minutes and seconds can be written so; a number alone is seconds in a command, and nothing in a song, where it could be a bar. */
    @Test
    void timesAreReadAsTheyAreTold() throws Exception {
        assertEquals(List.of(new Place.Range(1, 2.5)), ranges("0:01 to 0:02.5"));
        assertEquals(new Place.Range(2, 12.5), Place.stretch(TIME, Optional.of(word("2")), Optional.of(word("12.5"))));
        assertEquals(new Place.Range(2, 12.5), Place.stretch(TIME, Optional.of(word("0:02")), Optional.of(word("0:12.500"))));
        Problems problems = new Problems();
        assertEquals(List.of(), new Place(TIME, problems).ranges(word("2 to 12.5")));
        assertEquals(true, new Place(TIME, problems).point(word("0:75")).isEmpty(), "no minute has so many seconds");
    }

    /** A number alone could be beats, bars or seconds. */
    @Test
    void aLengthHasItsUnit() {
        Problems problems = new Problems();
        assertTrue(new Place(TIME, problems).length(word("4"), 3).isEmpty());
        assertTrue(problems.sorted().get(0).toString().contains("\"4\" is no length without its unit; say '4 beats' or '4 s'"), problems.sorted().toString());
    }

    @Test
    void sectionsOfOneNameAreProposedTogether() {
        Problems problems = new Problems();
        new Place(TIME, problems).ranges(word("chorus"));
        assertTrue(problems.sorted().get(0).toString().contains("say 'chorus *' for every one"), problems.sorted().toString());
    }

    /** The same words mean the same in every place that has a "from" and a "to". */
    @Test
    void readsFromAndTo() throws Exception {
        List<Place.Range> found = List.of(Place.stretch(TIME, Optional.empty(), Optional.of(word("chorus 1"))),
                Place.stretch(TIME, Optional.of(word("verse 1")), Optional.of(word("chorus 1"))),
                Place.stretch(TIME, Optional.of(word("verse 1 bar 2")), Optional.of(word("chorus 1"))),
                        Place.stretch(TIME, Optional.of(word("verse 1 bar 2")), Optional.of(word("verse 1"))));
        assertEquals(rounded(List.of(new Place.Range(0, BAR_13), new Place.Range(BAR_1, BAR_13), new Place.Range(3.0, BAR_9), new Place.Range(3.0, BAR_9))),
                rounded(found));
    }

    @ParameterizedTest
    @CsvSource({"2 beats, 0.6, 1.2", "1 bar, 0.6, 2.4", "1 bar, 19.8, 0.9", "1/8, 0.6, 0.3", "1/8 dotted, 0.6, 0.45", "1/4 triplet, 23.4, 0.8",
            "350 ms, 3, 0.35", "5 beats, 18.6, 2.1", "1/2, 19.2, 1.2", "1/2, 23.1, 2.1"})
    void readsLengths(String text, double from, double seconds) {
        assertEquals(seconds, new Place(TIME, new Problems()).length(word(text), from).orElseThrow(), 1e-9);
    }

    @ParameterizedTest
    @CsvSource({"2 beats, 3.0, 1.2", "1 bar, 19.8, 2.4", "1/2, 20.1, 1.2", "1/2, 24.6, 1.8", "1/4, 0.6, 0.6", "3 beats, 24.6, 1.8"})
    void readsLengthsBefore(String text, double to, double seconds) {
        assertEquals(seconds, new Place(TIME, new Problems()).lengthBefore(word(text), to).orElseThrow(), 1e-9);
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "chorus 2", "chorus 1 bar 5", "chorus 1 bar 0", "chorus 1 beet 3", "-1 s", "17", "34 s", "bar 99", "chorus 10 beat 30", "bar",
            "verse 1 bar 2 beat", "verse 1x", "a"})
    void saysWhatIsNoPlace(String text) {
        Problems problems = new Problems();
        assertTrue(new Place(TIME, problems).point(word(text)).isEmpty());
        assertEquals(1, problems.sorted().size());
    }

    @ParameterizedTest
    @ValueSource(strings = {"bridge *", "verse", "chorus", "bar 3 beat 2", "end", "bar 99", "chorus 1 bar 5", "bar 3 to bar 2", "bar 3 to",
            "chorus 1 to verse 1"})
    void saysWhatIsNoStretch(String text) {
        Problems problems = new Problems();
        assertTrue(new Place(TIME, problems).ranges(word(text)).isEmpty());
        assertEquals(1, problems.sorted().size());
    }

    /** Change the tempo and nothing slides against the bars. */
    @Test
    void placesFollowTheTempo() {
        for (double bpm : new double[] {60, 97.3, 180}) {
            Timeline time = new Timeline(0, Map.of(1, bpm), Map.of(1, new Metre(4, 4)), List.of(new Timeline.Section("chorus", 5, 9)));
            assertEquals(60 / bpm * (4 * 6 + 2), new Place(time, new Problems()).point(word("chorus bar 3 beat 3")).orElseThrow(), 1e-9);
        }
    }

    private static List<Place.Range> ranges(String text) {
        Problems problems = new Problems();
        List<Place.Range> ranges = new Place(TIME, problems).ranges(word(text));
        assertTrue(problems.isEmpty(), () -> problems.sorted().toString());
        return rounded(ranges);
    }

    private static List<Place.Range> rounded(List<Place.Range> ranges) {
        return ranges.stream().map(r -> new Place.Range(Math.rint(r.from() * 1e9) / 1e9, Math.rint(r.to() * 1e9) / 1e9)).toList();
    }

    private static Word word(String text) {
        return new Word(text, new Span(new SourceText("song.yaml", List.of(text)), 1, 1, 1));
    }
}

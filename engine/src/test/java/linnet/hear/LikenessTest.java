package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.demo.Performance;
import linnet.demo.Score;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.demo.Truth;
import linnet.dsp.Excerpt;
import linnet.dsp.Samples;
import linnet.hear.Mark.Kind;
import org.junit.jupiter.api.Test;

/** What is written into the list of a lead comes over to a double of it. */
class LikenessTest {
    private static final double RATE = 48_000;

    private static Performance sing(long seed, int from, int to) {
        Score song = SevenLanterns.lead();
        return Performance.sing(new Score(song.title(), song.beatsPerMinute(), song.beatsPerBar(), song.key(), 1 + 2 * to, song.phrases().subList(from, to)),
                Singer.high().seed(seed), RATE);
    }

    private static Marks worded(Truth truth) {
        return new Marks(truth.sounds().stream().filter(s -> s.part() == Truth.Part.VOWEL)
                .map(s -> new Mark(Kind.VOWEL, Math.round(s.start() * RATE), Math.round(s.start() * RATE), 1, false, s.phone() + " " + s.note())).toList());
    }

    /** Every word comes to its own vowel in a take that begins 0.4 s earlier; what is kept too. */
    @Test
    void wordsAndWhatIsKeptComeToTheSamePlaces() {
        Performance lead = sing(5, 0, 4), twin = sing(9, 0, 4);
        int cut = (int) (0.4 * RATE);
        Ear take = new Ear(new Excerpt(new Samples(RATE, twin.samples()), cut, twin.samples().length - cut));
        List<Mark> told = new ArrayList<>(worded(lead.truth()).all());
        Truth.Event breath = lead.truth().breaths().get(2), same = twin.truth().breaths().get(2);
        told.add(new Mark(Kind.BREATH, (long) (breath.start() * RATE), (long) (breath.end() * RATE), 1, true));
        told.add(new Mark(Kind.KEEP, (long) (breath.start() * RATE), (long) (breath.end() * RATE), 1, true, "meant"));
        Likeness.Carried carried = Likeness.carry(new Marks(told), take).orElseThrow();
        int right = 0, wrong = 0;
        for (Mark m : carried.marks().of(Kind.VOWEL)) {
            if (m.word().isEmpty()) continue;
            Truth.Sound nearest = twin.truth().sounds().stream().filter(s -> s.part() == Truth.Part.VOWEL)
                    .min(Comparator.comparingDouble(s -> Math.abs(s.start() - 0.4 - m.from() / RATE))).orElseThrow();
            boolean there = m.word().equals(nearest.phone() + " " + nearest.note());
            if (there) right++;
            else wrong++;
        }
        assertTrue(right >= 0.95 * worded(lead.truth()).all().size() && wrong == 0, right + " right, " + wrong + " wrong");
        assertEquals(right, carried.words());
        assertEquals(2, carried.kept());
        Mark keep = carried.marks().of(Kind.KEEP).get(0);
        assertEquals("meant", keep.word());
        assertEquals(same.start() - 0.4, keep.from() / RATE, 0.15);
        assertEquals(1, carried.marks().of(Kind.BREATH).stream().filter(Mark::kept).count());
    }

    @Test
    void otherWordsAreToldApart() {
        Marks lead = new Ear(new Samples(RATE, sing(5, 0, 3).samples())).marks();
        assertFalse(lead.all().isEmpty());
        double[] silence = new double[(int) RATE];
        assertEquals(Optional.empty(), Likeness.carry(lead, new Ear(new Samples(RATE, silence))));
        assertEquals(Optional.empty(), Likeness.carry(new Marks(List.of()), new Ear(new Samples(RATE, sing(5, 0, 1).samples()))));
    }

    /** The line that is sung twice, with 12 notes: the lag grows from 6.14 to 6.73 s. */
    @Test
    void aLooseDoubleOfARealVoice() throws IOException {
        Voices.assumePresent();
        try (WavFile file = WavFile.open(Voices.file("male_sing_vocadito01.wav"))) {
            double rate = file.rate();
            long first = (long) (18.3 * rate), second = (long) (24.4 * rate);
            Ear lead = new Ear(new Excerpt(file, first, second - first)), take = new Ear(new Excerpt(file, second, file.frames() - second));
            Mark sibilant = lead.marks().of(Kind.SIBILANT).get(0);
            List<Mark> told = lead.marks().all().stream().map(m -> m.equals(sibilant) ? new Mark(m.kind(), m.from(), m.to(), 1, true, "sa") : m).toList();
            Likeness.Carried carried = Likeness.carry(new Marks(told), take).orElseThrow();
            Mark twin = carried.marks().all().stream().filter(m -> m.word().equals("sa")).findFirst().orElseThrow();
            assertEquals(24.90 - 24.4, twin.from() / rate, 0.05);
            assertTrue(carried.pairs() >= 12, carried.toString());
        }
    }
}

package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.demo.Truth;
import linnet.dsp.Samples;
import linnet.hear.Mark.Kind;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The list of marks against the demo's singers, who know every sound of theirs to the sample: a high and a low voice, four takes, two rates. */
class MarksDemoTest {
    private static final Set<String> SIBILANTS = Set.of("S", "SH", "Z");
    /** A burst in the truth is 10 to 18 ms long, and stands at the end of its stop. */
    private static final double BURST = 0.014;

    private static final List<Sung> TAKES = new ArrayList<>();

    private record True(double from, double to) {}

    private record Sung(double rate, Truth truth, Ear ear) {}

    @BeforeAll
    static void sing() {
        add(Singer.high(), 44_100);
        add(Singer.high().seed(5), 48_000);
        add(Singer.low(), 48_000);
        add(Singer.low().seed(11), 44_100);
    }

    private static void add(Singer singer, double rate) {
        Performance p = Performance.sing(SevenLanterns.lead(), singer, Room.bedroom(), rate);
        TAKES.add(new Sung(rate, p.truth(), new Ear(new Samples(rate, p.samples()))));
    }

    private static List<True> all(Truth truth, Kind kind) {
        List<Truth.Sound> sounds = truth.sounds();
        List<True> all = new ArrayList<>();
        switch (kind) {
            case PHRASE -> truth.lines().forEach(l -> all.add(new True(l.start(), l.end())));
            case BREATH -> truth.breaths().forEach(e -> all.add(new True(e.start(), e.end())));
            case PLOSIVE -> truth.pops().forEach(e -> all.add(new True(e.start(), e.end())));
            case CLICK -> truth.clicks().forEach(e -> all.add(new True(e.start(), e.end())));
            default -> {
                for (int i = 0; i < sounds.size(); i++) {
                    Truth.Sound s = sounds.get(i);
                    boolean wanted = switch (kind) {
                        case SIBILANT -> s.part() == Truth.Part.NOISE && SIBILANTS.contains(String.valueOf(s.phone()));
                        case STOP -> s.part() == Truth.Part.CLOSURE;
                        default -> s.part() == Truth.Part.VOWEL;
                    };
                    if (wanted) all.add(new True(s.start(), kind == Kind.STOP ? sounds.get(i + 1).end() : kind == Kind.VOWEL ? s.start() : s.end()));
                }
            }
        }
        return all;
    }

    /** Whether a mark is of what truly was there. */
    private static boolean meets(Kind kind, True t, double from, double to) {
        double shared = Math.min(to, t.to) - Math.max(from, t.from);
        return switch (kind) {
            case PHRASE, BREATH -> shared > 0.5 * (t.to - t.from) && shared > 0.5 * (to - from);
            // z and s that follow each other are one.
            case SIBILANT -> shared > 0.4 * (t.to - t.from);
            case PLOSIVE -> shared > 0.3 * Math.min(t.to - t.from, to - from);
            case CLICK -> Math.abs(from - t.from) < 0.004;
            case STOP -> from < t.to - BURST + 0.012 && to > t.to - BURST - 0.012;
            default -> Math.abs(from - t.from) < 0.05;
        };
    }

    /** As shares of what was there, and of what was found: with 80 and more of a kind one may be missed and one be wrong. */
    @ParameterizedTest
    @CsvSource({"PHRASE, 1, 0", "BREATH, 0.98, 0.02", "SIBILANT, 0.98, 0.02", "PLOSIVE, 0.98, 0.02", "CLICK, 0.98, 0.02", "STOP, 0.98, 0.05",
            "VOWEL, 0.97, 0.03"})
    void findsWhatWasSungAndLittleElse(Kind kind, double least, double most) {
        int there = 0, found = 0, marks = 0, wrong = 0;
        StringBuilder list = new StringBuilder();
        for (Sung s : TAKES) {
            List<True> all = all(s.truth, kind);
            List<Mark> marked = s.ear.marks().of(kind);
            there += all.size();
            marks += marked.size();
            for (True t : all) {
                if (marked.stream().anyMatch(m -> meets(kind, t, m.from() / s.rate, m.to() / s.rate))) found++;
                else list.append(String.format(" missed %.3f", t.from));
            }
            for (Mark m : marked) {
                if (all.stream().anyMatch(t -> meets(kind, t, m.from() / s.rate, m.to() / s.rate))) continue;
                wrong++;
                list.append(String.format(" wrong %.3f", m.from() / s.rate));
            }
        }
        assertTrue(there >= 30 && found >= least * there && wrong <= most * marks, found + " of " + there + ", " + wrong + " wrong of " + marks + list);
    }

    /** Half of the edges lie nearer than the first figure in ms, and nine tenths nearer than the second. */
    @ParameterizedTest
    @CsvSource({"PHRASE, 35, 45", "SIBILANT, 10, 16", "CLICK, 1, 3", "VOWEL, 10, 20"})
    void findsWhereTheyBegin(Kind kind, double half, double most) {
        double[] off = TAKES.stream().flatMapToDouble(s -> all(s.truth, kind).stream().flatMapToDouble(t -> s.ear.marks().of(kind).stream()
                .filter(m -> meets(kind, t, m.from() / s.rate, m.to() / s.rate))
                .mapToDouble(m -> 1000 * Math.abs(m.from() / s.rate - t.from)))).sorted().toArray();
        assertTrue(off[off.length / 2] < half && off[off.length * 9 / 10] < most, off[off.length / 2] + " " + off[off.length * 9 / 10] + Arrays.toString(off));
    }

    /** What a list can hold: whole percents, nothing beyond the take, and no two of a kind in one place. */
    @Test
    void theMarksAreAList() {
        for (Sung s : TAKES) {
            for (Kind kind : Kind.values()) {
                long last = -1;
                for (Mark m : s.ear.marks().of(kind)) {
                    assertTrue(m.from() >= Math.max(0, last) && m.from() != last || last < 0, kind + " " + m);
                    assertTrue(kind == Kind.VOWEL ? m.to() == m.from() : m.to() > m.from(), m.toString());
                    assertTrue(m.to() <= s.ear.sound().frames(), m.toString());
                    assertEquals(Math.rint(100 * m.confidence()) / 100, m.confidence());
                    assertTrue(m.confidence() >= 0 && m.confidence() <= 1);
                    last = kind == Kind.VOWEL ? m.from() : m.to() - 1;
                }
            }
        }
    }

    /** In whatever order they are asked for, the same are found. */
    @Test
    void clicksAreLookedForWhereTheyAreAskedFor() {
        Samples take = new Samples(48_000, Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), 48_000).samples());
        Ear first = new Ear(take), other = new Ear(take);
        Marks speech = first.speech(), all = first.marks();
        assertEquals(all, other.marks());
        assertEquals(speech, other.speech());
        assertTrue(all.of(Kind.CLICK).size() > 3);
        assertEquals(List.of(), speech.of(Kind.CLICK));
        Ear told = new Ear(take, new Told(Optional.of(speech), false, false, Optional.empty()));
        assertEquals(all, told.marks());
        assertEquals(speech, new Ear(take, new Told(Optional.of(speech))).marks());
    }

    @Test
    void silenceAndNoiseHaveNoMarks() {
        double[] noise = new double[96_000];
        long seed = 7;
        for (int i = 0; i < noise.length; i++) {
            seed = seed * 6364136223846793005L + 1442695040888963407L;
            noise[i] = 1e-3 * (seed >> 40) / (1 << 23);
        }
        assertEquals(List.of(), new Ear(new Samples(48_000, noise)).marks().all());
        assertEquals(List.of(), new Ear(new Samples(48_000, new double[96_000])).marks().all());
        assertEquals(List.of(), new Ear(new Samples(8_000, new double[100])).marks().all());
    }
}

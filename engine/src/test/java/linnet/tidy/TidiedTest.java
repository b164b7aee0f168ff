package linnet.tidy;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import linnet.demo.Performance;
import linnet.demo.Score;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.demo.Truth;
import linnet.dsp.Excerpt;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.dsp.Stretches;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Told;
import linnet.tidy.Decision.What;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A double of which all is known, against its lead. The limits are those of the trade, but where it is said. */
class TidiedTest {
    private static final double RATE = LooseDouble.RATE;
    private static final Stretches NOWHERE = new Stretches(new long[0], new long[0]);
    static final Aims.Level LEFT = new Aims.Level.Left();
    static final Aims NOTHING = new Aims(OptionalDouble.empty(), 0.5, 0.1, false, OptionalDouble.empty(), false, LEFT);
    static final Aims TIMING = new Aims(OptionalDouble.of(0.012), 0.5, 0.1, false, OptionalDouble.empty(), false, LEFT);
    static final Aims ALL = new Aims(OptionalDouble.of(0.012), 0.5, 0.1, true, OptionalDouble.of(15), true, new Aims.Level.At(-20));

    private static final Set<String> HISSED = Set.of("S", "SH", "CH"), CLOSED = Set.of("P", "T", "K");

    private static final LooseDouble PAIR = LooseDouble.of(Singer.high().seed(11), 5);
    private static final Samples LEAD = sound(PAIR.lead().samples()), PART = sound(PAIR.part().samples());
    private static final Lead HEARD = new Lead(new Ear(LEAD));
    private static final Ear EAR = new Ear(PART);
    private static final Tidied TIMED = new Tidied(EAR, HEARD, TIMING, NOWHERE), TIDIED = new Tidied(EAR, HEARD, ALL, NOWHERE);
    private static final Tidied TIDIED_LEVEL = new Tidied(EAR, HEARD,
            new Aims(OptionalDouble.empty(), 0.5, 0.1, false, OptionalDouble.empty(), false, new Aims.Level.Lead(3)), NOWHERE);

    private static Samples sound(double[] x) {
        return new Samples(RATE, x);
    }

    private static double[] read(Sound sound) {
        double[][] x = new double[1][(int) sound.frames()];
        sound.read(0, x, x[0].length);
        return x[0];
    }

    private static double rms(double[] x, double from, double to) {
        int a = (int) (from * RATE), b = Math.min(x.length, (int) (to * RATE));
        double sum = 0;
        for (int i = a; i < b; i++) sum += x[i] * x[i];
        return Math.sqrt(sum / (b - a));
    }

    private static double quantile(List<Double> x, double share) {
        List<Double> sorted = new ArrayList<>(x);
        Collections.sort(sorted);
        return sorted.get((int) Math.min(sorted.size() - 1, share * sorted.size()));
    }

    /** Where a place of the part is now, in seconds. */
    private static double now(Tidied t, double seconds) {
        return t.place(Math.round(seconds * RATE)) / RATE;
    }

    @Test
    void onsetsComeTogetherButNotToTheSample() {
        List<Double> before = new ArrayList<>(), after = new ArrayList<>();
        for (double[] o : PAIR.onsets()) {
            before.add(Math.abs(o[0] - o[1]));
            after.add(Math.abs(now(TIMED, o[0]) - o[1]));
        }
        System.out.printf("double: median %.0f ms and 95 %% %.0f ms before, %.0f and %.0f after%n", 1000 * quantile(before, 0.5), 1000 * quantile(before, 0.95),
                1000 * quantile(after, 0.5), 1000 * quantile(after, 0.95));
        assertTrue(quantile(before, 0.5) > 0.025, "the double is loose");
        assertTrue(quantile(after, 0.5) <= 0.015, "median " + quantile(after, 0.5));
        assertTrue(quantile(after, 0.95) <= 0.03, "95th percentile " + quantile(after, 0.95));
        assertTrue(quantile(after, 0.25) >= 0.002, "they are not locked: a quarter is nearer than " + quantile(after, 0.25));
    }

    /** What is heard anew in the result says the same as the map it was made by. */
    @Test
    void theSoundItselfIsWhereTheMapSays() {
        List<Double> off = new ArrayList<>();
        List<Mark> lead = new Ear(LEAD).marks().of(Mark.Kind.VOWEL);
        for (Mark m : new Ear(TIMED.sound()).marks().of(Mark.Kind.VOWEL)) {
            double least = lead.stream().mapToDouble(l -> Math.abs(l.from() - m.from()) / RATE).min().orElseThrow();
            if (least < 0.1) off.add(least);
        }
        assertTrue(off.size() > 50, off.size() + " vowels");
        assertTrue(quantile(off, 0.5) <= 0.015 && quantile(off, 0.95) <= 0.035, quantile(off, 0.5) + " and " + quantile(off, 0.95));
    }

    @Test
    void consonantsAreMovedWholeAndVowelsByATenthAtMost() {
        Truth truth = PAIR.part().truth();
        int consonants = 0;
        for (Truth.Sound s : truth.sounds()) {
            boolean vowel = s.part() == Truth.Part.VOWEL || s.part() == Truth.Part.GLIDE;
            double before = s.end() - s.start(), after = now(TIMED, s.end() - 1e-4) - now(TIMED, s.start()) + 1e-4;
            if (s.part() == Truth.Part.NOISE || s.part() == Truth.Part.BURST || s.part() == Truth.Part.CLOSURE) {
                assertEquals(before, after, 1e-4, s.toString());
                consonants++;
            } else if (vowel) {
                // A join more or less fits into a vowel that is as long as ten.
                assertEquals(1, after / before, 0.1 + 0.01 / before, s.toString());
            }
        }
        assertTrue(consonants > 50);
    }

    /** Outside crossfades the result is the part, moved by whole samples. */
    @Test
    void whatIsMovedKeepsItsBits() {
        double[] x = PART.data()[0], y = read(TIMED.sound());
        long same = 0, moved = 0, shift = 0;
        for (int i = 480; i < x.length; i++) {
            long at = TIMED.place(i);
            if (at >= 0 && at < y.length && y[(int) at] == x[i]) same++;
            if (at - i != shift) moved++;
            shift = at - i;
        }
        assertTrue(same > 0.97 * x.length, (double) same / x.length + " of the samples");
        assertTrue(moved > 20, moved + " pieces");
    }

    @Test
    void nothingClicks() {
        for (Tidied t : List.of(TIMED, TIDIED)) {
            double[] x = PART.data()[0], y = read(t.sound());
            // Consonants and ends of the lead's length leave every step as small as those beside it.
            int around = (int) (0.05 * RATE);
            double[] before = steps(x), after = steps(y);
            for (int i = 480; i < x.length - around; i += around / 2) {
                double most = most(before, i - around, i + 2 * around);
                int at = (int) t.place(i);
                double now = most(after, at, Math.min(after.length, at + around / 2));
                // Crossfaded noise has other peaks by chance.
                double louder = t == TIDIED ? 4 : 1.25;
                assertTrue(now <= louder * most + 1e-4, "at " + at / RATE + " s: " + now + " over " + most);
            }
        }
    }

    /** The largest second difference near a sample: a click is sharper than what it is in. */
    private static double[] steps(double[] x) {
        double[] d = new double[x.length];
        for (int i = 1; i + 1 < x.length; i++) d[i] = Math.abs(x[i + 1] - 2 * x[i] + x[i - 1]);
        return d;
    }

    private static double most(double[] d, int from, int to) {
        double most = 0;
        for (int i = Math.max(0, from); i < Math.min(d.length, to); i++) most = Math.max(most, d[i]);
        return most;
    }

    @Test
    void endsAreTheLeads() {
        Ear after = new Ear(TIDIED.sound());
        List<Phrases.Phrase> phrases = Phrases.inTime(after), lead = Phrases.of(new Ear(LEAD));
        assertEquals(lead.size(), phrases.size());
        var cepstra = Lead.cepstra(after, phrases);
        for (int p = 0; p < lead.size(); p++) assertEquals(HEARD.end(p) / RATE, Lead.end(cepstra, phrases, p) / RATE, 0.02, "phrase " + p);
    }

    @Test
    void breathsAreGone() {
        double[] x = PART.data()[0],
                y = read(new Tidied(EAR, HEARD, new Aims(OptionalDouble.empty(), 0.5, 0.1, true, OptionalDouble.empty(), false, LEFT), NOWHERE).sound());
        double room = rms(x, 0.1, 1);
        for (Truth.Event b : PAIR.part().truth().breaths()) {
            double middle = 0.5 * (b.start() + b.end());
            assertTrue(rms(x, middle - 0.05, middle + 0.05) > 3 * room);
            assertTrue(rms(y, middle - 0.05, middle + 0.05) < 1.5 * room, "at " + middle);
        }
        assertEquals(PAIR.part().truth().breaths().size(), TIDIED.decisions().stream().filter(d -> d.what() == What.BREATH && d.done()).count());
    }

    /** Where both say it a consonant of the double is at least 10 dB down; z, half a vowel, is not counted. */
    @Test
    void oneMouthSpeaks() {
        double[] y = read(new Tidied(EAR, HEARD, new Aims(OptionalDouble.empty(), 0.5, 0.1, false, OptionalDouble.of(15), false, LEFT), NOWHERE).sound());
        int hard = 0, lowered = 0, vowels = 0;
        for (Truth.Sound s : PAIR.part().truth().sounds()) {
            double from = s.start(), to = s.end();
            Object phone = s.phone();
            if (s.part() == Truth.Part.NOISE && HISSED.contains(phone.toString()) || s.part() == Truth.Part.BURST && CLOSED.contains(phone.toString())) {
                hard++;
                if (rms(y, from, to) < Math.pow(10, -10 / 20.0) * rms(PART.data()[0], from, to)) lowered++;
            }
            if (s.part() == Truth.Part.VOWEL && to - from > 0.12) {
                vowels++;
                assertEquals(1, rms(y, from + 0.03, to - 0.03) / rms(PART.data()[0], from + 0.03, to - 0.03), 0.02, s.toString());
            }
        }
        assertTrue(lowered >= 0.9 * hard, lowered + " of " + hard);
        assertTrue(vowels > 40);
    }

    @Test
    void eachPhraseHasTheLevel() {
        Ear after = new Ear(TIDIED.sound());
        for (Phrases.Phrase p : Phrases.inTime(after)) {
            double sum = 0;
            int count = 0, hop = after.pitch().hop();
            double[] y = read(new Excerpt(TIDIED.sound(), p.from(), p.to() - p.from()));
            for (int f = 0; (f + 1) * hop < y.length; f++) {
                if (!after.pitch().voiced((int) (p.from() / hop) + f)) continue;
                for (int i = f * hop; i < (f + 1) * hop; i++) sum += y[i] * y[i];
                count += hop;
            }
            assertEquals(-20, 10 * Math.log10(sum / count), 0.75, "phrase at " + p.from() / RATE);
        }
    }

    @Test
    void orEachPhraseIsAsLoudAsTheLeads() {
        Ear after = new Ear(TIDIED_LEVEL.sound(), new Told(Optional.of(EAR.marks())));
        List<Phrases.Phrase> own = Phrases.inTime(EAR), lead = Phrases.of(new Ear(LEAD));
        for (int p = 0; p < own.size(); p++) {
            assertEquals(level(new Ear(LEAD), lead.get(p)), level(after, own.get(p)), 0.3, "phrase " + p);
        }
    }

    /**
     * The second of two lines that the list of marks has 50 ms apart is sung 12 dB softer: in time they are one, in level each is as loud as the lead there.
     */
    @Test
    void linesThatFollowEachOtherAtOnceAreEvenedEach() {
        Phrases.Phrase line = Phrases.of(EAR).get(3);
        long half = EAR.marks().of(Mark.Kind.VOWEL).stream().mapToLong(Mark::from).filter(v -> v > line.from() + 24_000).findFirst().orElseThrow() - 3000,
                gap = (long) (RATE / 20);
        double[] part = PART.data()[0].clone();
        for (long i = half; i < line.to() + 2000; i++) part[(int) i] *= 0.25;
        List<Mark> marks = new ArrayList<>();
        for (Mark m : EAR.marks().all()) {
            if (m.kind() != Mark.Kind.PHRASE || m.from() > half || m.to() < half) marks.add(m);
            else for (long[] p : new long[][] {{m.from(), half - gap}, {half, m.to()}}) marks.add(new Mark(Mark.Kind.PHRASE, p[0], p[1], 1, false));
        }
        marks.sort(Comparator.comparingLong(Mark::from));
        Ear ear = new Ear(sound(part), new Told(Optional.of(new Marks(marks))));
        Tidied t = new Tidied(ear, HEARD, new Aims(OptionalDouble.empty(), 0.5, 0.1, false, OptionalDouble.empty(), false, new Aims.Level.Lead(3)), NOWHERE);
        Ear after = new Ear(t.sound(), new Told(Optional.of(EAR.marks()))), plain = new Ear(TIDIED_LEVEL.sound(), new Told(Optional.of(EAR.marks())));
        for (long[] p : new long[][] {{line.from(), half - gap}, {half + 2000, line.to()}}) {
            Phrases.Phrase some = new Phrases.Phrase(p[0], p[1], false);
            assertEquals(level(plain, some), level(after, some), 2, levels(t).toString());
        }
    }

    private static double level(Ear ear, Phrases.Phrase p) {
        return Evening.level(Evening.power(ear, List.of(p)), ear.pitch().hop(), p.from(), p.to()).getAsDouble();
    }

    private static Tidied levelled(Samples part, Samples lead, double otherWords) {
        return new Tidied(new Ear(part), new Lead(new Ear(lead)),
                new Aims(OptionalDouble.empty(), 0.5, 0.1, false, OptionalDouble.empty(), false, new Aims.Level.Lead(otherWords)), NOWHERE);
    }

    private static List<Decision> levels(Tidied t) {
        return t.decisions().stream().filter(d -> d.what() == What.LEVEL).toList();
    }

    /** The lead sings the sixth line, loudly, where the part sings the third: that one goes with the rest. */
    @Test
    void aLineWithOtherWordsGoesWithTheRest() {
        List<Phrases.Phrase> lines = Phrases.inTime(new Ear(LEAD));
        double[] other = LEAD.data()[0].clone(), quiet = PART.data()[0].clone();
        for (int i = 0; i < quiet.length; i++) quiet[i] *= 0.5;
        Phrases.Phrase third = lines.get(2), sixth = lines.get(5);
        int n = (int) Math.min(third.to() - third.from(), sixth.to() - sixth.from());
        for (int i = 0; i < third.to() - third.from(); i++) other[(int) third.from() + i] = i < n ? 3 * LEAD.data()[0][(int) sixth.from() + i] : 0;
        for (double most : new double[] {3, 1, 0}) {
            List<Decision> levels = levels(levelled(sound(quiet), sound(other), most));
            double usual = levels.stream().filter(d -> !d.why().contains("beside most")).mapToDouble(Decision::by).sorted().toArray()[levels.size() / 2];
            assertEquals(6, usual, 1.5, levels.toString());
            assertEquals(usual + most, levels.get(2).by(), 0.5, levels.get(2).toString());
        }
    }

    /** A lead that begins a line softly and is joined by a part that breathes there: its beginning is not made as loud as the whole of the line. */
    @Test
    void whatIsSoftInTheLeadStaysSoft() {
        Phrases.Phrase line = Phrases.inTime(new Ear(LEAD)).get(3), own = Phrases.of(EAR).get(3);
        long half = Arrays.stream(EAR.marks().of(Mark.Kind.VOWEL).stream().mapToLong(Mark::from).filter(v -> v > own.from() + 24_000).toArray()).findFirst()
                .orElseThrow() - 3000;
        double[] soft = LEAD.data()[0].clone(), part = PART.data()[0].clone();
        for (long i = line.from(); i < half; i++) soft[(int) i] *= 0.3;
        for (long i = own.from() - 2000; i < half; i++) part[(int) i] *= 0.3;
        // It stops for as long as a breath takes.
        double[] parted = new double[part.length + 20_000];
        System.arraycopy(part, 0, parted, 0, (int) half);
        System.arraycopy(part, (int) half, parted, (int) half + 20_000, part.length - (int) half);
        double[] lead = new double[parted.length];
        System.arraycopy(soft, 0, lead, 0, (int) half);
        System.arraycopy(soft, (int) half, lead, (int) half + 20_000, soft.length - (int) half);
        for (int i = (int) half; i < half + 20_000; i++) lead[i] = 0.01 * Math.sin(2 * Math.PI * 330 * i / RATE);
        for (Decision d : levels(levelled(sound(parted), sound(lead), 3))) assertTrue(Math.abs(d.by()) < 4, d.toString());
    }

    /** A part that is 12 dB under the lead comes up; the room that is heard where its ends are faded does not. */
    @Test
    void theRoomBehindAFadedEndStaysDown() {
        double[] quiet = PART.data()[0].clone();
        for (int i = 0; i < quiet.length; i++) quiet[i] *= 0.25;
        Ear ear = new Ear(sound(quiet));
        Tidied t = new Tidied(ear, HEARD, new Aims(OptionalDouble.empty(), 0.5, 0.1, true, OptionalDouble.empty(), true, new Aims.Level.Lead(3)), NOWHERE);
        double[] y = read(t.sound());
        double room = rms(quiet, 0.1, 1);
        int faded = 0;
        for (Decision d : t.decisions()) {
            if (d.what() != What.END || !d.done()) continue;
            faded++;
            double over = d.to() / RATE + d.by() / 1000;
            assertTrue(rms(y, over + 0.08, over + 0.3) < 1.5 * room, d + ": " + rms(y, over + 0.08, over + 0.3) / room);
        }
        assertTrue(faded > 2, faded + " ends");
        assertTrue(levels(t).stream().allMatch(d -> d.by() > 8), levels(t).toString());
    }

    /** Two voices that nobody could tell apart would comb: in 20 ms they must not be one. */
    @Test
    void theVoicesStayTwo() {
        double[] a = LEAD.data()[0], y = read(TIMED.sound());
        int n = (int) (0.02 * RATE), one = 0, frames = 0;
        List<Double> alike = new ArrayList<>();
        for (int at = 0; at + n < Math.min(a.length, y.length); at += n) {
            double both = 0, aa = 1e-12, yy = 1e-12;
            for (int i = at; i < at + n; i++) {
                both += a[i] * y[i];
                aa += a[i] * a[i];
                yy += y[i] * y[i];
            }
            if (aa / n < 1e-4 || yy / n < 1e-4) continue;
            alike.add(both / Math.sqrt(aa * yy));
            frames++;
            if (both / Math.sqrt(aa * yy) > 0.95) one++;
        }
        // Two clear tones of one pitch are in phase now and then by chance, before and after.
        assertTrue(quantile(alike, 0.95) < 0.95, "95 % of the frames below " + quantile(alike, 0.95));
        assertTrue(one < 0.06 * frames, one + " of " + frames);
    }

    /** A third and a fourth above, a fourth below, an octave below by another singer. */
    @Test
    void harmoniesComeTogetherToo() {
        for (LooseDouble pair : List.of(LooseDouble.of(Singer.high().seed(21), 6, 4), LooseDouble.of(Singer.high().seed(22), 7, 5),
                LooseDouble.of(Singer.high().seed(23), 8, -5), LooseDouble.of(Singer.low().seed(24), 9, 0))) {
            Tidied t = new Tidied(new Ear(sound(pair.part().samples())), HEARD, TIMING, NOWHERE);
            assertEquals(8, t.decisions().stream().filter(Decision::done).count(), t.decisions().toString());
            List<Double> before = new ArrayList<>(), after = new ArrayList<>();
            for (double[] o : pair.onsets()) {
                before.add(Math.abs(o[0] - o[1]));
                after.add(Math.abs(now(t, o[0]) - o[1]));
            }
            System.out.printf("harmony: median %.0f ms and 95 %% %.0f ms before, %.0f and %.0f after%n", 1000 * quantile(before, 0.5),
                    1000 * quantile(before, 0.95), 1000 * quantile(after, 0.5), 1000 * quantile(after, 0.95));
            assertTrue(quantile(after, 0.5) <= 0.015, "median " + quantile(after, 0.5));
            assertTrue(quantile(after, 0.95) <= 0.035, "95th percentile " + quantile(after, 0.95));
            toldAsItIs(t, pair.onsets());
        }
    }

    /**
     * By how much a line is said to be off is by how much it is, give or take what a mark is unsure of: a way through a long vowel, or a guess, may be
     * anywhere.
     */
    private static void toldAsItIs(Tidied t, List<double[]> onsets) {
        for (Decision d : t.decisions()) {
            if (d.what() != What.TIMING || !d.done()) continue;
            double is = onsets.stream().filter(o -> o[0] > d.from() / RATE - 0.05 && o[0] < d.to() / RATE).mapToDouble(o -> Math.abs(o[0] - o[1])).max()
                    .orElseThrow();
            assertEquals(1000 * is, Math.abs(d.off().orElseThrow().before().late()), 40, d.toString());
        }
    }

    @Test
    void otherWordsAreLeftAloneToTheBit() {
        // The lead two lines earlier: other words wherever the part sings.
        int by = (int) (2 * 4.8 * RATE);
        Samples other = sound(Arrays.copyOfRange(LEAD.data()[0], by, LEAD.data()[0].length));
        Tidied t = new Tidied(EAR, new Lead(new Ear(other)), new Aims(OptionalDouble.of(0.012), 0.5, 0.1, false, OptionalDouble.of(15), true, LEFT), NOWHERE);
        for (Decision d : t.decisions()) assertFalse(d.done(), d.toString());
        assertEquals(8, t.decisions().stream().filter(d -> d.what() == What.TIMING && !d.why().isEmpty()).count());
        double[] y = read(t.sound());
        for (int i = 0; i < y.length; i++) assertEquals(PART.data()[0][i], y[i]);
    }

    /** What breaks off long before the lead's line ends is not held for it: only what is within reach draws. */
    @Test
    void aLineThatBreaksOffIsNotDrawnToTheEndOfTheLeads() {
        double[] x = PART.data()[0].clone();
        double last = -1;
        int broken = 0;
        List<double[]> lines = new ArrayList<>();
        for (Truth.Sound s : PAIR.part().truth().sounds()) {
            if (last < 0 || s.start() - last > 0.3) lines.add(new double[] {s.start(), s.end()});
            lines.get(lines.size() - 1)[1] = last = s.end();
        }
        for (double[] line : lines) {
            if (line[1] - line[0] < 2) continue;
            Arrays.fill(x, (int) ((line[0] + 1) * RATE), Math.min(x.length, (int) ((line[1] + 0.3) * RATE)), 0);
            broken++;
        }
        assertTrue(broken > 2, lines.size() + " lines");
        Tidied tidied = new Tidied(new Ear(sound(x)), HEARD, TIMING, NOWHERE);
        int moved = 0;
        for (Decision d : tidied.decisions()) {
            if (d.what() != What.TIMING || !d.done()) continue;
            moved++;
            assertTrue(Math.abs(d.off().orElseThrow().before().late()) <= 500, d.toString());
        }
        assertTrue(moved > 0);
    }

    /** 12 ms were asked for: a line that stays farther off says what keeps it there, and no other does. */
    @Test
    void whatStaysFartherOffThanWasAskedSaysWhy() {
        Aims stiff = new Aims(OptionalDouble.of(0.012), 0.5, 0.02, false, OptionalDouble.empty(), false, LEFT);
        List<String> reasons = new ArrayList<>();
        for (Tidied t : List.of(TIMED, new Tidied(EAR, HEARD, stiff, NOWHERE))) {
            for (Decision d : t.decisions()) {
                if (d.what() != What.TIMING || d.off().isEmpty() || d.off().get().rest().startsWith(", and left there")) continue;
                String rest = d.off().get().rest();
                boolean over = Math.round(Math.abs(d.off().get().after().late())) > 12;
                assertEquals(over, !rest.isEmpty(), d.toString());
                if (over) reasons.add(rest);
            }
        }
        assertTrue(reasons.contains(": a larger 'stretch' of its vowels would bring it nearer"), reasons.toString());
    }

    /** What a line is off by once it is moved, and why it stays so, by its place among the lines. */
    private record Left(int ms, String why) {
        static List<Left> of(Tidied t) {
            return t.decisions().stream().filter(d -> d.what() == What.TIMING).map(d -> d.off()
                    .map(o -> new Left((int) Math.round(Math.abs(o.after().late())), o.rest().replaceFirst("^: ", ""))).orElse(new Left(0, ""))).toList();
        }
    }

    private static List<Left> left(Ear ear, double stretch, Stretches refused) {
        return Left.of(new Tidied(ear, HEARD, new Aims(OptionalDouble.of(0.012), 0.5, stretch, false, OptionalDouble.empty(), false, LEFT), refused));
    }

    /** What is said to keep a line does: with a larger stretch it comes nearer where that is told, and no nearer where it is told that none would do. */
    @Test
    void aLargerStretchIsToldWhereOneHelps() {
        List<Left> stiff = left(EAR, 0.02, NOWHERE), usual = left(EAR, 0.1, NOWHERE), largest = left(EAR, Aims.LARGEST_STRETCH, NOWHERE);
        int larger = 0, none = 0;
        for (List<Left> lines : List.of(stiff, usual)) {
            for (int p = 0; p < lines.size(); p++) {
                if (lines.get(p).why.startsWith("a larger 'stretch'")) {
                    larger++;
                    assertTrue(largest.get(p).ms < lines.get(p).ms, "line " + p + ": " + lines.get(p) + ", then " + largest.get(p));
                } else if (lines.get(p).why.startsWith("no 'stretch'")) {
                    none++;
                    assertTrue(largest.get(p).ms > lines.get(p).ms - 2, "line " + p + ": " + lines.get(p) + ", then " + largest.get(p));
                }
            }
        }
        assertTrue(larger > 5 && none > 1, stiff + " and " + usual);
        // 25 % are the most that a song may say.
        assertTrue(largest.stream().noneMatch(l -> l.why.startsWith("a larger")) && largest.stream().anyMatch(l -> l.why.startsWith("no 'stretch'")),
                largest.toString());
    }

    /** A take that lies 0.3 s late, of which one line may not be touched: the next has no room before it, and has it where that one goes along. */
    @Test
    void theLinesBesideOneAreToldWhereTheyKeepIt() {
        double[] late = new double[PART.data()[0].length + 14_400];
        System.arraycopy(PART.data()[0], 0, late, 14_400, late.length - 14_400);
        Ear ear = new Ear(sound(late));
        List<Phrases.Phrase> phrases = Phrases.inTime(ear);
        List<Left> alone = left(ear, 0.1, NOWHERE);
        for (int p = 0; p < 3; p++) {
            long inside = phrases.get(p).from() + 1000;
            List<Left> lines = left(ear, 0.1, new Stretches(new long[] {inside}, new long[] {inside + 1}));
            assertEquals("the lines beside it leave it no more room", lines.get(p + 1).why, lines.toString());
            assertTrue(lines.get(p + 1).ms > alone.get(p + 1).ms + 20, lines.get(p + 1) + ", by itself " + alone.get(p + 1));
            for (int other = 0; other < lines.size(); other++) if (other != p + 1) assertFalse(lines.get(other).why.startsWith("the lines"), lines.toString());
        }
    }

    /** At 5 ms a vowel of a voice of 200 to 400 Hz gives a period more or less; with places 2 ms wider the line is near enough, and says nothing. */
    @Test
    void wholePeriodsAreToldWhereTheyGiveNoMore() {
        Aims close = new Aims(OptionalDouble.of(0.005), 0.5, Aims.LARGEST_STRETCH, false, OptionalDouble.empty(), false, LEFT);
        List<Left> lines = Left.of(new Tidied(EAR, HEARD, close, NOWHERE));
        List<Left> told = lines.stream().filter(l -> l.why.startsWith("its vowels are made longer or shorter by whole periods")).toList();
        assertTrue(told.size() > 1, lines.toString());
        for (Left l : told) assertTrue(l.ms > 5 && l.ms <= 10, l.toString());
    }

    /** A line 2 ms over the 16 that were asked stays so, whatever its vowels may give: that it would not be worth it is told of little alone. */
    @Test
    void whatIsNotWorthAChangeIsLittle() {
        Ear ear = new Ear(sound(LooseDouble.of(Singer.high().seed(11), 7).part().samples()));
        List<List<Left>> lines = new ArrayList<>();
        for (double stretch : new double[] {0.1, Aims.LARGEST_STRETCH}) {
            lines.add(Left.of(new Tidied(ear, HEARD, new Aims(OptionalDouble.of(0.016), 0.5, stretch, false, OptionalDouble.empty(), false, LEFT), NOWHERE)));
        }
        int told = 0;
        for (int p = 0; p < lines.get(0).size(); p++) {
            if (!lines.get(0).get(p).why.startsWith("to come nearer, more of its vowels")) continue;
            told++;
            assertEquals(18, lines.get(0).get(p).ms, 1, lines.toString());
            assertEquals(lines.get(0).get(p), lines.get(1).get(p));
        }
        assertTrue(told > 0, lines.toString());
    }

    @Test
    void aPhraseCanBeRefused() {
        List<Phrases.Phrase> phrases = Phrases.inTime(EAR);
        Phrases.Phrase second = phrases.get(1);
        Tidied t = new Tidied(EAR, HEARD, ALL, new Stretches(new long[] {second.from() + 1000}, new long[] {second.from() + 1001}));
        double[] y = read(t.sound());
        for (long i = second.from(); i < second.to(); i++) assertEquals(PART.data()[0][(int) i], y[(int) i], "sample " + i);
        for (Decision d : t.decisions()) if (d.from() >= second.from() && d.to() <= second.to() && d.what() != What.BREATH) assertFalse(d.done(), d.toString());
        assertTrue(t.decisions().stream().anyMatch(d -> d.done() && d.from() > second.to()));
    }

    /** The part with marks of its own, as after a person corrected the list. */
    private static Ear told(Samples part, List<Mark> marks) {
        return new Ear(part, new Told(Optional.of(new Marks(marks))));
    }

    private static void assertSameBits(Sound tidied, long from, long to, String what) {
        double[] y = read(tidied);
        for (long i = from; i < to; i++) assertEquals(PART.data()[0][(int) i], y[(int) i], 0, what + ": sample " + i);
    }

    /** The s hangs on a line that the list has begin after it, so that what is kept is the s and not the line. */
    @Test
    void aConsonantThatIsKeptIsNotLowered() {
        Aims consonants = new Aims(OptionalDouble.empty(), 0.5, 0.1, false, OptionalDouble.of(15), false, LEFT);
        Decision lowered = new Tidied(EAR, HEARD, consonants, NOWHERE).decisions().stream().filter(d -> d.done() && EAR.marks().of(Mark.Kind.SIBILANT).stream()
                .anyMatch(m -> m.meets(d.from(), d.to()))).findFirst().orElseThrow();
        Mark s = EAR.marks().of(Mark.Kind.SIBILANT).stream().filter(m -> m.meets(lowered.from(), lowered.to())).findFirst().orElseThrow();
        for (boolean kept : new boolean[] {false, true}) {
            List<Mark> marks = new ArrayList<>();
            for (Mark m : EAR.marks().all()) {
                if (m.equals(s)) marks.add(new Mark(m.kind(), m.from(), m.to(), m.confidence(), kept));
                else if (m.kind() != Mark.Kind.PHRASE || !m.meets(s.from(), s.to())) marks.add(m);
                else marks.add(new Mark(m.kind(), s.to(), m.to(), m.confidence(), false));
            }
            Tidied t = new Tidied(told(PART, marks), HEARD, consonants, NOWHERE);
            Decision d = t.decisions().stream().filter(x -> x.what() == What.CONSONANT && x.from() < s.to() && x.to() > s.from()).findFirst().orElseThrow();
            assertEquals(!kept, d.done(), d.toString());
            if (kept) assertEquals("kept", d.why());
            if (kept) assertSameBits(t.sound(), s.from(), s.to(), "a kept s");
        }
    }

    /** The lines are brought down by 12 dB, but for a stretch between two of them that a person wants as it is. */
    @Test
    void aPauseThatIsKeptIsNotRidden() {
        List<Phrases.Phrase> phrases = Phrases.of(EAR);
        long middle = (phrases.get(4).to() + phrases.get(5).from()) / 2, half = (long) (0.05 * RATE);
        List<Mark> marks = new ArrayList<>(EAR.marks().all());
        marks.add(new Mark(Mark.Kind.KEEP, middle - half, middle + half, 1, false));
        Tidied t = new Tidied(told(PART, marks), HEARD,
                new Aims(OptionalDouble.empty(), 0.5, 0.1, false, OptionalDouble.empty(), false, new Aims.Level.At(-30)), NOWHERE);
        List<Decision> levels = levels(t);
        assertTrue(levels.get(4).by() < -6 && levels.get(5).by() < -6, levels.toString());
        assertSameBits(t.sound(), middle - half, middle + half, "a kept pause");
    }

    /** A breath right behind a line that outlasts the lead: the end is faded, and the breath is heard as it was. */
    @Test
    void theFadeOfAnEndStopsBeforeABreathThatStays() {
        Aims ends = new Aims(OptionalDouble.empty(), 0.5, 0.1, false, OptionalDouble.empty(), true, LEFT);
        int faded = 0;
        for (Decision end : new Tidied(EAR, HEARD, ends, NOWHERE).decisions()) {
            if (end.what() != What.END || !end.done()) continue;
            Phrases.Phrase line = Phrases.inTime(EAR).stream().filter(p -> p.from() < end.to() && end.from() < p.to()).findFirst().orElseThrow();
            long from = Math.max(end.to(), line.to()) + 960, to = from + (long) (0.2 * RATE);
            List<Mark> marks = new ArrayList<>();
            for (Mark m : EAR.marks().all()) if (m.kind() != Mark.Kind.BREATH || !m.meets(from, to)) marks.add(m);
            marks.add(new Mark(Mark.Kind.BREATH, from, to, 1, false));
            Tidied t = new Tidied(told(PART, marks), HEARD, ends, NOWHERE);
            if (t.decisions().stream().noneMatch(d -> d.what() == What.END && d.done() && d.from() < from && d.to() > line.from())) continue;
            assertSameBits(t.sound(), from, to, "the breath behind the line at " + line.from() / RATE + " s");
            faded++;
        }
        assertTrue(faded > 1, faded + " ends");
    }

    /** The breath is drawn for the line that was refused, and stays as it is, wherever the line before goes and however soft that becomes. */
    @Test
    void theBreathOfARefusedPhraseStays() {
        List<Phrases.Phrase> phrases = Phrases.inTime(EAR);
        int tried = 0;
        for (int p = 1; p < phrases.size(); p++) {
            Phrases.Phrase before = phrases.get(p - 1), phrase = phrases.get(p);
            Optional<long[]> breath = BreathSpans.heard(EAR).stream().filter(b -> b[0] >= before.to() && b[1] <= phrase.from()).findFirst();
            if (breath.isEmpty()) continue;
            tried++;
            Tidied t = new Tidied(EAR, HEARD, ALL, new Stretches(new long[] {phrase.from() + 1000}, new long[] {phrase.from() + 1001}));
            assertSameBits(t.sound(), breath.get()[0], breath.get()[1], "the breath of phrase " + p);
            Decision d = t.decisions().stream().filter(x -> x.what() == What.BREATH && x.from() < breath.get()[1] && x.to() > breath.get()[0]).findFirst()
                    .orElseThrow();
            assertEquals("its phrase is left alone", d.why());
        }
        assertTrue(tried > 2, tried + " breaths");
    }

    /** A line that nobody meant to be heard, 20 dB under the others, does not come up with all its room. */
    @Test
    void aLineIsRaisedByTwelveDecibelsAtMost() {
        Phrases.Phrase line = Phrases.of(EAR).get(2);
        double[] part = PART.data()[0].clone();
        double usual = level(EAR, line);
        for (long i = line.from() - 1000; i < line.to() + 1000; i++) part[(int) i] *= 0.1;
        Tidied t = new Tidied(told(sound(part), EAR.marks().all()), HEARD,
                new Aims(OptionalDouble.empty(), 0.5, 0.1, false, OptionalDouble.empty(), false, new Aims.Level.At(usual)), NOWHERE);
        Decision d = levels(t).get(2);
        assertEquals(12, d.by(), 0, d.toString());
        assertTrue(d.why().endsWith(", the most it may do"), d.why());
        assertEquals(usual - 8, level(told(new Samples(RATE, read(t.sound())), EAR.marks().all()), line), 0.3);
    }

    @Test
    void nothingAskedIsNothingDone() {
        Tidied t = new Tidied(EAR, HEARD, NOTHING, NOWHERE);
        assertEquals(PART, t.sound());
        assertTrue(t.decisions().isEmpty());
    }

    /** A part that is the lead itself has nothing to be tightened. */
    @Test
    void whatIsTogetherStays() {
        Ear ear = new Ear(LEAD);
        Tidied t = new Tidied(ear, HEARD, TIMING, NOWHERE);
        assertEquals(LEAD, t.sound());
        assertEquals(8, t.decisions().stream().filter(d -> d.what() == What.TIMING && !d.done()).count());
        // It is the lead's own recording, which is told.
        assertEquals(9, t.decisions().size());
    }

    /**
     * Lines that begin 0.4 s early and end with the lead's, each with a breath right behind it that stays where it is: the vowels do not give enough. So the
     * line begins earlier than the lead's and ends before the breath.
     */
    @ParameterizedTest
    @ValueSource(ints = {96, 240, 480})
    void aLineThatDoesNotGetShortEnoughEndsBeforeTheBreathBehindIt(int gap) {
        Score s = SevenLanterns.lead();
        List<Score.Phrase> lines = new ArrayList<>();
        for (Score.Phrase p : s.phrases()) {
            double early = 0.4 / s.secondsPerBeat();
            lines.add(new Score.Phrase(p.beat() - early, p.section(), p.effort(), p.words(), p.notes().stream()
                    .map(n -> new Score.Note(n.midi(), n.beats() + early / p.notes().size(), n.onset(), n.vowel(), n.glide(), n.coda(), n.cents(),
                            n.scoopCents(), n.held())).toList()));
        }
        Samples part = sound(Performance.sing(new Score(s.title(), s.beatsPerMinute(), s.beatsPerBar(), s.key(), s.bars(), lines), Singer.high().seed(11), RATE)
                .samples());
        Ear heard = new Ear(part);
        List<Phrases.Phrase> found = Phrases.inTime(heard);
        List<Mark> marks = new ArrayList<>();
        for (Mark m : heard.marks().all()) {
            long end = found.stream().mapToLong(Phrases.Phrase::to).filter(e -> e <= m.to()).max().orElse(-1);
            marks.add(m.kind() == Mark.Kind.BREATH && end >= 0 ? new Mark(m.kind(), end + gap, m.to(), 1, false, "") : m);
        }
        Ear told = new Ear(part, new Told(Optional.of(new Marks(marks))));
        List<Phrases.Phrase> phrases = Phrases.inTime(told);
        long[][] odd = new long[2][phrases.size() / 2];
        for (int k = 0; k < odd[0].length; k++) {
            odd[0][k] = phrases.get(2 * k + 1).from() + 100;
            odd[1][k] = phrases.get(2 * k + 1).to() - 100;
        }
        Tidied t = new Tidied(told, HEARD, TIMING, new Stretches(odd[0], odd[1]));
        assertTrue(t.decisions().stream().filter(Decision::done).count() >= 3, t.decisions().toString());
        List<Mark> after = t.marks().of(Mark.Kind.BREATH);
        for (int k = 0; k + 1 < phrases.size(); k += 2) {
            long end = phrases.get(k).to(), gone = t.place(end - 1) - end + 1;
            assertTrue(gone < gap, "line " + k + " ends " + gone + " later, where " + gap + " are free");
            assertTrue(after.stream().anyMatch(m -> Math.abs(m.from() - end - gap) < 0.005 * RATE), "its breath stays: " + after);
        }
        for (double x : read(t.sound())) assertTrue(Math.abs(x) < 1);
    }

    @Test
    void anyCutGivesTheSameBits() {
        double[] whole = read(TIDIED.sound());
        double[][] x = new double[1][4799];
        for (int at = 100; at + 4799 < whole.length; at += 4799) {
            TIDIED.sound().read(at, x, 4799);
            for (int i = 0; i < 4799; i++) assertEquals(whole[at + i], x[0][i]);
        }
    }
}

package linnet.tidy;

import java.util.EnumSet;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;
import linnet.dsp.align.Cepstra;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;

/** All that others need to know of the voice they follow. Heard once; used by several threads. */
public final class Lead {
    static final Set<Mark.Kind> HARD = EnumSet.of(Mark.Kind.SIBILANT, Mark.Kind.STOP, Mark.Kind.PLOSIVE);
    /** Around a phrase. */
    private static final double BESIDE_SECONDS = 0.5;
    /** A phrase is over where it is so many dB under its level. */
    private static final double OVER_DB = 20, LOUD_DB = 15;
    /** From a consonant to the vowel that it leads into. */
    private static final double INTO_SECONDS = 0.05;

    private final Cepstra cepstra;
    private final Recording recording;
    private final Marks marks;
    private final List<Phrases.Phrase> phrases;
    private final long[] ends;
    private final double[] power;
    private final int hop;
    private final long into;

    /** Hears a voice. */
    public Lead(Ear ear) {
        marks = ear.speech();
        phrases = Phrases.inTime(ear);
        cepstra = cepstra(ear, phrases);
        recording = new Recording(ear.sound());
        ends = new long[phrases.size()];
        for (int p = 0; p < ends.length; p++) ends[p] = end(cepstra, phrases, p);
        hop = ear.pitch().hop();
        into = (long) (INTO_SECONDS * ear.sound().rate());
        power = Evening.power(ear, phrases);
    }

    static Cepstra cepstra(Ear ear, List<Phrases.Phrase> phrases) {
        long beside = (long) (BESIDE_SECONDS * ear.sound().rate());
        int[] p = {0};
        return new Cepstra(ear.sound(), sample -> {
            while (p[0] < phrases.size() && phrases.get(p[0]).to() + beside <= sample) p[0]++;
            return p[0] < phrases.size() && phrases.get(p[0]).from() - beside <= sample;
        });
    }

    /** Where the last sound of a phrase has fallen by 20 dB below its level. */
    static long end(Cepstra cepstra, List<Phrases.Phrase> phrases, int p) {
        Phrases.Phrase phrase = phrases.get(p);
        int from = cepstra.frame(phrase.from()), to = cepstra.frame(phrase.to());
        int last = p + 1 < phrases.size() ? cepstra.frame(phrases.get(p + 1).from()) - 1 : cepstra.frames() - 1;
        double most = -200, sum = 0;
        for (int f = from; f <= to; f++) most = Math.max(most, cepstra.db(f));
        int count = 0;
        for (int f = from; f <= to; f++) {
            if (cepstra.db(f) < most - LOUD_DB) continue;
            sum += cepstra.db(f);
            count++;
        }
        double under = sum / Math.max(1, count) - OVER_DB;
        int end = to;
        while (end > from && cepstra.db(end) < under) end--;
        while (end < last && cepstra.db(end + 1) >= under) end++;
        return (long) (end + 1) * cepstra.hop();
    }

    Cepstra cepstra() {
        return cepstra;
    }

    Recording recording() {
        return recording;
    }

    Marks marks() {
        return marks;
    }

    /** What the list has at the vowel that a consonant of hers leads into; empty where it has nothing. */
    String into(Mark m) {
        if (m.kind() == Mark.Kind.VOWEL) return "";
        return marks.of(Mark.Kind.VOWEL).stream().filter(v -> v.from() >= m.from() && v.from() <= m.to() + into).findFirst()
                .map(Mark::word).orElse("");
    }

    /** The phrase that holds a place, give or take some samples; -1 where there is none. */
    int phrase(double at, double slack) {
        for (int p = 0; p < phrases.size(); p++) if (phrases.get(p).from() - slack <= at && at < Math.max(phrases.get(p).to(), ends[p]) + slack) return p;
        return -1;
    }

    /** How loud it sings between two samples, in dBFS: RMS of what has a pitch there. Empty where nothing has. */
    OptionalDouble level(long from, long to) {
        return Evening.level(power, hop, from, to);
    }

    /** The same over the phrase of its own that covers most of what lies between two samples. */
    OptionalDouble levelOfLine(long from, long to) {
        OptionalDouble level = OptionalDouble.empty();
        long most = 0;
        for (Phrases.Phrase p : phrases) {
            long both = Math.min(p.to(), to) - Math.max(p.from(), from);
            if (both <= most || level(p.from(), p.to()).isEmpty()) continue;
            most = both;
            level = level(p.from(), p.to());
        }
        return level;
    }

    /** Where it is over. */
    long end(int phrase) {
        return ends[phrase];
    }
}

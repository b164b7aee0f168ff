package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import linnet.Rig;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.demo.Performance;
import linnet.demo.Truth;
import linnet.dsp.Samples;
import linnet.hear.Mark;

/** What the tests of the clean-up share: takes with marks, and what of a take was touched. */
final class Tidied {
    static final int RATE = 48000;

    private static final Set<Mark.Kind> WORDS = EnumSet.of(Mark.Kind.SIBILANT, Mark.Kind.PLOSIVE, Mark.Kind.STOP, Mark.Kind.VOWEL);

    private Tidied() {}

    static Samples voice(String name) throws IOException {
        try (WavFile file = WavFile.open(Voices.file(name + ".wav"))) {
            double[][] x = new double[file.channels()][(int) file.frames()];
            file.read(0, x, x[0].length);
            return new Samples(file.rate(), x);
        }
    }

    static Samples take(Performance p) {
        return new Samples(p.rate(), p.samples());
    }

    /** The phrases, breaths and pops that the singer made. */
    static List<Mark> marks(Performance p) {
        List<Mark> marks = new ArrayList<>();
        p.truth().lines().forEach(l -> marks.add(mark(Mark.Kind.PHRASE, p.rate(), l.start(), l.end())));
        for (Truth.Event e : p.truth().breaths()) marks.add(mark(Mark.Kind.BREATH, p.rate(), e.start(), e.end()));
        for (Truth.Event e : p.truth().pops()) marks.add(mark(Mark.Kind.PLOSIVE, p.rate(), e.start(), e.end()));
        return marks;
    }

    static Mark mark(Mark.Kind kind, double rate, double from, double to) {
        return new Mark(kind, Math.round(from * rate), Math.round(to * rate), 1, false);
    }

    /** Breaths that no mark of a consonant or a vowel meets: of the others a step leaves to the word what is the word's. */
    static List<Mark> clearBreaths(List<Mark> marks) {
        return marks.stream()
                .filter(b -> b.kind() == Mark.Kind.BREATH && marks.stream()
                        .noneMatch(m -> WORDS.contains(m.kind()) && m.from() <= b.to() && m.to() >= b.from())).toList();
    }

    static double db(double[] x, long from, long to) {
        double sum = 0;
        for (long i = from; i < to; i++) sum += x[(int) i] * x[(int) i];
        return 10 * Math.log10(sum / (to - from));
    }

    /** Outside these stretches not a bit differs. */
    static void assertSameOutside(double[] x, double[] y, List<long[]> stretches) {
        boolean[] free = new boolean[x.length];
        for (long[] s : stretches) for (long i = Math.max(0, s[0]); i < Math.min(x.length, s[1]); i++) free[(int) i] = true;
        for (int i = 0; i < x.length; i++) if (!free[i]) assertEquals(x[i], y[i], 0, "sample " + i);
    }

    static String found(Rig.Result result) {
        return result.rendered().resolved().toString();
    }
}

package linnet.dsp.pitch;

import java.util.Arrays;
import linnet.dsp.Cell;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;

/**
 * Which periods of a voice hold a burst, as that of a t or k or a click of the lips: of what lies above the harmonics they have {@link #SUDDEN} times as much
 * as the second period before them and the second after, so that one on the border of two periods is in both. Heard twice it is a stutter, and left out the
 * consonant is gone, where any other period may be either.
 */
final class Bursts {
    /** The limit is judged on voices: breath and vowels swing by less from one period to the next but one. */
    private static final double SUDDEN = 8;
    private static final double SETTLE_S = 0.005;
    /** Share of the rate above which there is nothing to hear. */
    private static final double HIGHEST = 0.45;
    private static final int ORDER = 4;

    private Bursts() {}

    /**
     * Of each of the marks, the middle of the burst in the sound from {@code late} of the way from the mark before to {@code late} of the way to the
     * next, in samples; not a number where it has none, as the first two and the last two.
     *
     * @param from Hz above which they are heard; in a sound that ends below there are none
     */
    static double[] at(double[] marks, double late, Sound sound, double from) {
        double[] at = new double[marks.length];
        Arrays.fill(at, Double.NaN);
        if (from > HIGHEST * sound.rate()) return at;
        double[] energy = new double[marks.length], middle = new double[marks.length];
        hear(marks, late, sound, from, energy, middle);
        for (int i = 2; i < marks.length - 2; i++) {
            if (energy[i] > SUDDEN * energy[i - 2] && energy[i] > SUDDEN * energy[i + 2]) at[i] = marks[0] + middle[i] / energy[i];
        }
        return at;
    }

    private static void hear(double[] marks, double late, Sound sound, double from, double[] energy, double[] middle) {
        double[][] x = new double[sound.channels()][Cell.LENGTH];
        Cascade[] high = new Cascade[x.length];
        for (int c = 0; c < high.length; c++) high[c] = new Cascade(Butterworth.highPass(sound.rate(), from, ORDER));
        Sound around = new Excerpt(sound, 0, sound.frames());
        long begin = (long) Math.ceil(marks[0]), end = (long) marks[marks.length - 1];
        int mark = 0;
        for (long at = begin - (long) (SETTLE_S * sound.rate()); at < end; at += Cell.LENGTH) {
            around.read(at, x, Cell.LENGTH);
            for (int c = 0; c < x.length; c++) high[c].process(x[c], Cell.LENGTH);
            for (long t = Math.max(at, begin); t < Math.min(at + Cell.LENGTH, end); t++) {
                while (mark + 1 < marks.length && t >= marks[mark] + late * (marks[mark + 1] - marks[mark])) mark++;
                for (double[] channel : x) {
                    double e = channel[(int) (t - at)] * channel[(int) (t - at)];
                    energy[mark] += e;
                    middle[mark] += e * (t - marks[0]);
                }
            }
        }
    }
}

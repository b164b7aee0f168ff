package linnet.demo;

import java.util.ArrayList;
import java.util.List;

/**
 * Throat, mouth and nose: formants in cascade, as in a tube closed at one end. Five move; those above stand still up to the
 * end of hearing, so that the highs are a tube's and not a low-pass filter's. Two dips: of the side cavities above the
 * larynx near 4.5 kHz (J. Dang, K. Honda, JASA 101(1), 1997), and of the closed mouth while the nose sounds.
 */
final class Tract {
    private static final double NOSE_POLE = 280;
    private static final double NOSE_ZERO = 900;

    private Tract() {}

    /** Filters in place, a millisecond at a time. */
    static void shape(double[] x, double rate, Articulation mouth, Singer singer) {
        Resonator[] formant = new Resonator[Articulation.FORMANTS];
        for (int f = 0; f < formant.length; f++) {
            formant[f] = new Resonator(rate, mouth.formant[f].value[0], Articulation.bandwidth(f));
        }
        Resonator pole = new Resonator(rate, NOSE_POLE, 90);
        Resonator zero = new Resonator(rate, NOSE_POLE, 90);
        int from = 0;
        for (int at = 1; from < x.length; at++) {
            int to = Math.min(x.length, (int) Math.round(at * rate / Track.RATE));
            double nasal = mouth.nasal.value[at];
            pole.resonate(x, from, to);
            zero.tune(NOSE_POLE + nasal * (NOSE_ZERO - NOSE_POLE), 90 + 60 * nasal).antiresonate(x, from, to);
            for (int f = 0; f < formant.length; f++) {
                double width = mouth.damping.value[at] * Articulation.bandwidth(f);
                formant[f].tune(mouth.formant[f].value[at], width).resonate(x, from, to);
            }
            from = to;
        }
        for (Resonator f : upper(rate, singer)) f.resonate(x, 0, x.length);
        double side = 4000 + 700 * singer.tract();
        new Resonator(rate, side, 500).antiresonate(x, 0, x.length);
        new Resonator(rate, side * 1.06, 900).resonate(x, 0, x.length);
    }

    /** Every 1.0 kHz (a man's 17 cm) to 1.15 kHz (a woman's 15 cm), ever wider. */
    private static List<Resonator> upper(double rate, Singer singer) {
        double spacing = 1000 + 150 * singer.tract();
        double last = Math.min(20_000, 0.45 * rate);
        List<Resonator> upper = new ArrayList<>();
        for (double hz = 4400 + 1700 * singer.tract(); hz < last; hz += spacing) {
            upper.add(new Resonator(rate, hz, 0.09 * hz));
        }
        return upper;
    }
}

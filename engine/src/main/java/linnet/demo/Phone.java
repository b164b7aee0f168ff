package linnet.demo;

import static linnet.demo.Phone.Manner.APPROXIMANT;
import static linnet.demo.Phone.Manner.ASPIRATE;
import static linnet.demo.Phone.Manner.FRICATIVE;
import static linnet.demo.Phone.Manner.NASAL;
import static linnet.demo.Phone.Manner.STOP;
import static linnet.demo.Phone.Manner.VOWEL;

import java.util.Locale;

/**
 * What a mouth can do. Vowels carry five formants for a low and a high voice: a, e, i, o, u from the widely circulated
 * table of sung formants (tenor, soprano), the others F1 to F3 from G. Peterson, H. Barney, JASA 24, 1952 (men, women).
 * Consonants carry the place the formants head for (by ear and practice), and the noise they make: peaks of the fricatives
 * after A. Jongman, R. Wayland, S. Wong, JASA 108(3), 2000.
 */
enum Phone {
    A(vowel(650, 1080, 2650, 2900, 3250), vowel(800, 1150, 2900, 3900, 4950)),
    E(vowel(400, 1700, 2600, 3200, 3580), vowel(350, 2000, 2800, 3600, 4950)),
    I(vowel(290, 1870, 2800, 3250, 3540), vowel(270, 2140, 2950, 3900, 4950)),
    O(vowel(400, 800, 2600, 2800, 3000), vowel(450, 800, 2830, 3800, 4950)),
    U(vowel(350, 600, 2700, 2900, 3300), vowel(325, 700, 2700, 3800, 4950)),
    IH(vowel(390, 1990, 2550, 3250, 3540), vowel(430, 2480, 3070, 3900, 4950)),
    EH(vowel(530, 1840, 2480, 3200, 3580), vowel(610, 2330, 2990, 3900, 4950)),
    AE(vowel(660, 1720, 2410, 3200, 3580), vowel(860, 2050, 2850, 3900, 4950)),
    AW(vowel(570, 840, 2410, 2900, 3250), vowel(590, 920, 2710, 3800, 4950)),
    UU(vowel(440, 1020, 2240, 2900, 3300), vowel(470, 1160, 2680, 3800, 4950)),
    UH(vowel(640, 1190, 2390, 2900, 3250), vowel(760, 1400, 2780, 3900, 4950)),
    ER(vowel(490, 1350, 1690, 3000, 3400), vowel(500, 1640, 1960, 3800, 4950)),

    M(NASAL, true, 80, 260, 1100, 2300, -5),
    N(NASAL, true, 75, 270, 1650, 2600, -5),
    NG(NASAL, true, 80, 270, 2100, 2600, -5),
    L(APPROXIMANT, true, 75, 370, 1150, 2900, -5),
    R(APPROXIMANT, true, 75, 390, 1250, 1800, -4),
    W(APPROXIMANT, true, 75, 330, 720, 2400, -5),
    Y(APPROXIMANT, true, 70, 300, 2400, 3100, -4),
    H(ASPIRATE, false, 75, 0, 0, 0, -14),

    S(FRICATIVE, false, 125, 300, 1850, 2700, -5, noise(6839, 1500, 0), noise(9400, 2600, -2)),
    Z(FRICATIVE, true, 85, 300, 1850, 2700, -16, noise(6839, 1500, 0), noise(9400, 2600, -2)),
    SH(FRICATIVE, false, 140, 300, 1950, 2700, -6, noise(3820, 800, 0), noise(6000, 1600, -3)),
    F(FRICATIVE, false, 95, 300, 1000, 2300, -22, noise(7733, 4000, 0), noise(1500, 1000, -6)),
    V(FRICATIVE, true, 65, 300, 1000, 2300, -28, noise(7733, 4000, 0), noise(1500, 1000, -6)),
    TH(FRICATIVE, false, 90, 300, 1450, 2600, -24, noise(7470, 4500, 0), noise(1700, 1200, -6)),
    DH(FRICATIVE, true, 50, 300, 1450, 2600, -30, noise(7470, 4500, 0), noise(1700, 1200, -6)),

    P(STOP, false, 70, 260, 900, 2300, -15, noise(900, 900, 0), noise(3000, 3500, -8)),
    T(STOP, false, 65, 280, 1850, 2700, -11, noise(4600, 2400, 0), noise(7500, 3000, -3)),
    K(STOP, false, 65, 260, 2100, 2500, -13, noise(1900, 500, 0), noise(4500, 2500, -9)),
    B(STOP, true, 60, 260, 900, 2300, -20, noise(900, 900, 0), noise(3000, 3500, -8)),
    D(STOP, true, 50, 280, 1850, 2700, -17, noise(4300, 2400, 0), noise(7500, 3000, -4)),
    G(STOP, true, 55, 260, 2100, 2500, -18, noise(1900, 500, 0), noise(4500, 2500, -9));

    enum Manner { VOWEL, NASAL, APPROXIMANT, ASPIRATE, FRICATIVE, STOP }

    /** A band of turbulence. */
    record Band(double hz, double bandwidthHz, double db) {}

    final Manner manner;
    final boolean voiced;
    /** How long a consonant takes when there is time; for a stop, its closure. */
    final double seconds;
    /** Level beside the vowels: of the voice in nasals and liquids, of the noise in fricatives and bursts. */
    final double db;
    private final double[] low;
    private final double[] high;
    private final Band[] bands;

    Phone(double[] low, double[] high) {
        manner = VOWEL;
        voiced = true;
        seconds = 0;
        db = 0;
        this.low = low;
        this.high = high;
        bands = new Band[0];
    }

    Phone(Manner manner, boolean voiced, double ms, double f1, double f2, double f3, double db, Band... bands) {
        this.manner = manner;
        this.voiced = voiced;
        seconds = ms / 1000;
        this.db = db;
        low = vowel(0.9 * f1, 0.86 * f2, 0.86 * f3, 3000, 3500);
        high = vowel(f1, f2, f3, 3800, 4950);
        this.bands = bands;
    }

    static Phone named(String symbol) {
        return valueOf(symbol.toUpperCase(Locale.ROOT));
    }

    boolean isVowel() {
        return manner == VOWEL;
    }

    boolean isSibilant() {
        return this == S || this == Z || this == SH;
    }

    /** A formant in Hz, 0 to 4, for a tract between the low voice (0) and the high voice (1). */
    double formant(int i, double tract) {
        return low[i] + tract * (high[i] - low[i]);
    }

    Band[] bands() {
        return bands.clone();
    }

    /** How far the place of a consonant gives way to the vowel that follows, 0 to 1. */
    double givesWay() {
        return switch (manner) {
            case VOWEL, APPROXIMANT -> 0;
            case NASAL, FRICATIVE, STOP -> 0.4;
            case ASPIRATE -> 1;
        };
    }

    private static double[] vowel(double... hz) {
        return hz;
    }

    private static Band noise(double hz, double bandwidthHz, double db) {
        return new Band(hz, bandwidthHz, db);
    }
}

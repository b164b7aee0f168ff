package linnet.demo;

import static java.lang.StrictMath.PI;
import static java.lang.StrictMath.exp;
import static java.lang.StrictMath.sin;

/**
 * The shape of one glottal cycle: the derivative of the flow by the model of G. Fant, J. Liljencrants, Q. Lin, "A
 * four-parameter model of glottal flow", STL-QPSR 4/1985. Times are fractions of the cycle, the negative peak is 1:
 * <pre>{@code
 *   E(t) = e0 exp(a t) sin(pi t / tp)                                      0 ≤ t ≤ te
 *   E(t) = -(exp(-eps (t - te)) - exp(-eps (1 - te))) / (eps ta)          te < t ≤ 1
 * }</pre>
 *
 * @param tp peak of the flow
 * @param te the main excitation
 * @param ta time constant of the return: a cut of the highs from 1 / (2 pi ta)
 * @param eps decay of the return, from eps ta = 1 - exp(-eps (1 - te))
 * @param a growth of the opening, such that a cycle leaves no net flow derivative
 * @param e0 scale of the opening
 */
record Pulse(double tp, double te, double ta, double eps, double a, double e0) {

    /** The shape with these times; {@code tp < te < 1}, {@code 0 < ta < 1 - te}. */
    static Pulse of(double tp, double te, double ta) {
        double eps = 1 / ta;
        for (int i = 0; i < 60; i++) eps = (1 - exp(-eps * (1 - te))) / ta;
        double end = exp(-eps * (1 - te));
        double back = -((1 - end) / eps - (1 - te) * end) / (eps * ta);
        double low = -20;
        double high = 60;
        for (int i = 0; i < 60; i++) {
            double a = 0.5 * (low + high);
            if (opening(tp, te, a) + back > 0) low = a;
            else high = a;
        }
        double a = 0.5 * (low + high);
        return new Pulse(tp, te, ta, eps, a, -1 / (exp(a * te) * sin(PI * te / tp)));
    }

    /**
     * The shape by the one parameter of G. Fant, "The LF-model revisited", STL-QPSR 2-3/1995: 0.5 is pressed, 1 usual, 2.7
     * breathy.
     */
    static Pulse ofRd(double rd) {
        double ra = (-1 + 4.8 * rd) / 100;
        double rk = (22.4 + 11.8 * rd) / 100;
        double rg = rk / (4 * (0.11 * rd / (0.5 + 1.2 * rk) - ra));
        double tp = 1 / (2 * rg);
        return of(tp, tp * (1 + rk), ra);
    }

    /** How much the slope changes at the main excitation. */
    double bend() {
        double w = PI / tp;
        double before = -(a + w * StrictMath.cos(w * te) / sin(w * te));
        return 1 / ta - before;
    }

    /** The integral of the opening phase, scaled so that E(te) = -1; it falls as a grows. */
    private static double opening(double tp, double te, double a) {
        double w = PI / tp;
        double sine = sin(w * te);
        double integral = (a * sine - w * StrictMath.cos(w * te) + w * exp(-a * te)) / (a * a + w * w);
        return -integral / sine;
    }
}

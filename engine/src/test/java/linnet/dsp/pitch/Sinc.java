package linnet.dsp.pitch;

/** Readings between samples by the formula: a sinc under a Kaiser window (J. Kaiser, 1974), divided by the sum of its weights. */
final class Sinc {
    private Sinc() {}

    /** @param cut share of the band that passes */
    static double read(double[] x, double at, double cut, int side, double stopDb) {
        double beta = 0.1102 * (stopDb - 8.7), sum = 0, weights = 0;
        for (int i = (int) Math.floor(at) - side + 1; i <= Math.floor(at) + side; i++) {
            double far = at - i, angle = Math.PI * cut * far, share = Math.abs(far / side);
            double weight = (far == 0 ? 1 : Math.sin(angle) / angle) * (share >= 1 ? 1 : bessel(beta * Math.sqrt(1 - share * share))) / bessel(beta);
            weights += weight;
            sum += i < 0 || i >= x.length ? 0 : weight * x[i];
        }
        return sum / weights;
    }

    private static double bessel(double x) {
        double sum = 0, term = 1;
        for (int k = 1; k < 60; k++) {
            sum += term;
            term *= x * x / (4.0 * k * k);
        }
        return sum;
    }
}

package linnet.dsp.repair;

/** The complex amplitude of one tone from node to node. Where it is nothing for long it takes no memory. */
final class Nodes {
    private static final int PIECE = 256;

    private final int count;
    private final double[][] re, im;

    Nodes(int count) {
        this.count = count;
        re = new double[(count + PIECE - 1) / PIECE][];
        im = new double[re.length][];
    }

    void set(int n, double re, double im) {
        int piece = n / PIECE;
        if (this.re[piece] == null) {
            this.re[piece] = new double[PIECE];
            this.im[piece] = new double[PIECE];
        }
        this.re[piece][n % PIECE] = re;
        this.im[piece][n % PIECE] = im;
    }

    double re(int n) {
        return at(re, n);
    }

    double im(int n) {
        return at(im, n);
    }

    double power(int n) {
        double a = re(n), b = im(n);
        return a * a + b * b;
    }

    /** Of all nodes, as an array of its own. */
    double[] re() {
        return all(re);
    }

    double[] im() {
        return all(im);
    }

    private static double at(double[][] pieces, int n) {
        double[] piece = pieces[n / PIECE];
        return piece == null ? 0 : piece[n % PIECE];
    }

    private double[] all(double[][] pieces) {
        double[] all = new double[count];
        for (int n = 0; n < count; n++) all[n] = at(pieces, n);
        return all;
    }
}

package linnet.report;

/**
 * Colours for levels, even to the eye: in the space OKLab (B. Ottosson, "A perceptual color space for image processing", 2020)
 * the lightness of a scale rises in a straight line, and its hue lies on the axis from blue to yellow, which red-green colour
 * blindness leaves alone. In grey print the order stays.
 */
final class ColourScale {
    private static final int STEPS = 256;

    private ColourScale() {}

    /** For levels, from the colour of a light page down to dark: six hexadecimal digits a step, 256 steps. */
    static String onLight() {
        return scale(new double[] {0.985, 0, 0.012}, new double[] {0.62, 0.015, 0.075}, new double[] {0.255, 0.01, -0.09});
    }

    /** For levels, from the colour of a dark page up to light. */
    static String onDark() {
        return scale(new double[] {0.2, 0, -0.012}, new double[] {0.575, -0.01, -0.075}, new double[] {0.95, 0.005, 0.1});
    }

    /** For differences on a light page: blue is less, amber is more, the page's own colour is none. */
    static String differenceOnLight() {
        return scale(new double[] {0.42, -0.01, -0.14}, new double[] {0.985, 0, 0.008}, new double[] {0.42, 0.07, 0.085});
    }

    /** For differences on a dark page. */
    static String differenceOnDark() {
        return scale(new double[] {0.8, -0.03, -0.12}, new double[] {0.2, 0, -0.008}, new double[] {0.8, 0.05, 0.14});
    }

    /** Straight lines in OKLab from the first colour by the middle one to the last. */
    private static String scale(double[] first, double[] middle, double[] last) {
        StringBuilder hex = new StringBuilder(6 * STEPS);
        for (int i = 0; i < STEPS; i++) {
            double at = 2.0 * i / (STEPS - 1);
            double[] from = at < 1 ? first : middle;
            double[] to = at < 1 ? middle : last;
            double share = at < 1 ? at : at - 1;
            double[] lab = new double[3];
            for (int k = 0; k < 3; k++) lab[k] = from[k] + share * (to[k] - from[k]);
            hex.append(String.format("%06x", rgb(lab[0], lab[1], lab[2])));
        }
        return hex.toString();
    }

    /** The sRGB colour nearest to an OKLab one. */
    private static int rgb(double lightness, double a, double b) {
        double l = cube(lightness + 0.3963377774 * a + 0.2158037573 * b);
        double m = cube(lightness - 0.1055613458 * a - 0.0638541728 * b);
        double s = cube(lightness - 0.0894841775 * a - 1.2914855480 * b);
        int red = eightBits(4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s);
        int green = eightBits(-1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s);
        int blue = eightBits(-0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s);
        return red << 16 | green << 8 | blue;
    }

    private static double cube(double x) {
        return x * x * x;
    }

    /** Linear light as a number of the sRGB curve (IEC 61966-2-1). */
    private static int eightBits(double linear) {
        double x = Math.max(0, Math.min(1, linear));
        double curved = x <= 0.0031308 ? 12.92 * x : 1.055 * Math.pow(x, 1 / 2.4) - 0.055;
        return (int) Math.round(255 * curved);
    }
}

package linnet.report;

import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** Against another measure of lightness than the one the scale is made with: CIE 1976 L* (CIE 15). */
class ColourScaleTest {
    @Test
    void levelsGoEvenlyFromLightToDarkAndFromDarkToLight() {
        even(ColourScale.onLight(), 0, 255, -1);
        even(ColourScale.onDark(), 0, 255, +1);
    }

    @Test
    void differencesLeaveTheColourOfThePageEvenlyOnBothSides() {
        even(ColourScale.differenceOnLight(), 0, 127, +1);
        even(ColourScale.differenceOnLight(), 128, 255, -1);
        even(ColourScale.differenceOnDark(), 0, 127, -1);
        even(ColourScale.differenceOnDark(), 128, 255, +1);
    }

    /** In sixteen parts no part rises less than half, or more than twice, what it should. */
    private static void even(String hex, int from, int to, int sign) {
        double whole = sign * (lightness(hex, to) - lightness(hex, from));
        assertTrue(whole > 45, "only " + whole);
        for (int part = 0; part < 16; part++) {
            int a = from + part * (to - from) / 16, b = from + (part + 1) * (to - from) / 16;
            double step = sign * (lightness(hex, b) - lightness(hex, a));
            double share = step / whole * (to - from) / (b - a);
            assertTrue(share > 0.5 && share < 2, part + ": " + share);
        }
    }

    private static double lightness(String hex, int i) {
        int rgb = Integer.parseInt(hex.substring(6 * i, 6 * i + 6), 16);
        double y = 0.2126 * linear(rgb >> 16) + 0.7152 * linear(rgb >> 8 & 255) + 0.0722 * linear(rgb & 255);
        return y > 216.0 / 24389 ? 116 * Math.cbrt(y) - 16 : y * 24389 / 27;
    }

    private static double linear(int eightBits) {
        double x = eightBits / 255.0;
        return x <= 0.04045 ? x / 12.92 : Math.pow((x + 0.055) / 1.055, 2.4);
    }
}

package linnet.report;

import java.util.Locale;

/** Numbers as a page shows them. */
final class Figure {
    private Figure() {}

    /** With so many decimals and a true minus; "none" where there is no number. */
    static String of(double value, int places) {
        if (!Double.isFinite(value)) return "none";
        String text = String.format(Locale.ROOT, "%." + places + "f", value).replace("-", "−");
        return text.matches("−0(\\.0*)?") ? text.substring(1) : text;
    }

    /** A change: with its sign. */
    static String change(double value, int places) {
        String text = of(value, places);
        return Double.isFinite(value) && value > 0 && !text.matches("0(\\.0*)?") ? "+" + text : text;
    }

    static String hz(double hz) {
        return hz < 995 ? Math.round(hz) + " Hz" : String.format(Locale.ROOT, "%.3g", hz / 1000).replaceFirst("\\.0+$", "") + " kHz";
    }
}

package linnet.report;

import java.util.Locale;
import java.util.function.DoubleUnaryOperator;

/**
 * A picture in lines, as SVG that stretches to any width while its words and strokes keep their size. Places are shares of the
 * width and height, from 0 at the left or top to 1.
 */
final class Plot {
    /** Share of the height for the picture; the words of the x axis stand below it. */
    private static final double TOP = 0.05, HEIGHT = 0.84;

    private final DoubleUnaryOperator across, down;
    private final StringBuilder back = new StringBuilder(), lines = new StringBuilder(), words = new StringBuilder();
    private int places;

    /**
     * @param across from a value to its share of the width
     * @param down from a value to its share of the height
     */
    Plot(DoubleUnaryOperator across, DoubleUnaryOperator down) {
        this.across = across;
        this.down = down;
    }

    /** From the lowest to the highest value in even steps. */
    static DoubleUnaryOperator even(double from, double to) {
        return v -> (v - from) / (to - from);
    }

    /** In even ratios, as pitch is heard. */
    static DoubleUnaryOperator ratios(double from, double to) {
        return v -> Math.log(v / from) / Math.log(to / from);
    }

    /** A line across with its value to the left of the picture, where the style leaves room. */
    void level(double y, String word, boolean strong) {
        double at = TOP + HEIGHT * down.applyAsDouble(y);
        back.append("<line class=\"").append(strong ? "zero" : "grid").append("\" x1=\"0\" x2=\"100%\" y1=\"").append(percent(at)).append("\" y2=\"")
                .append(percent(at)).append("\"/>");
        words.append("<text class=\"rung\" x=\"-8\" y=\"").append(percent(at)).append("\" dy=\"4\">").append(HtmlText.escaped(word)).append("</text>");
    }

    /** A line down with its value below; of every second value a narrow screen shows the line only. */
    void place(double x, String word) {
        double at = across.applyAsDouble(x);
        back.append("<line class=\"grid\" x1=\"").append(percent(at)).append("\" x2=\"").append(percent(at)).append("\" y1=\"").append(percent(TOP))
                .append("\" y2=\"").append(percent(TOP + HEIGHT)).append("\"/>");
        words.append("<text").append(places++ % 2 == 0 ? "" : " class=\"between\"").append(" x=\"").append(percent(at)).append("\" y=\"98%\" text-anchor=\"")
                .append(at < 0.03 ? "start" : at > 0.97 ? "end" : "middle").append("\">").append(HtmlText.escaped(word)).append("</text>");
    }

    /** A stretch that is shaded from top to bottom. */
    void stretch(double from, double to) {
        double x = across.applyAsDouble(from);
        back.append("<rect class=\"stretch\" x=\"").append(percent(x)).append("\" width=\"").append(percent(across.applyAsDouble(to) - x)).append("\" y=\"")
                .append(percent(TOP)).append("\" height=\"").append(percent(HEIGHT)).append("\"/>");
    }

    /** A place that is pointed at. */
    void mark(double x) {
        String at = percent(across.applyAsDouble(x));
        words.append("<line class=\"mark\" x1=\"").append(at).append("\" x2=\"").append(at).append("\" y1=\"").append(percent(TOP)).append("\" y2=\"")
                .append(percent(TOP + HEIGHT)).append("\"/>");
    }

    /** A line through points; it breaks where one is not finite. */
    void line(String style, double[] x, double[] y) {
        lines.append("<path class=\"").append(style).append("\" d=\"").append(path(x, y)).append("\"/>");
    }

    /** What lies between the points and a level. */
    void area(double[] x, double[] y, double level) {
        String base = coordinate(down.applyAsDouble(level));
        lines.append("<path class=\"area\" d=\"M").append(coordinate(across.applyAsDouble(x[0]))).append(' ').append(base)
                .append(path(x, y).replaceFirst("M", "L"))
                .append('L').append(coordinate(across.applyAsDouble(x[x.length - 1]))).append(' ').append(base).append("Z\"/>");
    }

    private String path(double[] x, double[] y) {
        StringBuilder path = new StringBuilder();
        boolean drawn = false;
        for (int i = 0; i < x.length; i++) {
            if (Double.isFinite(y[i])) {
                double held = Math.max(0, Math.min(1, down.applyAsDouble(y[i])));
                path.append(drawn ? 'L' : 'M').append(coordinate(across.applyAsDouble(x[i]))).append(' ').append(coordinate(held));
            }
            drawn = Double.isFinite(y[i]);
        }
        return path.toString();
    }

    private static String coordinate(double share) {
        return String.format(Locale.ROOT, "%.1f", 1000 * share).replaceFirst("\\.0$", "");
    }

    private static String percent(double share) {
        return String.format(Locale.ROOT, "%.2f%%", 100 * share);
    }

    /**
     * The picture.
     *
     * @param style its class beside those of every picture
     * @param alternative what it shows, in words
     */
    String svg(String style, String alternative) {
        return "<svg class=\"plot drawn " + style + "\" role=\"img\" aria-label=\"" + HtmlText.escaped(alternative) + "\">" + back
                + "<svg y=\"" + percent(TOP) + "\" width=\"100%\" height=\"" + percent(HEIGHT) + "\" viewBox=\"0 0 1000 1000\" preserveAspectRatio=\"none\">"
                        + lines + "</svg>" + words + "</svg>";
    }
}

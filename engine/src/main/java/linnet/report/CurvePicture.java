package linnet.report;

import java.awt.Color;
import java.io.IOException;
import java.io.OutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import linnet.step.Curve;
import org.knowm.xchart.BitmapEncoder;
import org.knowm.xchart.BitmapEncoder.BitmapFormat;
import org.knowm.xchart.VectorGraphicsEncoder;
import org.knowm.xchart.VectorGraphicsEncoder.VectorGraphicsFormat;
import org.knowm.xchart.XYChart;
import org.knowm.xchart.XYChartBuilder;
import org.knowm.xchart.style.Styler.LegendPosition;
import org.knowm.xchart.style.markers.SeriesMarkers;

/** Draws the curves of a step: a response over frequency, or output level over input level. */
public final class CurvePicture {
    private static final int POINTS = 600;

    /** Told apart by lightness too, so that they survive print and colour blindness. */
    private static final Color[] COLOURS = {new Color(0x1b4965), new Color(0xb5651d), new Color(0x5a8f69), new Color(0x8e5572), new Color(0x777777)};

    private final String title;
    private final List<Curve> curves;
    private final double[] x;

    /** @param rate samples per second: a response is drawn up to just under its half */
    public CurvePicture(String title, List<Curve> curves, double rate) {
        this.title = title;
        this.curves = List.copyOf(curves);
        this.x = CurvePoints.of(curves.get(0), rate, POINTS).x();
    }

    private boolean isResponse() {
        return curves.get(0).axis() == Curve.Axis.FREQUENCY;
    }

    /** One row a point: the frequency or input level, then one column a curve. */
    public String csv() {
        StringBuilder text = new StringBuilder(isResponse() ? "hz" : "in_dbfs");
        for (Curve c : curves) text.append(isResponse() ? ",gain_db" : ",out_dbfs").append(curves.size() > 1 ? "_" + c.name().replace(' ', '_') : "");
        text.append('\n');
        for (double v : x) {
            text.append(String.format(Locale.ROOT, "%.4f", v));
            for (Curve c : curves) text.append(String.format(Locale.ROOT, ",%.4f", c.of().applyAsDouble(v)));
            text.append('\n');
        }
        return text.toString();
    }

    public void svg(OutputStream out) throws IOException {
        VectorGraphicsEncoder.saveVectorGraphic(chart(), out, VectorGraphicsFormat.SVG);
    }

    public void png(OutputStream out) throws IOException {
        BitmapEncoder.saveBitmap(chart(), out, BitmapFormat.PNG);
    }

    private XYChart chart() {
        XYChart chart = new XYChartBuilder().width(900).height(isResponse() ? 450 : 700).title(title)
                .xAxisTitle(isResponse() ? "Hz" : "level in, dBFS").yAxisTitle(isResponse() ? "gain, dB" : "level out, dBFS").build();
        var style = chart.getStyler();
        style.setChartBackgroundColor(Color.WHITE);
        style.setPlotBorderVisible(false);
        style.setLegendVisible(curves.size() > 1 || !isResponse());
        style.setLegendPosition(LegendPosition.InsideSE);
        style.setXAxisLogarithmic(isResponse());
        style.setXAxisDecimalPattern("###0");
        style.setYAxisDecimalPattern("##0.#");
        style.setSeriesColors(COLOURS);
        if (isResponse()) {
            double top = 6;
            double low = -6;
            for (Curve c : curves) {
                for (double v : x) {
                    double db = c.of().applyAsDouble(v);
                    top = Math.max(top, db);
                    low = Math.min(low, db);
                }
            }
            // A notch goes down without end; what lies below -48 dB says nothing more.
            style.setYAxisMin(Math.max(-48, 6 * Math.floor(low / 6)));
            style.setYAxisMax(6 * Math.ceil(top / 6));
        } else {
            style.setYAxisMin(CurvePoints.QUIETEST_DB);
            style.setYAxisMax(0.0);
            add(chart, "unchanged", x, Color.LIGHT_GRAY);
        }
        for (int i = 0; i < curves.size(); i++) add(chart, curves.get(i).name(), values(curves.get(i)), COLOURS[i % COLOURS.length]);
        return chart;
    }

    private double[] values(Curve curve) {
        double[] y = new double[x.length];
        for (int i = 0; i < y.length; i++) y[i] = Math.max(-200, curve.of().applyAsDouble(x[i]));
        return y;
    }

    private void add(XYChart chart, String name, double[] y, Color colour) {
        List<String> there = new ArrayList<>(chart.getSeriesMap().keySet());
        String unique = there.contains(name) ? name + " " + there.size() : name;
        var series = chart.addSeries(unique, x, y);
        series.setMarker(SeriesMarkers.NONE);
        series.setLineColor(colour);
    }
}

package linnet.report;

import java.io.IOException;
import java.io.Writer;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.IntStream;
import linnet.report.Warnings.Warning;
import linnet.step.Curve;

/**
 * A page that tells what every step of a render did. One file without a script: its policy forbids every request. Where there is a
 * page to listen on beside it, each step leads to its version there.
 */
public final class ReportPage {
    private static final int COLUMNS = 800, POINTS = 160;
    /** What is this far under the loudest band is left out of a spectrum. */
    private static final double SPECTRUM_DB = 60;
    private static final double LEAST_DEPTH_DB = 6;
    private static final double[] TIME_STEPS = {1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200};
    private static final int TIME_PLACES = 8;
    private static final double CURVE_HZ_FROM = 20;
    /** Where a static curve begins. */
    private static final double QUIETEST_DBFS = -80;

    private final String title;
    private final String take;
    private final RenderReport report;
    private final List<Integer> heard;

    /**
     * @param title of the print and its chain; any text at all
     * @param take its name; any text at all
     * @param heard the steps that the page to listen on switches off, in its order, from its second version on; empty without one
     */
    public ReportPage(String title, String take, RenderReport report, List<Integer> heard) {
        this.title = title;
        this.take = take;
        this.report = report;
        this.heard = List.copyOf(heard);
    }

    public void write(Writer out) throws IOException {
        Template.page("report.html", out, title, Template.resource("report.css"), "", place -> {
            switch (place) {
                case "heading" -> out.append(HtmlText.name(title));
                case "passage" -> out.append("From ").append(HtmlText.name(take)).append(", ").append(Clock.tenths(report.covered().from())).append(" to ")
                        .append(Clock.tenths(report.covered().to())).append(", ")
                        .append(Figure.of(report.covered().rate() / 1000, 3).replaceFirst("\\.?0+$", "")).append(" kHz");
                case "made" -> out.append(report.print().print() ? "The print" : "What leaves the chain");
                case "print" -> print(out);
                case "listen" -> {
                    if (!heard.isEmpty()) {
                        out.append("<p><a class=\"hear\" href=\"listen.html\">Listen, with each step switched off, at equal loudness</a></p>");
                    }
                }
                case "warnings" -> warnings(out, report.toLookAt(), true);
                case "steps" -> {
                    for (StepReport s : report.steps()) row(out, s);
                }
                case "sections" -> {
                    for (StepReport s : report.steps()) section(out, s);
                }
                default -> throw new IllegalStateException("nothing goes to " + place);
            }
        });
    }

    private void print(Writer out) throws IOException {
        RenderReport.Printed p = report.print();
        out.append("<dl class=\"figures\">");
        figure(out, "Loudness", Figure.of(p.lufs(), 1) + " LUFS");
        figure(out, "True peak", Figure.of(p.truePeakDbtp(), 1) + " dBTP");
        figure(out, "Sample peak", Figure.of(p.samplePeakDbfs(), 1) + " dBFS");
        figure(out, "Length", Clock.tenths(p.seconds()));
        figure(out, "Channels", p.channels() == 1 ? "mono" : "stereo");
        figure(out, "Rendered in", Figure.of(p.renderSeconds(), 1) + " s");
        out.append("</dl>");
    }

    private static void figure(Writer out, String name, String value) throws IOException {
        out.append("<div><dt>").append(name).append("</dt><dd>").append(value).append("</dd></div>");
    }

    private void warnings(Writer out, List<Warning> warnings, boolean named) throws IOException {
        if (warnings.isEmpty()) {
            if (named) out.append("<p>Nothing stood out.</p>");
            return;
        }
        out.append("<ul class=\"warnings\">");
        for (boolean urgent : new boolean[] {true, false}) {
            for (Warning w : warnings) {
                if (w.urgent() != urgent) continue;
                out.append(urgent ? "<li class=\"urgent\">" : "<li>").append("<span class=\"what\">").append(urgent ? "Warning" : "Worth knowing");
                if (named && w.step() > 0) {
                    String name = report.steps().get(w.step() - 1).name();
                    out.append(" · <a href=\"#step-").append(String.valueOf(w.step())).append("\">").append(String.valueOf(w.step())).append(", ")
                            .append(HtmlText.name(name)).append("</a>");
                }
                out.append("</span><br>").append(HtmlText.escaped(w.text())).append("</li>\n");
            }
        }
        out.append("</ul>");
    }

    private void row(Writer out, StepReport s) throws IOException {
        out.append("<tr><th scope=\"row\"><div class=\"called\"><span class=\"number\">").append(String.valueOf(s.number())).append("</span> <a href=\"#step-")
                .append(String.valueOf(s.number())).append("\">").append(HtmlText.name(s.name())).append("</a></div></th>");
        cell(out, Figure.of(s.lufsBefore(), 1));
        cell(out, Figure.of(s.lufsAfter(), 1));
        cell(out, Figure.change(s.changeLu(), 1));
        cell(out, Figure.of(s.crestBefore(), 1));
        cell(out, Figure.of(s.crestAfter(), 1));
        cell(out, s.reduces() ? Figure.of(report.medianDb(s), 1) : "");
        cell(out, s.reduces() ? Figure.of(report.mostDb(s), 1) : "");
        cell(out, s.wetUnderDryLu().isPresent() ? Figure.of(s.wetUnderDryLu().getAsDouble(), 1) : "");
        cell(out, Figure.of(1000 * (s.workSeconds() + s.hearingSeconds()), 0));
        out.append("</tr>\n");
    }

    private static void cell(Writer out, String text) throws IOException {
        out.append("<td>").append(text).append("</td>");
    }

    private void section(Writer out, StepReport s) throws IOException {
        String id = "step-" + s.number();
        out.append("<section class=\"step\" id=\"").append(id).append("\" aria-labelledby=\"").append(id).append("-title\">\n<h2 id=\"").append(id)
                .append("-title\"><span class=\"number\">").append(String.valueOf(s.number())).append("</span> ").append(HtmlText.name(s.name()));
        out.append("</h2>\n<p class=\"given\">").append(HtmlText.escaped(s.word() + ": " + s.given().text())).append("</p>\n");
        warnings(out, report.warnings(s.number()), false);
        if (heard.contains(s.number())) {
            int version = heard.indexOf(s.number()) + 2;
            out.append("<p><a class=\"hear\" href=\"listen.html#version=").append(String.valueOf(version))
                    .append("\">Hear the chain without this step</a></p>\n");
        } else if (!heard.isEmpty()) {
            out.append("<p class=\"hint\">It changes less than those that the page to listen on holds.</p>\n");
        }
        figures(out, s);
        found(out, s);
        out.append("<div class=\"pictures\">");
        spectrum(out, s);
        curves(out, s, Curve.Axis.FREQUENCY);
        curves(out, s, Curve.Axis.LEVEL);
        out.append("</div>");
        if (s.reduces()) reduction(out, s);
        bands(out, s);
        out.append("<p class=\"hint\">It worked for ").append(Figure.of(1000 * s.workSeconds(), 0)).append(" ms");
        if (s.hearingSeconds() >= 0.0005) out.append(" and heard the take for ").append(Figure.of(1000 * s.hearingSeconds(), 0)).append(" ms before");
        out.append(".</p>\n</section>\n");
    }

    private void figures(Writer out, StepReport s) throws IOException {
        out.append("<div class=\"wide\"><table class=\"small\"><thead><tr><th scope=\"col\"><span class=\"unseen\">Figure</span></th><th "
                + "scope=\"col\">Before</th><th scope=\"col\">After</th><th scope=\"col\">Change</th></tr></thead><tbody>");
        figures(out, "Loudness, LUFS", s.lufsBefore(), s.lufsAfter());
        figures(out, "Crest, dB", s.crestBefore(), s.crestAfter());
        out.append("</tbody></table></div>");
        if (s.wetUnderDryLu().isPresent()) {
            out.append("<p>The processed sound lies ").append(Figure.of(s.wetUnderDryLu().getAsDouble(), 1)).append(" LU under the dry one.</p>");
        }
    }

    private static void figures(Writer out, String name, double before, double after) throws IOException {
        out.append("<tr><th scope=\"row\">").append(name).append("</th>");
        cell(out, Figure.of(before, 1));
        cell(out, Figure.of(after, 1));
        cell(out, Double.isFinite(after - before) ? Figure.change(after - before, 1) : "");
        out.append("</tr>");
    }

    private static void found(Writer out, StepReport s) throws IOException {
        if (s.found().isEmpty()) return;
        out.append("<div class=\"wide\"><table class=\"small\"><caption>Found by hearing this take</caption><thead><tr><th scope=\"col\">Setting</th><th "
                + "scope=\"col\" class=\"text\">In the text</th><th scope=\"col\" class=\"text\">Here</th></tr></thead><tbody>");
        for (StepReport.Found f : s.found()) {
            out.append("<tr><th scope=\"row\">").append(HtmlText.escaped(f.setting())).append("</th><td class=\"text\">").append(HtmlText.escaped(f.given()))
                    .append("</td><td class=\"text\">").append(HtmlText.escaped(f.value())).append("</td></tr>");
        }
        out.append("</tbody></table></div>\n");
    }

    private void spectrum(Writer out, StepReport s) throws IOException {
        double[] hz = Spectrum.bandsHz(report.covered().rate()), before = s.bandsBefore(), after = s.bandsAfter();
        double top = 6 * Math.ceil(IntStream.range(0, hz.length).mapToDouble(k -> Math.max(before[k], after[k])).filter(Double::isFinite).max().orElse(0) / 6);
        Plot plot = new Plot(Plot.ratios(hz[0], hz[hz.length - 1]), Plot.even(top, top - SPECTRUM_DB));
        for (double db = top; db > top - SPECTRUM_DB; db -= 12) plot.level(db, Figure.of(db, 0), false);
        for (double f : new double[] {100, 300, 1000, 3000, 10_000}) if (f < hz[hz.length - 1]) plot.place(f, Figure.hz(f));
        plot.line("reference", hz, before);
        plot.line("heard", hz, after);
        out.append("<figure><figcaption>Third octaves, dBFS ").append(swatch("reference")).append(" before ").append(swatch("heard"))
                .append(" after</figcaption>")
                .append(plot.svg("", "Spectrum before and after in third octaves; " + mostChanged(hz, before, after))).append("</figure>");
    }

    private static String mostChanged(double[] hz, double[] before, double[] after) {
        int most = -1;
        for (int k = 0; k < hz.length; k++) {
            double change = Math.abs(after[k] - before[k]);
            if (Double.isFinite(change) && (most < 0 || change > Math.abs(after[most] - before[most]))) most = k;
        }
        return most < 0 ? "there is nothing to compare." : "most is changed at " + Figure.hz(hz[most]) + ", by " + Figure.change(after[most] - before[most], 1)
                + " dB. The numbers stand in the table below.";
    }

    private static String swatch(String style) {
        return "<svg class=\"swatch\" aria-hidden=\"true\"><line class=\"" + style + "\" x1=\"0\" x2=\"100%\" y1=\"50%\" y2=\"50%\"/></svg>";
    }

    private void curves(Writer out, StepReport s, Curve.Axis axis) throws IOException {
        List<Curve> curves = s.curves().stream().filter(c -> c.axis() == axis).toList();
        if (curves.isEmpty()) return;
        List<CurvePoints> points = curves.stream().map(c -> CurvePoints.of(c, report.covered().rate(), POINTS)).toList();
        boolean response = axis == Curve.Axis.FREQUENCY;
        double[] x = points.get(0).x();
        double most = response
                ? 6 * Math.ceil(Math.max(6, points.stream().flatMapToDouble(p -> Arrays.stream(p.y())).filter(v -> v < 60).max().orElse(0)) / 6) : 0;
        double least = response ? Math.max(-30, Math.min(-12, 6 * Math.floor(points.stream().flatMapToDouble(p -> Arrays.stream(p.y())).min().orElse(0) / 6)))
                : QUIETEST_DBFS;
        Plot plot = response ? new Plot(Plot.ratios(CURVE_HZ_FROM, x[x.length - 1]), Plot.even(most, least))
                : new Plot(Plot.even(QUIETEST_DBFS, 0), Plot.even(0, QUIETEST_DBFS));
        double step = !response ? 20 : most - least <= 24 ? 6 : 12;
        for (double db = most; db > least; db -= step) plot.level(db, response ? Figure.change(db, 0) : Figure.of(db, 0), response && db == 0);
        if (response) for (double f : new double[] {30, 100, 300, 1000, 3000, 10_000}) plot.place(f, Figure.hz(f));
        else for (double db = QUIETEST_DBFS + 20; db <= 0; db += 20) plot.place(db, Figure.of(db, 0));
        if (!response) plot.line("other", new double[] {QUIETEST_DBFS, 0}, new double[] {QUIETEST_DBFS, 0});
        for (int i = 0; i < points.size(); i++) {
            CurvePoints p = points.get(i);
            // What lies outside is not drawn, instead of being pressed to the edge.
            double floor = least;
            double[] y = Arrays.stream(p.y()).map(v -> v < floor ? Double.NaN : v).toArray();
            plot.line(i == 0 ? "heard" : i == 1 ? "reference" : "other", p.x(), y);
        }
        out.append("<figure><figcaption>").append(response ? "Response, dB" : "Output over input, steady, dBFS");
        for (int i = 0; i < curves.size(); i++) {
            if (curves.size() > 1) {
                out.append(' ').append(swatch(i == 0 ? "heard" : i == 1 ? "reference" : "other")).append(' ').append(HtmlText.escaped(curves.get(i).name()));
            }
        }
        out.append("</figcaption>").append(plot.svg("", alternative(points, response))).append("</figure>");
    }

    private static String alternative(List<CurvePoints> points, boolean response) {
        CurvePoints p = points.get(0);
        if (response) {
            int most = 0;
            for (int i = 0; i < p.y().length; i++) if (Math.abs(p.y()[i]) > Math.abs(p.y()[most])) most = i;
            return "Response over frequency; farthest from 0 dB at " + Figure.hz(p.x()[most]) + ": " + Figure.change(p.y()[most], 1) + " dB.";
        }
        return "Static curve; an input of −20 dBFS leaves at " + Figure.of(at(p, -20), 1) + " dBFS, one of 0 dBFS at " + Figure.of(p.y()[p.y().length - 1], 1)
                + " dBFS.";
    }

    private static double at(CurvePoints p, double x) {
        int i = 0;
        while (i < p.x().length - 1 && p.x()[i] < x) i++;
        return p.y()[i];
    }

    private void reduction(Writer out, StepReport s) throws IOException {
        PhraseCells phrases = report.phrases();
        float[] r = s.reductionDb();
        double from = report.covered().from(), to = from + r.length * phrases.cellSeconds();
        double depth = Math.max(LEAST_DEPTH_DB, 6 * Math.ceil(s.deepestDb() / 6));
        Plot plot = new Plot(Plot.even(from, to), Plot.even(0, depth));
        for (PhraseCells.Span p : phrases.phrases()) plot.stretch(from + p.from() * phrases.cellSeconds(), from + p.to() * phrases.cellSeconds());
        double rung = depth <= 6 ? 2 : depth <= 12 ? 3 : depth <= 24 ? 6 : 12;
        for (double db = 0; db < depth; db += rung) plot.level(db, db == 0 ? "0" : "−" + Figure.of(db, 0), db == 0);
        double every = every(to - from);
        for (double t = every * Math.ceil(from / every); t <= to; t += every) plot.place(t, String.format(Locale.ROOT, "%d:%02d", (int) t / 60, (int) t % 60));
        int columns = Math.min(COLUMNS, r.length), deepest = 0;
        double[] x = new double[columns], y = new double[columns];
        for (int i = 0; i < columns; i++) {
            int first = (int) ((long) i * r.length / columns), end = (int) ((i + 1L) * r.length / columns);
            for (int c = first; c < end; c++) {
                y[i] = Math.max(y[i], r[c]);
                if (r[c] > r[deepest]) deepest = c;
            }
            x[i] = from + (first + end) * 0.5 * phrases.cellSeconds();
        }
        plot.area(x, y, 0);
        plot.line("heard", x, y);
        for (Warning w : report.warnings(s.number())) w.at().ifPresent(plot::mark);
        out.append("<figure><figcaption>How far it turns down, dB, over the time of the take; shaded where someone sings</figcaption>");
        out.append(plot.svg("low", "Reduction over time: most at " + Clock.tenths(from + deepest * phrases.cellSeconds()) + ", " + Figure.of(r[deepest], 1)
                + " dB. The numbers of each phrase stand in the table below.")).append("</figure>");
        phrases(out, s);
    }

    private static double every(double seconds) {
        for (double step : TIME_STEPS) if (seconds / step <= TIME_PLACES) return step;
        return TIME_STEPS[TIME_STEPS.length - 1];
    }

    private void phrases(Writer out, StepReport s) throws IOException {
        PhraseCells phrases = report.phrases();
        out.append("<details><summary>Reduction of each phrase</summary><div class=\"wide\"><table class=\"small\"><caption>While someone "
                + "sings.</caption><thead><tr><th scope=\"col\">Phrase</th><th scope=\"col\">Median, dB</th><th scope=\"col\">1 in 20 passes, "
                + "dB</th></tr></thead><tbody>");
        out.append("<tr><th scope=\"row\">All</th>");
        cell(out, Figure.of(report.medianDb(s), 1));
        cell(out, Figure.of(report.mostDb(s), 1));
        out.append("</tr>");
        for (PhraseCells.Span p : phrases.phrases()) {
            out.append("<tr><th scope=\"row\">").append(Clock.tenths(report.covered().from() + p.from() * phrases.cellSeconds())).append(" to ")
                    .append(Clock.tenths(report.covered().from() + p.to() * phrases.cellSeconds())).append("</th>");
            cell(out, Figure.of(s.reductionDb(0.5, phrases.sung(p)), 1));
            cell(out, Figure.of(s.reductionDb(0.95, phrases.sung(p)), 1));
            out.append("</tr>");
        }
        out.append("</tbody></table></div></details>\n");
    }

    private void bands(Writer out, StepReport s) throws IOException {
        double[] hz = Spectrum.bandsHz(report.covered().rate());
        out.append("<details><summary>Spectrum in numbers</summary><div class=\"wide\"><table class=\"small\"><caption>Mean level of each third octave, "
                + "dBFS.</caption><thead><tr><th scope=\"col\">Band</th><th scope=\"col\">Before</th><th scope=\"col\">After</th><th scope=\"col\">Change, "
                + "dB</th></tr></thead><tbody>");
        for (int k = 0; k < hz.length; k++) {
            out.append("<tr><th scope=\"row\">").append(Figure.hz(hz[k])).append("</th>");
            cell(out, Figure.of(s.bandsBefore()[k], 1));
            cell(out, Figure.of(s.bandsAfter()[k], 1));
            cell(out, Double.isFinite(s.bandsAfter()[k] - s.bandsBefore()[k]) ? Figure.change(s.bandsAfter()[k] - s.bandsBefore()[k], 1) : "");
            out.append("</tr>");
        }
        out.append("</tbody></table></div></details>\n");
    }
}

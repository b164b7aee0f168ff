package linnet.report;

import com.google.gson.Gson;
import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.IOException;
import java.io.Writer;
import java.util.Base64;
import java.util.List;
import java.util.Locale;
import linnet.audio.Dither;
import linnet.dsp.Decibels;
import linnet.dsp.Sound;
import linnet.hear.Measured;
import linnet.hear.Meters;
import linnet.step.Curve;

/**
 * A page that plays versions of a passage at equal loudness, shows them and tests the ear. One file: sound, pictures, style and
 * script are in it, and its policy forbids every request and every script but its own.
 */
public final class ComparePage {
    /** One for each number key. */
    public static final int MOST_VERSIONS = 9;
    /** A browser still opens this without trouble. */
    public static final long MOST_BYTES = 100_000_000;

    /** A cut in the middle of a sound would click. */
    private static final double FADE_SECONDS = 0.005;
    /** Below full scale, so that dither does not pass it. */
    private static final double HEADROOM = 0.99;
    private static final int POINTS = 240;

    private final String title;
    private final List<String> remarks;
    private final double from;
    private final List<ComparedVersion> versions;
    private final double rate;
    private final int frames;
    private final Levelled levelled;
    /** The sound on the page is so much larger than it is heard: quiet versions keep all sixteen bits. */
    private final double scale;

    /**
     * @param title what is compared; any text at all
     * @param remarks what holds for all versions, a sentence each
     * @param from seconds at which the passage begins
     * @param versions two or more
     */
    public ComparePage(String title, List<String> remarks, double from, List<ComparedVersion> versions) {
        this.title = title;
        this.remarks = List.copyOf(remarks);
        this.from = from;
        this.versions = List.copyOf(versions);
        this.rate = versions.get(0).sound().rate();
        this.frames = Math.toIntExact(versions.get(0).sound().frames());
        this.levelled = new Levelled(versions.stream().map(ComparedVersion::sound).toList());
        this.scale = levelled.highestDbtp() == Double.NEGATIVE_INFINITY ? 1 : HEADROOM / Decibels.gain(levelled.highestDbtp());
    }

    /** How large a page becomes, about. */
    public static long bytes(long frames, int channels) {
        return frames * channels * 2 * 4 / 3;
    }

    /** False where a version has no loudness, being silent or shorter than 400 ms. */
    public boolean isMatched(int version) {
        return levelled.meters(version).integrated().known();
    }

    public void write(Writer out) throws IOException {
        String script = Template.resource("compare.js");
        Template.page("compare.html", out, title, Template.resource("compare.css"), script, place -> {
            switch (place) {
                case "script" -> out.append(script);
                case "heading" -> out.append(HtmlText.name(title));
                case "passage" -> out.append(passage());
                case "remarks" -> list(out, remarks);
                case "versions" -> buttons(out);
                case "options" -> options(out);
                case "figures" -> figures(out);
                case "bands" -> bands(out);
                case "curves" -> out.append(versions.stream().anyMatch(v -> !v.curves().isEmpty()) ? "" : " hidden");
                case "data" -> out.append(new Gson().toJson(data()));
                case "sounds" -> sounds(out);
                default -> throw new IllegalStateException("nothing goes to " + place);
            }
        });
    }

    private String passage() {
        return Clock.tenths(from) + " to " + Clock.tenths(from + frames / rate) + " of the sound, " + String.format(Locale.ROOT, "%.3f", rate / 1000)
                .replaceFirst("\\.?0+$", "") + " kHz";
    }

    private static void list(Writer out, List<String> remarks) throws IOException {
        if (remarks.isEmpty()) return;
        out.append("<ul class=\"remarks\">");
        for (String r : remarks) out.append("<li><bdi>").append(HtmlText.escaped(r)).append("</bdi></li>");
        out.append("</ul>");
    }

    private void buttons(Writer out) throws IOException {
        for (int i = 0; i < versions.size(); i++) {
            out.append("<li><button type=\"button\" class=\"version\" data-version=\"").append(String.valueOf(i)).append("\" aria-pressed=\"")
                    .append(i == 0 ? "true" : "false")
                    .append("\"><span class=\"number\">").append(String.valueOf(i + 1)).append("</span>").append(HtmlText.name(versions.get(i).name()))
                    .append("<span class=\"gain\">").append(turned(i)).append("</span></button>");
            list(out, versions.get(i).remarks());
            out.append("</li>\n");
        }
    }

    private String turned(int version) {
        double db = levelled.gainDb(version);
        String gain = Math.abs(db) < 0.005 ? "as it is" : String.format(Locale.ROOT, "turned down %.2f dB", -db);
        if (isMatched(version)) return gain;
        return "not matched: it is silent or too short for a loudness" + (db < 0 ? "; " + gain : "");
    }

    private void options(Writer out) throws IOException {
        for (int i = 0; i < versions.size(); i++) {
            String name = versions.get(i).name();
            String shown = name.codePointCount(0, name.length()) > 60 ? name.substring(0, name.offsetByCodePoints(0, 60)) + "…" : name;
            out.append("<option value=\"").append(String.valueOf(i)).append("\">").append(String.valueOf(i + 1)).append(" · ").append(HtmlText.escaped(shown))
                    .append("</option>");
        }
    }

    private void figures(Writer out) throws IOException {
        for (int i = 0; i < versions.size(); i++) {
            Meters m = levelled.meters(i);
            double gain = levelled.gainDb(i);
            out.append("<tr><th scope=\"row\"><div class=\"called\"><span class=\"number\">").append(String.valueOf(i + 1)).append("</span> ")
                    .append(HtmlText.name(versions.get(i).name())).append("</div></th>");
            cell(out, m.integrated(), 0, "%.2f");
            cell(out, Measured.of(gain, 1), 0, "%.2f");
            cell(out, m.integrated(), gain, "%.2f");
            cell(out, m.shortTermMax(), gain, "%.1f");
            cell(out, m.loudnessRange(), 0, "%.1f");
            cell(out, m.truePeak(), gain, "%.1f");
            cell(out, m.crest(), 0, "%.1f");
            out.append("<td>").append(versions.get(i).sound().channels() == 1 ? "mono" : "stereo").append("</td></tr>\n");
        }
    }

    private static void cell(Writer out, Measured<Double> measured, double gain, String format) throws IOException {
        if (measured.known()) cell(out, measured.value().orElseThrow() + gain, format);
        else out.append("<td><span class=\"none\">").append(HtmlText.escaped(measured.reason())).append("</span></td>");
    }

    private static void cell(Writer out, double value, String format) throws IOException {
        String text = Double.isFinite(value) ? String.format(Locale.ROOT, format, value).replace("-", "−") : "none";
        out.append("<td>").append(text.matches("−0\\.0*") ? text.substring(1) : text).append("</td>");
    }

    private void bands(Writer out) throws IOException {
        double[] hz = Spectrum.bandsHz(rate);
        double[][] db = new double[versions.size()][];
        for (int i = 0; i < db.length; i++) db[i] = spectrum(i).bands();
        out.append("<thead><tr><th scope=\"col\">Band</th>");
        for (int i = 0; i < db.length; i++) {
            out.append("<th scope=\"col\"><span class=\"number\">").append(String.valueOf(i + 1)).append("</span><span class=\"unseen\"> ")
                    .append(HtmlText.name(versions.get(i).name())).append("</span></th>");
        }
        out.append("</tr></thead><tbody>");
        for (int k = 0; k < hz.length; k++) {
            out.append("<tr><th scope=\"row\">").append(hz[k] < 995 ? Math.round(hz[k]) + " Hz" : String.format(Locale.ROOT, "%.3g kHz", hz[k] / 1000))
                    .append("</th>");
            for (double[] version : db) cell(out, version[k], "%.1f");
            out.append("</tr>\n");
        }
        out.append("</tbody>");
    }

    private Spectrum spectrum(int version) {
        return new Spectrum(versions.get(version).sound(), Decibels.gain(levelled.gainDb(version)));
    }

    private JsonObject data() {
        JsonObject o = new JsonObject();
        o.addProperty("rate", rate);
        o.addProperty("frames", frames);
        o.addProperty("from", from);
        o.addProperty("scale", scale);
        o.add("bandsHz", array(Spectrum.bandsHz(rate)));
        JsonObject picture = new JsonObject();
        picture.addProperty("columns", Spectrum.COLUMNS);
        picture.addProperty("rows", Spectrum.ROWS);
        picture.addProperty("lowestHz", Spectrum.LOWEST_HZ);
        picture.addProperty("highestHz", Spectrum.highestHz(rate));
        picture.addProperty("floorDb", Spectrum.FLOOR_DB);
        picture.addProperty("stepDb", Spectrum.STEP_DB);
        o.add("picture", picture);
        JsonObject ramps = new JsonObject();
        ramps.addProperty("onLight", ColourScale.onLight());
        ramps.addProperty("onDark", ColourScale.onDark());
        ramps.addProperty("differenceOnLight", ColourScale.differenceOnLight());
        ramps.addProperty("differenceOnDark", ColourScale.differenceOnDark());
        o.add("ramps", ramps);
        JsonArray all = new JsonArray();
        for (int i = 0; i < versions.size(); i++) all.add(version(i));
        o.add("versions", all);
        return o;
    }

    private JsonObject version(int i) {
        ComparedVersion v = versions.get(i);
        JsonObject o = new JsonObject();
        o.addProperty("name", v.name());
        o.addProperty("channels", v.sound().channels());
        o.addProperty("gainDb", levelled.gainDb(i));
        o.addProperty("matched", isMatched(i));
        o.add("bandsDb", array(spectrum(i).bands()));
        o.addProperty("picture", Base64.getEncoder().encodeToString(spectrum(i).picture()));
        JsonArray curves = new JsonArray();
        for (Curve c : v.curves()) {
            CurvePoints points = CurvePoints.of(c, rate, POINTS);
            JsonObject curve = new JsonObject();
            curve.addProperty("name", c.name());
            curve.addProperty("axis", c.axis() == Curve.Axis.FREQUENCY ? "frequency" : "level");
            curve.add("x", array(points.x()));
            curve.add("y", array(points.y()));
            curves.add(curve);
        }
        o.add("curves", curves);
        return o;
    }

    /** To two decimals; null for what is not finite. */
    private static JsonArray array(double[] x) {
        JsonArray array = new JsonArray(x.length);
        for (double v : x) array.add(Double.isFinite(v) ? Math.round(v * 100) / 100.0 : null);
        return array;
    }

    /** Each channel as 16-bit little-endian samples in base 64, dithered with a seed of its own. */
    private void sounds(Writer out) throws IOException {
        for (int i = 0; i < versions.size(); i++) {
            Sound sound = versions.get(i).sound();
            double[][] x = new double[sound.channels()][frames];
            sound.read(0, x, frames);
            double gain = scale * Decibels.gain(levelled.gainDb(i));
            for (int c = 0; c < x.length; c++) {
                out.append("<script type=\"text/plain\" id=\"sound-").append(String.valueOf(i)).append("-").append(String.valueOf(c)).append("\">");
                out.append(Base64.getEncoder().encodeToString(packed(x[c], gain, i, c))).append("</script>\n");
            }
        }
    }

    private byte[] packed(double[] x, double gain, int version, int channel) {
        int fade = (int) Math.max(1, Math.min(frames / 2, Math.round(FADE_SECONDS * rate)));
        for (int n = 0; n < frames; n++) x[n] *= gain * Math.min(1, Math.min(n, frames - 1 - n) / (double) fade);
        int[] integers = new int[frames];
        Dither.triangular(version).cut(x, frames, channel, 0, 16, integers);
        byte[] bytes = new byte[2 * frames];
        for (int n = 0; n < frames; n++) {
            bytes[2 * n] = (byte) integers[n];
            bytes[2 * n + 1] = (byte) (integers[n] >> 8);
        }
        return bytes;
    }
}

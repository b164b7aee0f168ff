package linnet.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.util.Base64;
import java.util.Objects;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.digest.Sha256;

/** Pages with places, <code>{{name}}</code>, where something is put; what is put there is not looked through again. */
final class Template {
    private static final Pattern PLACE = Pattern.compile("\\{\\{(\\w+)}}");

    private Template() {}

    /** Writes what goes to a place. */
    interface Filling {
        void put(String place) throws IOException;
    }

    /**
     * Writes a page of this package: a head, which is alike on all of them, and a body of its own.
     *
     * @param title any text at all
     * @param style what the page has beside the style of all
     * @param script empty where none may run
     */
    static void page(String body, Writer out, String title, String style, String script, Filling filling) throws IOException {
        String all = resource("page.css") + style;
        fill("head.html", out, place -> {
            switch (place) {
                case "policy" -> out.append(policy(all, script));
                case "style" -> out.append(all);
                case "title" -> out.append(HtmlText.escaped(title));
                default -> throw new IllegalStateException("nothing goes to " + place);
            }
        });
        fill(body, out, filling);
    }

    private static void fill(String resource, Writer out, Filling filling) throws IOException {
        String page = resource(resource);
        Matcher place = PLACE.matcher(page);
        int done = 0;
        while (place.find()) {
            out.append(page, done, place.start());
            done = place.end();
            filling.put(place.group(1));
        }
        out.append(page, done, page.length());
    }

    static String resource(String name) {
        try (InputStream in = Objects.requireNonNull(Template.class.getResourceAsStream(name), name)) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** A Content-Security-Policy that forbids every request, and every style and script but these; no script at all where it is empty. */
    private static String policy(String style, String script) {
        return "default-src 'none'; script-src " + (script.isEmpty() ? "'none'" : hash(script)) + "; style-src " + hash(style)
                + "; base-uri 'none'; form-action 'none'";
    }

    private static String hash(String text) {
        byte[] digest = Sha256.open().digest(text.getBytes(StandardCharsets.UTF_8));
        return "'sha256-" + Base64.getEncoder().encodeToString(digest) + "'";
    }
}

package linnet.audio;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * What made a print, as it stands in the coding history of its {@link Bext}: after the line that EBU R 98 asks for, lines of the form
 * {@code T=linnet NAME VALUE}. In a value, {@code %}, the comma and whatever is no printable ASCII are written as the {@code %XX} of their UTF-8
 * bytes.
 *
 * @param engine version of Linnet, and which build of it
 * @param print what the print is of
 * @param options of the command that rendered a chain, as it was called; empty for a print of a song, whose text holds them
 * @param clock time reference of the song, in samples since midnight: 0 where its prints count from its beginning, and of a take's print through a chain
 * @param signature by which a print of the same sound and form is known
 * @param sound of its bytes
 * @param files what it was made from
 */
public record Origin(String engine, String print, Optional<String> options, int revision, long clock, String signature, Sums sound,
        List<Source> files) {
    private static final String MARK = "T=linnet ", USUAL = "usual", CLOCK = "time-reference";
    private static final Sums UNKNOWN_YET = new Sums("0".repeat(64), "0".repeat(8));

    public Origin {
        files = List.copyOf(files);
    }

    /**
     * By what the bytes of a sound are known again, in hexadecimal digits.
     *
     * @param sha256 for whoever wants to be sure
     * @param crc32c for whoever wants to know soon
     */
    public record Sums(String sha256, String crc32c) {}

    /** What a file is to a print. */
    public enum Kind {
        TEXT, TAKE, LIST;

        private String word() {
            return name().toLowerCase(Locale.ROOT);
        }
    }

    /**
     * A file that a print was made from.
     *
     * @param digest SHA-256 of its bytes, in hexadecimal digits
     * @param path from the folder of the print, with {@code /}
     */
    public record Source(Kind kind, String digest, String path) {}

    /** Of a print of a song before its sound is written: its digest is filled in at the end. */
    public static Origin of(String engine, String print, int revision, long clock, String signature, List<Source> files) {
        return new Origin(engine, print, Optional.empty(), revision, clock, signature, UNKNOWN_YET, files);
    }

    /** Of a take's print through a chain, likewise. */
    public static Origin ofChain(String engine, String print, String options, String signature, List<Source> files) {
        return new Origin(engine, print, Optional.of(options), 0, 0, signature, UNKNOWN_YET, files);
    }

    /** What a broadcast extension has room for of the signature. */
    public String reference() {
        return signature.substring(0, Math.min(32, signature.length()));
    }

    /** Of Linnet, without its build. */
    public String version() {
        return engine.substring(0, Math.max(0, engine.lastIndexOf(' ')));
    }

    /** Of Linnet, without its version. */
    public String build() {
        return engine.substring(engine.lastIndexOf(' ') + 1);
    }

    public Origin withSound(Sums sums) {
        return new Origin(engine, print, options, revision, clock, signature, sums, files);
    }

    /** The coding history of a print of that form. */
    public String history(Print form) {
        StringBuilder s = new StringBuilder(form.coding());
        line(s, "engine", engine);
        line(s, "print", print);
        options.ifPresentOrElse(o -> line(s, "options", o.isEmpty() ? USUAL : o), () -> line(s, "revision", String.valueOf(revision)));
        if (clock != 0) line(s, CLOCK, String.valueOf(clock));
        line(s, "signature", signature);
        line(s, "sound", sound.sha256 + " " + sound.crc32c);
        for (Source f : files) line(s, f.kind.word(), f.digest + " " + f.path);
        return s.toString();
    }

    private static void line(StringBuilder to, String name, String value) {
        to.append(MARK).append(name).append(' ');
        for (byte b : value.getBytes(StandardCharsets.UTF_8)) {
            if (b >= ' ' && b <= '~' && b != '%' && b != ',') to.append((char) b);
            else to.append(String.format("%%%02X", b & 0xFF));
        }
        to.append("\r\n");
    }

    /** That of a print, of the last time it was made; empty for a file that does not say what made it, or says it in a way that is not ours. */
    public static Optional<Origin> of(Bext bext) {
        String engine = null, print = null, options = null, signature = null;
        Sums sound = null;
        int revision = 0;
        long clock = 0;
        List<Source> files = new ArrayList<>();
        for (String line : bext.history().split("\r?\n")) {
            String[] words = line.startsWith(MARK) ? line.substring(MARK.length()).split(" ", 2) : new String[0];
            if (words.length < 2) continue;
            String value = plain(words[1]);
            switch (words[0]) {
                case "engine" -> {
                    // A take may be a print itself, and bring its own history.
                    engine = value;
                    print = options = signature = null;
                    sound = null;
                    revision = 0;
                    clock = 0;
                    files.clear();
                }
                case "print" -> print = value;
                case "options" -> options = value.equals(USUAL) ? "" : value;
                case "revision" -> revision = value.matches("\\d{1,6}") ? Integer.parseInt(value) : 0;
                case CLOCK -> clock = value.matches("\\d{1,11}") ? Long.parseLong(value) : 0;
                case "signature" -> signature = value;
                case "sound" -> sound = sums(value);
                case "text" -> file(Kind.TEXT, value, files);
                case "take" -> file(Kind.TAKE, value, files);
                case "list" -> file(Kind.LIST, value, files);
                default -> { }
            }
        }
        boolean whole = engine != null && print != null && signature != null && sound != null;
        return whole ? Optional.of(new Origin(engine, print, Optional.ofNullable(options), revision, clock, signature, sound, files)) : Optional.empty();
    }

    private static Sums sums(String value) {
        String[] two = value.split(" ", 2);
        return new Sums(two[0], two[two.length - 1]);
    }

    private static void file(Kind kind, String value, List<Source> to) {
        String[] parts = value.split(" ", 2);
        if (parts.length == 2) to.add(new Source(kind, parts[0], parts[1]));
    }

    private static String plain(String coded) {
        byte[] bytes = new byte[coded.length()];
        int n = 0;
        for (int i = 0; i < coded.length(); i++) {
            char c = coded.charAt(i);
            int value = c == '%' && i + 2 < coded.length() ? hex(coded, i + 1) : -1;
            if (value >= 0) i += 2;
            bytes[n++] = (byte) (value >= 0 ? value : c);
        }
        return new String(bytes, 0, n, StandardCharsets.UTF_8);
    }

    private static int hex(String s, int at) {
        int high = Character.digit(s.charAt(at), 16), low = Character.digit(s.charAt(at + 1), 16);
        return high < 0 || low < 0 ? -1 : 16 * high + low;
    }
}

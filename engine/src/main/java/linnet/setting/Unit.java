package linnet.setting;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.List;
import java.util.OptionalDouble;
import java.util.regex.Pattern;

/** The units a setting can have: how a number in it is read, and how it is written. A bare number has the unit itself. */
public enum Unit {
    DB("level change", "-3 dB", s("dB", 1)),
    DBFS("level", "-18 dB", s("dBFS", 1), s("dB", 1)),
    DBTP("true peak level", "-1 dBTP", s("dBTP", 1), s("dB", 1)),
    HZ("frequency", "1.2 kHz", s("Hz", 1), s("kHz", 1000)),
    MS("time", "65 ms", s("ms", 1), s("s", 1000)),
    SECONDS("time", "1.4 s", s("s", 1), s("ms", 1e-3)),
    PERCENT("share", "35 %", s("%", 1)),
    RATIO("ratio", "4:1", s(":1", 1)),
    SLOPE("slope", "12 dB/oct", s("dB/oct", 1)),
    OCTAVES("width", "1.5 octaves", s("octaves", 1), s("octave", 1), s("oct", 1)),
    CENTS("pitch distance", "30 cents", s("cents", 1), s("cent", 1), s("semitones", 100), s("semitone", 100)),
    /** From -100 (left) to 100 (right). */
    PAN("place", "60 % left", s("%", 1)),
    BPM("tempo", "96 bpm", s("bpm", 1)),
    PLAIN("number", "1.2");

    private static final Pattern NUMBER = Pattern.compile("[+-]?(\\d+(\\.\\d*)?|\\.\\d+)");

    private record Suffix(String text, double factor) {}

    private static Suffix s(String text, double factor) {
        return new Suffix(text, factor);
    }

    private final String noun;
    private final String example;
    private final List<Suffix> suffixes;

    Unit(String noun, String example, Suffix... suffixes) {
        this.noun = noun;
        this.example = example;
        this.suffixes = List.of(suffixes);
    }

    /** What a value of this unit is, for messages: "a time". */
    public String noun() {
        return noun;
    }

    /** A value as a user would write it. */
    public String example() {
        return example;
    }

    /** What may stand behind a number. */
    public List<String> suffixes() {
        return suffixes.stream().map(Suffix::text).toList();
    }

    /** The words that a value may have. */
    List<String> words() {
        return this == PAN ? List.of("left", "right", "centre") : suffixes();
    }

    /** Whether a text begins with a sign. */
    public static boolean isSigned(String text) {
        return !text.isEmpty() && "+-\u2212".indexOf(text.charAt(0)) >= 0;
    }

    /**
     * Reads a number with one of this unit's suffixes or none; empty if it is anything else. A minus is the hyphen of keyboards or the one of print, U+2212.
     */
    public OptionalDouble parse(String text) {
        String t = text.strip().replace('\u2212', '-');
        if (this == PAN) return parsePan(t);
        double factor = 1;
        Suffix best = null;
        for (Suffix s : suffixes) {
            if (endsWith(t, s.text) && (best == null || s.text.length() > best.text.length())) best = s;
        }
        if (best != null) {
            factor = best.factor;
            t = t.substring(0, t.length() - best.text.length()).strip();
        }
        return number(t, factor);
    }

    private static boolean endsWith(String text, String suffix) {
        return text.regionMatches(true, text.length() - suffix.length(), suffix, 0, suffix.length());
    }

    private static OptionalDouble parsePan(String t) {
        if (t.equals("centre") || t.equals("center")) return OptionalDouble.of(0);
        double sign = 1;
        if (t.endsWith("left")) sign = -1;
        boolean sided = t.endsWith("left") || t.endsWith("right");
        if (sided) t = t.substring(0, t.lastIndexOf(sign < 0 ? "left" : "right")).strip();
        if (t.endsWith("%")) t = t.substring(0, t.length() - 1).strip();
        if (t.isEmpty() && sided) return OptionalDouble.of(100 * sign);
        OptionalDouble amount = number(t, sign);
        // "-20 % left" has two signs: nobody can say which side is meant.
        return sided && t.startsWith("-") ? OptionalDouble.empty() : amount;
    }

    private static OptionalDouble number(String digits, double factor) {
        if (digits.length() > 30 || !NUMBER.matcher(digits).matches()) return OptionalDouble.empty();
        return OptionalDouble.of(Double.parseDouble(digits) * factor);
    }

    /** The value as a user would write it, to at most {@code places} decimals. */
    public String format(double value, int places) {
        if (this == PAN) {
            if (value == 0) return "centre";
            return plain(Math.abs(value), places) + (value < 0 ? " % left" : " % right");
        }
        if (this == HZ && Math.abs(value) >= 1000) return plain(value / 1000, Math.max(places, 2)) + " kHz";
        if (this == MS && Math.abs(value) >= 1000) return plain(value / 1000, Math.max(places, 2)) + " s";
        if (this == RATIO) return plain(value, places) + ":1";
        return suffixes.isEmpty() ? plain(value, places) : plain(value, places) + " " + suffixes.get(0).text;
    }

    /** The value as a user would write it. */
    public String format(double value) {
        return format(value, 3);
    }

    private static String plain(double value, int places) {
        if (value == (int) value) return Integer.toString((int) value);
        if (!Double.isFinite(value)) return Double.toString(value);
        BigDecimal rounded = new BigDecimal(Double.toString(value)).setScale(places, RoundingMode.HALF_UP);
        return rounded.signum() == 0 ? "0" : rounded.stripTrailingZeros().toPlainString();
    }
}

package linnet.text;

import java.util.regex.Pattern;

/** A comma between digits: many a language writes numbers so, and here it parts one value from the next. */
public final class Comma {
    /** Of a pair such as 2:1 or 1/8, and of what has its point already, the last digits are no beginning of a number. */
    private static final Pattern BEGINNING = Pattern.compile("(?s)(?:.*[^\\d.:/])?\\d+");
    private static final Pattern END = Pattern.compile("(?s)\\d+(?!/)(?:\\D.*)?");
    private static final Pattern BETWEEN = Pattern.compile("(?<=\\d),(?=\\d)");
    /** No frequency has thousandths of a hertz. */
    private static final Pattern THOUSANDS = Pattern.compile("(?<![\\d.,])([1-9]\\d{0,2}),(\\d{3}\\s*Hz)");

    private Comma() {}

    /** Whether two texts that only a comma parts could be one number. */
    public static boolean cuts(String before, String after) {
        return BEGINNING.matcher(before).matches() && END.matcher(after).matches();
    }

    /** The text as it was probably meant. */
    public static String mended(String text) {
        return BETWEEN.matcher(THOUSANDS.matcher(text).replaceAll("$1$2")).replaceAll(".");
    }

    /** What to write instead. */
    public static String remedy(String text) {
        return (THOUSANDS.matcher(text).find() ? "write it without: " : "write a point: ") + mended(text);
    }
}

package linnet.report;

import java.util.Locale;

/** A time as it is told: minutes and seconds. It is rounded before it is cut in two, or a hair under a minute would be its sixtieth second. */
public final class Clock {
    private Clock() {}

    /** To the millisecond, such as {@code 1:02.500}: a song takes it as a place again. */
    public static String of(double seconds) {
        long ms = Math.round(seconds * 1000);
        return String.format(Locale.ROOT, "%d:%02d.%03d", ms / 60_000, ms / 1000 % 60, ms % 1000);
    }

    /** A time of day, to the millisecond where it is no whole second, such as {@code 1:00:00}. */
    public static String ofDay(double seconds) {
        long ms = Math.round(seconds * 1000);
        return String.format(Locale.ROOT, "%d:%02d:%02d", ms / 3_600_000, ms / 60_000 % 60, ms / 1000 % 60)
                + (ms % 1000 == 0 ? "" : String.format(Locale.ROOT, ".%03d", ms % 1000));
    }

    /** To the tenth of a second, such as {@code 1:02.5}: a length, or where to look on a page. */
    public static String tenths(double seconds) {
        long tenths = Math.round(seconds * 10);
        return String.format(Locale.ROOT, "%d:%02d.%d", tenths / 600, tenths / 10 % 60, tenths % 10);
    }
}

package linnet.revision;

import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import linnet.setting.Unit;

/** How a new value is told beside an old one. */
final class Wording {
    private record Ways(String up, String down) {}

    private static final Ways LEVEL = new Ways("higher", "lower"), TIME = new Ways("longer", "shorter"), PLACE = new Ways("later", "earlier");
    /** Keys whose seconds are a place in the song or in a take, and do not last. */
    private static final Set<String> PLACES = Set.of("from", "to", "at", "word");
    /** Here seconds are a place and milliseconds a length. */
    private static final String STOP = "stop";
    private static final Map<Unit, Ways> WAYS = Map.of(Unit.DB, LEVEL, Unit.DBFS, LEVEL, Unit.DBTP, LEVEL, Unit.HZ, LEVEL, Unit.CENTS, LEVEL, Unit.MS, TIME, Unit.SECONDS, TIME,
            Unit.PERCENT, new Ways("more", "less"), Unit.BPM, new Ways("faster", "slower"), Unit.SLOPE, new Ways("steeper", "flatter"));
    private static final int LONGEST = 80;

    private Wording() {}

    /** So many dB, with the direction. */
    static String level(double db) {
        return amount(Unit.DB, db, LEVEL);
    }

    /**
     * By how much a written value went up or down where it has a unit that can; else both values.
     *
     * @param key what has the value
     */
    static String of(String key, String was, String now) {
        if (key.equals(STOP) && isLength(was) != isLength(now)) return both(now, was);
        for (Unit unit : Unit.values()) {
            OptionalDouble before = written(unit, was), after = written(unit, now);
            if (before.isEmpty() || after.isEmpty() || !WAYS.containsKey(unit)) continue;
            double by = after.getAsDouble() - before.getAsDouble();
            // A difference of levels has no reference, and one of seconds stays in seconds.
            Unit of = WAYS.get(unit) == LEVEL && unit != Unit.HZ && unit != Unit.CENTS ? Unit.DB : unit == Unit.MS && now.strip().matches(".*[0-9 ]s") ? Unit.SECONDS : unit;
            boolean place = WAYS.get(unit) == TIME && (PLACES.contains(key) || key.equals(STOP) && !isLength(now));
            return amount(of, of == Unit.SECONDS && unit == Unit.MS ? by / 1000 : by, place ? PLACE : WAYS.get(of)) + " (" + both(now, was) + ")";
        }
        return both(now, was);
    }

    private static boolean isLength(String text) {
        return text.strip().endsWith("ms");
    }

    private static String both(String now, String was) {
        return cut(now) + ", was " + cut(was);
    }

    private static String amount(Unit unit, double by, Ways ways) {
        return unit.format(Math.abs(by), 2) + " " + (by < 0 ? ways.down : ways.up);
    }

    /** A number with this unit behind it: which unit a bare one has only its setting knows. */
    private static OptionalDouble written(Unit unit, String text) {
        return unit.suffixes().stream().anyMatch(s -> text.strip().endsWith(s)) ? unit.parse(text) : OptionalDouble.empty();
    }

    static String cut(String text) {
        String line = text.strip().replaceAll("\\s+", " ");
        return line.length() > LONGEST ? line.substring(0, LONGEST) + "…" : line;
    }
}

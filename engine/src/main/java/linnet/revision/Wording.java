package linnet.revision;

import java.util.Map;
import java.util.OptionalDouble;
import linnet.setting.Unit;

/** How a new value is told beside an old one. */
final class Wording {
    private record Ways(String up, String down) {}

    private static final Ways LEVEL = new Ways("higher", "lower"), TIME = new Ways("longer", "shorter");
    private static final Map<Unit, Ways> WAYS = Map.of(Unit.DB, LEVEL, Unit.DBFS, LEVEL, Unit.DBTP, LEVEL, Unit.HZ, LEVEL, Unit.CENTS, LEVEL, Unit.MS, TIME, Unit.SECONDS, TIME,
            Unit.PERCENT, new Ways("more", "less"), Unit.BPM, new Ways("faster", "slower"), Unit.SLOPE, new Ways("steeper", "flatter"));
    private static final int LONGEST = 80;

    private Wording() {}

    /** So many dB, with the direction. */
    static String level(double db) {
        return amount(Unit.DB, db);
    }

    /** By how much a written value went up or down where it has a unit that can; else both values. */
    static String of(String was, String now) {
        for (Unit unit : Unit.values()) {
            OptionalDouble before = written(unit, was), after = written(unit, now);
            if (before.isEmpty() || after.isEmpty() || !WAYS.containsKey(unit)) continue;
            double by = after.getAsDouble() - before.getAsDouble();
            // A difference of levels has no reference, and one of seconds stays in seconds.
            Unit of = WAYS.get(unit) == LEVEL && unit != Unit.HZ && unit != Unit.CENTS ? Unit.DB : unit == Unit.MS && now.strip().matches(".*[0-9 ]s") ? Unit.SECONDS : unit;
            return amount(of, of == Unit.SECONDS && unit == Unit.MS ? by / 1000 : by) + " (" + cut(now) + ", was " + cut(was) + ")";
        }
        return cut(now) + ", was " + cut(was);
    }

    private static String amount(Unit unit, double by) {
        return unit.format(Math.abs(by), 2) + " " + (by < 0 ? WAYS.get(unit).down : WAYS.get(unit).up);
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

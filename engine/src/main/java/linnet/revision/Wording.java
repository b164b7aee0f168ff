package linnet.revision;

import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.setting.Unit;

/** How a new value is told beside an old one. */
final class Wording {
    private record Ways(String up, String down) {}

    private static final Ways LEVEL = new Ways("higher", "lower"), TIME = new Ways("longer", "shorter"), PLACE = new Ways("later", "earlier"),
            SIDES = new Ways("to the right", "to the left");
    /** Keys whose seconds are a place in the song or in a take, and do not last. */
    private static final Set<String> PLACES = Set.of("from", "to", "at", "word");
    /** Here seconds are a place and milliseconds a length. */
    private static final String STOP = "stop";
    private static final Map<Unit, Ways> WAYS = Map.of(Unit.DB, LEVEL, Unit.DBFS, LEVEL, Unit.DBTP, LEVEL, Unit.HZ, LEVEL, Unit.CENTS, LEVEL, Unit.MS, TIME, Unit.SECONDS, TIME,
            Unit.PERCENT, new Ways("more", "less"), Unit.BPM, new Ways("faster", "slower"), Unit.SLOPE, new Ways("steeper", "flatter"));
    private static final int LONGEST = 80;
    /** A loudness, or a distance from one. */
    private static final Pattern LOUDNESS = Pattern.compile("(-?\\d{1,2}(?:\\.\\d{1,3})?) (LUFS|LU (?:over|under))( .{1,80})?");

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
        OptionalDouble lu = louder(was, now);
        if (lu.isPresent()) return Unit.PLAIN.format(Math.abs(lu.getAsDouble()), 2) + " LU " + (lu.getAsDouble() < 0 ? LEVEL.down : LEVEL.up) + " (" + both(now, was) + ")";
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

    /** By how many LU, where both are stated against the same. */
    private static OptionalDouble louder(String was, String now) {
        Matcher a = LOUDNESS.matcher(was.strip()), b = LOUDNESS.matcher(now.strip());
        if (!a.matches() || !b.matches() || !Objects.equals(a.group(3), b.group(3)) || a.group(2).equals("LUFS") != b.group(2).equals("LUFS")) return OptionalDouble.empty();
        return OptionalDouble.of(lu(b) - lu(a));
    }

    private static double lu(Matcher m) {
        return Double.parseDouble(m.group(1)) * (m.group(2).endsWith("under") ? -1 : 1);
    }

    /** What a move does to a setting: "4 dB lower" of {@code -4 dB}, and what it goes to as it stands there. */
    static String moved(String setting, String by) {
        return moved(setting, by, 1).orElse(cut(by));
    }

    /** The same of a move that is no more. */
    static String unmoved(String setting, String by) {
        return moved(setting, by, -1).orElse("no longer " + cut(by));
    }

    private static Optional<String> moved(String setting, String by, int sign) {
        if (!by.strip().matches("[+-].{1,80}")) return Optional.empty();
        for (Unit unit : Unit.values()) {
            OptionalDouble amount = WAYS.containsKey(unit) ? written(unit, by) : OptionalDouble.empty();
            if (amount.isPresent()) return Optional.of(amount(unit, sign * amount.getAsDouble(), setting.endsWith(" pan") ? SIDES : WAYS.get(unit)));
        }
        return Optional.empty();
    }

    /** "doubles, high and low". */
    static String list(List<String> names) {
        int last = names.size() - 1;
        return last < 1 ? String.join("", names) : String.join(", ", names.subList(0, last)) + " and " + names.get(last);
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

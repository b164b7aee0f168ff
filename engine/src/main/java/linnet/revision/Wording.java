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
    private static final Map<Unit, Ways> WAYS = Map.of(Unit.DB, LEVEL, Unit.DBFS, LEVEL, Unit.DBTP, LEVEL, Unit.HZ, LEVEL, Unit.CENTS, LEVEL, Unit.MS, TIME,
            Unit.SECONDS, TIME,
            Unit.PERCENT, new Ways("more", "less"), Unit.BPM, new Ways("faster", "slower"), Unit.SLOPE, new Ways("steeper", "flatter"));
    private static final int LONGEST = 80;
    private static final double ROUNDING = 1e-9;
    /** Before the value that a move goes to. */
    private static final String TO = "to ";
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
        if (lu.isPresent()) {
            return Unit.PLAIN.format(Math.abs(lu.getAsDouble()), 2) + " LU " + (lu.getAsDouble() < 0 ? LEVEL.down : LEVEL.up) + " (" + both(now, was) + ")";
        }
        if (key.equals(STOP) && isLength(was) != isLength(now)) return both(now, was);
        for (Unit unit : Unit.values()) {
            OptionalDouble before = written(unit, was), after = written(unit, now);
            if (before.isEmpty() || after.isEmpty() || !WAYS.containsKey(unit)) continue;
            double by = after.getAsDouble() - before.getAsDouble();
            // A difference of levels has no reference, and one of seconds stays in seconds.
            Unit of = WAYS.get(unit) == LEVEL && unit != Unit.HZ && unit != Unit.CENTS ? Unit.DB : unit == Unit.MS && now.strip().matches(".*[0-9 ]s")
                    ? Unit.SECONDS : unit;
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
        if (!a.matches() || !b.matches() || !Objects.equals(a.group(3), b.group(3)) || a.group(2).equals("LUFS") != b.group(2).equals("LUFS")) {
            return OptionalDouble.empty();
        }
        return OptionalDouble.of(lu(b) - lu(a));
    }

    private static double lu(Matcher m) {
        return Double.parseDouble(m.group(1)) * (m.group(2).endsWith("under") ? -1 : 1);
    }

    /**
     * How a setting moves otherwise than it did: "4 dB lower" where differences add up to that, and what it goes to as it stands there; empty where it moves
     * alike.
     *
     * @param was what its moves said, all that sound at once
     */
    static Optional<String> moved(String setting, List<String> was, List<String> now) {
        if (was.equals(now)) return Optional.empty();
        for (Unit unit : Unit.values()) {
            OptionalDouble before = sum(unit, was), after = sum(unit, now);
            if (before.isEmpty() || after.isEmpty()) continue;
            double by = after.getAsDouble() - before.getAsDouble();
            return Math.abs(by) < ROUNDING ? Optional.empty() : Optional.of(amount(unit, by, setting.endsWith(" pan") ? SIDES : WAYS.get(unit)));
        }
        String then = String.join(", ", was);
        if (now.isEmpty()) return Optional.of("no longer " + cut(then));
        String is = String.join(", ", now);
        if (was.isEmpty()) return Optional.of(cut(is));
        return then.startsWith(TO) == is.startsWith(TO) && isSame(goal(then), goal(is)) ? Optional.empty()
                : Optional.of(moved(setting, List.of(), now).orElse(cut(is)) + ", was " + cut(then));
    }

    /** All differences in one; empty where something is none of that unit. */
    private static OptionalDouble sum(Unit unit, List<String> differences) {
        if (!WAYS.containsKey(unit)) return OptionalDouble.empty();
        double sum = 0;
        for (String d : differences) {
            OptionalDouble by = d.matches("[+\u2212-].{1,80}") ? written(unit, d) : OptionalDouble.empty();
            if (by.isEmpty()) return by;
            sum += by.getAsDouble();
        }
        return OptionalDouble.of(sum);
    }

    private static String goal(String move) {
        return move.startsWith(TO) ? move.substring(TO.length()) : move;
    }

    /** Whether two values of a setting are one, written otherwise: where something stops, seconds are a place and thousandths of them a length. */
    static boolean isSame(String key, String was, String now) {
        return isSame(was, now) && !(key.equals(STOP) && isLength(was) != isLength(now));
    }

    /** Whether two values are one, written otherwise. A number alone has the unit of its setting: a second or a thousandth of it only that knows. */
    static boolean isSame(String was, String now) {
        if (was.equals(now)) return true;
        for (Unit unit : Unit.values()) {
            if (WAYS.get(unit) == TIME && written(unit, was).isPresent() != written(unit, now).isPresent()) continue;
            OptionalDouble before = unit.parse(was), after = unit.parse(now);
            if (before.isPresent() && after.isPresent()) return Math.abs(after.getAsDouble() - before.getAsDouble()) < ROUNDING;
        }
        return false;
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

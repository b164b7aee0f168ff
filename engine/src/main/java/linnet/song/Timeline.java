package linnet.song;

import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeMap;
import java.util.stream.Collectors;

/**
 * Where bars and beats lie in seconds. Bars count from 1; before bar 1 lies the pick-up, the last beats of a bar 0, and where it begins
 * the song does: second 0. A tempo counts quarter notes, whatever the metre, and both hold from the bar they are given at until another is.
 */
public final class Timeline {
    /** What the end of the last section is called; no section can be. */
    public static final String END = "end";

    /**
     * A part of the form.
     *
     * @param from its first bar
     * @param to the bar after its last
     */
    public record Section(String name, int from, int to) {}

    /** A stretch of bars with one tempo and one metre. */
    private record Stretch(int bar, double seconds, double bpm, Metre metre) {
        double beat() {
            return 60 / bpm * metre.quarters();
        }

        double at(int bar, double beats) {
            return seconds + ((bar - this.bar) * metre.beats() + beats) * beat();
        }
    }

    private final NavigableMap<Integer, Stretch> stretches = new TreeMap<>();
    private final double pickUp;
    private final NavigableMap<Integer, Double> tempos;
    private final NavigableMap<Integer, Metre> metres;
    private final List<Section> sections;
    private final Map<String, Section> byName;
    private final List<String> remarks;

    /**
     * @param pickUp beats before bar 1, less than a bar
     * @param tempos quarter notes a minute, by the bar from which they hold; one at bar 1
     * @param metres by the bar from which they hold; one at bar 1
     * @param sections in order of bars, none meeting another
     */
    public Timeline(double pickUp, Map<Integer, Double> tempos, Map<Integer, Metre> metres, List<Section> sections) {
        this(pickUp, tempos, metres, sections, List.of());
    }

    /** @param remarks what one should know of its sections */
    Timeline(double pickUp, Map<Integer, Double> tempos, Map<Integer, Metre> metres, List<Section> sections, List<String> remarks) {
        this.remarks = List.copyOf(remarks);
        this.sections = List.copyOf(sections);
        byName = sections.stream().collect(Collectors.toMap(Section::name, s -> s, (first, later) -> first));
        this.pickUp = pickUp;
        TreeMap<Integer, Double> bpm = new TreeMap<>(tempos);
        TreeMap<Integer, Metre> metre = new TreeMap<>(metres);
        this.tempos = Collections.unmodifiableNavigableMap(bpm);
        this.metres = Collections.unmodifiableNavigableMap(metre);
        TreeMap<Integer, Boolean> changes = new TreeMap<>();
        bpm.keySet().forEach(bar -> changes.put(bar, true));
        metre.keySet().forEach(bar -> changes.put(bar, true));
        Stretch last = null;
        for (int bar : changes.keySet()) {
            double seconds = last == null ? pickUp * 60 / bpm.get(1) * metre.get(1).quarters() : last.at(bar, 0);
            last = new Stretch(bar, seconds, bpm.floorEntry(bar).getValue(), metre.floorEntry(bar).getValue());
            stretches.put(bar, last);
        }
    }

    private Stretch stretch(int bar) {
        return (bar < 1 ? stretches.firstEntry() : stretches.floorEntry(bar)).getValue();
    }

    /**
     * When a beat of a bar comes.
     *
     * @param bar 0 for the pick-up
     * @param beat from 1; parts of a beat after the point. Beyond the bar it counts on into the next, below 1 back into the one before.
     */
    public double seconds(int bar, double beat) {
        double beats = beat - 1;
        int at = bar;
        while (beats >= stretch(at).metre.beats()) beats -= stretch(at++).metre.beats();
        while (beats < 0) beats += stretch(--at).metre.beats();
        return stretch(at).at(at, beats);
    }

    /** When so many quarter notes have passed from a beat of a bar on, each bar with its own metre; below 0 before it. */
    public double seconds(int bar, double beat, double quarters) {
        double left = (beat - 1) * metre(bar).quarters() + quarters;
        int at = bar;
        while (left >= metre(at).beats() * metre(at).quarters()) left -= metre(at).beats() * metre(at++).quarters();
        while (left < 0) left += metre(--at).beats() * metre(at).quarters();
        return stretch(at).at(at, left / metre(at).quarters());
    }

    /** The bar that sounds at that time; 0 in the pick-up. */
    public int bar(double seconds) {
        if (seconds < stretches.firstEntry().getValue().seconds) return 0;
        Stretch s = stretches.firstEntry().getValue();
        for (Stretch next : stretches.values()) if (next.seconds <= seconds) s = next;
        // A hair before a bar line that rounding moved is on it.
        return s.bar + (int) Math.floor((seconds - s.seconds) / (s.beat() * s.metre.beats()) + 1e-9);
    }

    /** The beat in that bar, from 1. */
    public double beat(double seconds) {
        int bar = bar(seconds);
        Stretch s = stretch(bar);
        return Math.max(0, (seconds - s.at(bar, 0)) / s.beat()) + 1;
    }

    /** Quarter notes a minute at that time. */
    public double bpm(double seconds) {
        return stretch(bar(seconds)).bpm;
    }

    /** Beats before bar 1, less than a bar. */
    public double pickUp() {
        return pickUp;
    }

    /** Quarter notes a minute, by the bar from which they hold; one at bar 1. */
    public NavigableMap<Integer, Double> tempos() {
        return tempos;
    }

    /** By the bar from which each holds; one at bar 1. */
    public NavigableMap<Integer, Metre> metres() {
        return metres;
    }

    /** The tempo of the whole song, where it has one. */
    public OptionalDouble steadyBpm() {
        double first = stretches.firstEntry().getValue().bpm;
        return stretches.values().stream().allMatch(s -> s.bpm == first) ? OptionalDouble.of(first) : OptionalDouble.empty();
    }

    public Metre metre(int bar) {
        return stretch(bar).metre;
    }

    /** What one should know of its sections, such as those that a file has beside the bar line. */
    public List<String> remarks() {
        return remarks;
    }

    /** In order of time. */
    public List<Section> sections() {
        return sections;
    }

    public Optional<Section> section(String name) {
        return Optional.ofNullable(byName.get(name));
    }

    /** Whether a stretch up to there takes in the end of the song: what it says holds for all that rings on, as no section comes after it. */
    public boolean isEnd(double seconds) {
        return seconds > end() - 1e-6;
    }

    /** When the last section is over, in seconds; infinity where there is none. */
    public double end() {
        return sections.isEmpty() ? Double.POSITIVE_INFINITY : start(sections.get(sections.size() - 1).to());
    }

    /** When the bar begins. */
    public double start(int bar) {
        return seconds(bar, 1);
    }
}

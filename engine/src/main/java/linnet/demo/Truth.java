package linnet.demo;

import java.util.List;
import java.util.Locale;

/**
 * What was sung, to the sample: times in seconds, ends exclusive, levels in dBFS.
 *
 * @param pitch F0 in Hz at each {@link #PITCH_STEP}, vibrato, drift, scoops and glides included; 0 where there is no voice
 */
public record Truth(
        Score score,
        Singer singer,
        Room room,
        double rate,
        List<Line> lines,
        List<Note> notes,
        List<Sound> sounds,
        List<Event> breaths,
        List<Event> clicks,
        List<Event> pops,
        double[] pitch) {

    /** Seconds between two values of {@link #pitch}. */
    public static final double PITCH_STEP = 0.001;

    /** A phrase from its first sound to its last. {@code db} is the RMS of its sung notes. */
    public record Line(double start, double end, String section, String words, double db) {}

    /** A note from the start of its vowel to the end of it; {@code hz} is the centre of the pitch, {@code cents} off included. */
    public record Note(double start, double end, double midi, double hz, double cents, Phone vowel) {}

    /** A phone or, for a stop, a part of it. {@code note} is its place in {@link #notes}. */
    public record Sound(Phone phone, Part part, double start, double end, int note) {}

    /**
     * A breath, a click or a pop. {@code db} is the RMS of a breath on the take; of a click or a pop the peak as it
     * left the mouth, before the room and the microphone coloured it.
     */
    public record Event(double start, double end, double db) {}

    /** What the mouth does in a {@link Sound}. */
    public enum Part { VOWEL, GLIDE, VOICED, NOISE, CLOSURE, BURST, ASPIRATION }

    /** F0 at that time in Hz, 0 where there is no voice: so that a test can hold against it what is heard. */
    public double pitchAt(double seconds) {
        int i = (int) Math.round(seconds / PITCH_STEP);
        return i < 0 || i >= pitch.length ? 0 : pitch[i];
    }

    /** The truth as a YAML file: one row a line. */
    public String yaml() {
        StringBuilder out = new StringBuilder();
        row(out, "title: %s%n", score.title());
        row(out, "key: %s%ntempo: %s bpm%nmetre: %d/4%nrate: %.0f Hz%n", score.key(), number(score.beatsPerMinute()),
                score.beatsPerBar(), rate);
        row(out, "noise: { level: %s dB, hum: %s Hz }%n", number(room.noiseDb()), number(room.humHz()));
        row(out, "resonance: { frequency: %s Hz, gain: %s dB, q: %s }%n", number(room.resonanceHz()),
                number(room.resonanceDb()), number(room.resonanceQ()));
        out.append("phrases:\n");
        for (Line l : lines) {
            row(out, "  - { start: %.4f, end: %.4f, section: %s, level: %.1f, words: \"%s\" }%n", l.start, l.end, l.section,
                    l.db, l.words);
        }
        out.append("notes:\n");
        for (Note n : notes) {
            row(out, "  - { start: %.4f, end: %.4f, key: %.0f, hz: %.3f, cents: %.0f, vowel: %s }%n", n.start, n.end, n.midi,
                    n.hz, n.cents, word(n.vowel));
        }
        out.append("phones:\n");
        for (Sound s : sounds) {
            row(out, "  - { start: %.4f, end: %.4f, phone: %s, part: %s, sibilant: %s }%n", s.start, s.end, word(s.phone),
                    word(s.part), s.phone.isSibilant() ? "yes" : "no");
        }
        events(out, "breaths", breaths);
        events(out, "clicks", clicks);
        events(out, "pops", pops);
        return out.toString();
    }

    /** F0 as CSV, a row each 5 ms: time in seconds, Hz. */
    public String pitchCsv() {
        StringBuilder out = new StringBuilder();
        for (int i = 0; i < pitch.length; i += 5) row(out, "%.3f,%.3f%n", i * PITCH_STEP, pitch[i]);
        return out.toString();
    }

    private static void events(StringBuilder out, String name, List<Event> events) {
        out.append(name).append(":\n");
        for (Event e : events) row(out, "  - { start: %.5f, end: %.5f, level: %.1f }%n", e.start, e.end, e.db);
    }

    private static void row(StringBuilder out, String form, Object... values) {
        out.append(String.format(Locale.ROOT, form.replace("%n", "\n"), values));
    }

    private static String word(Enum<?> value) {
        return value.name().toLowerCase(Locale.ROOT);
    }

    private static String number(double value) {
        return value == Math.rint(value) ? String.valueOf((long) value) : String.valueOf(value);
    }
}

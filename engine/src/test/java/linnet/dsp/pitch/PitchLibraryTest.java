package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.DoubleUnaryOperator;
import java.util.function.IntToDoubleFunction;
import linnet.Voices;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Against what an independent library hears in the same signals: {@code reference-vectors/pitch}. */
class PitchLibraryTest {
    private static final double RATE = 48_000;

    private record Heard(double seconds, double hz) {}

    private static Map<String, List<Heard>> expected() throws IOException {
        Map<String, List<Heard>> rows = new LinkedHashMap<>();
        for (String row : Files.readAllLines(Voices.repository().resolve("reference-vectors/pitch/expected.csv"))) {
            String[] cell = row.split(",");
            rows.computeIfAbsent(cell[0], k -> new ArrayList<>()).add(new Heard(Double.parseDouble(cell[1]), Double.parseDouble(cell[2])));
        }
        return rows;
    }

    private static double[] signal(String name) {
        String[] word = name.split(" ");
        return switch (word[0]) {
            case "steady" -> make(t -> Double.parseDouble(word[1]), h -> 1.0 / h, false);
            case "vibrato" -> make(t -> Double.parseDouble(word[1]) * Math.pow(2, 80 / 1200.0 * Math.sin(2 * Math.PI * 5.5 * t)), h -> 1.0 / h, false);
            case "glide" -> make(t -> 110 * Math.pow(2, t), h -> 1.0 / h, false);
            case "second" -> make(t -> 175, h -> h == 2 ? 1.5 : 1.0 / h, false);
            default -> make(t -> 220, h -> 1.0 / h, true);
        };
    }

    private static double[] make(DoubleUnaryOperator hz, IntToDoubleFunction amplitude, boolean noisy) {
        double[] x = new double[(int) (2 * RATE)], w = new double[x.length];
        double highest = 0, turns = 0;
        for (int i = 0; i < x.length; i++) highest = Math.max(highest, hz.applyAsDouble(i / RATE));
        long state = 1;
        for (int i = 0; i < x.length; i++) {
            for (int h = 1; h <= 20 && h * highest < 16_000; h++) x[i] += amplitude.applyAsDouble(h) * Math.sin(2 * Math.PI * h * turns);
            turns += hz.applyAsDouble(i / RATE) / RATE;
            state = state * 6364136223846793005L + 1442695040888963407L;
            w[i] = (state >>> 32) / Math.pow(2, 31) - 1;
        }
        double tone = rms(x), noise = rms(w);
        for (int i = 0; i < x.length; i++) x[i] = 0.2 * x[i] / tone + (noisy ? 0.02 * w[i] / noise : 0);
        return x;
    }

    private static double rms(double[] x) {
        double sum = 0;
        for (double v : x) sum += v * v;
        return Math.sqrt(sum / x.length);
    }

    @Test
    void thereAreTwelveSignals() throws IOException {
        assertEquals(12, expected().size());
        assertTrue(expected().values().stream().allMatch(rows -> rows.size() == 40));
    }

    @ParameterizedTest
    @CsvSource({"steady 98, 1", "steady 147, 1", "steady 220, 1", "steady 330, 1", "steady 494, 1", "steady 740, 1", "second harmonic, 1", "noise, 4",
        "vibrato 131, 12", "vibrato 262, 12", "vibrato 523, 12", "glide, 6"})
    void hearsThePitchThatTheLibraryHears(String name, double cents) throws IOException {
        double[] x = signal(name);
        WholeTrack tracker = new WholeTrack(RATE, f -> true);
        tracker.add(x, x.length);
        PitchTrack track = tracker.finish();
        for (Heard h : expected().get(name)) {
            double frame = h.seconds * RATE / track.hop() - 0.5;
            int f = (int) Math.floor(frame);
            // The first frames of a tone are not whole.
            if (f < 3 || f + 4 > track.frames()) continue;
            double between = Semitones.of(track.fine()[f]) + (frame - f) * (Semitones.of(track.fine()[f + 1]) - Semitones.of(track.fine()[f]));
            assertEquals(0, 100 * (between - Semitones.of(h.hz)), cents, name + " at " + h.seconds);
        }
    }
}

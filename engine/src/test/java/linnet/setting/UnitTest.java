package linnet.setting;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/** Numbers as users write them, in every unit there is. */
class UnitTest {
    @ParameterizedTest
    @CsvSource({
        "DB, -3 dB, -3", "DB, +3 DB, 3", "DB, 3, 3", "DBFS, -18 dBFS, -18", "DBFS, -18 dB, -18", "DBTP, -1dBTP, -1",
        "HZ, 1.2 kHz, 1200", "HZ, 440 Hz, 440", "HZ, 440, 440", "MS, 65 ms, 65", "MS, 1.4 s, 1400", "MS, .5, 0.5", "SECONDS, 250 ms, 0.25", "SECONDS, 2. s, 2",
        "PERCENT, 35 %, 35", "PERCENT, 35%, 35", "RATIO, 4:1, 4", "RATIO, 4, 4", "SLOPE, 12 dB/oct, 12", "OCTAVES, 1 octave, 1", "OCTAVES, 1.5 octaves, 1.5",
                "OCTAVES, 2 oct, 2",
        "DB, −9 dB, -9", "PAN, −20 %, -20", "CENTS, 30 cents, 30", "CENTS, 1 cent, 1", "CENTS, 2 semitones, 200", "CENTS, 1 semitone, 100", "BPM, 96 bpm, 96",
                "PLAIN, ' 1.2 ', 1.2",
        "PAN, centre, 0", "PAN, center, 0", "PAN, left, -100", "PAN, right, 100", "PAN, 60 % left, -60", "PAN, 30% right, 30", "PAN, 7 left, -7",
                "PAN, -20, -20", "PAN, -20 %, -20", "PAN, 20, 20"})
    void aNumberIsReadInItsUnit(Unit unit, String text, double value) {
        assertEquals(value, unit.parse(text).orElseThrow(), 1e-12);
    }

    @ParameterizedTest
    @CsvSource({
        "DB, ''", "DB, dB", "DB, 3 dB dB", "DB, 3 Hz", "DB, 1e3 dB", "DB, NaN", "DB, Infinity", "DB, 0x10", "DB, '1,5'", "DB, --3", "DB, .", "DB, 3 4",
                "HZ, 3 dB", "HZ, k", "PLAIN, 3 x", "RATIO, 1:4",
        "PAN, ''", "PAN, %", "PAN, -20 % left", "PAN, −20 % left", "DB, −−3", "PAN, left right", "PAN, left 20", "PAN, middle"})
    void whatIsNoNumberInTheUnitIsNone(Unit unit, String text) {
        assertTrue(unit.parse(text).isEmpty());
    }

    /** The oracle: the formatter of Java, without the zeros at the end. */
    @Test
    void aNumberIsRoundedAsJavaDoes() {
        Random random = new Random(7);
        for (int i = 0; i < 20_000; i++) {
            int places = random.nextInt(5);
            // Halves too, some of them an ulp off, and what is rounded to nothing.
            double value = switch (i % 4) {
                case 0 -> (random.nextInt(20_001) - 10_000) / 16.0;
                case 1 -> Math.nextUp((random.nextInt(2001) - 1000) / 1000.0 + 0.0005);
                case 2 -> random.nextGaussian() * StrictMath.pow(10, random.nextInt(24) - 8);
                default -> random.nextGaussian() * 1e-4;
            };
            String java = String.format(Locale.ROOT, "%." + places + "f", value);
            if (java.contains(".")) java = java.replaceAll("\\.?0+$", "");
            assertEquals(java.equals("-0") ? "0" : java, Unit.PLAIN.format(value, places), value + " to " + places);
        }
        assertEquals(List.of("0", "0", "NaN", "-Infinity"),
                List.of(Unit.PLAIN.format(-0.0), Unit.PLAIN.format(-0.0001), Unit.PLAIN.format(Double.NaN), Unit.PLAIN.format(Double.NEGATIVE_INFINITY)));
    }

    @Test
    void aNumberHasAtMostThirtyDigits() {
        assertEquals(OptionalDouble.of(1e29), Unit.PLAIN.parse("1" + "0".repeat(29)));
        assertTrue(Unit.PLAIN.parse("1" + "0".repeat(30)).isEmpty());
    }

    @ParameterizedTest
    @CsvSource({
        "DB, -3, -3 dB", "DBTP, -1.5, -1.5 dBTP", "HZ, 999.9, 999.9 Hz", "HZ, 1000, 1 kHz", "HZ, -1200, -1.2 kHz", "MS, 999, 999 ms", "MS, 1000, 1 s",
                "MS, -2500, -2.5 s", "SECONDS, 0.25, 0.25 s", "RATIO, 4, 4:1",
        "PAN, 0, centre", "PAN, -60, 60 % left", "PAN, 12.5, 12.5 % right", "PLAIN, 1.2, 1.2", "PLAIN, 100, 100", "PLAIN, 1.23456, 1.235", "DB, -0.0001, 0 dB",
                "CENTS, 100, 100 cents"})
    void aValueIsWrittenAsAUserWould(Unit unit, double value, String text) {
        assertEquals(text, unit.format(value));
    }

    /** A kilohertz and a second are large units: with no decimals left 1.23 of them would be shown as 1. */
    @Test
    void largeUnitsKeepTwoDecimals() {
        assertEquals("1.23 kHz", Unit.HZ.format(1234, 0));
        assertEquals("1.23 s", Unit.MS.format(1234, 0));
        assertEquals("120 Hz", Unit.HZ.format(120.4, 0));
        assertEquals("1.2346 kHz", Unit.HZ.format(1234.56, 4));
    }

    @ParameterizedTest
    @EnumSource(Unit.class)
    void whatIsWrittenReadsBack(Unit unit) {
        Random random = new Random(unit.ordinal());
        for (int i = 0; i < 200; i++) {
            double value = random.nextGaussian() * Math.pow(10, random.nextInt(5) - 1);
            assertEquals(value, unit.parse(unit.format(value, 9)).orElseThrow(), 1e-6, unit.format(value, 9));
        }
        assertTrue(unit.parse(unit.example()).isPresent(), unit.example());
        assertEquals(List.of("Hz", "kHz"), Unit.HZ.suffixes());
        for (String suffix : unit.suffixes()) assertTrue(unit.parse("2 " + suffix).isPresent(), suffix);
        assertFalse(unit.noun().isBlank());
    }
}

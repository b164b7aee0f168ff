package linnet.report;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** No clock in a room shows sixty seconds. */
class ClockTest {
    @ParameterizedTest
    @CsvSource({"0, 0:00.000, 0:00.0", "0.0004, 0:00.000, 0:00.0", "62.5, 1:02.500, 1:02.5", "59.949, 0:59.949, 0:59.9", "59.9996, 1:00.000, 1:00.0",
        "59.99999999999999, 1:00.000, 1:00.0", "119.96, 1:59.960, 2:00.0", "3599.9999, 60:00.000, 60:00.0", "3661.07, 61:01.070, 61:01.1"})
    void aHairUnderAMinuteIsThatMinute(double seconds, String toTheMillisecond, String toTheTenth) {
        assertEquals(toTheMillisecond, Clock.of(seconds));
        assertEquals(toTheTenth, Clock.tenths(seconds));
    }
}

package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Set;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.demo.Truth;
import linnet.dsp.Samples;
import linnet.dsp.spectral.Fft;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Against the demo's singers, who know all they sing. */
class FactsDemoTest {
    private static final Set<String> SIBILANTS = Set.of("S", "SH", "Z");

    @ParameterizedTest
    @CsvSource({"high, 44100", "low, 48000"})
    void hearsWhatTheSingerKnows(String who, double rate) {
        Performance take = sing(who, rate, Room.bedroom());
        Truth truth = take.truth();
        Facts facts = facts(take);

        // The room knows its noise with the rumble in it; the hum is laid on after, its harmonics k 15 dB under it, by k + 1/4.
        double floor = Math.pow(10, truth.room().noiseDb() / 10);
        double hum = 0;
        for (int k = 1; k <= 3; k++) hum += floor * Math.pow(10, -1.5) / (k + 0.25) / (k + 0.25);
        assertEquals(10 * Math.log10(floor + hum), value(facts.noiseFloor()), 1);

        double sibilance = sibilance(take);
        assertEquals(sibilance, value(facts.ear().sibilance()), 0.1 * sibilance);

        double first = Math.min(truth.breaths().get(0).start(), truth.clicks().get(0).start());
        assertEquals(first, value(facts.silenceAtStart()), 0.15);

        double[] pitch = java.util.Arrays.stream(truth.pitch()).filter(hz -> hz > 0).sorted().toArray();
        assertEquals(0, cents(value(facts.ear().medianPitch()), pitch[pitch.length / 2]), 50);
        assertEquals(0, cents(value(facts.ear().highestNote()), pitch[(int) (0.975 * pitch.length)]), 30);
    }

    /** All breaths and no other. A breath swells from nothing and may end in a click: its edges are good to 0.1 s. */
    @ParameterizedTest
    @CsvSource({"high, 44100", "high, 48000", "low, 44100", "low, 48000", "low, 96000"})
    void findsEveryBreathAndNothingElse(String who, double rate) {
        Performance take = sing(who, rate, Room.bedroom());
        List<Event> found = value(facts(take).breaths());
        List<Truth.Event> breaths = take.truth().breaths();
        assertEquals(breaths.size(), found.size(), seconds(found, rate));
        for (int i = 0; i < found.size(); i++) {
            assertEquals(breaths.get(i).start(), found.get(i).from() / rate, 0.1);
            assertEquals(breaths.get(i).end(), found.get(i).to() / rate, 0.1);
            assertEquals(breaths.get(i).db(), found.get(i).dbfs(), 2);
        }
    }

    /**
     * Of the clicks beside the phrases no more than one is missed, and no more than one other is found. One line in three has a click inside
     * a held vowel, which covers it: those don't count.
     */
    @ParameterizedTest
    @CsvSource({"high, 44100", "high, 48000", "low, 44100", "low, 48000", "low, 96000"})
    void findsTheClicksBesideThePhrases(String who, double rate) {
        Performance take = sing(who, rate, Room.bedroom());
        List<Event> found = value(facts(take).clicks());
        Truth truth = take.truth();
        List<Truth.Event> heard = truth.clicks().stream().filter(c -> truth.pitchAt(c.start()) == 0).toList();
        List<Truth.Event> missed = heard.stream().filter(c -> found.stream().noneMatch(e -> isAt(c, e, rate))).toList();
        List<Event> wrong = found.stream().filter(e -> truth.clicks().stream().noneMatch(c -> isAt(c, e, rate))).toList();
        assertTrue(heard.size() >= 10 && missed.size() <= 1, missed.toString());
        assertTrue(wrong.size() <= 1, seconds(wrong, rate));
    }

    private static boolean isAt(Truth.Event click, Event event, double rate) {
        return Math.abs(event.from() / rate - click.start()) < 0.003;
    }

    /** Mean of the logarithm of frequency over the noise of the marked sibilants, bin by bin. */
    private static double sibilance(Performance take) {
        int length = 1024;
        Fft fft = new Fft(length);
        double[] re = new double[fft.bins()], im = new double[fft.bins()], x = new double[length];
        double power = 0, moment = 0;
        for (Truth.Sound s : take.truth().sounds()) {
            if (!SIBILANTS.contains(String.valueOf(s.phone())) || s.part() != Truth.Part.NOISE) continue;
            for (int at = (int) (s.start() * take.rate()); at + length < s.end() * take.rate(); at += length / 2) {
                for (int i = 0; i < length; i++) x[i] = take.samples()[at + i] * (0.5 - 0.5 * Math.cos(2 * Math.PI * i / length));
                fft.forward(x, re, im);
                for (int k = 0; k < re.length; k++) {
                    double hz = k * take.rate() / length;
                    if (hz < 3000 || hz > 12000) continue;
                    power += re[k] * re[k] + im[k] * im[k];
                    moment += (re[k] * re[k] + im[k] * im[k]) * Math.log(hz);
                }
            }
        }
        return Math.exp(moment / power);
    }

    private static Performance sing(String who, double rate, Room room) {
        return Performance.sing(SevenLanterns.lead(), who.equals("high") ? Singer.high() : Singer.low(), room, rate);
    }

    private static Facts facts(Performance take) {
        return new Facts(new Samples(take.rate(), take.samples()));
    }

    private static String seconds(List<Event> events, double rate) {
        StringBuilder text = new StringBuilder();
        for (Event e : events) text.append(String.format(" %.3f-%.3f", e.from() / rate, e.to() / rate));
        return text.toString();
    }

    private static double cents(double hz, double of) {
        return 1200 * Math.log(hz / of) / Math.log(2);
    }

    private static <T> T value(Measured<T> fact) {
        return fact.value().orElseThrow(() -> new AssertionError(fact.reason()));
    }
}

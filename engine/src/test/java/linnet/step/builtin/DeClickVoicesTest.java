package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import linnet.Rig;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** Clicks laid on clean real voices. */
class DeClickVoicesTest {
    private static final List<String> VOICES = List.of("female_sing_nit004_take1.wav", "female_sing_nit004_take2.wav", "male_sing_pjs063.wav",
            "male_sing_vocadito01.wav", "female_sing_aah_sms.wav");
    /** In dB over what the voice has there above 1 kHz. */
    private static final double[] LEVELS = {6, 10, 14, 18};
    private static final double RESIDUE_BORDER = 0.001;

    /** What became of one click: how much of its energy is gone, in dB. */
    private record Outcome(MouthClicks.Laid click, double seconds, boolean found, double residue) {
        double db() {
            return 10 * Math.log10(click.energy() / residue);
        }
    }

    private static Samples take(String file) throws IOException {
        try (WavFile voice = WavFile.open(Voices.file(file))) {
            double[][] x = new double[voice.channels()][(int) voice.frames()];
            voice.read(0, x, x[0].length);
            return new Samples(voice.rate(), x);
        }
    }

    private static double[] mended(double rate, double[] x) {
        return Rig.usual().exact().render("- declick", new Samples(rate, x)).mono();
    }

    private static List<Outcome> outcomes(String file, int rounds, int each, double[] levels) throws IOException {
        Samples take = take(file);
        double[] clean = take.data()[0];
        List<Outcome> outcomes = new ArrayList<>();
        for (int round = 0; round < rounds; round++) {
            List<MouthClicks.Laid> laid = MouthClicks.on(take, each, levels, 31 * file.hashCode() + round);
            double[] x = clean.clone();
            for (MouthClicks.Laid c : laid) for (int i = 0; i < c.added().length; i++) x[c.at() + i] += c.added()[i];
            double[] y = mended(take.rate(), x);
            int border = (int) (RESIDUE_BORDER * take.rate());
            for (MouthClicks.Laid c : laid) {
                double residue = 0;
                boolean found = false;
                for (int i = c.at() - border; i < c.end() + border; i++) {
                    residue += (y[i] - clean[i]) * (y[i] - clean[i]);
                    if (i >= c.at() && i < c.end()) found |= y[i] != x[i];
                }
                outcomes.add(new Outcome(c, c.added().length / take.rate(), found, residue));
            }
        }
        return outcomes;
    }

    /** Clicks in consonants are left out of the count: they cannot be told from the bursts of p, t and k, and none is mended unless a person marks it. */
    @Test
    void clicksInVowelsAndPausesAreFoundAndAHundredthOfTheirPowerIsLeft() throws IOException {
        Voices.assumePresent();
        List<Outcome> outcomes = new ArrayList<>();
        for (String file : VOICES) outcomes.addAll(outcomes(file, 1, 20, LEVELS));
        List<Outcome> counted = outcomes.stream().filter(o -> o.click.place() != MouthClicks.Place.CONSONANT).toList();
        long found = counted.stream().filter(Outcome::found).count();
        assertTrue(found >= 0.95 * counted.size(), found + " of " + counted.size());
        assertTrue(median(counted) >= 20, "median " + median(counted) + " dB");
        assertTrue(together(counted) >= 18, "together " + together(counted) + " dB");
        for (Outcome o : outcomes) assertTrue(o.db() > -0.5, "a click made stronger: " + o);
    }

    /** What is altered in voices that nothing was laid on are clicks of the singers' own, in the spectrogram strikes through all bands. */
    @Test
    void inVoicesAsTheyAreOnlyTheSingersOwnClicksAreMended() throws IOException {
        Voices.assumePresent();
        Map<String, double[]> own = Map.of(VOICES.get(0), new double[] {0.387, 0.498, 5.637, 6.930, 10.426}, VOICES.get(1), new double[] {12.118},
                VOICES.get(2), new double[] {1.815}, VOICES.get(3),
                new double[] {0.122, 6.345, 13.763, 15.419, 16.451, 29.470});
        for (String file : VOICES) {
            Samples take = take(file);
            double[] x = take.data()[0], y = mended(take.rate(), x);
            List<long[]> stretches = new ArrayList<>();
            for (double t : own.getOrDefault(file, new double[0])) {
                stretches.add(new long[] {Math.round((t - 0.002) * take.rate()), Math.round((t + 0.007) * take.rate())});
            }
            Tidied.assertSameOutside(x, y, stretches);
        }
    }

    /** Three hundred clicks, told in a table: {@code mvn test -Dtest=DeClickVoicesTest -DexcludedGroups=large -Dgroups=bench}. */
    @Test
    @Tag("bench")
    void threeHundredClicks() throws IOException {
        Voices.assumePresent();
        for (double[] levels : new double[][] {LEVELS}) {
            Map<String, List<Outcome>> rows = new TreeMap<>();
            for (String file : VOICES) {
                for (Outcome o : outcomes(file, 3, 20, levels)) {
                    String place = o.click.place().name().toLowerCase(Locale.ROOT);
                    String length = o.seconds < 0.001 ? "0.5-1 ms" : o.seconds < 0.0025 ? "1-2.5 ms" : "2.5-5 ms";
                    for (String row : List.of("all", place, place + " " + length, place + String.format(" %+3.0f dB", o.click.over()),
                            String.format("level %+3.0f dB", o.click.over()))) {
                        rows.computeIfAbsent(row, r -> new ArrayList<>()).add(o);
                    }
                }
            }
            System.out.println("clicks                     n   found  median  together  20 dB of all / of found");
            rows.forEach((name, o) -> System.out.println(row(name, o)));
        }
        long samples = 0, changed = 0;
        for (String file : VOICES) {
            Samples take = take(file);
            long altered = altered(take.data()[0], mended(take.rate(), take.data()[0]));
            System.out.printf("%-32s altered %.4f %%%n", file, 100.0 * altered / take.frames());
            samples += take.frames();
            changed += altered;
        }
        System.out.printf("%-32s altered %.4f %%%n", "together", 100.0 * changed / samples);
    }

    private static String row(String name, List<Outcome> o) {
        long found = o.stream().filter(Outcome::found).count(), down = o.stream().filter(c -> c.db() >= 20).count(),
                downOfFound = o.stream().filter(c -> c.found && c.db() >= 20).count();
        return String.format("%-24s %4d %6.1f%% %7.1f %9.1f %6.0f%% / %.0f%%", name, o.size(), 100.0 * found / o.size(), median(o), together(o),
                100.0 * down / o.size(), 100.0 * downOfFound / Math.max(1, found));
    }

    private static double median(List<Outcome> outcomes) {
        double[] db = outcomes.stream().mapToDouble(Outcome::db).sorted().toArray();
        return db[db.length / 2];
    }

    /** Residue of all clicks beside the energy of all. */
    private static double together(List<Outcome> outcomes) {
        return 10 * Math.log10(outcomes.stream().mapToDouble(o -> o.click.energy()).sum() / outcomes.stream().mapToDouble(Outcome::residue).sum());
    }

    private static long altered(double[] a, double[] b) {
        assertEquals(a.length, b.length);
        long altered = 0;
        for (int i = 0; i < a.length; i++) if (a[i] != b[i]) altered++;
        return altered;
    }
}

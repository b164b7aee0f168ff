package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

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

    /** Three hundred clicks, told in a table. */
    @Test
    @Tag("bench")
    void threeHundredClicks() throws IOException {
        assumeTrue(Voices.present());
        for (double[] levels : new double[][] {LEVELS}) {
            Map<String, List<Outcome>> rows = new TreeMap<>();
            for (String file : VOICES) {
                for (Outcome o : outcomes(file, 3, 20, levels)) {
                    String place = o.click.place().name().toLowerCase(Locale.ROOT);
                    String length = o.seconds < 0.001 ? "0.5-1 ms" : o.seconds < 0.0025 ? "1-2.5 ms" : "2.5-5 ms";
                    for (String row : List.of("all", place, place + " " + length, place + String.format(" %+3.0f dB", o.click.over()), String.format("level %+3.0f dB", o.click.over()))) {
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
        long found = o.stream().filter(Outcome::found).count(), down = o.stream().filter(c -> c.db() >= 20).count(), downOfFound = o.stream().filter(c -> c.found && c.db() >= 20).count();
        return String.format("%-24s %4d %6.1f%% %7.1f %9.1f %6.0f%% / %.0f%%", name, o.size(), 100.0 * found / o.size(), median(o), together(o), 100.0 * down / o.size(), 100.0 * downOfFound / Math.max(1, found));
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

package linnet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.Rig;
import linnet.Voices;
import linnet.chain.Link;
import linnet.dsp.Cell;
import linnet.dsp.Samples;
import linnet.dsp.loudness.Loudness;
import linnet.dsp.loudness.TruePeak;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.pitch.WholeTrack;
import linnet.dsp.resample.Resampled;
import linnet.hear.Ear;
import linnet.hear.Meters;
import linnet.plan.Plan;
import linnet.plan.Planner;
import linnet.render.Renderer;
import linnet.render.Tail;
import linnet.step.Block;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * Steps beside plain C of the same maths, in turns, in one run: {@code mvn -Pbench verify}. Each turn takes 240 s of mono sound
 * at 48 kHz through a step, in thread-CPU time; the figure is the median of the turns. Only the ratio means anything on a
 * shared machine. {@code -Drows=gate,eq} takes only the rows that begin so. The C kernels lie in {@code shared/native} beside the
 * checkout and, where none of those does the same, in {@code twins.c} among the resources, which this compiles where there is a gcc; a
 * row without its C stands alone.
 *
 * <p>Where a step does more than any one C kernel, and no setting leaves that out, the kernel of the extra is added, less the
 * copy of the source that every C figure contains; the table prints the sum. Nothing is ever taken from the Java side. Two
 * second-order sections in one loop wait for the recurrence of one, so they count as one {@code biquad_df1}, the fastest C
 * has. The look-ahead of the gate has no C kernel at all and stands against our own ratio.
 *
 * <p>What is wanted is wanted beside the same maths. Where the given kernel does less, the ratio to that is printed too: a network
 * without all-passes and with a matrix that stands; a saturation with shorter filters and a tanh within 1e-4; a resampler of 32 taps instead of 180.
 */
@Tag("bench")
class BesideCTest {
    private static final int ROUNDS = Integer.getInteger("rounds", 3);
    private static final int FRAMES = 11_520_000;
    private static final Path NATIVE = Voices.repository().resolveSibling("shared").resolve("native").resolve("run");
    private static final Path FOLDER = Path.of("target", "twins");

    /**
     * @param same  C of the same maths: one of {@link Twins}, or kernels whose times add up to it: {@code "gate + biquad_df1 - null_blockcopy"}
     * @param most  wanted ratio of Java to that
     * @param given kernels for the same job that do less, or null
     */
    private record Row(String name, String same, double most, String given, Work work) {
        Row beside(String kernels) {
            return new Row(name, same, most, kernels, work);
        }
    }

    private interface Work {
        /** Takes the whole sound through a fresh kernel. */
        void run(double[] sound);
    }

    private static final String MULTIBAND = "- multiband: { splits: [ 200 Hz, 3 kHz ], bands: ["
            + " { threshold: -24 dB, ratio: 2:1, knee: 6 dB, attack: 20 ms, release: 150 ms },"
            + " { threshold: -26 dB, ratio: 2.5:1, knee: 6 dB, attack: 10 ms, release: 100 ms },"
            + " { threshold: -30 dB, ratio: 3:1, knee: 6 dB, attack: 3 ms, release: 60 ms } ] }";
    private static final String NETWORK = "- reverb: { build: network, decay: 1.4 s, duck: 0 dB, mix: 100 % }";
    private static final String SATURATE = "- saturate: { drive: 9.5 dB, bias: 0 % }";
    private static final String COMPRESSOR =
            "- compressor: { threshold: -22 dB, ratio: 4:1, knee: 6 dB, attack: 3 ms, release: 120 ms, makeup: 4 dB, key high-pass: off }";

    /** What close-lead.yaml asks of the singer, and what {@code linnet check} answers on this signal. */
    private static final Map<String, String> HEARD = Map.ofEntries(
            Map.entry("  - limit: { ceiling: -1 dBTP }", ""), Map.entry("30 dB under voice", "-43.9 dBFS"), Map.entry("0.8 x lowest note", "176 Hz"),
                    Map.entry("resonance 1", "279 Hz"),
            Map.entry("aim: 2.5 dB, makeup: match", "threshold: -9 dBFS, makeup: 3.9 dB"),
            Map.entry("6 dB under voice", "-22.8 dBFS"), Map.entry("8 dB under voice", "-24.8 dBFS"),
            Map.entry("aim: 3 dB, makeup: match", "threshold: -13 dBFS, makeup: 3.2 dB"),
            Map.entry("aim: 10 dB", "threshold: -20.5 dBFS"), Map.entry("most: 5 dB", "most: 5 dB, band: 6.84 kHz"),
            Map.entry("duck: 3 dB", "duck: 3 dB, duck threshold: -23.8 dBFS"));

    private static final List<Row> ROWS = List.of(
            step("eq, 5 bands", "cascade5_fused", 1.15,
                    "- eq: [ { high-pass: 80 Hz, q: 0.707 }, { bell: 250 Hz, gain: -3 dB, q: 1.2 }, { bell: 900 Hz, gain: -2 dB, q: 2 },"
                    + " { bell: 3.2 kHz, gain: 2.5 dB, q: 1 }, { bell: 11 kHz, gain: 3 dB, q: 0.7 } ]"),
            step("gate", "gate + biquad_df1 - null_blockcopy", 1.15,
                    "- gate: { threshold: -44 dB, hysteresis: 6 dB, floor: -26 dB, attack: 2 ms, hold: 50 ms, release: 80 ms }"),
            step("crossovers, 3 bands", "lr4_3band", 1.15, "- multiband: { splits: [ 200 Hz, 3 kHz ], bands: [ {}, {}, {} ] }"),
            step("delay, ping-pong", "pingpong", 1.15,
                    "- delay: { time: 375 ms, pattern: ping-pong, feedback: 45 %, high-pass: 250 Hz, low-pass: 4.5 kHz, mix: 100 % }"),
            step("multiband, 3 bands", "multiband3", 1.3, MULTIBAND),
            step("de-ess", "deesser", 1.3, "- de-ess: { band: 6 kHz, most: 6 dB }"),
            step("compressor", "comp_poly_3pass", 1.5, COMPRESSOR),
            step("reverb, combs", "freeverb_block + biquad_df1 - null_blockcopy", 1.6, "- reverb: { build: combs, decay: 1.2 s, duck: 0 dB, mix: 100 % }"),
            step("reverb, network", "twin network", 1.6, NETWORK).beside("fdn8_block + biquad_df1 - null_blockcopy"),
            step("saturate", "twin saturate", 2.0, SATURATE).beside("sat4x_pade"),
            new Row("loudness", "lufs", 1.15, null, BesideCTest::loudness),
            new Row("loudness, true peak", "lufs_truepeak4x", 1.6, null, BesideCTest::truePeak),
            new Row("loudness, true peak beside a library", "lib_ebur128_I_TP", 1 / 2.5, null, BesideCTest::truePeak),
            new Row("all meters beside a library", "lib_ebur128_I_TP", 1, null, sound -> Meters.of(new Samples(48_000, sound))),
            new Row("resample 44.1 to 48", "twin resample", 1.5, "resample_32tap", BesideCTest::resample),
            new Row("pitch tracking", "twin pitch", 2.5, null, BesideCTest::pitch),
            // The twin scans for clicks, which this chain does not; this chain ends in a limiter, which the twin does not have.
            new Row("close-lead chain, unlimited", "chain_lead_3pass - declick_ar32", 1.35, null, BesideCTest::closeLead));

    private static List<Row> chosen() {
        String[] begins = System.getProperty("rows", "").split(",");
        return ROWS.stream().filter(row -> Arrays.stream(begins).anyMatch(row.name::startsWith)).toList();
    }

    private static Row step(String name, String same, double most, String row) {
        return new Row(name, same, most, null, sound -> play(kernel(row), sound));
    }

    /** What hears first is given one cell of silence to hear: its kernel alone is timed. */
    private static Kernel kernel(String row) {
        Link.Use use = (Link.Use) Rig.usual().chain(row).links().get(0);
        Prepared prepared = use.step().prepare(new FixedValues(use.values(), 0), new Setup(48_000, 1));
        return prepared.start().kernel(new LiveValues(use.values(), 0, 48_000, 0, (what, value) -> {}),
                prepared.hears() ? new Ear(new Samples(48_000, new double[Cell.LENGTH])) : null);
    }

    private static void play(Kernel kernel, double[] sound) {
        Block block = new Block();
        for (int at = 0; at + Cell.LENGTH <= FRAMES; at += Cell.LENGTH) {
            block.place(at, Cell.LENGTH);
            System.arraycopy(sound, at, block.x(0), 0, Cell.LENGTH);
            kernel.process(block);
            kernel.settle();
        }
    }

    private static void loudness(double[] sound) {
        Loudness meter = new Loudness(48_000, 1);
        each(sound, meter::add);
        meter.integrated();
    }

    private static void truePeak(double[] sound) {
        Loudness meter = new Loudness(48_000, 1);
        TruePeak peak = new TruePeak(1);
        each(sound, (x, n) -> {
            meter.add(x, n);
            peak.add(x, n);
        });
        meter.integrated();
    }

    private interface Listener {
        void hear(double[][] x, int n);
    }

    private static void each(double[] sound, Listener listener) {
        double[][] x = new double[1][Cell.LENGTH];
        for (int at = 0; at + Cell.LENGTH <= FRAMES; at += Cell.LENGTH) {
            System.arraycopy(sound, at, x[0], 0, Cell.LENGTH);
            listener.hear(x, Cell.LENGTH);
        }
    }

    private static void resample(double[] sound) {
        Resampled out = new Resampled(new Samples(44_100, sound), 48_000);
        double[][] x = new double[1][4800];
        for (long at = 0; at + 4800 <= FRAMES; at += 4800) out.read(at, x, 4800);
    }

    private static PitchTrack pitch(double[] sound) {
        WholeTrack tracker = new WholeTrack(48_000, frame -> true);
        double[] x = new double[Cell.LENGTH];
        for (int at = 0; at + Cell.LENGTH <= sound.length; at += Cell.LENGTH) {
            System.arraycopy(sound, at, x, 0, Cell.LENGTH);
            tracker.add(x, Cell.LENGTH);
        }
        return tracker.finish();
    }

    /**
     * The ready chain with what it finds by hearing this signal put in, so that nothing but its kernels is timed, and how loud the voice is that the de-esser
     * still waits for.
     */
    private static void closeLead(double[] sound) {
        try {
            String text = Files.readString(Voices.repository().resolve("chains").resolve("close-lead.yaml"));
            for (Map.Entry<String, String> found : HEARD.entrySet()) {
                assertTrue(text.contains(found.getKey()), found.getKey());
                text = text.replace(found.getKey(), found.getValue());
            }
            Plan plan = Planner.plan(Rig.usual().read(text), 48_000, 1, OptionalDouble.empty());
            assertEquals(2, plan.stages(), "something else is still found by hearing");
            var options = new Renderer.Options(Cell.LENGTH, 1, new Tail.Auto(), 0, FRAMES);
            try (Renderer renderer = new Renderer(plan, new Samples(48_000, sound), options, Renderer.Progress.SILENT)) {
                renderer.render((x, n) -> {});
            }
        } catch (ProblemsException e) {
            throw new AssertionError(e.getMessage(), e);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** The signal of the C programs: sung-like phrases with sibilants, three tenths rests, 24-bit steps. */
    private static double[] sound() {
        double[] x = new double[FRAMES];
        int seed = 12_345;
        double phase = 0, low = 0, level = 0;
        for (int i = 0; i < FRAMES; i++) {
            boolean sung = i % 192_000 < 134_400, hiss = i / 4800 % 10 == 3;
            phase += 220 * (1 + 0.3 * (i / 24_000 % 7 / 7.0)) / 48_000;
            if (phase >= 1) phase--;
            seed = seed * 1_664_525 + 1_013_904_223;
            double noise = seed / 2_147_483_648.0, target = sung ? 0.2 + 0.6 * (i / 12_000 % 5 / 4.0) : 0;
            level += (target - level) * 0.0005;
            low += 0.35 * (level * (hiss ? 0.5 * noise : 2 * phase - 1) + 1e-4 * noise - low);
            x[i] = Math.rint(0.7 * low * 8_388_607) / 8_388_608.0;
        }
        return x;
    }

    /** A twin is no twin unless it computes the same: within 1e-9 all over 20 s. */
    @Test
    void twinsComputeTheSame() throws IOException, InterruptedException {
        Optional<Twins> twins = Twins.compiled(FOLDER);
        assumeTrue(twins.isPresent(), "no gcc");
        double[] sound = Arrays.copyOf(sound(), 2000 * Cell.LENGTH);
        twins.get().hear(sound);
        for (String name : Twins.NAMES) {
            if (Double.isNaN(twins.get().time(name))) continue;
            double[] theirs = twins.get().play(name), ours = switch (name) {
                case "saturate" -> played(kernel(SATURATE), 1, sound);
                case "network" -> played(kernel(NETWORK), 2, sound);
                case "pitch" -> pitched(sound);
                default -> resampled(sound);
            };
            assertEquals(ours.length, theirs.length, name);
            double loudest = 0;
            for (int i = 0; i < ours.length; i++) {
                assertEquals(ours[i], theirs[i], 1e-9, name + " at " + i);
                loudest = Math.max(loudest, Math.abs(ours[i]));
            }
            assertTrue(loudest > 0.1, name + " is silent");
        }
    }

    /** One channel after the other. */
    private static double[] played(Kernel kernel, int channels, double[] sound) {
        double[] y = new double[channels * sound.length];
        Block block = new Block();
        for (int at = 0; at < sound.length; at += Cell.LENGTH) {
            block.place(at, Cell.LENGTH);
            System.arraycopy(sound, at, block.x(0), 0, Cell.LENGTH);
            kernel.process(block);
            kernel.settle();
            for (int c = 0; c < channels; c++) System.arraycopy(block.x(c), 0, y, c * sound.length + at, Cell.LENGTH);
        }
        return y;
    }

    private static double[] resampled(double[] sound) {
        double[][] y = new double[1][sound.length];
        new Resampled(new Samples(44_100, sound), 48_000).read(0, y, sound.length);
        return y[0];
    }

    /** The pitch of each frame, then the fine one; as the twin keeps them, in the place of samples. */
    private static double[] pitched(double[] sound) {
        PitchTrack track = pitch(sound);
        double[] y = new double[2 * sound.length];
        for (int f = 0; f < track.frames(); f++) {
            y[f] = track.hz()[f];
            y[sound.length + f] = track.fine()[f];
        }
        return y;
    }

    @Test
    void table() throws IOException, InterruptedException {
        double[] sound = sound();
        boolean beside = Files.isExecutable(NATIVE);
        Optional<Twins> twins = Twins.compiled(FOLDER);
        if (twins.isPresent()) twins.get().hear(sound);
        Map<String, List<Double>> java = new HashMap<>(), same = new HashMap<>(), given = new HashMap<>();
        List<Row> rows = chosen();
        for (Row row : rows) row.work.run(sound);
        for (int round = 0; round < ROUNDS; round++) {
            for (Row row : rows) {
                same.computeIfAbsent(row.name, k -> new ArrayList<>())
                        .add(row.same.startsWith("twin ") ? twin(twins, row.same.substring(5)) : kernels(beside, row.same));
                if (row.given != null) given.computeIfAbsent(row.name, k -> new ArrayList<>()).add(kernels(beside, row.given));
                java.computeIfAbsent(row.name, k -> new ArrayList<>()).add(timed(() -> row.work.run(sound)));
            }
        }
        StringBuilder table = new StringBuilder(String.format("%n%-38s %8s %8s %7s %7s  %s%n", "ns per sample", "Java", "C", "ratio", "wanted", "C"));
        for (Row row : rows) {
            double j = median(java.get(row.name)), s = median(same.get(row.name));
            table.append(String.format(Locale.ROOT, "%-38s %8.1f %8.1f %7.2f %7.2f  %s%n", row.name, j, s, j / s, row.most, row.same));
            if (row.given == null) continue;
            double g = median(given.get(row.name));
            table.append(String.format(Locale.ROOT, "%-38s %8.1f %8.1f %7.2f %7s  %s%n", "  beside less", j, g, j / g, "", row.given));
        }
        // A library is no twin, and stays out.
        double mean = Math.exp(rows.stream().filter(row -> !row.same.startsWith("lib_"))
                .mapToDouble(row -> median(java.get(row.name)) / median(same.get(row.name)))
                .filter(Double::isFinite).map(Math::log).average().orElse(Double.NaN));
        table.append(String.format(Locale.ROOT, "%-38s %8s %8s %7.2f %7.2f%n", "geometric mean", "", "", mean, 1.2));
        System.out.println(table);
        assumeTrue(beside, "no C beside this checkout");
        // A library that others measure with is no twin: slower than that is a defect.
        for (Row row : rows) {
            if (row.same.startsWith("lib_")) assertTrue(median(java.get(row.name)) <= row.most * median(same.get(row.name)), row.name);
        }
    }

    private static double timed(Runnable work) {
        ThreadMXBean threads = ManagementFactory.getThreadMXBean();
        long before = threads.getCurrentThreadCpuTime();
        work.run();
        return (threads.getCurrentThreadCpuTime() - before) / (double) FRAMES;
    }

    private static double twin(Optional<Twins> twins, String name) throws IOException, InterruptedException {
        return twins.isPresent() ? twins.get().time(name) : Double.NaN;
    }

    /** The sum of given kernels, in one run of the program. */
    private static double kernels(boolean beside, String sum) throws IOException, InterruptedException {
        if (!beside) return Double.NaN;
        String[] terms = ("+ " + sum).split(" ");
        List<String> command = new ArrayList<>(List.of(NATIVE.toString(), "-r", "1"));
        for (int k = 1; k < terms.length; k += 2) command.add(terms[k]);
        Process process = strict(new ProcessBuilder(command)).redirectErrorStream(true).start();
        String out = new String(process.getInputStream().readAllBytes());
        process.waitFor();
        double total = 0;
        for (int k = 1; k < terms.length; k += 2) total += terms[k - 1].equals("-") ? -figure(out, terms[k]) : figure(out, terms[k]);
        return total;
    }

    private static double figure(String out, String kernel) {
        return out.lines().map(line -> line.split("\\s+")).filter(words -> words[0].equals(kernel)).mapToDouble(words -> Double.parseDouble(words[1]))
                .findFirst().orElseThrow(() -> new IllegalStateException("no figure of " + kernel + " in: " + out));
    }

    /** The arithmetic that Java does too: no fused multiply-add. */
    private static ProcessBuilder strict(ProcessBuilder process) {
        process.environment().put("VARIANT", "strict");
        return process;
    }

    private static double median(List<Double> values) {
        double[] sorted = values.stream().mapToDouble(v -> v).sorted().toArray();
        return sorted[sorted.length / 2];
    }
}

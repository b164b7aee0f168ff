package linnet.laws;

import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import linnet.Rig;
import linnet.chain.Link;
import linnet.dsp.Cell;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Told;
import linnet.laws.RandomSettings.Where;
import linnet.render.SharesRig;
import linnet.setting.Quantity;
import linnet.step.Block;
import linnet.step.Catalogue;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/** The laws, by name. */
final class Laws {
    private static final double[] RATES = {8000, 44_100, 48_000, 96_000, 192_000};
    /** Of the mains, under the voice: what takes it away has something to do. */
    private static final double HUM = 0.003;

    private Laws() {}

    static Map<String, Law> all() {
        Map<String, Law> laws = new LinkedHashMap<>();
        laws.put("two renders have the same bits", Laws::repeatable);
        laws.put("any block size and number of threads has the same bits", Laws::cutsLeaveNoTrace);
        laws.put("what has passed is read again only where the step says so", Laws::passedIsPassed);
        laws.put("kernels share no state", Laws::noSharedState);
        laws.put("neutral settings null against the take", Laws::neutralIsNull);
        laws.put("silence in, silence out", Laws::silenceStays);
        laws.put("corners and seeded points stay finite at every rate", Laws::cornersAreFinite);
        laws.put("what tells a reduction never raises", Laws::reductionsNeverRaise);
        laws.put("48 and 96 kHz agree", Laws::ratesAgree);
        laws.put("nothing is allocated in the loop", Laws::noAllocation);
        laws.put("canonical text reads back", Laws::canonicalReadsBack);
        laws.put("what followers make of the parts of a sum adds up", Laws::sharesAddUp);
        return laws;
    }

    private static Rig rig(Step step) {
        return Rig.usual().with(new Catalogue(List.of(step)));
    }

    private static String bare(Step step) {
        return new RandomSettings(7, Where.ANYWHERE).row(step);
    }

    /** A voice-like sound: a buzz with vibrato in phrases, hiss and hum between and on top, level 0.3. */
    static Samples voice(double rate, double seconds) {
        int n = (int) (rate * seconds);
        double[] x = new double[n];
        SplittableRandom random = new SplittableRandom(5);
        double phase = 0;
        for (int i = 0; i < n; i++) {
            double t = i / rate;
            double f = 180 * (1 + 0.02 * Math.sin(2 * Math.PI * 5.5 * t));
            phase += 2 * Math.PI * f / rate;
            boolean sung = t % 1.0 < 0.7;
            double s = 0;
            for (int k = 1; k <= 12; k++) s += Math.sin(k * phase) / k;
            x[i] = (sung ? 0.25 * s : 0) + 0.001 * (random.nextDouble() - 0.5) + HUM * Math.sin(2 * Math.PI * 50.02 * t);
        }
        return new Samples(rate, x);
    }

    private static Samples stereo(Samples mono) {
        double[] other = mono.data()[0].clone();
        for (int i = 0; i < other.length; i++) other[i] *= i % 3 == 0 ? 0.5 : 0.7;
        return new Samples(mono.rate(), mono.data()[0], other);
    }

    private static Optional<String> repeatable(Step step) {
        Samples take = voice(48_000, 1.5);
        return same(rig(step).render(bare(step), take).x(), rig(step).render(bare(step), take).x());
    }

    private static Optional<String> cutsLeaveNoTrace(Step step) {
        Samples take = stereo(voice(48_000, 1.1));
        double[][] usual = rig(step).render(bare(step), take).x();
        for (int block : new int[] {1, 64, 4096, 60_000}) {
            Optional<String> broken = same(usual, rig(step).block(block).render(bare(step), take).x());
            if (broken.isPresent()) return Optional.of("block " + block + ": " + broken.get());
        }
        return same(usual, rig(step).threads(2).block(9600).render(bare(step), take).x());
    }

    /** The memory of what the first of two has left is given back behind the second, unless that reads on in what it heard. */
    private static Optional<String> passedIsPassed(Step step) {
        Samples take = voice(48_000, 3.5);
        for (String row : List.of(bare(step), new RandomSettings(8, Where.ANYWHERE).row(step), new RandomSettings(0, Where.LOWEST).row(step),
                new RandomSettings(0, Where.HIGHEST).row(step))) {
            try {
                rig(step).render(row + "\n" + row, take);
            } catch (IllegalStateException e) {
                return Optional.of(row + ": " + e.getMessage());
            }
        }
        return Optional.empty();
    }

    /** Two kernels of one prepared step, taking turns, do as each alone. */
    private static Optional<String> noSharedState(Step step) {
        String twice = "- parallel: [ { steps: [ " + bare(step).substring(2).transform(s -> "{ " + s + " }") + " ] }, { level: -90 dB, steps: [ { "
                + bare(step).substring(2) + " } ] } ]";
        Samples take = voice(48_000, 1);
        double[][] alone = rig(step).render(bare(step), take).x();
        double[][] beside = rig(step).render(twice, take).x();
        double worst = 0;
        for (int c = 0; c < alone.length; c++) {
            for (int i = 0; i < alone[c].length; i++) worst = Math.max(worst, Math.abs(beside[c][i] - alone[c][i] * (1 + StrictMath.pow(10, -4.5))));
        }
        return worst < 1e-9 ? Optional.empty() : Optional.of("differs by " + worst);
    }

    private static Optional<String> neutralIsNull(Step step) {
        List<String> neutral = new ArrayList<>();
        step.settings().all().forEach(s -> {
            if (s instanceof Quantity q) q.neutral().ifPresent(v -> neutral.add(q.name() + ": " + v));
            if (s instanceof Quantity q && q.neutral().isEmpty() && q.usual().filter(linnet.setting.Value.Relative.class::isInstance).isPresent()) {
                neutral.add(q.name() + ": " + q.min());
            }
        });
        if (step.settings().all().stream().noneMatch(s -> s instanceof Quantity q && q.neutral().isPresent())) return Optional.empty();
        Samples take = voice(48_000, 1);
        double[][] out = rig(step).exact().render("- " + step.word() + ": { " + String.join(", ", neutral) + " }", take).x();
        double worst = 0;
        for (double[] channel : out) for (int i = 0; i < channel.length; i++) worst = Math.max(worst, Math.abs(channel[i] - take.data()[0][i]));
        // -120 dB: trade limit for "no gain reduction".
        return worst < 1e-6 ? Optional.empty() : Optional.of("differs from the take by " + worst);
    }

    private static Optional<String> silenceStays(Step step) {
        double[][] out = rig(step).render(bare(step), new Samples(48_000, new double[24_000])).x();
        for (double[] channel : out) for (double s : channel) if (s != 0) return Optional.of("makes " + s + " of silence");
        return Optional.empty();
    }

    private static Optional<String> cornersAreFinite(Step step) {
        List<String> rows = new ArrayList<>();
        rows.add(new RandomSettings(1, Where.LOWEST).row(step));
        rows.add(new RandomSettings(1, Where.HIGHEST).row(step));
        for (int seed = 0; seed < 6; seed++) rows.add(new RandomSettings(seed, Where.EITHER).row(step));
        for (int seed = 0; seed < 6; seed++) rows.add(new RandomSettings(seed, Where.ANYWHERE).row(step));
        // The highest frequencies lie beyond what the lowest rate has.
        while (rows.size() % RATES.length != 0) rows.add(rows.get(0));
        rows.add(rows.get(1));
        for (int k = 0; k < rows.size(); k++) {
            double rate = RATES[k % RATES.length];
            Samples take = voice(rate, 0.5);
            for (int i = 0; i < take.data()[0].length; i++) if (i % 9000 < 300) take.data()[0][i] = i % 2 == 0 ? 1 : -1;
            double[][] out = rig(step).exact().render(rows.get(k), take).x();
            for (double[] channel : out) {
                for (double s : channel) if (!(Math.abs(s) < 1e6)) return Optional.of(s + " at " + rate + " Hz from " + rows.get(k));
            }
        }
        return Optional.empty();
    }

    /**
     * Steady tones up to the top of a low and a usual rate, while a reduction is told; but of an effect that is ducked the reduction is that of what it adds.
     */
    private static Optional<String> reductionsNeverRaise(Step step) {
        for (int seed = 0; seed < 24; seed++) {
            String row = new RandomSettings(seed, seed % 3 == 0 ? Where.ANYWHERE : Where.EITHER).neverLouder().row(step);
            for (double rate : new double[] {RATES[0], 48_000}) {
                for (double share : new double[] {0.05, 0.3, 0.49}) {
                    Samples tone = tone(rate, share * rate);
                    Kernel kernel = kernel(step, row, tone, Told.nothing());
                    if (kernel.memory() > 0 || tellsNone(kernel)) return Optional.empty();
                    double raised = raisedWhileReduced(kernel, tone);
                    // As much as the pass band of a filter may ripple.
                    if (raised > 0.1) return Optional.of(share * rate + " Hz at " + rate + " Hz raised by " + raised + " dB from " + row);
                }
            }
        }
        return Optional.empty();
    }

    private static Samples tone(double rate, double hz) {
        double[] x = new double[(int) rate];
        for (int i = 0; i < x.length; i++) x[i] = 0.3 * Math.sin(2 * Math.PI * hz * i / rate);
        return new Samples(rate, x);
    }

    /** In dB, of the last third of a steady sound. */
    private static double raisedWhileReduced(Kernel kernel, Samples sound) {
        Block block = new Block();
        double in = 1e-12, out = 1e-12;
        for (int at = 0; at + Cell.LENGTH <= sound.frames(); at += Cell.LENGTH) {
            block.place(at, Cell.LENGTH);
            sound.read(at, new double[][] {block.x(0)}, Cell.LENGTH);
            double power = power(block.x(0));
            kernel.process(block);
            kernel.settle();
            if (kernel.reductionDb() < 0.01 || 3 * at < 2 * sound.frames()) continue;
            in += power;
            out += power(block.x(0));
        }
        return 10 * Math.log10(out / in);
    }

    private static double power(double[] cell) {
        double power = 0;
        for (int i = 0; i < Cell.LENGTH; i++) power += cell[i] * cell[i];
        return power;
    }

    private static boolean tellsNone(Kernel kernel) {
        try {
            return kernel.getClass().getMethod("reductionDb").getDeclaringClass() == Kernel.class;
        } catch (NoSuchMethodException e) {
            throw new AssertionError(e);
        }
    }

    private static Kernel kernel(Step step, String row, Samples sound, Told told) {
        Link.Use use = (Link.Use) rig(step).chain(row).links().get(0);
        Prepared prepared = step.prepare(new FixedValues(use.values(), 120), new Setup(sound.rate(), sound.channels()));
        return prepared.start().kernel(new LiveValues(use.values(), 120, sound.rate(), 0, (what, value) -> {}), prepared.hears() ? new Ear(sound, told) : null);
    }

    private static Optional<String> ratesAgree(Step step) {
        String row = bare(step);
        double[][] at48 = rig(step).render(row, voice(48_000, 3)).x();
        double[][] at96 = rig(step).render(row, voice(96_000, 3)).x();
        double difference = 20 * Math.log10(rms(at96[0]) / rms(at48[0]));
        return Math.abs(difference) < 0.3 ? Optional.empty() : Optional.of("levels differ by " + difference + " dB");
    }

    private static double rms(double[] x) {
        return Math.sqrt(Arrays.stream(x).map(v -> v * v).average().orElse(0)) + 1e-12;
    }

    /**
     * Two cells of samples, in bytes: less than that is allocated by what is designed anew where it moves (most of all the filter of a de-esser, 3057 bytes
     * with Java 17 and 5008 with 25).
     */
    private static final int DESIGNED = 2 * 8 * Cell.LENGTH;

    /** Over the fades of what is marked, too; where all moves that may, nothing as long as the sound. */
    private static Optional<String> noAllocation(Step step) {
        Told told = new Told(Optional.of(new Marks(List.of(mark(Mark.Kind.PHRASE, 0, 0.7), mark(Mark.Kind.PHRASE, 1, 1.7),
                mark(Mark.Kind.BREATH, 1.75, 1.95)))));
        Samples sound = stereo(voice(48_000, 2));
        for (int seed = 7; seed < 11; seed++) {
            String still = new RandomSettings(seed, Where.ANYWHERE).row(step), moving = new RandomSettings(seed, Where.ANYWHERE).moving().row(step);
            long[] bytes = allocated(kernel(step, still, sound, told), sound);
            if (Arrays.stream(bytes).sum() >= 2000) return Optional.of(Arrays.stream(bytes).sum() + " bytes in 50 blocks of " + still);
            long most = Arrays.stream(allocated(kernel(step, moving, sound, told), sound)).max().orElseThrow();
            if (most >= DESIGNED) return Optional.of(most + " bytes in a block of " + moving);
        }
        return Optional.empty();
    }

    private static Mark mark(Mark.Kind kind, double from, double to) {
        return new Mark(kind, Math.round(48_000 * from), Math.round(48_000 * to), 1, false);
    }

    /** Bytes that a kernel allocates in each cell between 1.5 and 2 s. */
    private static long[] allocated(Kernel kernel, Samples sound) {
        Block block = new Block();
        double[][] x = block.x();
        var threads = (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
        long thread = Thread.currentThread().getId();
        long[] bytes = new long[50];
        for (int i = 0; i < 200; i++) {
            block.place((long) i * Cell.LENGTH, Cell.LENGTH);
            sound.read((long) i * Cell.LENGTH, x, Cell.LENGTH);
            long before = threads.getThreadAllocatedBytes(thread);
            kernel.process(block);
            kernel.settle();
            // The first blocks may still load classes.
            if (i >= 150) bytes[i - 150] = threads.getThreadAllocatedBytes(thread) - before;
        }
        return bytes;
    }

    private static Optional<String> canonicalReadsBack(Step step) {
        for (int seed = 0; seed < 20; seed++) {
            Link.Use first = (Link.Use) rig(step).chain(new RandomSettings(seed, Where.ANYWHERE).row(step)).links().get(0);
            String text = first.values().write();
            String row = step.body() == null ? text : text.substring(text.indexOf('['), text.lastIndexOf(']') + 1);
            Link.Use second = (Link.Use) rig(step).chain("- " + step.word() + ": " + row).links().get(0);
            if (!second.values().write().equals(text)) return Optional.of(text + " reads back as " + second.values().write());
        }
        return Optional.empty();
    }

    private static Samples floats(Samples x) {
        return new Samples(x.rate(), Arrays.stream(x.data()).map(side -> Arrays.stream(side).map(v -> (float) v).toArray()).toArray(double[][]::new));
    }

    /** A sum split at random three ways, in time and against each other: the shares add up to what the step makes of the sum. */
    private static Optional<String> sharesAddUp(Step step) {
        for (int seed = 0; seed < 8; seed++) {
            int channels = 1 + seed % 2;
            String row = new RandomSettings(seed, Where.ANYWHERE).row(step);
            // Of floats: those are what is heard of a sum, and by others a threshold would be found that differs in its tenth digit.
            Samples voice = floats(voice(48_000, 1.1)), whole = channels == 1 ? voice : floats(stereo(voice));
            List<Samples> parts = split(whole, seed);
            Optional<double[][]> sum = SharesRig.sum(rig(step).chain(row), whole, parts);
            if (sum.isEmpty()) continue;
            double[][] made = rig(step).exact().render(row, whole).x();
            double worst = 0, most = 1;
            for (int c = 0; c < made.length; c++) {
                for (int i = 0; i < made[c].length; i++) {
                    worst = Math.max(worst, Math.abs(made[c][i] - sum.get()[c][i]));
                    most = Math.max(most, Math.abs(made[c][i]));
                }
            }
            if (worst >= 1e-9 * most) return Optional.of("the shares of " + row + " miss the whole by " + worst);
        }
        return Optional.empty();
    }

    private static List<Samples> split(Samples whole, int seed) {
        SplittableRandom random = new SplittableRandom(seed);
        List<Samples> parts = new ArrayList<>();
        int n = (int) whole.frames();
        double[][][] x = new double[3][whole.channels()][n];
        for (int c = 0; c < whole.channels(); c++) {
            for (int i = 0; i < n; i++) {
                double share = Math.sin(i * 1e-3 + seed), other = 0.2 * (random.nextDouble() - 0.5);
                x[0][c][i] = share * whole.data()[c][i] + other;
                x[1][c][i] = i > n / 2 ? 0.5 * whole.data()[c][i] : 0;
                x[2][c][i] = whole.data()[c][i] - x[0][c][i] - x[1][c][i];
            }
        }
        for (double[][] part : x) parts.add(new Samples(whole.rate(), part));
        return parts;
    }

    private static Optional<String> same(double[][] a, double[][] b) {
        if (a.length != b.length || a[0].length != b[0].length) return Optional.of("lengths " + a[0].length + " and " + b[0].length);
        for (int c = 0; c < a.length; c++) {
            for (int i = 0; i < a[c].length; i++) {
                if (Double.doubleToRawLongBits(a[c][i]) != Double.doubleToRawLongBits(b[c][i])) {
                    return Optional.of("sample " + i + ": " + a[c][i] + " and " + b[c][i]);
                }
            }
        }
        return Optional.empty();
    }
}

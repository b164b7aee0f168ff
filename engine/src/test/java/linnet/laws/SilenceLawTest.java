package linnet.laws;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.atomic.AtomicLong;
import linnet.Rig;
import linnet.chain.Chain;
import linnet.chain.ChainReader;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import linnet.laws.RandomSettings.Where;
import linnet.plan.Plan;
import linnet.plan.Planner;
import linnet.render.Renderer;
import linnet.render.SharesRig;
import linnet.render.Tail;
import linnet.render.Witness;
import linnet.setting.Fixed;
import linnet.setting.Live;
import linnet.setting.Value;
import linnet.step.Block;
import linnet.step.Catalogue;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** Where silence is skipped, the print has the bits that it has where nothing is: of every step, for any cut, while settings move. */
class SilenceLawTest {
    private static final double RATE = 44_100;

    /**
     * Silence, three seconds of a voice with pauses, silence, a tick that is over before it comes out of a delay, another that lies in one cell, silence, a
     * short word off every grid, silence.
     */
    private static Samples take(double seconds, double zero) {
        double[] x = Laws.voice(RATE, seconds).data()[0];
        for (int i = 0; i < x.length; i++) {
            double t = i / RATE;
            if (!(t > 0.3 && t < 3.3 || t > 8.5 && t < 8.501 || t > 10 && t < 10.001 || t > 12.0009 && t < 12.2)) x[i] = zero;
        }
        return new Samples(RATE, x);
    }

    private static Samples stereo(Samples mono) {
        double[] x = mono.data()[0], other = new double[x.length];
        for (int i = 0; i < x.length; i++) other[i] = i % 50_000 < 40_000 ? 0.6 * x[i] : x[i];
        return new Samples(RATE, x, other);
    }

    private static Plan plan(Chain chain, int channels) {
        try {
            return Planner.plan(chain, RATE, channels, OptionalDouble.empty());
        } catch (ProblemsException e) {
            throw new AssertionError(e.getMessage(), e);
        }
    }

    private static double[][] render(Plan plan, Ear ear, int block, int threads, List<Double> reductions) {
        double[][] out = new double[plan.output().channels()][(int) ear.sound().frames()];
        int[] at = {0};
        Witness witness = node -> node.work().isEmpty() || reductions == null ? null : new Witness.Watch() {
            @Override
            public void before(double[][] x, int channels, int n, long at) {}

            @Override
            public void after(double[][] x, int channels, int n, double reductionDb) {
                reductions.add(reductionDb);
            }
        };
        var options = new Renderer.Options(block, threads, new Tail.Auto(), 0, ear.sound().frames());
        try (Renderer renderer = new Renderer(plan, ear, options, Renderer.Progress.SILENT, witness)) {
            renderer.render((x, n) -> {
                for (int c = 0; c < out.length; c++) System.arraycopy(x[c], 0, out[c], at[0], n);
                at[0] += n;
            });
        } catch (ProblemsException | IOException e) {
            throw new AssertionError(e.getMessage(), e);
        }
        return out;
    }

    private static Optional<String> differs(double[][] a, double[][] b) {
        for (int c = 0; c < a.length; c++) {
            for (int i = 0; i < a[c].length; i++) {
                if (Double.doubleToRawLongBits(a[c][i]) != Double.doubleToRawLongBits(b[c][i])) {
                    return Optional.of("sample " + i + " of channel " + c + ": " + a[c][i] + ", awake " + b[c][i]);
                }
            }
        }
        return Optional.empty();
    }

    private static Chain chain(Step step, String row) {
        return Rig.usual().with(new Catalogue(List.of(step))).chain(row);
    }

    private static String usual(Step step) {
        return step.body() == null ? "- " + step.word()
                : "- " + step.word() + ": [ { high-pass: 80 Hz }, { bell: 1 kHz, gain: 4 dB, q: 3 }, { high-shelf: { 0 s: 6 kHz, 14 s: 9 kHz }, gain: 3 dB } ]";
    }

    /** The step as it stands, at random, and with each of its settings on its way while it is silent. */
    private static List<String> rows(Step step) {
        List<String> rows = new ArrayList<>();
        rows.add(usual(step));
        for (int seed = 0; seed < 5; seed++) rows.add(new RandomSettings(seed, Where.ANYWHERE).row(step));
        step.settings().all().forEach(s -> {
            // However far ahead is heard, what is on its way through is no silence.
            if (s instanceof Fixed q && q.name().equals("lookahead")) rows.add("- " + step.word() + ": { lookahead: " + q.max() + " }");
            if (s instanceof Live q && q.usual().filter(Value.Relative.class::isInstance).isEmpty()) {
                rows.add("- " + step.word() + ": { " + q.name() + ": { 1 s: " + q.min() + ", 5 s: " + q.max() + ", 11 s: " + q.min() + " } }");
            }
        });
        return rows;
    }

    private static boolean isAccepted(Step step, String row) {
        try {
            chain(step, row);
            return true;
        } catch (AssertionError refused) {
            return false;
        }
    }

    private static Optional<String> broken(Step step) {
        List<String> rows = rows(step);
        for (int r = 0; r < rows.size(); r++) {
            if (!isAccepted(step, rows.get(r))) continue;
            Samples take = r % 2 == 0 ? take(15, 0.0) : stereo(take(15, 0.0));
            Ear ear = new Ear(take);
            Plan plan = plan(chain(step, rows.get(r)), take.channels());
            List<Double> reductions = new ArrayList<>(), awakeReductions = new ArrayList<>();
            double[][] awake = render(Awake.always(plan), ear, 480, 1, awakeReductions);
            Optional<String> broken = differs(render(plan, ear, 480, 1, reductions), awake);
            if (broken.isEmpty() && !reductions.equals(awakeReductions)) broken = Optional.of("reductions are not told alike");
            if (broken.isEmpty() && r == 0) broken = differs(render(plan, ear, 37, 1, null), awake).or(() -> differs(render(plan, ear, 9600, 3, null), awake));
            if (broken.isPresent()) return Optional.of(rows.get(r) + ": " + broken.get());
        }
        return Optional.empty();
    }

    @TestFactory
    List<DynamicTest> skippingLeavesNoTrace() {
        return Builtins.catalogue().steps().stream().map(step -> dynamicTest(step.word(), () -> assertEquals(Optional.empty(), broken(step)))).toList();
    }

    /** What a sum does to its shares goes on when the sum is silent and its shares are not, because they take each other away. */
    @TestFactory
    List<DynamicTest> sharesOfASilentSum() {
        return Builtins.catalogue().steps().stream()
                .filter(s -> plan(chain(s, usual(s)), 1).steps().get(0).work().orElseThrow().prepared().sharing() != Prepared.Sharing.NONE)
                .map(step -> dynamicTest(step.word(), () -> {
            Samples whole = take(15, 0.0), one = Laws.voice(RATE, 15), other = new Samples(RATE, one.data()[0].clone()), third = take(15, 0.0);
            for (int i = 0; i < one.data()[0].length; i++) {
                boolean sounds = i > 9 * RATE && i < 10 * RATE;
                one.data()[0][i] *= sounds ? 1 : 0;
                other.data()[0][i] *= sounds ? -1 : 0;
            }
            Plan plan = plan(chain(step, usual(step)), 1);
            for (Samples part : List.of(one, other, third)) {
                Optional<double[][]> rests = SharesRig.sum(plan, whole, List.of(part)), awake = SharesRig.sum(Awake.always(plan), whole, List.of(part));
                assertEquals(Optional.empty(), differs(rests.orElseThrow(), awake.orElseThrow()));
            }
        })).toList();
    }

    /** Of half a minute with a few words at its beginning these leave out a good part. */
    @Test
    void theStepsThatRest() {
        List<String> resting = new ArrayList<>();
        Samples take = take(30, 0.0);
        Arrays.fill(take.data()[0], (int) (4 * RATE), (int) (30 * RATE), 0);
        for (Step step : Builtins.catalogue().steps()) {
            AtomicLong samples = new AtomicLong();
            render(Awake.counted(plan(chain(step, usual(step)), 1), samples), new Ear(take), 480, 1, null);
            if (samples.get() < 0.9 * take.frames()) resting.add(step.word());
        }
        // Those that are missing give what they have worked out for that place, whatever arrives: notes sung anew, samples mended, a hum, another time.
        assertEquals(List.of("breaths", "compressor", "de-ess", "delay", "denoise", "eq", "gate", "level", "limit", "multiband", "pan", "pops", "reverb",
                "ride", "saturate", "trim",
                "width"), resting);
    }

    @Test
    void zerosWithASignAreSilenceToo() {
        Samples plain = take(15, 0.0), signed = take(15, -0.0);
        Plan plan = plan(Rig.usual().chain("- compressor: { threshold: -20 dBFS }\n- delay: { mix: 20 % }"), 1);
        AtomicLong samples = new AtomicLong(), signedSamples = new AtomicLong();
        double[][] made = render(Awake.counted(plan, samples), new Ear(plain), 480, 1, null);
        assertEquals(Optional.empty(), differs(render(Awake.counted(plan, signedSamples), new Ear(signed), 480, 1, null), made));
        assertEquals(samples.get(), signedSamples.get());
    }

    /** The whole of a ready chain: a background part that is heard once. */
    @Test
    void aReadyChainRunsWhereSomeoneSings() throws Exception {
        double[] sung = Performance.sing(SevenLanterns.lead(), Singer.high(), Room.dry(), RATE).samples();
        double[] x = Arrays.copyOf(Arrays.copyOfRange(sung, 0, (int) (12 * RATE)), (int) (72 * RATE));
        Ear ear = new Ear(new Samples(RATE, x));
        Plan plan = plan(ChainReader.read(Path.of("../chains/close-lead.yaml"), Builtins.catalogue()), 1);
        AtomicLong samples = new AtomicLong();
        double[][] made = render(Awake.counted(plan, samples), ear, 480, 1, null);
        assertEquals(Optional.empty(), differs(made, render(Awake.always(plan), ear, 480, 1, null)));
        double share = samples.get() / (double) plan.steps().size() / x.length;
        assertTrue(share < 0.35, "worked on " + share + " of all samples");
    }

    /** Steps that say they rest and do not. */
    private static final Map<String, Kernel> SABOTEURS = Map.of(
            "an echo that is still to come", new Saboteur() {
                private final double[] ring = new double[20_000];

                @Override
                public void process(Block block) {
                    for (int i = 0; i < block.length(); i++) {
                        int at = (int) ((block.start() + i) % ring.length);
                        double late = ring[at];
                        ring[at] = block.x(0)[i];
                        block.x(0)[i] = late;
                    }
                }
            },
            "a clock that stands still meanwhile", new Saboteur() {
                private long samples;

                @Override
                public void process(Block block) {
                    for (int i = 0; i < block.length(); i++) block.x(0)[i] *= 1 + samples++ % 1000;
                }
            },
            "zeros with a sign", new Saboteur() {
                @Override
                public void process(Block block) {
                    for (int i = 0; i < block.length(); i++) block.x(0)[i] *= -1;
                }
            });

    private abstract static class Saboteur implements Kernel {
        @Override
        public boolean rests() {
            return true;
        }
    }

    @TestFactory
    List<DynamicTest> everySaboteurIsCaught() {
        return SABOTEURS.keySet().stream().sorted().map(name -> dynamicTest(name, () -> {
            Step step = new Step("broken", "Breaks the law.") {
                @Override
                public Prepared prepare(FixedValues values, Setup setup) {
                    return Prepared.of(0, setup.channels(), v -> SABOTEURS.get(name));
                }
            };
            assertTrue(broken(step).isPresent());
        })).toList();
    }
}

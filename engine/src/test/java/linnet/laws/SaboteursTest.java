package linnet.laws;

import static java.util.Map.entry;
import static linnet.setting.Unit.DB;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.BiFunction;
import linnet.dsp.Cell;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.setting.Live;
import linnet.step.Block;
import linnet.step.Complaint;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.Leader;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** Broken steps: each law must catch the one made to break it. */
class SaboteursTest {
    /** A step that does what it is told by a lambda. */
    private static final class Broken extends Step {
        private final Live amount = live("amount", DB).range(-20, 20).usual("0 dB").neutral("0 dB").doc("Nothing.");
        private final int latency;
        private final BiFunction<Double, Setup, Kernel> kernel;

        Broken(int latency, BiFunction<Double, Setup, Kernel> kernel) {
            super("broken", "Breaks a law.");
            this.latency = latency;
            this.kernel = kernel;
        }

        @Override
        public Prepared prepare(FixedValues values, Setup setup) {
            return Prepared.of(latency, setup.channels(), (LiveValues v) -> kernel.apply(v.first(amount), setup));
        }
    }

    private static Kernel each(java.util.function.DoubleUnaryOperator f) {
        return block -> {
            for (int c = 0; c < 2; c++) for (int i = 0; i < block.length(); i++) block.x(c)[i] = f.applyAsDouble(block.x(c)[i]);
        };
    }

    private static final double[] SHARED = new double[1];
    private static int renders;
    private static Object litter;

    private static final Map<String, Step> SABOTEURS = Map.ofEntries(
            entry("two renders have the same bits", new Broken(0, (a, s) -> {
                double gain = 1 + 1e-12 * renders++;
                return each(x -> x * gain);
            })),
            entry("any block size and number of threads has the same bits", new Broken(0, (a, s) -> (Kernel) block -> {
                for (int c = 0; c < 2; c++) block.x(c)[block.length() - 1] *= 0.999;
            })),
            entry("what has passed is read again only where the step says so", new Late()),
            entry("kernels share no state", new Broken(0, (a, s) -> each(x -> SHARED[0] += 0.1 * (x - SHARED[0])))),
            entry("neutral settings null against the take", new Broken(1, (a, s) -> each(x -> x))),
            entry("silence in, silence out", new Broken(0, (a, s) -> each(x -> x + 1e-9))),
            entry("corners and seeded points stay finite at every rate", new Broken(0, (a, s) -> each(x -> a >= 20 ? Math.sqrt(-1) : x))),
            entry("what tells a reduction never raises", new Broken(0, (a, s) -> new Raising())),
            entry("48 and 96 kHz agree", new Broken(0, (a, s) -> {
                double[] y = new double[1];
                return each(x -> y[0] += 0.02 * (x - y[0]));
            })),
            entry("nothing is allocated in the loop", new Littering()),
            entry("canonical text reads back", new Forgetful()),
            entry("what followers make of the parts of a sum adds up", new Selfish()));

    /** It says that it can be shared out, but its followers go by their own levels. */
    private static final class Selfish extends Step {
        Selfish() {
            super("broken", "Breaks a law.");
            live("amount", DB).range(-20, 20).usual("0 dB").neutral("0 dB").doc("Nothing.");
        }

        @Override
        public Prepared prepare(FixedValues values, Setup setup) {
            return Prepared.of(0, setup.channels(), v -> new Squash()).led();
        }

        private static final class Squash implements Leader {
            @Override
            public void process(Block block) {
                each(x -> x / (1 + Math.abs(x))).process(block);
            }

            @Override
            public Leader afresh() {
                return new Squash();
            }

            @Override
            public Kernel follower() {
                return new Squash();
            }
        }
    }

    /** Louder by what it says it turns down. */
    private static final class Raising implements Kernel {
        @Override
        public void process(Block block) {
            each(x -> 2 * x).process(block);
        }

        @Override
        public double reductionDb() {
            return 6;
        }
    }

    /** It hears first, as most steps do, and litters then, where its setting moves. */
    private static final class Littering extends Step {
        private final Live amount = live("amount", DB).range(-20, 20).usual("0 dB").doc("Nothing.");

        Littering() {
            super("broken", "Breaks a law.");
        }

        @Override
        public Prepared prepare(FixedValues values, Setup setup) {
            return Prepared.hearing(0, setup.channels(), (v, ear) -> block -> litter = v.moves(amount) ? new double[2 * Cell.LENGTH] : null);
        }
    }

    /** It gives what arrived a second ago, and does not say that it reads on. */
    private static final class Late extends Step {
        Late() {
            super("broken", "Breaks a law.");
            live("amount", DB).range(-20, 20).usual("0 dB").doc("Nothing.");
        }

        @Override
        public Prepared prepare(FixedValues values, Setup setup) {
            return Prepared.hearing(0, setup.channels(), (v, ear) -> {
                Sound late = new Excerpt(ear.sound(), -48_000, ear.sound().frames());
                return block -> {
                    long at = v.takeFrame(block);
                    if (at >= 0 && at + block.length() <= late.frames()) late.read(at, block.x(), block.length());
                };
            });
        }
    }

    /** Its bare number is read in another unit than it is written in. */
    private static final class Forgetful extends Step {
        private int reads;

        Forgetful() {
            super("broken", "Breaks a law.");
            live("amount", DB).range(-20, 20).usual("0 dB").doc("Nothing.");
        }

        @Override
        public List<Complaint> complaints(linnet.setting.Values values) {
            // Changes what was read: values are meant to be left alone.
            values.put((Live) settings().all().get(0), new linnet.setting.Value.Amount(reads++));
            return List.of();
        }

        @Override
        public Prepared prepare(FixedValues values, Setup setup) {
            return Prepared.of(0, setup.channels(), v -> (Block b) -> {});
        }
    }

    @TestFactory
    List<DynamicTest> everySaboteurIsCaught() {
        return SABOTEURS.entrySet().stream()
                .map(e -> dynamicTest(e.getKey(), () -> assertTrue(Laws.all().get(e.getKey()).broken(e.getValue()).isPresent())))
                .toList();
    }

    @Test
    void everyLawHasItsSaboteur() {
        assertEquals(Laws.all().keySet(), SABOTEURS.keySet());
    }

    @Test
    void anHonestStepIsNotAccused() {
        Step honest = new Broken(0, (a, s) -> {
            double gain = StrictMath.pow(10, a / 20);
            return each(x -> x * gain);
        });
        Laws.all().forEach((name, law) -> assertEquals(Optional.empty(), law.broken(honest), name));
    }
}

package linnet.laws;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import linnet.Rig;
import linnet.Voices;
import linnet.chain.Chain;
import linnet.dsp.Samples;
import linnet.laws.RandomSettings.Where;
import linnet.step.Catalogue;
import linnet.step.Step;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;

/** Sounds that no singer makes, through every step and every ready chain, at the lowest rate and the highest: what comes out has its length and is a number. */
class SignalsTest {
    private static final double[] RATES = {8000, 48_000, 192_000};
    private static final double SECONDS = 0.3;
    /** As much as all settings at their highest may turn a full scale up. */
    private static final double MOST = 1e6;

    interface Signal {
        double at(int i, double rate);
    }

    private static final Map<String, Signal> SIGNALS = new LinkedHashMap<>();

    static {
        SIGNALS.put("full-scale square", (i, rate) -> i * 220 / (long) rate % 2 == 0 ? 1 : -1);
        SIGNALS.put("every other sample at full scale", (i, rate) -> i % 2 == 0 ? 1 : -1);
        SIGNALS.put("DC", (i, rate) -> 1);
        SIGNALS.put("denormals", (i, rate) -> i % 3 == 0 ? Double.MIN_VALUE : -4e-310);
        SIGNALS.put("denormals of 32 bits", (i, rate) -> i % 2 == 0 ? Float.MIN_VALUE : -1e-40);
        SIGNALS.put("one sample that is not zero", (i, rate) -> i == 1000 ? 1 : 0);
        SIGNALS.put("a burst, then denormals", (i, rate) -> i < 500 ? 1 - i % 2 * 2 : 1e-309);
        SIGNALS.put("+120 dBFS", (i, rate) -> 0x1p20 * Math.sin(i * 0.1));
    }

    private static double[] of(Signal s, double rate, int n) {
        double[] x = new double[n];
        for (int i = 0; i < n; i++) x[i] = s.at(i, rate);
        return x;
    }

    @TestFactory
    List<DynamicTest> everyStep() {
        List<DynamicTest> tests = new ArrayList<>();
        for (Step step : Builtins.catalogue().steps()) {
            Rig rig = Rig.usual().with(new Catalogue(List.of(step)));
            String row = new RandomSettings(3, Where.ANYWHERE).row(step);
            SIGNALS.forEach((name, signal) -> tests.add(dynamicTest(step.word() + ": " + name, () -> {
                for (double rate : RATES) isNumbers(rig, rig.chain(row), signal, rate, (int) (SECONDS * rate));
            })));
            tests.add(dynamicTest(step.word() + ": next to nothing", () -> nextToNothing(rig, rig.chain(row))));
        }
        return tests;
    }

    @TestFactory
    List<DynamicTest> everyReadyChain() throws IOException {
        List<DynamicTest> tests = new ArrayList<>();
        try (Stream<Path> files = Files.list(Voices.repository().resolve("chains"))) {
            for (Path file : files.sorted().toList()) {
                String text = Files.readString(file);
                if (text.contains("use:")) continue;
                Chain chain = Rig.usual().read(text.replaceFirst("(?m)^tempo:.*$", "").replaceFirst("(?m)^steps:", "tempo: 100 bpm\nsteps:"));
                SIGNALS.forEach((name, signal) -> tests.add(dynamicTest(file.getFileName() + ": " + name, () -> {
                    for (double rate : RATES) heardOrTold(() -> isNumbers(Rig.usual(), chain, signal, rate, (int) (SECONDS * rate)));
                })));
                tests.add(dynamicTest(file.getFileName() + ": next to nothing", () -> heardOrTold(() -> nextToNothing(Rig.usual(), chain))));
            }
        }
        return tests;
    }

    /** What is stated against a singer cannot be found where nobody sings: that is a message with its remedy, and no print. */
    private static void heardOrTold(Runnable render) {
        try {
            render.run();
        } catch (AssertionError e) {
            if (!(e.getCause() instanceof ProblemsException)) throw e;
            assertTrue(e.getMessage().matches("(?s).* of this take cannot be measured: .*; give .* as a number such as .*"), e.getMessage());
        }
    }

    /** Of no sample, of one, of two, of one less and one more than a cell. */
    private static void nextToNothing(Rig rig, Chain chain) {
        for (double rate : RATES) for (int n : new int[] {0, 1, 2, 479, 481}) isNumbers(rig, chain, (i, r) -> 1 - i % 2 * 2, rate, n);
    }

    private static void isNumbers(Rig rig, Chain chain, Signal signal, double rate, int n) {
        double[][] out = rig.exact().render(chain, new Samples(rate, of(signal, rate, n))).x();
        assertTrue(out.length >= 1, "no channel");
        for (double[] channel : out) {
            assertEquals(n, channel.length, "samples at " + rate + " Hz");
            double most = Arrays.stream(channel).map(Math::abs).max().orElse(0);
            double loudest = Arrays.stream(of(signal, rate, n)).map(Math::abs).max().orElse(0);
            assertTrue(most <= MOST * Math.max(loudest, 1), "reaches " + most + " at " + rate + " Hz");
            for (int i = 0; i < n; i++) assertTrue(Double.isFinite(channel[i]), channel[i] + " at sample " + i + " of " + n + ", " + rate + " Hz");
        }
    }
}

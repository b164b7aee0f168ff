package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import linnet.dsp.Cell;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import linnet.setting.Choice;
import linnet.setting.Quantity;
import linnet.setting.Setting;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.step.Block;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;
import org.junit.jupiter.api.Test;

class DelayTest {
    private static final double RATE = 48000, TEMPO = 140;

    private final Step delay = new Delay();
    private final Values values = new Values(delay.settings());
    private String found = "";

    private void give(String name, Value value) {
        for (Setting s : delay.settings().all()) if (s.name().equals(name)) values.put((Quantity) s, value);
    }

    private Prepared prepare(int channels) {
        return delay.prepare(new FixedValues(values, TEMPO), new Setup(RATE, channels));
    }

    /** 0 dB of drive rounds nothing, whether it is written out or not. */
    @Test
    void onlyADriveThatRoundsCannotBeSharedOut() {
        assertEquals(Prepared.Sharing.LINEAR, prepare(1).sharing());
        give("drive", new Value.Amount(0));
        assertEquals(Prepared.Sharing.LINEAR, prepare(1).sharing());
        give("drive", new Value.Amount(3));
        assertEquals(Prepared.Sharing.NONE, prepare(1).sharing());
        give("drive", new Value.Curve(List.of(new Value.Point(0, new Value.Amount(0)), new Value.Point(1, new Value.Amount(6)))));
        assertEquals(Prepared.Sharing.NONE, prepare(1).sharing());
    }

    private Kernel kernel(int channels, Ear ear) {
        LiveValues live = new LiveValues(values, TEMPO, RATE, 0, (what, value) -> found = what + " " + value);
        return prepare(channels).start().kernel(live, ear);
    }

    private static double[][] run(Kernel kernel, double[] x) {
        Block block = new Block();
        double[][] y = new double[2][x.length];
        for (int from = 0; from < x.length; from += Cell.LENGTH) {
            block.place(from, Cell.LENGTH);
            System.arraycopy(x, from, block.x(0), 0, Cell.LENGTH);
            kernel.process(block);
            for (int c = 0; c < 2; c++) System.arraycopy(block.x(c), 0, y[c], from, Cell.LENGTH);
            kernel.settle();
        }
        return y;
    }

    private static double[] impulse() {
        double[] x = new double[48000];
        x[0] = 1;
        return x;
    }

    private void open() {
        give("high-pass", new Value.Named("off"));
        give("low-pass", new Value.Named("off"));
    }

    @Test
    void aNoteValueTakesItsTimeFromTheTempo() {
        open();
        give("time", new Value.Notes(0.5, "1/8")); // 214.286 ms at 140 bpm
        double[] y = run(kernel(1, null), impulse())[0];
        assertEquals(1, y[(int) Math.round(0.214286 * RATE)]);
        assertEquals(0.15, y[2 * (int) Math.round(0.214286 * RATE)], 1e-15);
    }

    @Test
    void pingPongMakesStereoOfMono() {
        open();
        give("time", new Value.Amount(100));
        give("feedback", new Value.Amount(50));
        for (Setting s : delay.settings().all()) if (s instanceof Choice<?> c) values.put(c, linnet.dsp.delay.Echo.Pattern.PING_PONG);
        assertEquals(2, prepare(1).channels());
        double[][] y = run(kernel(1, null), impulse());
        assertEquals(1, y[0][4800]);
        assertEquals(0, y[1][4800]);
        assertEquals(0.5, y[1][9600]);
        assertEquals(0, y[0][9600]);
    }

    @Test
    void itMaySoundForAsLongAsItsTime() {
        give("time", new Value.Amount(800));
        assertTrue(kernel(1, null).memory() >= 38400);
    }

    @Test
    void hearsTheVoiceOnlyToDuckItsOwnEcho() {
        assertEquals(false, prepare(1).hears());
        give("duck", new Value.Amount(9));
        assertEquals(true, prepare(1).hears());
        double[] x = new double[48000];
        for (int i = 0; i < x.length; i++) x[i] = 0.5 * Math.sin(2 * Math.PI * 220 * i / RATE);
        Kernel kernel = kernel(1, new Ear(new Samples(RATE, x)));
        assertTrue(found.startsWith("duck threshold "), found);
        run(kernel, x);
        assertEquals(9, kernel.reductionDb(), 0.5);
    }

    @Test
    void aMovedTimeGlides() {
        open();
        give("feedback", new Value.Amount(0));
        give("time", new Value.Curve(java.util.List.of(
                new Value.Point(0.2, new Value.Amount(100)), new Value.Point(0.21, new Value.Amount(150)))));
        double[] x = new double[96000];
        for (int i = 0; i < x.length; i++) x[i] = Math.sin(2 * Math.PI * 300 * i / RATE);
        double[] y = run(kernel(1, null), x)[0];
        for (int i = 9600; i < y.length; i++) assertTrue(Math.abs(y[i] - y[i - 1]) < 2 * Math.PI * 300 * 1.34 / RATE, "click at " + i);
        assertEquals(x[90000 - 7200], y[90000], 1e-3, "arrived");
    }
}

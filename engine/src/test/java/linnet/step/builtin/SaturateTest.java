package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import linnet.dsp.Cell;
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
import org.junit.jupiter.api.Test;

class SaturateTest {
    /** Usual values: an impulse arrives late by the latency said, on both channels, near its own height. */
    @Test
    void isAsLateAsItSays() {
        Saturate saturate = new Saturate();
        Values values = new Values(saturate.settings());
        Prepared prepared = saturate.prepare(new FixedValues(values, 0), new Setup(48000, 2));
        Kernel kernel = prepared.start().kernel(new LiveValues(values, 0, 48000, 0, (what, value) -> {}), null);
        Block block = new Block();
        block.place(0, Cell.LENGTH);
        block.x(0)[100] = 0.25;
        block.x(1)[200] = -0.25;
        kernel.process(block);
        for (int c = 0; c < 2; c++) {
            int highest = 0;
            for (int i = 0; i < Cell.LENGTH; i++) if (Math.abs(block.x(c)[i]) > Math.abs(block.x(c)[highest])) highest = i;
            assertEquals(100 * (c + 1) + prepared.latency(), highest);
            assertTrue(Math.abs(Math.abs(block.x(c)[highest]) - 0.25) < 0.02);
        }
    }

    /** To the bit, up to half the rate, where the filters of a saturation at work would take some. */
    @Test
    void withoutDriveAllPassesAsItIs() {
        double[] noise = new Random(3).doubles(10 * Cell.LENGTH, -0.5, 0.5).toArray();
        Saturate saturate = new Saturate();
        Values values = new Values(saturate.settings());
        for (Setting s : saturate.settings().all()) if (s.name().equals("drive")) values.put((Quantity) s, new Value.Amount(0));
        Prepared prepared = saturate.prepare(new FixedValues(values, 0), new Setup(44100, 2));
        Kernel kernel = prepared.start().kernel(new LiveValues(values, 0, 44100, 0, (what, value) -> {}), null);
        for (int at = 0; at < noise.length; at += Cell.LENGTH) {
            Block block = new Block();
            block.place(at, Cell.LENGTH);
            for (int c = 0; c < 2; c++) System.arraycopy(noise, at, block.x(c), 0, Cell.LENGTH);
            kernel.process(block);
            kernel.settle();
            for (int c = 0; c < 2; c++) {
                for (int i = 0; i < Cell.LENGTH; i++) {
                    int from = at + i - prepared.latency();
                    assertEquals(from < 0 ? 0 : noise[from], block.x(c)[i]);
                }
            }
        }
    }
}

package linnet.step.builtin;

import linnet.dsp.dynamics.Led;
import linnet.step.Block;
import linnet.step.Kernel;

/** The kernel of what is led, on one channel or two. */
class Following implements Kernel {
    private final Led led;
    private final boolean stereo;

    Following(Led led, int channels) {
        this.led = led;
        stereo = channels == 2;
    }

    @Override
    public void process(Block block) {
        if (stereo) led.process(block.x(0), block.x(1), block.length());
        else led.process(block.x(0), block.length());
    }

    @Override
    public void settle() {
        led.settle();
    }

    @Override
    public boolean rests() {
        return led.rests();
    }
}

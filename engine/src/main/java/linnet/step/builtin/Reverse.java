package linnet.step.builtin;

import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.step.Block;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/** The whole take backwards: its sample N - 1 - t at t, and silence before and after. */
final class Reverse extends Step {
    Reverse() {
        super("reverse", "Plays the whole take backwards, in the length it has. A tail that the steps before it leave after the end of the"
                + " take is cut off: leave silence there for it. Steps after it that ask where someone sings hear the take as it was.");
    }

    @Override
    public boolean keepsTime() {
        return false;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        return Prepared.hearing(0, setup.channels(), (v, ear) -> new Work(v, ear.sound())).readingOn();
    }

    private static final class Work implements Kernel {
        private final LiveValues values;
        private final Sound take;
        private final int channels;

        Work(LiveValues values, Sound sound) {
            this.values = values;
            take = new Excerpt(sound, 0, sound.frames());
            channels = sound.channels();
        }

        @Override
        public void process(Block block) {
            int n = block.length();
            take.read(take.frames() - values.takeFrame(block) - n, block.x(), n);
            for (int c = 0; c < channels; c++) {
                double[] x = block.x(c);
                for (int i = 0, k = n - 1; i < k; i++, k--) {
                    double last = x[k];
                    x[k] = x[i];
                    x[i] = last;
                }
            }
        }
    }
}

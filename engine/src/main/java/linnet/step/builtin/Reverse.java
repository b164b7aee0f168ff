package linnet.step.builtin;

import linnet.dsp.Cell;
import linnet.dsp.Excerpt;
import linnet.dsp.Silence;
import linnet.dsp.Sound;
import linnet.step.Block;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/** What sounds in a take backwards, from sample A to before sample E: its sample A + E - 1 - t at t. Digital silence before and behind stays where it is. */
final class Reverse extends Step {
    Reverse() {
        super("reverse", "Plays the take backwards, from the first sample that sounds in it to the last: a word that 'only' leaves stays in its place. A tail "
                + "that the steps before it leave after the end of the"
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
        /** Of the first sample that sounds and the one behind the last. */
        private final long sum;

        Work(LiveValues values, Sound sound) {
            this.values = values;
            take = new Excerpt(sound, 0, sound.frames());
            channels = sound.channels();
            double[][] x = new double[channels][Cell.LENGTH];
            long begin = 0, end = take.frames();
            while (begin < end && isSilent(x, begin, (int) Math.min(Cell.LENGTH, end - begin))) begin += Math.min(Cell.LENGTH, end - begin);
            while (begin < end && isSilent(x, begin, 1)) begin++;
            while (end > begin && isSilent(x, Math.max(begin, end - Cell.LENGTH), (int) Math.min(Cell.LENGTH, end - begin))) {
                end -= Math.min(Cell.LENGTH, end - begin);
            }
            while (end > begin && isSilent(x, end - 1, 1)) end--;
            sum = begin < end ? begin + end : take.frames();
        }

        private boolean isSilent(double[][] x, long from, int n) {
            take.read(from, x, n);
            for (double[] channel : x) if (!Silence.in(channel, n)) return false;
            return true;
        }

        @Override
        public void process(Block block) {
            int n = block.length();
            take.read(sum - values.takeFrame(block) - n, block.x(), n);
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

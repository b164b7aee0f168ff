package linnet.step.builtin;

import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.DBFS;

import linnet.dsp.Decibels;
import linnet.hear.Ear;
import linnet.setting.Fixed;
import linnet.step.Block;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.Leader;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/**
 * Brings a take to the level that the steps after it were made for; usual values are common practice. No peak is held down:
 * inside the engine a sample may exceed full scale without harm, so one loud word does not keep the rest quiet.
 */
final class Level extends Step {
    private final Fixed to = fixed("to", DBFS).range(-40, -6).usual("-18 dBFS")
            .doc("RMS of what is sung afterwards; pauses, breaths and consonants don't count.");
    private final Fixed most = fixed("most", DB).range(0, 40).usual("24 dB").neutral("0 dB")
            .doc("How much louder or quieter it is made at most; noise comes up with the voice.");

    Level() {
        super("level", "Brings the sung parts to a level by one gain for the whole take, so that every step after it meets the level it was made for.");
    }

    @Override
    public boolean mends() {
        return true;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        return Prepared.hearing(0, setup.channels(), (v, ear) -> new Work(setup.channels(), db(values, v, ear))).led();
    }

    private double db(FixedValues values, LiveValues live, Ear ear) {
        var voice = ear.voice();
        if (!voice.known()) {
            live.found("level", "as it was: " + voice.reason());
            return 0;
        }
        double from = voice.value().get(), limit = values.get(most), wanted = values.get(to) - from;
        double db = Math.max(-limit, Math.min(limit, wanted));
        live.found("level", DB.format(db, 1) + (db == wanted ? "" : ", the most it may do") + ": the voice from " + DBFS.format(from, 1) + " to "
                + DBFS.format(from + db, 1)
                + ear.peak().value().map(p -> ", peaks at " + DBFS.format(p + db, 1)).orElse(""));
        return db;
    }

    private static final class Work implements Leader {
        private final int channels;
        private final double db, gain;

        Work(int channels, double db) {
            this.channels = channels;
            this.db = db;
            gain = Decibels.gain(db);
        }

        @Override
        public void process(Block block) {
            if (gain == 1) return;
            for (int c = 0; c < channels; c++) {
                double[] x = block.x(c);
                for (int i = 0; i < block.length(); i++) x[i] *= gain;
            }
        }

        @Override
        public boolean rests() {
            return true;
        }

        @Override
        public Leader afresh() {
            return new Work(channels, db);
        }

        @Override
        public Kernel follower() {
            return afresh();
        }

        @Override
        public double reductionDb() {
            return Math.max(0, -db);
        }
    }
}

package linnet.step.builtin;

import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.MS;

import java.util.List;
import java.util.Optional;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.dynamics.Compression;
import linnet.dsp.dynamics.Playback;
import linnet.dsp.loudness.Loudness;
import linnet.hear.Ear;
import linnet.setting.Fixed;
import linnet.step.Block;
import linnet.step.Curve;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.Leader;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Resting;
import linnet.step.Setup;
import linnet.step.Step;

/** Turns down what is loud. Alone, without settings, it takes 3 dB off a sung take. */
final class Compressor extends Step {
    private static final String NONE = "none", MATCH = "match";

    private final CompressorSettings dials = new CompressorSettings(settings());
    private final Fixed lookahead = fixed("lookahead", MS).range(0, 20).usual("0 ms")
            .doc("How far ahead of the sound the level is heard, so that a slow attack still catches the peak.");
    private final Fixed makeup = fixed("makeup", DB).range(-24, 24).words(NONE, MATCH).usual(NONE).neutral("0 dB")
            .doc("How much louder it is made afterwards; match makes it as loud as it came in, after BS.1770 over the whole take.");

    Compressor() {
        super("compressor", "Turns down what is loud, so that the rest can be louder.");
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        int ahead = setup.frames(values.get(lookahead));
        boolean aims = dials.hears(values), matches = values.is(makeup, MATCH);
        return new Prepared(ahead, setup.channels(), aims || matches, (v, ear) -> {
            Compression law = aims ? dials.aimed(values, v, 0, Playback.of(ear.sound()), ear, "threshold") : dials.law(values, v, 0);
            double db = matches ? v.memory().number("makeup", () -> loudnessLost(ear, setup, new Work(v, setup, law, ahead, 0)))
                    : values.is(makeup, NONE) ? 0 : values.get(makeup);
            if (matches) v.found("makeup", DB.format(db, 1));
            return new Work(v, setup, law, ahead, db);
        }).led();
    }

    /** By how many LU the sound becomes quieter; 0 where loudness cannot be measured. */
    private static double loudnessLost(Ear ear, Setup setup, Kernel kernel) {
        Optional<Double> before = ear.loudness().value();
        Loudness after = new Loudness(setup.rate(), setup.channels());
        Resting run = new Resting(kernel, setup.channels(), setup.channels());
        Block block = new Block();
        long[] at = {0};
        Playback.of(ear.sound()).play((x, n) -> {
            block.place(at[0], n);
            for (int c = 0; c < x.length; c++) System.arraycopy(x[c], 0, block.x(c), 0, n);
            run.run(block);
            after.add(block.x(), n);
            at[0] += n;
        });
        boolean measurable = before.isPresent() && after.integrated() > Double.NEGATIVE_INFINITY;
        return measurable ? before.get() - after.integrated() : 0;
    }

    private final class Work implements Leader {
        private final LiveValues values;
        private final Setup setup;
        private final int channels;
        private final Compression law;
        private final linnet.dsp.dynamics.Compressor compressor;
        private final double makeupDb, gain;
        private final boolean moves;
        private double reductionDb;

        Work(LiveValues values, Setup setup, Compression law, int lookahead, double makeupDb) {
            this.values = values;
            this.setup = setup;
            this.channels = setup.channels();
            this.law = law;
            this.compressor = new linnet.dsp.dynamics.Compressor(setup.rate(), law, lookahead);
            this.makeupDb = makeupDb;
            this.gain = Decibels.gain(makeupDb);
            this.moves = dials.moves(values);
        }

        @Override
        public void process(Block block) {
            if (moves && block.beginsCell()) dials.move(values, block, law, compressor.detector());
            int n = block.length();
            if (channels == 1) compressor.process(block.x(0), n);
            else compressor.process(block.x(0), block.x(1), n);
            reductionDb = compressor.detector().reduction()[n - 1];
            makeUp(block);
        }

        private void makeUp(Block block) {
            if (gain == 1) return;
            for (int c = 0; c < channels; c++) {
                double[] x = block.x(c);
                for (int i = 0; i < block.length(); i++) x[i] *= gain;
            }
        }

        @Override
        public boolean rests() {
            return compressor.rests();
        }

        @Override
        public void rest(Block block) {
            if (moves) dials.move(values, block, law, compressor.detector());
            compressor.rest();
            reductionDb = compressor.detector().reduction()[Cell.LENGTH - 1];
        }

        @Override
        public Leader afresh() {
            return new Work(values, setup, law, compressor.latency(), makeupDb);
        }

        @Override
        public Kernel follower() {
            return new Following(compressor.follower(), channels) {
                @Override
                public void process(Block block) {
                    super.process(block);
                    makeUp(block);
                }
            };
        }

        @Override
        public void settle() {
            compressor.settle();
        }

        @Override
        public double reductionDb() {
            return reductionDb;
        }

        @Override
        public List<Curve> curves() {
            return List.of(new Curve("compressor", Curve.Axis.LEVEL, db -> db - compressor.detector().steadyReduction(db) + makeupDb));
        }
    }
}

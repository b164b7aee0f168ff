package linnet.step.builtin;

import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.MS;

import java.util.List;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.dsp.dynamics.Compression;
import linnet.dsp.dynamics.Playback;
import linnet.dsp.loudness.Loudness;
import linnet.hear.Ear;
import linnet.setting.Fixed;
import linnet.setting.Values;
import linnet.step.Block;
import linnet.step.Complaint;
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
    /** In tenths of a second: a long sound, and how much earlier its second half is begun, for the detector to find its way. */
    private static final int LONG = 800, LEAD = 100;
    /** In tenths of a second: what is shorter has no loudness but with silence behind it. */
    private static final int MEASURABLE = 4;

    private final CompressorSettings dials = new CompressorSettings(settings());
    private final Fixed lookahead = fixed("lookahead", MS).range(0, 200).usual("0 ms")
            .doc("How long before a loud sound it is turned down already: from 2 ms on a slow attack still catches the peak, at 90 ms a consonant goes down "
                    + "with its vowel and does not stand out. It comes in steps of about 0.5 ms, and is 1 ms at least.");
    private final Fixed makeup = fixed("makeup", DB).range(-24, 24).words(NONE, MATCH).usual(NONE).neutral("0 dB")
            .doc("How much louder it is made afterwards; match makes it as loud as it came in, after BS.1770 over the whole take.");

    Compressor() {
        super("compressor", "Turns down what is loud, so that the rest can be louder.");
    }

    @Override
    public List<Complaint> complaints(Values values) {
        return dials.complaints(values);
    }

    @Override
    public boolean hasCurves() {
        return true;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        boolean aims = dials.hears(values), matches = values.is(makeup, MATCH);
        int late = Compression.latency(setup.rate(), values.get(lookahead));
        return new Prepared(late, setup.channels(), aims || matches, (v, ear) -> {
            Compression set = dials.law(values, v, 0).lookingAhead(values.get(lookahead)),
                    law = aims ? dials.aimed(values, v, set, Playback.of(followed(ear.sound(), late)), ear, "threshold") : set;
            double db = matches ? v.memory().number("makeup", () -> loudnessLost(ear, setup, new Work(v.inTime(), setup, law, 0), late))
                    : values.is(makeup, NONE) ? 0 : values.get(makeup);
            if (matches) v.found("makeup", DB.format(db, 1));
            return new Work(v, setup, law, db);
        }).led();
    }

    /**
     * By how many LU the sound becomes quieter; 0 where loudness cannot be measured. Both halves of a long one are worked on at once, the second by a kernel
     * that begins anew some time before it. One whose settings move works through the whole, as it knows them by the time.
     *
     * @param kernel in the time of the sound
     * @param late by how many samples what it makes comes later
     */
    private static double loudnessLost(Ear ear, Setup setup, Work kernel, int late) {
        Sound sound = ear.sound();
        int hop = (int) Math.round(setup.rate() / 10);
        boolean halves = !kernel.moves && sound.frames() >= LONG * hop;
        int lead = halves ? LEAD : 0;
        long end = Math.max(sound.frames(), MEASURABLE * hop), middle = halves ? sound.frames() / 2 / hop * hop : end;
        Sound heard = followed(sound, late + end - sound.frames());
        Stretch first = new Stretch(heard, setup, kernel, late), second = new Stretch(heard, setup, kernel.afresh(), late);
        ear.beside().both(() -> first.hear(0, middle), () -> second.hear(middle - lead * hop, end));
        double before = first.before.integrated(second.before, lead), after = first.after.integrated(second.after, lead);
        return before > Double.NEGATIVE_INFINITY && after > Double.NEGATIVE_INFINITY ? before - after : 0;
    }

    /** With so many samples of silence behind it. */
    private static Sound followed(Sound sound, long silence) {
        return silence == 0 ? sound : new Excerpt(sound, 0, sound.frames() + silence);
    }

    /** Some of a sound, before and after a kernel. */
    private static final class Stretch {
        private static final int CELLS = 10;

        private final Sound sound;
        private final int late;
        private final Resting run;
        private final Block block = new Block();
        private final double[][] in, out;
        private final Loudness before, after;

        Stretch(Sound sound, Setup setup, Kernel kernel, int late) {
            this.sound = sound;
            this.late = late;
            run = new Resting(kernel, setup.channels(), setup.channels());
            in = new double[sound.channels()][CELLS * Cell.LENGTH];
            out = new double[sound.channels()][CELLS * Cell.LENGTH];
            before = new Loudness(setup.rate(), setup.channels());
            after = new Loudness(setup.rate(), setup.channels());
        }

        void hear(long from, long to) {
            for (long begin = from; begin < to + late; begin += in[0].length) {
                int length = (int) Math.min(in[0].length, to + late - begin), early = (int) Math.max(0, Math.min(length, from + late - begin));
                sound.read(begin, in, length);
                for (int at = 0; at < length; at += Cell.LENGTH) work(begin - from, at, Math.min(Cell.LENGTH, length - at));
                before.add(in, (int) Math.max(0, Math.min(length, to - begin)));
                for (double[] y : out) System.arraycopy(y, early, y, 0, length - early);
                after.add(out, length - early);
            }
        }

        private void work(long begin, int at, int n) {
            block.place(begin + at, n);
            for (int c = 0; c < in.length; c++) System.arraycopy(in[c], at, block.x(c), 0, n);
            run.run(block);
            for (int c = 0; c < out.length; c++) System.arraycopy(block.x(c), 0, out[c], at, n);
        }
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

        Work(LiveValues values, Setup setup, Compression law, double makeupDb) {
            this.values = values;
            this.setup = setup;
            this.channels = setup.channels();
            this.law = law;
            this.compressor = new linnet.dsp.dynamics.Compressor(setup.rate(), law);
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
        public Work afresh() {
            return new Work(values, setup, law, makeupDb);
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

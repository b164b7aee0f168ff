package linnet.step.builtin;

import static linnet.setting.Reference.LOWEST_NOTE;
import static linnet.setting.Reference.SIBILANCE;
import static linnet.setting.Unit.HZ;
import static linnet.setting.Unit.MS;
import static linnet.setting.Unit.PERCENT;
import static linnet.setting.Unit.SECONDS;

import linnet.dsp.Cell;
import linnet.dsp.reverb.Band;
import linnet.dsp.reverb.Build;
import linnet.hear.Ear;
import linnet.setting.Choice;
import linnet.setting.Fixed;
import linnet.setting.Live;
import linnet.step.Block;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Ramp;
import linnet.step.Setup;
import linnet.step.Step;

/**
 * A {@link linnet.dsp.reverb.Reverb} with its width: L' = aL + bR, R' = aR + bL with a = (1+w)/2, b = (1-w)/2, both over
 * sqrt(a^2 + b^2), so that two independent sides stay as loud when they are brought together. The usual values and the ranges
 * are common practice for a voice.
 */
final class Reverb extends Step {
    private final Choice<Build> build = choice("build", Build.NETWORK)
            .doc("How it is made: a network is smooth at any decay; combs are grainier, ring a little above 2 s, and lean to a side by up to 1.5 dB, singer "
                    + "by singer, as their lines fall on the partials of what is sung (a network by 1 dB)."
                    + " On one held note either leans further: of nine the network by up to 6 dB, combs by 14.");
    private final Fixed decay = fixed("decay", SECONDS).range(0.1, 20).usual("1.4 s")
            .doc("Time in which the tail falls by 60 dB, in the middle of the voice's range.");
    private final Fixed preDelay = fixed("pre-delay", MS).range(0, 500).usual("20 ms").notes()
            .doc("Time from the voice to its first reflection; longer keeps the words clear of the room.");
    private final Fixed size = fixed("size", PERCENT).range(25, 200).usual("100 %")
            .doc("Size of the room against the one that suits the decay; smaller is denser and more coloured.");
    private final Fixed damping = fixed("damping", PERCENT).range(0, 80).usual("35 %")
            .doc("How much shorter the decay is at 8 kHz, within 5 points up to 50 %. From there on the upper voice is shortened too, and shorter rooms "
                    + "are damped less than asked for: at 80 % one of 0.4 s by about 55 % (combs 64 %), one of 1.4 s by 70 % (combs 78 %), one of 4 s "
                    + "by 76 %; their lows ring longer, at 500 Hz by 10 to 30 %.");
    private final Live highPass = live("high-pass", HZ).range(20, 2000).usual("200 Hz").relative(LOWEST_NOTE)
            .doc("The room does not hear what lies below this frequency, at 12 dB/oct.");
    private final Live lowPass = live("low-pass", HZ).range(500, 20_000).usual("9 kHz").relative(SIBILANCE)
            .doc("The room does not hear what lies above this frequency, at 12 dB/oct; lower keeps s-sounds from splashing.");
    private final Live width = live("width", PERCENT).range(0, 100).usual("100 %")
            .doc("How far the sides are apart: 0 % is mono, as loud as the rest.");
    private final DuckSettings duck =
            new DuckSettings(settings(), "How far the dry voice pushes the reverb down while it sings; the reverb swells back in gaps of 0.3 s or more.");

    Reverb() {
        super("reverb", "Puts the voice into a room.");
    }

    @Override
    public double usualMix() {
        return 15;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        int latency = linnet.dsp.reverb.Reverb.latency(setup.rate(), values.get(build), setup.frames(values.get(preDelay)), values.get(size) / 100,
                values.get(decay));
        Prepared prepared = new Prepared(latency + duck.latency(values, setup), 2, duck.hears(values), (v, ear) -> new Wet(values, v, ear, setup));
        return duck.depthDb(values) > 0 ? prepared : prepared.linear();
    }

    private linnet.dsp.reverb.Reverb room(FixedValues values, Setup setup, Band band) {
        return new linnet.dsp.reverb.Reverb(setup.rate(), setup.channels(), values.get(build), setup.frames(values.get(preDelay)),
                values.get(size) / 100, values.get(decay), values.get(damping) / 100, band);
    }

    private final class Wet implements Kernel {
        private final LiveValues values;
        private final Band band;
        private final boolean bandMoves, duckMoves;
        private final double duckDb;
        private final linnet.dsp.reverb.Reverb room;
        private final Ramp straight, crossed;
        private final double[] a = new double[Cell.LENGTH], b = new double[Cell.LENGTH];

        Wet(FixedValues fixed, LiveValues values, Ear ear, Setup setup) {
            this.values = values;
            bandMoves = values.anyMoves(highPass, lowPass);
            duckDb = duck.depthDb(fixed);
            duckMoves = duckDb > 0 && duck.moves(values);
            double from = values.first(highPass), to = values.first(lowPass);
            band = bandMoves ? Band.moving(setup.rate(), from, to) : Band.still(setup.rate(), from, to);
            room = room(fixed, setup, band);
            if (duckDb > 0) room.duck(duckDb, duck.first(values, ear));
            straight = new Ramp(values, width, percent -> share(1 + percent / 100, 1 - percent / 100));
            crossed = new Ramp(values, width, percent -> share(1 - percent / 100, 1 + percent / 100));
        }

        private static double share(double part, double other) {
            return part / Math.sqrt(part * part + other * other);
        }

        @Override
        public void process(Block block) {
            if (block.beginsCell()) move(block);
            room.process(block.x(0), block.x(1), block.length());
            straight.move(block);
            crossed.move(block);
            if (!straight.standsAt(1) || !crossed.standsAt(0)) {
                straight.write(block, a);
                crossed.write(block, b);
                cross(block.x(0), block.x(1), a, b, block.length());
            }
            room.lower(block.x(0), block.x(1), block.length());
        }

        private static void cross(double[] l, double[] r, double[] a, double[] b, int n) {
            for (int i = 0; i < n; i++) {
                double left = l[i], right = r[i];
                l[i] = a[i] * left + b[i] * right;
                r[i] = a[i] * right + b[i] * left;
            }
        }

        private void move(Block block) {
            if (bandMoves) band.moveTo(values.next(highPass, block), values.next(lowPass, block));
            if (duckMoves) room.duck(duckDb, duck.next(values, block));
        }

        @Override
        public void settle() {
            room.settle();
        }

        @Override
        public boolean rests() {
            return room.rests();
        }

        @Override
        public void rest(Block block) {
            move(block);
            room.rest(block.x(0));
        }

        @Override
        public double reductionDb() {
            return room.reductionDb();
        }

        @Override
        public long memory() {
            return room.memory();
        }
    }
}

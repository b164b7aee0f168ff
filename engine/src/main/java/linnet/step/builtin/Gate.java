package linnet.step.builtin;

import static linnet.setting.Reference.NOISE;
import static linnet.setting.Reference.PEAK;
import static linnet.setting.Reference.VOICE;
import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.DBFS;
import static linnet.setting.Unit.MS;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.hear.Ear;
import linnet.setting.Fixed;
import linnet.setting.Live;
import linnet.setting.Quantity;
import linnet.setting.Values;
import linnet.step.Block;
import linnet.step.Curve;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.Leader;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/** Lowers the pauses. Usual values are common practice for a lead. */
final class Gate extends Step {
    private static final double OVER_NOISE = 10;
    /** So far over the noise it closes by itself: less, and the noise itself keeps it open. */
    private static final double CLOSES_OVER_NOISE = 6;

    /** Where noise cannot be heard, as in a take whose pauses were emptied. In dBFS: above most rooms, below what is sung. */
    private static final double WITHOUT_NOISE = -60;

    private final Live threshold = live("threshold", DBFS).range(-90, 0).relative(NOISE, VOICE, PEAK).otherwise("10 dB over noise")
            .doc("Level, above 100 Hz, at which it opens.");
    private final Live hysteresis = live("hysteresis", DB).range(0, 24).usual("4 dB")
            .doc("How far below the threshold it closes, so that a level near it does not open and close it again and again.");
    private final Live floor = live("floor", DB).range(-90, 0).usual("-12 dB").neutral("0 dB")
            .doc("What is left of a pause; a lead keeps some of its room, a double may go to -40 dB.");
    private final Live attack = live("attack", MS).range(0.1, 100).usual("3 ms").doc("Time for 63 % of the way to open.");
    private final Live hold = live("hold", MS).range(0, 1000).usual("120 ms").doc("How long it stays open after the level has fallen.");
    private final Live release = live("release", MS).range(5, 2000).usual("250 ms").doc("Time for 63 % of the way to close.");
    private final Fixed lookahead = fixed("lookahead", MS).range(0, 200).usual("90 ms")
            .doc("How far ahead it hears, so that the consonant before a vowel comes through whole.");

    Gate() {
        super("gate", "Lowers what is quieter than a threshold: the room between the lines, not the ends of words.");
    }

    @Override
    public boolean hasCurves() {
        return true;
    }

    /** Where it closes under what is heard in the pauses, and so stays open in them. */
    @Override
    public Optional<String> advice(Quantity setting, double value, Values beside, Ear ear) {
        OptionalDouble under = beside.amount(hysteresis);
        if (setting != threshold || under.isEmpty()) return Optional.empty();
        return ear.noise().value().filter(noise -> value - under.getAsDouble() < noise)
                .map(noise -> "closes under the noise of " + DBFS.format(noise, 1) + ", so never in the pauses: write "
                        + DB.format(Math.max(OVER_NOISE, Math.ceil(under.getAsDouble() + CLOSES_OVER_NOISE)), 0) + " over noise");
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        double ahead = values.get(lookahead);
        int latency = linnet.dsp.dynamics.Gate.latency(setup.rate(), ahead);
        if (values.given(threshold)) return Prepared.of(latency, setup.channels(), v -> new Work(v, setup, ahead, 0)).led();
        return Prepared.hearing(latency, setup.channels(), (v, ear) -> new Work(v, setup, ahead, overNoise(ear, v))).led();
    }

    private double overNoise(Ear ear, LiveValues values) {
        var noise = ear.noise();
        double level = noise.known() ? noise.value().get() + OVER_NOISE : WITHOUT_NOISE;
        values.found(threshold.name(), DBFS.format(level, 1) + (noise.known() ? "" : ", because the noise cannot be measured: " + noise.reason()));
        return level;
    }

    private final class Work implements Leader {
        private final LiveValues values;
        private final Setup setup;
        private final double lookaheadMs;
        private final linnet.dsp.dynamics.Gate gate;
        private final boolean stereo, moves;
        private final double heardThreshold;

        Work(LiveValues values, Setup setup, double lookaheadMs, double heardThreshold) {
            this.values = values;
            this.setup = setup;
            this.lookaheadMs = lookaheadMs;
            this.heardThreshold = heardThreshold;
            gate = new linnet.dsp.dynamics.Gate(setup.rate(), lookaheadMs);
            stereo = setup.channels() == 2;
            moves = values.anyMoves(threshold, hysteresis, floor, attack, hold, release);
            gate.set(threshold(), values.first(hysteresis), values.first(floor), values.first(attack), values.first(hold), values.first(release));
        }

        private double threshold() {
            return values.given(threshold) ? values.first(threshold) : heardThreshold;
        }

        @Override
        public void process(Block block) {
            if (moves && block.beginsCell()) {
                double opens = values.given(threshold) ? values.at(threshold, block) : heardThreshold;
                gate.set(opens, values.at(hysteresis, block), values.at(floor, block), values.at(attack, block), values.at(hold, block),
                        values.at(release, block));
            }
            if (stereo) {
                gate.process(block.x(0), block.x(1), block.length());
            } else {
                gate.process(block.x(0), block.length());
            }
        }

        @Override
        public void settle() {
            gate.settle();
        }

        @Override
        public boolean rests() {
            return !values.anyMoves(floor, hold) && gate.rests();
        }

        @Override
        public void rest(Block block) {
            gate.rest();
        }

        @Override
        public Leader afresh() {
            return new Work(values, setup, lookaheadMs, heardThreshold);
        }

        @Override
        public Kernel follower() {
            return new Following(gate.follower(), setup.channels());
        }

        @Override
        public double reductionDb() {
            return gate.reductionDb();
        }

        @Override
        public List<Curve> curves() {
            double opens = threshold();
            return List.of(curve("rising level", opens), curve("falling level", opens - values.first(hysteresis)));
        }

        private Curve curve(String name, double thresholdDb) {
            double floorDb = values.first(floor);
            return new Curve(name, Curve.Axis.LEVEL, in -> in >= thresholdDb ? in : in + floorDb);
        }
    }
}

package linnet.step.builtin;

import static linnet.setting.Unit.DBTP;
import static linnet.setting.Unit.MS;

import java.util.List;
import java.util.OptionalDouble;
import linnet.dsp.dynamics.Limiter;
import linnet.setting.Fixed;
import linnet.setting.Live;
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

/** Keeps true peaks under a ceiling. The usual ceiling is that of EBU R 128; the other usual values are common practice. */
final class Limit extends Step {
    private final Live ceiling = live("ceiling", DBTP).range(-24, 0).usual("-1 dBTP")
            .doc("The highest true peak that leaves it, as the meter of ITU-R BS.1770 reads it; -1 dBTP leaves room for lossy formats.");
    private final Live release = live("release", MS).range(5, 2000).usual("80 ms").doc("Time for 63 % of the way back after a peak.");
    private final Fixed lookahead = fixed("lookahead", MS).range(0.5, 20).usual("3 ms")
            .doc("How long before a peak the gain begins to go down; longer is smoother. A loud note under 150 Hz, limited by 3 to 6 dB, is roughened by the "
                    + "usual 3 ms (an E2 by -35 to -40 dB); 10 ms, about a period of it, keep it clean and cost 0.2 LU at most.");

    Limit() {
        super("limit", "Keeps peaks, between the samples too, under a ceiling, and leaves everything else alone.");
    }

    @Override
    public boolean holdsPeaks() {
        return true;
    }

    @Override
    public OptionalDouble ceiling(Values values) {
        return values.amount(ceiling);
    }

    @Override
    public boolean hasCurves() {
        return true;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        double ahead = values.get(lookahead);
        int latency = Limiter.latency(setup.rate(), ahead);
        return Prepared.of(latency, setup.channels(), v -> new Work(v, setup, ahead)).led();
    }

    private final class Work implements Leader {
        private final LiveValues values;
        private final Setup setup;
        private final double lookaheadMs;
        private final Limiter limiter;
        private final boolean moves;

        Work(LiveValues values, Setup setup, double lookaheadMs) {
            this.values = values;
            this.setup = setup;
            this.lookaheadMs = lookaheadMs;
            limiter = new Limiter(setup.rate(), setup.channels(), lookaheadMs);
            moves = values.anyMoves(ceiling, release);
            limiter.set(values.first(ceiling), values.first(release));
        }

        @Override
        public void process(Block block) {
            if (moves && block.beginsCell()) limiter.set(values.at(ceiling, block), values.at(release, block));
            limiter.process(block.x(), block.length());
        }

        @Override
        public boolean rests() {
            return limiter.rests();
        }

        @Override
        public void rest(Block block) {
            limiter.rest();
        }

        @Override
        public Leader afresh() {
            return new Work(values, setup, lookaheadMs);
        }

        @Override
        public Kernel follower() {
            return new Following(limiter.follower(), setup.channels());
        }

        @Override
        public double reductionDb() {
            return limiter.reductionDb();
        }

        @Override
        public List<Curve> curves() {
            double top = values.first(ceiling);
            return List.of(new Curve("peaks", Curve.Axis.LEVEL, in -> Math.min(in, top)));
        }
    }
}

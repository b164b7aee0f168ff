package linnet.step.builtin;

import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.PERCENT;

import java.util.stream.Stream;
import linnet.dsp.Lag;
import linnet.dsp.saturation.Saturator;
import linnet.setting.Live;
import linnet.step.Block;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/**
 * Harmonics by soft saturation, at four times the rate: what is made above twice the rate, or about half of it, still folds back, as the doc of drive
 * tells. The usual values are a light touch; they are common practice.
 */
final class Saturate extends Step {
    private final Live drive = live("drive", DB).range(0, 36).usual("6 dB")
            .doc("How hard the voice is driven into the curve; peaks at -12 dBFS keep their level, and 0 dB changes nothing; where it moves, the way "
                    + "to four times the rate of the take and back, where it bends, takes 0.8 dB of 20 kHz at 44.1 kHz even at 0 dB. Of "
                    + "tones of -6 dBFS and up to 0.23 of the rate (11 kHz at 48 kHz) nothing above -145 dBFS at 6 dB, or "
                    + "above -75 dBFS at 18 dB, folds back to what lies below 0.41 of the rate (18 kHz at 44.1 kHz). From there to half the rate up "
                    + "to -46 and -28 dBFS do; in a take of 16 kHz or less one hears that, in its top fifth. At 36 dB and a bias of 80 %, at 48 kHz, "
                    + "one of 7 kHz gets a tone of -34 dBFS below.");
    private final Live bias = live("bias", PERCENT).range(0, 80).usual("10 %")
            .doc("How lopsided the curve is: 0 % gives odd harmonics only, more adds even ones. A high drive lifts pauses and what lies under the voice, "
                    + "and a lopsided curve adds to it: at 24 dB and 50 % pauses came up by 6 to 8 dB in two voices, what lies below 50 Hz by 9 to 11. An eq "
                    + "with a high-pass after it takes that away, a gate before it the pauses.");

    Saturate() {
        super("saturate", "Adds harmonics by rounding off the peaks.");
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        int latency = Saturator.latency();
        return Prepared.of(latency, setup.channels(), v -> v.moves(drive) || v.first(drive) > 0 ? new Work(v, setup) : new Straight(setup.channels()));
    }

    /** No drive throughout: what the filters up and down would take of the highest is left too. */
    private static final class Straight implements Kernel {
        private final Lag[] channels;

        Straight(int channels) {
            this.channels = Stream.generate(() -> new Lag(Saturator.latency())).limit(channels).toArray(Lag[]::new);
        }

        @Override
        public void process(Block block) {
            for (int c = 0; c < channels.length; c++) channels[c].process(block.x(c), block.length());
        }

        @Override
        public boolean rests() {
            return Stream.of(channels).allMatch(Lag::isSilent);
        }
    }

    private final class Work implements Kernel {
        private final LiveValues values;
        private final Saturator[] channels;
        private final boolean moves;

        Work(LiveValues values, Setup setup) {
            this.values = values;
            channels = new Saturator[setup.channels()];
            moves = values.anyMoves(drive, bias);
            for (int c = 0; c < channels.length; c++) {
                channels[c] = new Saturator(setup.rate());
                channels[c].set(values.first(drive), values.first(bias) / 100);
            }
        }

        @Override
        public void process(Block block) {
            boolean border = moves && block.beginsCell();
            for (int c = 0; c < channels.length; c++) {
                if (border) channels[c].set(values.next(drive, block), values.next(bias, block) / 100);
                channels[c].process(block.x(c), block.length());
            }
        }

        @Override
        public boolean rests() {
            for (Saturator s : channels) if (!s.rests()) return false;
            return true;
        }

        @Override
        public void rest(Block block) {
            if (moves) for (Saturator s : channels) s.set(values.next(drive, block), values.next(bias, block) / 100);
            settle();
        }

        @Override
        public void settle() {
            for (Saturator s : channels) s.settle();
        }
    }
}

package linnet.step.builtin;

import static linnet.setting.Unit.CENTS;
import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.HZ;
import static linnet.setting.Unit.MS;
import static linnet.setting.Unit.PERCENT;

import linnet.dsp.delay.Echo;
import linnet.dsp.delay.Echo.Pattern;
import linnet.setting.Choice;
import linnet.setting.Fixed;
import linnet.setting.Live;
import linnet.step.Block;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/** Repeats of the voice. The usual values are a short, soft slap; they and the ranges are common practice. */
final class Delay extends Step {
    private static final String OFF = "off";
    private static final double LONGEST_MS = 5000;

    private final Live time = live("time", MS).range(1, LONGEST_MS).notes().usual("120 ms")
            .doc("Time from one repeat to the next; a note value such as 1/8 dotted needs a tempo. A move glides as tape does.");
    private final Live feedback = live("feedback", PERCENT).range(0, 95).usual("15 %")
            .doc("Level of each repeat against the one before it; the first is as loud as the voice.");
    private final Choice<Pattern> pattern = choice("pattern", Pattern.SINGLE)
            .doc("Where the repeats stand: single where the voice is, ping-pong first left, then right, in turn.");
    private final Fixed highPass = fixed("high-pass", HZ).range(20, 2000).words(OFF).usual("150 Hz")
            .doc("Each repeat loses what is below this once more, at 12 dB/oct.");
    private final Fixed lowPass = fixed("low-pass", HZ).range(500, 20000).words(OFF).usual("5 kHz")
            .doc("Each repeat loses what is above this once more, at 12 dB/oct.");
    private final Live drive = live("drive", DB).range(0, 24).usual("0 dB")
            .doc("How hard loud repeats are rounded off; small ones keep their level, and 0 dB rounds nothing. It bends at the rate of the take: from 18 dB "
                    + "on under a high low-pass, or in a take of 8 kHz, a bright voice gets tones beside its harmonics. At four times the rate saturate "
                    + "adds fewer: see there.");
    private final Live wobble = live("wobble", CENTS).range(0, 50).usual("0 cents")
            .doc("How far the pitch of the repeats drifts to each side, slowly and anew each time round.");
    private final DuckSettings duck =
            new DuckSettings(settings(), "How much quieter the repeats are while the voice itself is present, gaps of less than 0.3 s included.");

    Delay() {
        super("delay", "Repeats the voice after a time, darker and softer each time round.");
    }

    @Override
    public double usualMix() {
        return 15;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        Pattern where = values.get(pattern);
        double high = values.is(highPass, OFF) ? 0 : values.get(highPass);
        double low = values.is(lowPass, OFF) ? Double.POSITIVE_INFINITY : values.get(lowPass);
        int channels = where == Pattern.PING_PONG ? 2 : setup.channels();
        Prepared prepared = new Prepared(duck.latency(values, setup), channels, duck.hears(values), (v, ear) -> {
            double longestMs = v.moves(time) ? LONGEST_MS : v.first(time);
            Echo echo = new Echo(setup.rate(), where, longestMs / 1000, high, low);
            double duckDb = duck.depthDb(values);
            if (duckDb > 0) echo.duck(duckDb, duck.first(v, ear));
            return new Work(v, setup, channels, echo, duckDb);
        });
        // What is rounded off or made room for depends on all that sounds at once.
        return !values.isAlways(drive, 0) || duck.depthDb(values) > 0 ? prepared : prepared.linear();
    }

    private final class Work implements Kernel {
        private final LiveValues values;
        private final int arriving, leaving;
        private final Echo echo;
        private final double duckDb;
        private final boolean moves, duckMoves;

        Work(LiveValues values, Setup setup, int channels, Echo echo, double duckDb) {
            this.values = values;
            this.arriving = setup.channels();
            this.leaving = channels;
            this.echo = echo;
            this.duckDb = duckDb;
            moves = values.anyMoves(time, feedback, drive, wobble);
            duckMoves = duckDb > 0 && duck.moves(values);
            set(values.first(time), values.first(feedback), values.first(drive), values.first(wobble));
        }

        @Override
        public void process(Block block) {
            if (block.beginsCell()) move(block);
            if (leaving == 1) {
                echo.process(block.x(0), block.length());
            } else {
                if (arriving == 1) System.arraycopy(block.x(0), 0, block.x(1), 0, block.length());
                echo.process(block.x(0), block.x(1), block.length());
            }
        }

        private void move(Block block) {
            if (moves) set(values.next(time, block), values.next(feedback, block), values.next(drive, block), values.next(wobble, block));
            if (duckMoves) echo.duck(duckDb, duck.next(values, block));
        }

        @Override
        public void settle() {
            echo.settle();
        }

        @Override
        public boolean rests() {
            return echo.rests();
        }

        @Override
        public void rest(Block block) {
            move(block);
            echo.rest(block.x(0));
        }

        @Override
        public long memory() {
            return echo.memory();
        }

        @Override
        public double reductionDb() {
            return echo.reductionDb();
        }

        private void set(double ms, double percent, double driveDb, double cents) {
            echo.time(ms / 1000);
            echo.feedback(percent / 100);
            echo.drive(driveDb);
            echo.wobble(cents);
        }
    }
}

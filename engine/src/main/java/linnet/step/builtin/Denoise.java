package linnet.step.builtin;

import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.DBFS;

import linnet.dsp.Lag;
import linnet.dsp.Stretches;
import linnet.dsp.repair.Denoiser;
import linnet.dsp.repair.NoiseSpectrum;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Measured;
import linnet.hear.Sung;
import linnet.setting.Live;
import linnet.step.Block;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/** Lowers the noise of the room, where a gate would betray it. The usual amount is common practice for a lead. */
final class Denoise extends Step {
    private final Live amount = live("amount", DB).range(0, 12).usual("6 dB").neutral("0 dB")
            .doc("How far the noise is lowered wherever no voice covers it; above 6 dB listen to the ends of words.");

    Denoise() {
        super("denoise", "Lowers the steady noise of the room, in the pauses and beside the voice; what the noise is, it hears in the pauses of the take.");
    }

    @Override
    public boolean mends() {
        return true;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        int latency = Denoiser.latency(setup.rate());
        return Prepared.hearing(latency, setup.channels(), (v, ear) -> {
            Measured<NoiseSpectrum> noise = noise(ear, setup.rate());
            v.found("noise", noise.known() ? DBFS.format(ear.noise().value().orElseThrow(), 1) + " above 100 Hz"
                    : "the take passes untouched, because the noise cannot be heard alone: " + noise.reason());
            return noise.known() ? new Work(v, ear, setup, noise.value().get()) : late(latency, setup.channels());
        });
    }

    private static Measured<NoiseSpectrum> noise(Ear ear, double rate) {
        return ear.noise().then(level -> ear.room()).then(room -> {
            NoiseSpectrum spectrum = new NoiseSpectrum(rate);
            int length = NoiseSpectrum.length(rate);
            double[][] x = new double[ear.sound().channels()][length];
            for (Sung.Span span : room) {
                for (long at = span.from(); at + length <= span.to(); at += length / 2) {
                    ear.sound().read(at, x, length);
                    spectrum.add(x);
                }
            }
            if (!NoiseSpectrum.isKnownFrom(spectrum.windows())) return Measured.not("its pauses are too short");
            return Measured.of(spectrum, 1);
        });
    }

    /** Passes everything, as late as if it did something. */
    private static Kernel late(int latency, int channels) {
        Lag[] lags = new Lag[channels];
        for (int c = 0; c < channels; c++) lags[c] = new Lag(latency);
        return new Kernel() {
            @Override
            public void process(Block block) {
                for (int c = 0; c < channels; c++) lags[c].process(block.x(c), block.length());
            }

            @Override
            public boolean rests() {
                for (Lag lag : lags) if (!lag.isSilent()) return false;
                return true;
            }
        };
    }

    private final class Work implements Kernel {
        private final LiveValues values;
        private final Denoiser denoiser;

        Work(LiveValues values, Ear ear, Setup setup, NoiseSpectrum noise) {
            this.values = values;
            denoiser = new Denoiser(setup.rate(), setup.channels(), noise, Stretches.of(ear.kept(), Mark::from, Mark::to));
            denoiser.set(values.first(amount));
        }

        @Override
        public void process(Block block) {
            if (block.beginsCell()) denoiser.set(values.at(amount, block));
            denoiser.process(values.takeFrame(block), block.x(), block.length());
        }

        @Override
        public boolean rests() {
            return !values.moves(amount) && denoiser.rests();
        }

        @Override
        public void rest(Block block) {
            denoiser.rest(block.length());
        }

        @Override
        public double reductionDb() {
            return denoiser.reductionDb();
        }
    }
}

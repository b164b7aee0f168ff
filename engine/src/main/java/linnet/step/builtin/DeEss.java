package linnet.step.builtin;

import static linnet.setting.Reference.SIBILANCE;
import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.HZ;
import static linnet.setting.Unit.MS;

import java.util.List;
import linnet.dsp.Cell;
import linnet.dsp.Stretches;
import linnet.dsp.dynamics.DeEsser;
import linnet.hear.Ear;
import linnet.setting.Live;
import linnet.step.Block;
import linnet.step.Curve;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.Leader;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;
import linnet.tidy.BreathSpans;

/** Lowers sibilants. The usual values are common practice. */
final class DeEss extends Step {
    /** Where no sibilant is heard. In Hz: the peak of /s z/ (A. Jongman, R. Wayland, S. Wong, JASA 108(3), 2000; from memory). */
    private static final double WITHOUT_SIBILANCE = 6839;

    private final Live band = live("band", HZ).range(3000, 12_000).relative(SIBILANCE).otherwise("1 x sibilance")
            .doc("Centre of the sibilance; what lies two octaves below it or deeper is never touched.");
    private final Live threshold = live("threshold", DB).range(-20, 20).usual("0 dB")
            .doc("How far the band must stand over the rest of the voice for a sibilant; a lower value catches duller ones.");
    private final Live most = live("most", DB).range(0, 24).usual("5 dB").neutral("0 dB").doc("How far a sibilant is lowered.");
    private final Live attack = live("attack", MS).range(0.1, 20).usual("1 ms").doc("How fast it is lowered (63 % of the way, in dB).");
    private final Live release = live("release", MS).range(5, 500).usual("30 ms").doc("How fast the gain comes back (63 % of the way, in dB).");

    DeEss() {
        super("de-ess", "Lowers s, sh, ts and the like, and leaves vowels and breaths alone.");
    }

    @Override
    public boolean hasCurves() {
        return true;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        int latency = DeEsser.latency(setup.rate());
        boolean given = values.given(band);
        return Prepared.hearing(latency, setup.channels(), (v, ear) -> {
            double[] hz = new double[1];
            double[][] toCome = new double[1][];
            ear.beside().both(() -> hz[0] = given ? 0 : sibilance(ear, v), () -> toCome[0] = DeEsser.loudestToCome(ear.sound()));
            return new Work(v, setup, hz[0], new Heard(toCome[0], Heard.words(ear)));
        }).led();
    }

    private double sibilance(Ear ear, LiveValues values) {
        var sibilance = ear.sibilance();
        double hz = sibilance.value().orElse(WITHOUT_SIBILANCE);
        values.found(band.name(), HZ.format(hz, 2) + (sibilance.known() ? "" : ", because the sibilance cannot be measured: " + sibilance.reason()));
        return hz;
    }

    /**
     * What is known of each cell of a take before it runs: how loud the voice is that follows, and where there is anything but breaths.
     */
    private record Heard(double[] toCome, Stretches words) {
        static Stretches words(Ear ear) {
            // In a mix one breathes while another sings. Where there is no list, breaths are not looked for: how soft they are tells enough of them.
            List<long[]> breaths = ear.isOfMix() || !ear.hasList() ? List.of() : BreathSpans.heard(ear);
            int n = breaths.size();
            long[] from = new long[n + 1], to = new long[n + 1];
            from[0] = Long.MIN_VALUE;
            to[n] = Long.MAX_VALUE;
            for (int i = 0; i < n; i++) {
                to[i] = breaths.get(i)[0];
                from[i + 1] = breaths.get(i)[1];
            }
            return new Stretches(from, to);
        }

        void tell(DeEsser deEsser, long at) {
            long cell = Math.floorDiv(at, Cell.LENGTH);
            if (cell >= 0 && cell < toCome.length) deEsser.expect(toCome[(int) cell], !words.meets(at, at + Cell.LENGTH));
            else deEsser.expect(0, false);
        }
    }

    private final class Work implements Leader {
        private final LiveValues values;
        private final Setup setup;
        private final DeEsser deEsser;
        private final boolean stereo, moves;
        private final double heardBand;
        private final Heard heard;

        Work(LiveValues values, Setup setup, double heardBand, Heard heard) {
            this.values = values;
            this.setup = setup;
            this.heardBand = heardBand;
            this.heard = heard;
            deEsser = new DeEsser(setup.rate());
            stereo = setup.channels() == 2;
            moves = values.anyMoves(band, threshold, most, attack, release);
            deEsser.set(values.given(band) ? values.first(band) : heardBand, values.first(threshold), values.first(most),
                    values.first(attack), values.first(release));
        }

        @Override
        public void process(Block block) {
            if (block.beginsCell()) heard.tell(deEsser, values.takeFrame(block));
            if (moves && block.beginsCell()) {
                deEsser.set(values.given(band) ? values.at(band, block) : heardBand, values.at(threshold, block), values.at(most, block),
                        values.at(attack, block), values.at(release, block));
            }
            if (stereo) {
                deEsser.process(block.x(0), block.x(1), block.length());
            } else {
                deEsser.process(block.x(0), block.length());
            }
        }

        @Override
        public void settle() {
            deEsser.settle();
        }

        @Override
        public boolean rests() {
            return deEsser.rests();
        }

        @Override
        public void rest(Block block) {
            deEsser.rest();
        }

        @Override
        public Leader afresh() {
            return new Work(values, setup, heardBand, heard);
        }

        @Override
        public Kernel follower() {
            return new Following(deEsser.follower(), setup.channels());
        }

        @Override
        public double reductionDb() {
            return deEsser.reductionDb();
        }

        @Override
        public List<Curve> curves() {
            return List.of(new Curve("sibilant", Curve.Axis.FREQUENCY, deEsser::responseDb));
        }
    }
}

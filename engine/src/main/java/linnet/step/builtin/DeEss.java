package linnet.step.builtin;

import static linnet.setting.Reference.SIBILANCE;
import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.HZ;
import static linnet.setting.Unit.MS;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import linnet.dsp.Cell;
import linnet.dsp.Stretches;
import linnet.dsp.dynamics.DeEsser;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;
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
        super("de-ess", "Lowers s, sh, ts and the like, and leaves vowels and breaths alone, and what a person kept or took out of the list of marks.");
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
            Said said = Said.of(ear);
            said.tell(v);
            return new Work(v, setup, hz[0], new Heard(toCome[0], Heard.words(ear), said));
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
    private record Heard(double[] toCome, Stretches words, Said said) {
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
            if (cell >= 0 && cell < toCome.length) deEsser.expect(at, toCome[(int) cell], !words.meets(at, at + Cell.LENGTH));
            else deEsser.expect(at, 0, false);
        }
    }

    /**
     * What a person said of the sibilants in the list of marks. Where nobody did, sibilants are told by their balance alone: of ten voices the de-esser lowers
     * some that are as loud as any and that the marks call a stop, as "ch", or do not have, as a lisped s. So a list does not say where it may act, but where a
     * person said that it may not, and where it must.
     *
     * @param still what is kept, and the sibilants that are kept or were taken out of what was heard
     * @param meant the sibilants that were added to that
     */
    private record Said(Stretches still, Stretches meant, int kept, int out, int added) {
        /** In seconds. So far before a mark and behind it a sibilant was lowered: with ten voices no farther but where another stands there. */
        private static final double BESIDE = 0.03;

        static Said of(Ear ear) {
            if (ear.isOfMix() || !ear.hasList()) return new Said(Stretches.NONE, Stretches.NONE, 0, 0, 0);
            Marks marks = ear.speech();
            List<Mark> listed = marks.of(Mark.Kind.SIBILANT), free = marks.free(Mark.Kind.SIBILANT), kept = new ArrayList<>(listed);
            kept.removeAll(free);
            Stretches inList = stretches(spans(listed)), before = stretches(spans(ear.sibilantsBeforeCorrection().orElse(listed)));
            List<Mark> out = ear.sibilantsBeforeCorrection().orElse(List.of()).stream().filter(m -> !inList.meets(m.from(), m.to())).toList();
            List<Mark> added = free.stream().filter(m -> m.confidence() == 1 && !before.meets(m.from(), m.to())).toList();
            List<long[]> still = new ArrayList<>(spans(marks.kept()));
            long beside = Math.round(BESIDE * ear.sound().rate());
            Stream.concat(kept.stream(), out.stream()).forEach(m -> still.add(wide(m, beside, free)));
            return new Said(stretches(still), stretches(spans(added)), kept.size(), out.size(), added.size());
        }

        /** Marks are some ms off, so what is beside one belongs to it; between it and another that is lowered, half of what is there. */
        private static long[] wide(Mark m, long beside, List<Mark> lowered) {
            long from = m.from() - beside, to = m.to() + beside;
            for (Mark other : lowered) {
                if (other.to() <= m.from()) from = Math.max(from, (other.to() + m.from()) / 2);
                if (other.from() >= m.to()) to = Math.min(to, (m.to() + other.from()) / 2);
            }
            return new long[] {from, to};
        }

        private static List<long[]> spans(List<Mark> marks) {
            return marks.stream().map(m -> new long[] {m.from(), m.to()}).toList();
        }

        private static Stretches stretches(List<long[]> spans) {
            return Stretches.of(spans.stream().filter(s -> s[0] < s[1]).toList(), s -> s[0], s -> s[1]);
        }

        void tell(LiveValues values) {
            List<String> said = new ArrayList<>();
            if (kept > 0) said.add(kept + " kept");
            if (out > 0) said.add(out + " taken out of the list");
            if (added > 0) said.add(added + " added to it");
            if (!said.isEmpty()) values.found("sibilants", String.join(", ", said));
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
            deEsser.goBy(heard.said.still, heard.said.meant);
            deEsser.expect(heard.toCome);
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

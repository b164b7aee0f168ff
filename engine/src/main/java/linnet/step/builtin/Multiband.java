package linnet.step.builtin;

import static linnet.setting.Unit.HZ;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import linnet.dsp.dynamics.Compression;
import linnet.dsp.dynamics.Detector;
import linnet.dsp.dynamics.MultibandCompressor;
import linnet.dsp.dynamics.Playback;
import linnet.dsp.filter.LinkwitzRiley;
import linnet.hear.Ear;
import linnet.setting.Group;
import linnet.setting.Series;
import linnet.setting.Settings;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.step.Block;
import linnet.step.Complaint;
import linnet.step.Curve;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.Leader;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/**
 * A compressor for each band. A band without settings passes through, and so do those at the top that are not listed.
 * Alone, without settings, it holds the low end of close words: common practice.
 */
final class Multiband extends Step {
    private static final double USUAL_SPLIT_HZ = 200;
    /** From here up there is little of a vowel and all of an s. Common practice. */
    private static final double SIBILANCE_HZ = 3800;
    /** Share of the rate that no split goes beyond. */
    private static final double HIGHEST = 0.45;

    private final Series splits = live("splits", HZ).range(20, 16_000).otherwise("200 Hz")
            .series(1, 4, "Where the bands meet, rising. The slopes are 24 dB/oct, and at rest the bands sum flat, with a dry signal beside them too.");
    private final Settings band = new Settings();
    private final CompressorSettings dials = new CompressorSettings(band);
    private final Group bands = group("bands", band, 5)
            .doc("From the lowest up, each set as a compressor; {} passes through. Without any, the lowest has its usual settings; under a high voice, whose "
                    + "lowest note is above 200 Hz, that works on rumble and little else: take the rumble away with a high-pass, or set a higher split."
                    + " An aim in a band from about 4 kHz up takes much off each s, as the rest of what is sung has little there: give it most, or a threshold."
                    + " A band that begins an octave over the usual key high-pass goes without it.");

    Multiband() {
        super("multiband", "Splits the voice into bands and compresses each by its own level.");
    }

    @Override
    public List<Complaint> complaints(Values values) {
        List<Complaint> complaints = new ArrayList<>();
        List<Value> given = values.get(splits);
        for (int k = 1; k < given.size(); k++) {
            if (hz(given.get(k)) <= hz(given.get(k - 1))) complaints.add(Complaint.about(values, splits, "splits must rise"));
        }
        int most = Math.max(1, given.size()) + 1;
        int listed = values.get(bands).size();
        boolean counted = values.given(splits) || !values.isMeant(splits);
        if (counted && listed > most) complaints.add(Complaint.about(values, bands, listed + " bands need " + (listed - 1) + " splits"));
        for (Values entry : values.get(bands)) complaints.addAll(dials.complaints(entry));
        return complaints;
    }

    private static double hz(Value value) {
        return ((Value.Amount) value).value();
    }

    @Override
    public boolean hasCurves() {
        return true;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        List<FixedValues> entries = values.entries(bands);
        boolean hears = entries.isEmpty() || entries.stream().anyMatch(b -> isActive(b) && dials.hears(b));
        double[] hz = splits(values, setup.rate());
        return new Prepared(0, setup.channels(), hears, (v, ear) -> kernel(values, v, ear, setup, hz)).led().turning(LinkwitzRiley.sum(setup.rate(), hz));
    }

    /** Where a band begins among the sibilants and goes by an aim without a bound. */
    @Override
    public boolean mayFindOdd(Values values, double rate) {
        List<Value> given = values.get(splits);
        List<Values> entries = values.get(bands);
        return IntStream.range(1, Math.min(entries.size(), given.size() + 1))
                .anyMatch(b -> hz(given.get(b - 1)) >= SIBILANCE_HZ && dials.mayTakeSibilants(entries.get(b)));
    }

    private boolean isActive(FixedValues entry) {
        return band.all().stream().anyMatch(entry::given);
    }

    private Kernel kernel(FixedValues values, LiveValues v, Ear ear, Setup setup, double[] hz) {
        List<FixedValues> fixed = values.entries(bands);
        List<LiveValues> live = v.entries(bands);
        boolean usual = fixed.isEmpty();
        if (usual) {
            fixed = List.of(new FixedValues(new Values(band), 0));
            live = List.of(new LiveValues(new Values(band), 0, setup.rate(), 0, v::found));
        }
        Compression[] laws = new Compression[hz.length + 1];
        for (int b = 0; b < fixed.size(); b++) {
            FixedValues entry = fixed.get(b);
            if (!usual && !isActive(entry)) continue;
            double from = b == 0 ? 0 : hz[b - 1];
            Compression law = dials.law(entry, live.get(b), from);
            laws[b] = law;
            if (!dials.hears(entry)) continue;
            Playback arriving = Playback.of(ear.sound()).band(b, hz);
            laws[b] = dials.aimed(entry, live.get(b), law, arriving, ear, "threshold of band " + (b + 1));
            if (from >= SIBILANCE_HZ) dials.tellSibilants(entry, live.get(b), laws[b], arriving, from, "aim of band " + (b + 1));
        }
        return new Work(live.toArray(LiveValues[]::new), setup, hz, laws);
    }

    private double[] splits(FixedValues values, double rate) {
        double[] hz = values.get(splits);
        if (hz.length == 0) return new double[] {USUAL_SPLIT_HZ};
        // Held below half the rate, and still rising.
        for (int k = 0; k < hz.length; k++) hz[k] = Math.min(hz[k], HIGHEST * rate - (hz.length - 1 - k));
        return hz;
    }

    private final class Work implements Leader {
        private final LiveValues[] values;
        private final Setup setup;
        private final double[] splits;
        private final int channels;
        private final Compression[] laws;
        private final boolean[] moves;
        private final MultibandCompressor compressor;
        private double reductionDb;

        Work(LiveValues[] values, Setup setup, double[] splits, Compression[] laws) {
            this.values = values;
            this.setup = setup;
            this.splits = splits;
            this.channels = setup.channels();
            this.laws = laws;
            this.moves = new boolean[laws.length];
            for (int b = 0; b < laws.length; b++) moves[b] = laws[b] != null && dials.moves(values[b]);
            this.compressor = new MultibandCompressor(setup.rate(), splits, laws);
        }

        @Override
        public void process(Block block) {
            if (block.beginsCell()) move(block);
            int n = block.length();
            if (channels == 1) compressor.process(block.x(0), n);
            else compressor.process(block.x(0), block.x(1), n);
            reduced(n);
        }

        @Override
        public boolean rests() {
            return compressor.rests();
        }

        @Override
        public void rest(Block block) {
            move(block);
            compressor.rest();
            reduced(block.length());
        }

        private void reduced(int n) {
            reductionDb = 0;
            for (int b = 0; b < laws.length; b++) {
                if (laws[b] != null) reductionDb = Math.max(reductionDb, compressor.detector(b).reduction()[n - 1]);
            }
        }

        @Override
        public Leader afresh() {
            return new Work(values, setup, splits, laws);
        }

        @Override
        public Kernel follower() {
            return new Following(compressor.follower(), channels);
        }

        private void move(Block block) {
            for (int b = 0; b < laws.length; b++) {
                if (moves[b]) dials.move(values[b], block, laws[b], compressor.detector(b));
            }
        }

        @Override
        public void settle() {
            compressor.settle();
        }

        /** Of the band that is turned down most. */
        @Override
        public double reductionDb() {
            return reductionDb;
        }

        @Override
        public List<Curve> curves() {
            List<Curve> curves = new ArrayList<>();
            for (int b = 0; b < laws.length; b++) {
                if (laws[b] == null) continue;
                Detector detector = compressor.detector(b);
                curves.add(new Curve("band " + (b + 1), Curve.Axis.LEVEL, db -> db - detector.steadyReduction(db)));
            }
            return curves;
        }
    }
}

package linnet.step.builtin;

import static linnet.setting.Reference.LOWEST_NOTE;
import static linnet.setting.Reference.RESONANCE;
import static linnet.setting.Reference.SIBILANCE;
import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.HZ;
import static linnet.setting.Unit.OCTAVES;
import static linnet.setting.Unit.PLAIN;
import static linnet.setting.Unit.SLOPE;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;
import linnet.dsp.filter.Design;
import linnet.dsp.filter.Shape;
import linnet.dsp.filter.StateVariable;
import linnet.setting.Choice;
import linnet.setting.Fixed;
import linnet.setting.Group;
import linnet.setting.Live;
import linnet.setting.Settings;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.step.Block;
import linnet.step.Complaint;
import linnet.step.Curve;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/**
 * An equaliser of any number of bands. Bands that stand still run first, as one cascade of biquads; each band that moves
 * follows as state-variable filters, so that no move clicks. A band of 0 dB that stands still is left out, and so is a
 * low-pass, bell or notch that stands above what the rate can hold; a bell or notch that moves there does nothing while it is there. Any other
 * frequency is held below that border.
 */
final class Eq extends Step {
    /** Common practice: narrow enough to spare what is beside a whistle or hum. */
    private static final double USUAL_NOTCH = 8;
    /** Of a notch that moves above the border and is held there: nothing is heard of it. */
    private static final double CLOSED_NOTCH = 40;

    private final Settings band = new Settings();
    private final Map<Live, Shape> shapes = new LinkedHashMap<>();

    {
        shape("bell", Shape.BELL, "Raises or lowers around this frequency.");
        shape("low-shelf", Shape.LOW_SHELF, "Raises or lowers everything below this frequency.");
        shape("high-shelf", Shape.HIGH_SHELF, "Raises or lowers everything above this frequency.");
        shape("high-pass", Shape.HIGH_PASS, "Takes away what lies below this frequency.");
        shape("low-pass", Shape.LOW_PASS, "Takes away what lies above this frequency.");
        shape("band-pass", Shape.BAND_PASS, "Keeps only what lies around this frequency.");
        shape("notch", Shape.NOTCH, "Takes this frequency out altogether, and little else.");
        shape("all-pass", Shape.ALL_PASS, "Turns the phase around this frequency and leaves every level as it is.");
        band.exactlyOne(shapes.keySet().toArray(Live[]::new));
    }

    private final Live gain = band.live("gain", DB).range(-24, 24).usual("0 dB").doc("How much a bell or shelf raises or lowers.");
    private final Live q = band.live("q", PLAIN).range(0.1, 40)
            .otherwise("1 for a bell or band-pass, 8 for a notch, 0.71 for an all-pass; a pass keeps to its slope, a shelf to its steepness")
            .doc("How narrow: higher is narrower. On a pass, how much it rings at its corner, at 12 dB/oct.");
    private final Live bandwidth = band.live("bandwidth", OCTAVES).range(0.05, 6).otherwise("given by q")
            .doc("How wide, instead of q: between the points of half the gain of a bell, of -3 dB of a band-pass or notch. What of it would lie above "
                    + "half the rate does not count.");
    private final Fixed slope = band.fixed("slope", SLOPE).range(6, 48).usual("12 dB/oct")
            .doc("How steep a high-pass or low-pass is, in steps of 6 dB/oct; always a Butterworth, flat up to its corner.");
    private final Live steepness = band.live("steepness", PLAIN).range(0.1, 1).usual("1")
            .doc("How steep a shelf is: 1 is the steepest that does not overshoot.");
    private final Choice<Design> design = band.choice("design", Design.COOKBOOK)
            .doc("Matched keeps a bell, band-pass or pass close to the analogue curve near half the rate; cookbook squeezes it there. A band that moves, in "
                    + "the chain or in a song, can only be cookbook.");
    private final Group bands;

    {
        band.atMostOne(q, bandwidth);
        band.atMostOne(q, slope);
        band.atMostOne(q, steepness);
        shapes.forEach((frequency, shape) -> {
            if (shape.hasGain()) band.needs(frequency, gain);
            else band.refuses(frequency, gain);
        });
        bands = group("bands", band, 32).doc("The bands, in any order. From 0.49 of the rate of the take on (7.84 kHz at 16 kHz) a bell "
                + "or notch is left out, which is told, and a low-pass is; what else lies there is held at that border. A bell or notch that moves does "
                + "nothing while it is there.");
    }

    Eq() {
        super("eq", "Raises, lowers or takes away parts of the spectrum.");
    }

    private void shape(String name, Shape shape, String doc) {
        shapes.put(band.live(name, HZ).range(10, 20_000).otherwise("another shape").relative(LOWEST_NOTE, RESONANCE, SIBILANCE).doc(doc), shape);
    }

    @Override
    public Group body() {
        return bands;
    }

    @Override
    public List<Complaint> complaints(Values values) {
        List<Complaint> complaints = new ArrayList<>();
        for (Values band : values.get(bands)) {
            List<Live> given = shapes.keySet().stream().filter(band::mentioned).toList();
            if (given.size() == 1) complaints.addAll(complaints(band, given.get(0)));
        }
        return complaints;
    }

    /** Of one band. */
    private List<Complaint> complaints(Values v, Live frequency) {
        List<Complaint> complaints = new ArrayList<>();
        String name = frequency.name();
        Shape shape = shapes.get(frequency);
        boolean pass = isPass(shape);
        boolean shelf = shape == Shape.LOW_SHELF || shape == Shape.HIGH_SHELF;
        if (shape.hasGain() && !v.isMeant(gain)) complaints.add(Complaint.missing(v, "a " + name + " needs a gain"));
        if (!shape.hasGain() && v.given(gain)) complaints.add(Complaint.about(v, gain, name + " has no gain"));
        if (!pass && v.given(slope)) complaints.add(Complaint.about(v, slope, "slope is for high-pass and low-pass"));
        if (!shelf && v.given(steepness)) complaints.add(Complaint.about(v, steepness, "steepness is for shelves"));
        if ((shelf || pass) && v.given(bandwidth)) complaints.add(Complaint.about(v, bandwidth, name + " has no bandwidth"));
        if (v.get(slope).orElseThrow() instanceof Value.Amount a && a.value() % 6 != 0) {
            complaints.add(Complaint.about(v, slope, "slope goes in steps of 6 dB/oct"));
        }
        if (v.get(design) == Design.MATCHED) {
            boolean unmatched = shelf || shape == Shape.NOTCH || shape == Shape.ALL_PASS;
            if (unmatched) complaints.add(Complaint.about(v, design, "there is no matched " + name + "; it is for bell, band-pass, high-pass and low-pass"));
            else if (moves(v)) complaints.add(Complaint.about(v, design, "a matched band cannot move; leave 'design' out"));
        }
        return complaints;
    }

    private static boolean isPass(Shape shape) {
        return shape == Shape.HIGH_PASS || shape == Shape.LOW_PASS;
    }

    /** Of a shape above the border: that of a band which has its effect around its frequency. */
    private static boolean leavesOut(Shape shape) {
        return shape == Shape.BELL || shape == Shape.NOTCH;
    }

    private static boolean isAbove(double hz, double rate) {
        return hz >= Biquad.HIGHEST * rate;
    }

    private boolean moves(Values v) {
        return band.all().stream().anyMatch(s -> s instanceof Live live && v.get(live).filter(Value.Curve.class::isInstance).isPresent());
    }

    @Override
    public boolean hasCurves() {
        return true;
    }

    /** Not for a frequency stated against the singer: it lies above the border hardly ever, and to know that the part would have to be heard. */
    @Override
    public boolean mayFindOdd(Values values, double rate) {
        return values.get(bands).stream().anyMatch(v -> shapes.keySet().stream().anyMatch(
                frequency -> leavesOut(shapes.get(frequency)) && v.get(frequency).orElse(null) instanceof Value.Amount a && isAbove(a.value(), rate)));
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        int[] orders = values.entries(bands).stream().mapToInt(v -> (int) Math.round(v.get(slope) / 6)).toArray();
        return Prepared.of(0, setup.channels(), v -> {
            List<Biquad> still = new ArrayList<>();
            List<Band> moving = new ArrayList<>();
            List<LiveValues> entries = v.entries(bands);
            for (int i = 0; i < entries.size(); i++) {
                Band b = new Band(entries.get(i), orders[i], setup.rate());
                b.tell();
                if (b.moves()) moving.add(b);
                else still.addAll(b.biquads());
            }
            return new Filters(new Cascade(still), moving, setup.channels());
        }).linear();
    }

    /** One band of a render. */
    private final class Band {
        private final LiveValues v;
        private final double rate;
        private final Live frequency;
        private final Shape shape;
        /** True for a pass by its slope, whose sections have their own q. */
        private final boolean sloped;
        private final List<Butterworth.Part> parts;

        Band(LiveValues v, int order, double rate) {
            this.v = v;
            this.rate = rate;
            frequency = shapes.keySet().stream().filter(v::given).findFirst().orElseThrow();
            shape = shapes.get(frequency);
            sloped = isPass(shape) && !v.given(q);
            parts = sloped ? Butterworth.parts(shape, order) : List.of(new Butterworth.Part(shape, 0));
        }

        boolean moves() {
            return band.all().stream().anyMatch(s -> s instanceof Live live && v.moves(live));
        }

        List<Biquad> biquads() {
            double hz = read(frequency, null), db = gain(hz, null);
            if (shape.hasGain() && db == 0 || goesAbove(hz) || shape == Shape.LOW_PASS && isAbove(hz, rate)) return List.of();
            return parts.stream().map(p -> v.get(design).biquad(p.shape(), rate, held(hz), quality(p, hz, db, null), db)).toList();
        }

        List<StateVariable> filters() {
            double hz = read(frequency, null), db = gain(hz, null);
            return parts.stream().map(p -> new StateVariable(rate, p.shape(), held(hz), quality(p, hz, db, null), db)).toList();
        }

        /** Sends the filters on their way through the cell that begins with this block. */
        void move(StateVariable[] filters, Block block) {
            double hz = read(frequency, block), db = gain(hz, block);
            for (int i = 0; i < filters.length; i++) filters[i].moveTo(held(hz), quality(parts.get(i), hz, db, block), db);
        }

        /** Tells of a band that stands still where it is left out, and had something to do. A low-pass that is left out has nothing to take away. */
        void tell() {
            if (moves() || shape.hasGain() && read(gain, null) == 0) return;
            double hz = read(frequency, null);
            if (goesAbove(hz)) {
                v.odd(frequency.name(), HZ.format(hz, 2) + " is above what can be filtered at " + HZ.format(rate, 2) + ", up to "
                        + HZ.format(Biquad.HIGHEST * rate, 2) + ": this band is left out");
            }
        }

        /** Of what is not held but left out: held, it would turn to what lies below the border. */
        private boolean goesAbove(double hz) {
            return leavesOut(shape) && isAbove(hz, rate);
        }

        private double gain(double hz, Block block) {
            return shape == Shape.BELL && goesAbove(hz) ? 0 : read(gain, block);
        }

        private double held(double hz) {
            return Math.min(hz, Biquad.HIGHEST * rate);
        }

        /** The value where the block's cell ends; without a block that of the beginning. */
        private double read(Live setting, Block block) {
            return block == null ? v.first(setting) : v.next(setting, block);
        }

        private double quality(Butterworth.Part part, double hz, double db, Block block) {
            if (sloped) return part.q();
            if (shape == Shape.NOTCH && goesAbove(hz)) return CLOSED_NOTCH;
            if (v.given(q)) return read(q, block);
            if (v.given(bandwidth)) return v.get(design).qOfBandwidth(rate, held(hz), read(bandwidth, block));
            return switch (shape) {
                case LOW_SHELF, HIGH_SHELF -> Biquad.qOfSteepness(read(steepness, block), db);
                case NOTCH -> USUAL_NOTCH;
                case ALL_PASS -> Biquad.BUTTERWORTH;
                default -> 1;
            };
        }
    }

    /** The bands at work. */
    private static final class Filters implements Kernel {
        private final Cascade still;
        private final Band[] moving;
        /** The sections of each moving band. */
        private final StateVariable[][] filters;
        private final int channels;

        Filters(Cascade still, List<Band> moving, int channels) {
            this.still = still;
            this.moving = moving.toArray(Band[]::new);
            this.filters = moving.stream().map(b -> b.filters().toArray(StateVariable[]::new)).toArray(StateVariable[][]::new);
            this.channels = channels;
        }

        @Override
        public void process(Block block) {
            if (block.beginsCell()) move(block);
            double[] l = block.x(0), r = block.x(1);
            int n = block.length();
            if (channels == 1) still.process(l, n);
            else still.process(l, r, n);
            for (StateVariable[] band : filters) {
                for (StateVariable f : band) {
                    if (channels == 1) f.process(l, n);
                    else f.process(l, r, n);
                }
            }
        }

        private void move(Block block) {
            for (int i = 0; i < moving.length; i++) moving[i].move(filters[i], block);
        }

        @Override
        public boolean rests() {
            for (StateVariable[] band : filters) for (StateVariable f : band) if (!f.rests()) return false;
            return still.rests();
        }

        @Override
        public void rest(Block block) {
            move(block);
            settle();
        }

        @Override
        public List<Curve> curves() {
            return List.of(new Curve("response", Curve.Axis.FREQUENCY, hz -> {
                double db = still.responseDb(hz);
                for (StateVariable[] band : filters) for (StateVariable f : band) db += f.responseDb(hz);
                return db;
            }));
        }

        @Override
        public void settle() {
            still.settle();
            for (StateVariable[] band : filters) for (StateVariable f : band) f.settle();
        }
    }
}

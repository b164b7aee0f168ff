package linnet.step.builtin;

import static linnet.setting.Unit.DBFS;
import static linnet.setting.Unit.HZ;
import static linnet.setting.Unit.PLAIN;

import java.util.Arrays;
import java.util.BitSet;
import java.util.Optional;
import java.util.stream.Collectors;
import linnet.dsp.Sound;
import linnet.dsp.repair.HumLines;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.setting.Fixed;
import linnet.step.FixedValues;
import linnet.step.LiveValues;
import linnet.step.Memoryless;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/** Takes mains hum away. Where none is found the take passes to the bit. */
final class Hum extends Step {
    private static final String AUTO = "auto";

    private final Fixed mains = fixed("mains", HZ).range(45, 65).words(AUTO).usual(AUTO)
            .doc("Frequency of the mains, within 0.4 Hz; auto looks for 50 and 60 Hz.");
    private final Fixed harmonics = fixed("harmonics", PLAIN).range(1, 16).usual(PLAIN.format(HumLines.USUAL_HARMONICS))
            .doc("The highest multiple of the mains that may be taken away; only those that stand out of the noise are.");
    private final Fixed width = fixed("width", HZ).range(0.05, 3).usual(HZ.format(HumLines.USUAL_WIDTH))
            .doc("How wide a notch it comes to in a pause: wider follows a hum that wanders, narrower leaves more of the room.");

    Hum() {
        super("hum", "Takes away the hum of the mains: heard where little else sounds, subtracted in phase, so that a note at the same pitch loses nothing.");
    }

    @Override
    public boolean mends() {
        return true;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        double[] possible = values.is(mains, AUTO) ? HumLines.mains() : new double[] {values.get(mains)};
        int most = (int) values.get(harmonics), piece = HumLines.piece(setup.rate());
        double notch = values.get(width);
        return Prepared.hearing(0, setup.channels(), (v, ear) -> {
            Optional<HumLines> lines = HumLines.find(ear.sound(), possible, most, HumLines.step(setup.rate()), notch);
            tell(v, lines);
            if (lines.isEmpty()) return (Memoryless) block -> {};
            HumLines.Subtractor subtractor = lines.get().subtractor(piece, left(ear, piece));
            return block -> subtractor.process(v.takeFrame(block), block.x(), block.length());
        });
    }

    /** What a person marked to be kept, and what was emptied: in digital silence there is no hum to subtract. */
    private static BitSet left(Ear ear, int piece) {
        BitSet left = new BitSet();
        Sound sound = ear.sound();
        double[][] x = new double[sound.channels()][piece];
        for (int p = 0; (p + 1L) * piece <= sound.frames(); p++) {
            sound.read((long) p * piece, x, piece);
            left.set(p, silent(x));
        }
        for (Mark kept : ear.kept()) left.set((int) (kept.from() / piece), (int) ((kept.to() + piece - 1) / piece));
        return left;
    }

    private static boolean silent(double[][] x) {
        for (double[] channel : x) for (double v : channel) if (v != 0) return false;
        return true;
    }

    private void tell(LiveValues values, Optional<HumLines> found) {
        values.found(word(), found.map(h -> HZ.format(h.hz(), 2) + " at " + DBFS.format(h.dbfs(), 1) + ", harmonics "
                + Arrays.stream(h.numbers()).mapToObj(String::valueOf).collect(Collectors.joining(", ")))
                .orElse("none is heard, and the take passes untouched"));
    }
}

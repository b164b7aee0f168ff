package linnet.step.builtin;

import java.util.List;
import java.util.Locale;
import linnet.dsp.Cell;
import linnet.dsp.pitch.Bend;
import linnet.dsp.pitch.Resynthesis;
import linnet.dsp.pitch.Resynthesis.Refused;
import linnet.hear.Ear;
import linnet.step.Block;
import linnet.step.Kernel;
import linnet.step.LiveValues;

/** Puts the take in place of itself, sung at another pitch or by another throat. */
final class Resung implements Kernel {
    private static final int SHOWN = 5;

    private final LiveValues values;
    private final Resynthesis resynthesis;
    private final int channels;
    private final long frames;
    private final double[][] sung;

    Resung(LiveValues values, Ear ear, Bend bend, Bend formants) {
        this.values = values;
        channels = ear.sound().channels();
        frames = ear.sound().frames();
        sung = new double[channels][Cell.LENGTH];
        resynthesis = new Resynthesis(ear.sound(), ear.arrivingPitch(), bend, formants);
        List<Refused> refused = resynthesis.refused();
        if (!refused.isEmpty()) values.found("left alone", told(refused, ear.sound().rate()));
    }

    private static String told(List<Refused> refused, double rate) {
        StringBuilder text = new StringBuilder();
        for (Refused r : refused.subList(0, Math.min(SHOWN, refused.size()))) {
            text.append(text.length() == 0 ? "" : ", ").append(String.format(Locale.ROOT, "%.2f s", r.from() / rate));
        }
        int more = refused.size() - SHOWN;
        return text + (more > 0 ? " and " + more + " more" : "") + ": no even periods there";
    }

    @Override
    public void process(Block block) {
        long at = values.takeFrame(block);
        // Before the take and after it nothing is sung.
        int before = (int) Math.max(0, Math.min(block.length(), -at)), n = (int) Math.min(block.length(), frames - at) - before;
        if (n <= 0) return;
        resynthesis.read(at + before, sung, n);
        for (int c = 0; c < channels; c++) System.arraycopy(sung[c], 0, block.x(c), before, n);
    }
}

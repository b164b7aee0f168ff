package linnet.dsp.repair;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Approximation;

/**
 * What stands out of a sound that is known to hold clicks: nothing is judged by where the voice is, as {@link ClickFinder} does, but by what is beside a
 * stretch.
 */
final class StandingClicks {
    /** In dB over what is usual: so far a click is followed as it fades. */
    private static final double STILL = 3;
    /** In cells: what is closer is one click. */
    private static final int GAP = 4;

    private final PredictionError prediction;

    /**
     * What stands out of a stretch.
     *
     * @param to the sample after the last that is stronger than all beside the stretch
     * @param faded from there it is no stronger than what is usual beside the stretch
     */
    record Standing(long from, long to, long faded, double heightDb) {}

    /** @param prediction of all of the sound, finished */
    StandingClicks(PredictionError prediction) {
        this.prediction = prediction;
    }

    /**
     * What stands out of both sides of a stretch, wherever in it.
     *
     * @param neededDb how far
     * @param longest how long after its beginning it may still fade, in samples
     */
    List<Standing> within(long from, long to, double neededDb, double longest) {
        int cells = prediction.cells(), first = (int) Math.max(0, prediction.cell(from)), last = (int) Math.min(cells, Math.ceil(prediction.cell(to)));
        double beside = PredictionError.SILENCE, usual = 0;
        int count = 0;
        for (int i = Math.max(0, first - ClickFinder.RISE - ClickFinder.BESIDE); i < Math.min(cells, last + ClickFinder.FALL + ClickFinder.BESIDE); i++) {
            if (i >= first - ClickFinder.RISE && i < last + ClickFinder.FALL) continue;
            beside = Math.max(beside, prediction.error(i));
            usual += prediction.level(i);
            count++;
        }
        double least = beside * Approximation.gain(2 * neededDb);
        double faint = count == 0 ? PredictionError.SILENCE : Approximation.gain(2 * (usual / count + STILL));
        List<Standing> found = new ArrayList<>();
        for (int c = first; c < last; c++) {
            if (prediction.error(c) < least) continue;
            int end = c + 1;
            double most = prediction.error(c);
            for (int i = c + 1; i < Math.min(last, end + GAP); i++) {
                if (prediction.error(i) < Math.max(beside, most * ClickFinder.FAR_BELOW)) continue;
                end = i + 1;
                most = Math.max(most, prediction.error(i));
            }
            int faded = end, farthest = (int) Math.min(cells, c + prediction.cell(longest));
            for (int i = end; i < Math.min(farthest, faded + GAP); i++) if (prediction.error(i) > Math.max(faint, most * ClickFinder.FAR_BELOW)) faded = i + 1;
            found.add(new Standing(prediction.sample(c), prediction.sample(end), prediction.sample(faded), 10 * StrictMath.log10(most / beside)));
            c = end + GAP - 1;
        }
        return found;
    }
}

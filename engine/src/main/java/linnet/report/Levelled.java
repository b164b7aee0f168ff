package linnet.report;

import java.util.List;
import linnet.dsp.Sound;
import linnet.hear.Measured;
import linnet.hear.Meters;

/**
 * Brings versions to equal loudness over the passage. All are turned down to the quietest, and further where that one would
 * pass full scale; none is turned up, so none clips. Loudness is measured as they are heard: beside a stereo version, a mono
 * one comes out of both speakers and counts twice.
 */
final class Levelled {
    private final List<Meters> meters;
    private final double[] gainsDb;
    private final double highestDbtp;

    /** @param sounds one or more, in the order of the page */
    Levelled(List<Sound> sounds) {
        boolean stereo = sounds.stream().anyMatch(s -> s.channels() == 2);
        meters = sounds.stream().map(s -> Meters.of(stereo && s.channels() == 1 ? new OnBothSides(s) : s)).toList();
        double quietest = meters.stream().map(Meters::integrated).filter(Measured::known).mapToDouble(m -> m.value().orElseThrow()).min().orElse(0);
        gainsDb = new double[meters.size()];
        double highest = Double.NEGATIVE_INFINITY;
        for (int i = 0; i < gainsDb.length; i++) {
            gainsDb[i] = meters.get(i).integrated().value().map(lufs -> quietest - lufs).orElse(0.0);
            highest = Math.max(highest, meters.get(i).truePeak().value().orElse(Double.NEGATIVE_INFINITY) + gainsDb[i]);
        }
        for (int i = 0; i < gainsDb.length; i++) gainsDb[i] -= Math.max(0, highest);
        highestDbtp = Math.min(0, highest);
    }

    /** What a version measures before it is turned down. */
    Meters meters(int version) {
        return meters.get(version);
    }

    /** How much it is turned by, 0 or less. */
    double gainDb(int version) {
        return gainsDb[version];
    }

    /** The highest true peak of all as they are heard; negative infinity where all are silent. */
    double highestDbtp() {
        return highestDbtp;
    }

    /** A mono sound as two speakers play it. */
    private record OnBothSides(Sound of) implements Sound {
        @Override
        public double rate() {
            return of.rate();
        }

        @Override
        public int channels() {
            return 2;
        }

        @Override
        public long frames() {
            return of.frames();
        }

        @Override
        public void read(long from, double[][] into, int n) {
            of.read(from, new double[][] {into[0]}, n);
            System.arraycopy(into[0], 0, into[1], 0, n);
        }
    }
}

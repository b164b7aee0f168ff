package linnet.cli;

import java.util.Arrays;
import java.util.Locale;
import linnet.audio.Bext;
import linnet.dsp.loudness.Loudness;
import linnet.dsp.loudness.SamplePeak;
import linnet.dsp.loudness.TruePeak;
import linnet.render.Renderer;

/** What a print sounds like by figures, heard as it is written. */
final class Meter {
    /** What is heard of an ending. */
    private static final double END_SECONDS = 0.05;

    private final Loudness loudness;
    private final TruePeak truePeak;
    private final SamplePeak peak = new SamplePeak();
    /** Squares of the last samples, all channels added. */
    private final double[] last;
    private final int channels;
    private long heard;

    Meter(double rate, int channels) {
        this.channels = channels;
        this.loudness = new Loudness(rate, channels);
        this.truePeak = new TruePeak(channels);
        this.last = new double[(int) Math.max(1, END_SECONDS * rate)];
    }

    void hear(double[][] x, int n) {
        peak.add(x, n);
        loudness.add(x, n);
        truePeak.add(x, n);
        for (int i = 0; i < n; i++, heard++) {
            double square = 0;
            for (int c = 0; c < channels; c++) square += x[c][i] * x[c][i];
            last[(int) (heard % last.length)] = square;
        }
    }

    /**
     * How loud a print is and how high it goes, in words: what is silent or short has no loudness.
     *
     * @param form of both numbers
     */
    static String words(String form, double lufs, double dbtp) {
        if (Double.isFinite(lufs)) return String.format(Locale.ROOT, form, lufs, dbtp);
        return dbtp >= Renderer.QUIET_DBFS ? String.format(Locale.ROOT, "too short or too soft for a loudness, true peak %.1f dBTP", dbtp) : "silent";
    }

    /** How far a sample passes full scale, in words: a hair too is more than nothing. */
    static String over(double dbfs) {
        return String.format(Locale.ROOT, "%+.2f dBFS", Math.ceil(100 * dbfs) / 100);
    }

    /** What a broadcast extension tells. */
    Bext.Loudness told() {
        return new Bext.Loudness(loudness.integrated(), loudness.range(), truePeak.dbtp(), loudness.momentaryMax(), loudness.shortTermMax());
    }

    double lufs() {
        return loudness.integrated();
    }

    double[] shortTermLufs() {
        return loudness.shortTerm();
    }

    double truePeakDbtp() {
        return truePeak.dbtp();
    }

    double endDbfs() {
        return 10 * Math.log10(Arrays.stream(last).sum() / last.length);
    }

    double peakDb() {
        return peak.dbfs();
    }
}

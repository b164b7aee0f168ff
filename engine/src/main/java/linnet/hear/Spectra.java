package linnet.hear;

import linnet.dsp.pitch.PitchTrack;

/**
 * Power spectra under a Hann window of about 43 ms of the frames that are worth it: those with a pitch go to the {@link Envelope}, those without to the
 * {@link Sibilants}. Of pitched frames four begin in the length of one: with one in each, of two resonances as strong as each other the one or the other
 * was the first, by where in a file the take happens to begin. Of sibilants two are enough.
 */
final class Spectra {
    final Envelope envelope;
    final Sibilants sibilants;
    /** What spectra are taken of: 6 dB over the quietest frames, and no more than 35 dB under the loud ones. */
    private static final double OVER_FLOOR = 4, UNDER_VOICE = 3e-4;
    private static final int EACH = 4;

    private final double rate, scale;
    private final Levels levels;
    private final double[] voice;
    private final double least;
    private final PitchTrack pitch;
    private final Sung sung;
    private final Windows windows;

    Spectra(double rate, Levels levels, PitchTrack pitch, Sung sung) {
        this.levels = levels;
        least = Math.max(OVER_FLOOR * levels.quiet(NoiseFloor.QUIET), UNDER_VOICE * Quantiles.typical(levels::above, levels.frames()));
        this.pitch = pitch;
        this.sung = sung;
        windows = new Windows(Integer.highestOneBit((int) Math.round(rate / 16)), EACH);
        scale = windows.scale();
        voice = new double[windows.bins()];
        this.rate = rate;
        envelope = new Envelope(rate / windows.length(), windows.bins());
        sibilants = new Sibilants(rate / windows.length(), windows.bins(), scale);
    }

    /** Hears the next {@code n} samples. */
    void add(double[] x, int n) {
        windows.add(x, n, start -> hear((int) ((start + windows.length() / 2) / pitch.hop()), start % (windows.length() / 2) == 0));
    }

    private void hear(int at, boolean half) {
        if (at >= levels.frames() || levels.above(at) < least) return;
        if (pitch.voiced(at)) {
            if (!sung.frame(at)) return;
            double[] power = windows.power();
            envelope.add(power, pitch.hz()[at]);
            for (int k = 0; k < power.length; k++) voice[k] += power[k];
        } else if (half) {
            // What reaches into a note, or is strong in its body, is no sibilant.
            if (pitch.voiced(at - 1) || pitch.voiced(at + 1) || levels.body(at) > levels.above(at) / 2) return;
            sibilants.add(windows.power());
        }
    }

    /** Of the sung frames with a pitch. */
    Bands voice() {
        double[] mean = new double[voice.length];
        for (int k = 0; k < mean.length; k++) mean[k] = scale * voice[k] / envelope.frames();
        return ThirdOctaves.of(mean, rate / windows.length());
    }
}

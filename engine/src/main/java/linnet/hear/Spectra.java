package linnet.hear;

import java.util.Arrays;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.spectral.Fft;

/**
 * Power spectra under a Hann window of about 43 ms, half overlapping, of the frames that are worth it: those with a pitch go to the
 * {@link Envelope}, those without to the {@link Sibilants}.
 */
final class Spectra {
    final Envelope envelope;
    final Sibilants sibilants;
    /** What spectra are taken of: 6 dB over the quietest frames, and no more than 35 dB under the loud ones. */
    private static final double OVER_FLOOR = 4, UNDER_VOICE = 3e-4;

    private final double rate, scale;
    private final double[] above, body, voice;
    private final double least;
    private final PitchTrack pitch;
    private final Sung sung;
    private final Fft fft;
    private final double[] window, frame, re, im;
    private final double[] recent;
    private int held;
    private long start;
    private boolean rested;

    Spectra(double rate, Levels levels, PitchTrack pitch, Sung sung) {
        above = levels.above();
        body = levels.body();
        least = Math.max(OVER_FLOOR * levels.quiet(Ear.QUIET), UNDER_VOICE * Quantiles.typical(above));
        this.pitch = pitch;
        this.sung = sung;
        int length = Integer.highestOneBit((int) Math.round(rate / 16));
        fft = new Fft(length);
        window = new double[length];
        for (int i = 0; i < length; i++) window[i] = 0.5 - 0.5 * StrictMath.cos(2 * Math.PI * (i + 0.5) / length);
        frame = new double[length];
        re = new double[fft.bins()];
        im = new double[fft.bins()];
        recent = new double[length];
        scale = scale(window);
        voice = new double[fft.bins()];
        this.rate = rate;
        envelope = new Envelope(rate / length, fft.bins());
        sibilants = new Sibilants(rate / length, fft.bins(), scale);
    }

    /**
     * From the power of a bin to the mean square of the signal in it (Parseval): both halves of the spectrum, by its length and by the
     * squares of the window.
     */
    static double scale(double[] window) {
        return 2 / (window.length * Arrays.stream(window).map(w -> w * w).sum());
    }

    /** Hears the next {@code n} samples. */
    void add(double[] x, int n) {
        int length = recent.length;
        for (int at = 0; at < n; ) {
            int m = Math.min(n - at, length - held);
            System.arraycopy(x, at, recent, held, m);
            at += m;
            held += m;
            if (held < length) return;
            hear((int) ((start + length / 2) / pitch.hop()));
            System.arraycopy(recent, length / 2, recent, 0, length / 2);
            held = length / 2;
            start += length / 2;
        }
    }

    private void hear(int at) {
        if (at >= above.length || above[at] < least) return;
        if (pitch.voiced(at)) {
            // The long-term envelope needs no overlap: every other frame of a note is left out.
            rested = !rested;
            if (rested || !sung.frame(at)) return;
            transform();
            envelope.add(re, pitch.hz()[at]);
            for (int k = 0; k < re.length; k++) voice[k] += re[k];
        } else {
            // What reaches into a note, or is strong in its body, is no sibilant.
            if (pitch.voiced(at - 1) || pitch.voiced(at + 1) || body[at] > above[at] / 2) return;
            transform();
            sibilants.add(re);
        }
    }

    /** Of the sung frames with a pitch. */
    Bands voice() {
        double[] mean = new double[voice.length];
        for (int k = 0; k < mean.length; k++) mean[k] = scale * voice[k] / envelope.frames();
        return ThirdOctaves.of(mean, rate / window.length);
    }

    /** Leaves the power spectrum in {@code re}. */
    private void transform() {
        for (int i = 0; i < frame.length; i++) frame[i] = window[i] * recent[i];
        fft.forward(frame, re, im);
        for (int k = 0; k < re.length; k++) re[k] = re[k] * re[k] + im[k] * im[k];
    }
}

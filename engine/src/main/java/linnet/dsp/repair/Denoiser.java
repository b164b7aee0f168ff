package linnet.dsp.repair;

import java.util.Arrays;
import linnet.dsp.Approximation;
import linnet.dsp.Silence;
import linnet.dsp.Stretches;
import linnet.dsp.spectral.Fft;

/**
 * Lowers steady noise wherever it is not covered, in a short-time spectrum of overlapping windows that adds up to the sound itself where
 * nothing is lowered.
 *
 * <p>A gain of its own for every bin and window would let single bins of noise through, which twitter ("musical noise"). Here each bin asks
 * its surroundings whether there is more than noise, in two ways: over 0.1 s in a narrow band, where a partial would stand, and over 0.03 s in
 * a third of an octave, where a consonant would. Of noise, both means of the power beside that of the noise stay below 2 but for one time in
 * thousands; from there the gain rises in dB to 0. Past and future count alike, so words are open before they begin and until they have ended.
 * And no bin is lowered by more than asked, so what is left of the noise keeps its colour (the spectral floor of M. Berouti, R. Schwartz,
 * J. Makhoul, ICASSP 1979; means over past and future as in I. Cohen, "Relaxed statistical model for speech enhancement and a priori SNR
 * estimation", IEEE TSAP 13(5), 2005; both from memory). Thresholds were read from noise and from voices in it.
 */
public final class Denoiser {
    private static final int OVERLAP = 4;
    /** Windows before and after, and Hz on each side, over which a partial is looked for. */
    private static final int LONG = 4;
    private static final double NARROW = 75;
    /** The same for a consonant; the width is a share of the frequency too. */
    private static final int SHORT = 1;
    private static final double BROAD = 150, BROAD_SHARE = 0.12;
    /** Mean power beside that of the noise, at which the gain begins to rise, and at which it is 0 dB. */
    private static final double NOISE = 2, SOUND = 2.75;
    /** Power beside that of the noise above which it does not matter how much it is: else a loud partial would open all around it. */
    private static final double PLAIN = 10;

    private final int length, hop, channels, bins;
    private final Fft fft;
    private final double[] window, noise, sums, over, gain, re, im, frame;
    private final int[] narrowFrom, narrowTo, broadFrom, broadTo;
    private final double[][] recent, out, dry;
    /** Rings by window: spectra, what lies over the noise, and the gain asked for. */
    private final double[][][] spectraRe, spectraIm;
    private final double[][] narrow, broad;
    private final double[] amounts;
    private final Stretches kept;

    private double amount, reduction;
    private long position, windows, start;
    private int held;

    /**
     * @param kept what passes to the bit
     */
    public Denoiser(double rate, int channels, NoiseSpectrum spectrum, Stretches kept) {
        this.channels = channels;
        this.kept = kept;
        length = NoiseSpectrum.length(rate);
        hop = length / OVERLAP;
        window = NoiseSpectrum.window(length);
        fft = new Fft(length);
        bins = fft.bins();
        double[] power = spectrum.power();
        noise = new double[bins];
        for (int k = 0; k < bins; k++) noise[k] = 1 / power[k];
        narrowFrom = new int[bins];
        narrowTo = new int[bins];
        broadFrom = new int[bins];
        broadTo = new int[bins];
        double binHz = rate / length;
        for (int k = 0; k < bins; k++) {
            int near = (int) Math.round(NARROW / binHz), far = (int) Math.round(Math.max(BROAD / binHz, BROAD_SHARE * k));
            narrowFrom[k] = Math.max(0, k - near);
            narrowTo[k] = Math.min(bins, k + near + 1);
            broadFrom[k] = Math.max(0, k - far);
            broadTo[k] = Math.min(bins, k + far + 1);
        }
        sums = new double[bins + 1];
        over = new double[bins];
        gain = new double[bins];
        re = new double[bins];
        im = new double[bins];
        frame = new double[length];
        recent = new double[channels][length];
        out = new double[channels][length];
        dry = new double[channels][latency(rate)];
        spectraRe = new double[LONG + 1][channels][bins];
        spectraIm = new double[LONG + 1][channels][bins];
        narrow = new double[2 * LONG + 1][bins];
        broad = new double[2 * LONG + 1][bins];
        amounts = new double[LONG + OVERLAP / 2 + 1];
    }

    /** In samples, at that rate. */
    public static int latency(double rate) {
        int length = NoiseSpectrum.length(rate);
        return length + LONG * (length / OVERLAP);
    }

    /** @param db by how much bare noise is lowered from now on, 0 or more */
    public void set(double db) {
        amount = db;
        if (windows == 0) Arrays.fill(amounts, db);
    }

    /** By how many dB the power of the last window was lowered. */
    public double reductionDb() {
        return reduction;
    }

    /**
     * Processes in place, late by the {@link #latency(double)}.
     *
     * @param at the sample of the take that {@code x[c][0]} is
     */
    public void process(long at, double[][] x, int n) {
        start = at - position;
        for (int i = 0; i < n; ) {
            int m = Math.min(n - i, hop - held);
            for (int c = 0; c < channels; c++) pass(x[c], c, i, m);
            i += m;
            held += m;
            position += m;
            if (held < hop) continue;
            held = 0;
            turn();
        }
    }

    /**
     * Whether all it remembers is silence, so that silence leaves it as silence; the amount must stand. A spectrum of nothing may have zeros
     * of either sign, and they make the same nothing.
     */
    public boolean rests() {
        for (int c = 0; c < channels; c++) if (!Silence.in(recent[c]) || !Silence.in(out[c]) || !Silence.in(dry[c])) return false;
        for (double[][] window : spectraRe) if (!empty(window)) return false;
        for (double[][] window : spectraIm) if (!empty(window)) return false;
        return empty(narrow) && empty(broad);
    }

    private static boolean empty(double[][] of) {
        for (double[] x : of) for (double v : x) if (v != 0) return false;
        return true;
    }

    /** As {@link #process} of so many samples of silence. */
    public void rest(int n) {
        position += n;
        held += n;
        if (held < hop) return;
        windows += held / hop;
        held %= hop;
        reduction = 0;
    }

    /** New samples in, finished ones out. */
    private void pass(double[] x, int c, int from, int n) {
        int line = (int) (position % dry[c].length);
        for (int i = 0; i < n; i++) {
            double in = x[from + i], before = dry[c][line];
            dry[c][line] = in;
            if (++line == dry[c].length) line = 0;
            recent[c][length - hop + held + i] = in;
            long sample = start + position + i - dry[c].length;
            x[from + i] = kept.meets(sample, sample + 1) ? before : out[c][held + i];
        }
    }

    private void turn() {
        listen();
        windows++;
        for (int c = 0; c < channels; c++) {
            System.arraycopy(recent[c], hop, recent[c], 0, length - hop);
            System.arraycopy(out[c], hop, out[c], 0, length - hop);
            Arrays.fill(out[c], length - hop, length, 0);
        }
        decide();
        double before = 0, after = 0;
        int slot = (int) (windows % (LONG + 1));
        for (int c = 0; c < channels; c++) {
            double[] r = spectraRe[slot][c], i = spectraIm[slot][c];
            for (int k = 0; k < bins; k++) {
                double power = r[k] * r[k] + i[k] * i[k];
                before += power;
                after += power * gain[k] * gain[k];
                re[k] = r[k] * gain[k];
                im[k] = i[k] * gain[k];
            }
            fft.inverse(re, im, frame);
            for (int s = 0; s < length; s++) out[c][s] += 0.5 * window[s] * frame[s];
        }
        reduction = after > 0 ? 0.5 * Approximation.DB_PER_OCTAVE * (Approximation.log2(before) - Approximation.log2(after)) : 0;
    }

    /** The spectrum of the newest window, and how far it lies over the noise around each bin. */
    private void listen() {
        int slot = (int) (windows % (LONG + 1)), ring = (int) (windows % narrow.length);
        Arrays.fill(over, 0);
        for (int c = 0; c < channels; c++) {
            for (int s = 0; s < length; s++) frame[s] = window[s] * recent[c][s];
            double[] r = spectraRe[slot][c], i = spectraIm[slot][c];
            fft.forward(frame, r, i);
            for (int k = 0; k < bins; k++) over[k] += r[k] * r[k] + i[k] * i[k];
        }
        for (int k = 0; k < bins; k++) over[k] = Math.min(PLAIN, over[k] * noise[k]);
        for (int k = 0; k < bins; k++) sums[k + 1] = sums[k] + over[k];
        mean(narrowFrom, narrowTo, narrow[ring]);
        mean(broadFrom, broadTo, broad[ring]);
        amounts[(int) (windows % amounts.length)] = amount;
    }

    private void mean(int[] from, int[] to, double[] means) {
        for (int k = 0; k < bins; k++) means[k] = (sums[to[k]] - sums[from[k]]) / (to[k] - from[k]);
    }

    /** The gain of the window that has as many after it as before. */
    private void decide() {
        long middle = windows - 1 - LONG;
        Arrays.fill(over, 0);
        for (double[] means : narrow) for (int k = 0; k < bins; k++) over[k] += means[k];
        Arrays.fill(re, 0);
        for (long w = middle - SHORT; w <= middle + SHORT; w++) {
            double[] means = broad[(int) Math.floorMod(w, (long) broad.length)];
            for (int k = 0; k < bins; k++) re[k] += means[k];
        }
        // The amount that was asked for at the time of the middle of that window.
        double db = amounts[(int) Math.floorMod(windows, (long) amounts.length)];
        long first = start + position - length - (long) LONG * hop;
        if (kept.meets(first, first + length)) db = 0;
        for (int k = 0; k < bins; k++) {
            double stands = Math.max(over[k] / narrow.length, re[k] / (2 * SHORT + 1));
            double covered = Math.max(0, Math.min(1, (stands - NOISE) / (SOUND - NOISE)));
            gain[k] = -db * (1 - covered);
        }
        Approximation.gains(gain, gain, bins);
    }
}

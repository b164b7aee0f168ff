package linnet.dsp.dynamics;

import linnet.dsp.Approximation;
import linnet.dsp.Cell;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;
import linnet.dsp.resample.Kaiser;

/**
 * Lowers sibilants and nothing else. An s is told by its balance, not by its level: the power above the edge of the
 * sibilance band stands over all that is below. Quiet and loud passages are so treated alike, and an s is lowered by all that
 * was asked for, from its beginning on.
 *
 * <p>What is lowered is everything above the edge, by subtraction: y = x - (1 - g) H x, with H a linear-phase high-pass. At
 * rest (g = 1) that is a bit-exact delay; at work it is a shelf without any turn of phase, so a mix of dry and de-essed never
 * combs. A minimum-phase split would be an all-pass at rest, with a notch at the split where dry is mixed in.
 *
 * <p>Sources: linear-phase design by the Kaiser window, A. Oppenheim, R. Schafer, "Discrete-Time Signal Processing"; the
 * ballistics ("smooth, branching") D. Giannoulis, M. Massberg, J. Reiss, JAES 60(6), 2012; the balance as detector is common
 * practice, its figures were found on real voices.
 */
public final class DeEsser {
    /** Where the detector listens from, as a part of the centre of the band: over the resonances that make a vowel bright. */
    private static final double HEARD_FROM = 0.45;

    /** Where it lowers from: low enough for the "sh" beside the "s" the band was found from, so that it keeps its colour. */
    private static final double LOWERED_FROM = 0.38;

    /** How long before an s the gain begins to move, in ms: the detector's own time. */
    static final double LOOKAHEAD_MS = 5;

    /** Time of the mean squares, in ms. */
    private static final double KEY_MS = 4;

    /** From the threshold to the full reduction, in dB of balance. */
    private static final double KNEE_DB = 6;

    /** What lies below is rumble or a pop and does not count, in Hz. */
    private static final double LOWEST_HZ = 150;

    /** What lies this far below the loudest of the voice before it is hiss or breath, whatever its balance; in dB. */
    private static final double NEAR_DB = -40, NEAR = StrictMath.pow(10, NEAR_DB / 10);

    /** The loudest is forgotten at so many dB a second, down to so many dBFS: a voice recorded lower than that is a mistake. */
    private static final double FORGET_DB = 4, LOWEST_VOICE = StrictMath.pow(10, -30 / 10.0);

    /** Stop-band attenuation of the band filter in dB, and width of its transition beside the edge. */
    private static final double STOP_DB = 50, TRANSITION = 0.6;

    private static final double ARRIVED = 1e-6;

    private final double rate;
    private final int latency;
    private final double keyForget, voiceForget;
    private final Channel left, right;
    private final double[] whole = new double[Cell.LENGTH], band = new double[Cell.LENGTH];
    private final double[] more = new double[Cell.LENGTH], moreBand = new double[Cell.LENGTH];
    private final double[] balance = new double[Cell.LENGTH], gain = new double[Cell.LENGTH], scratch = new double[Cell.LENGTH];

    private double bandHz;
    private double[] taps;
    private double thresholdDb, openAt, slope, mostDb, attack, release;
    private double wholePower, bandPower, voicePower = LOWEST_VOICE;
    private double reductionDb;

    /** @param rate samples per second */
    public DeEsser(double rate) {
        this.rate = rate;
        latency = (int) Math.round(LOOKAHEAD_MS * 1e-3 * rate);
        keyForget = StrictMath.exp(-1e3 / (KEY_MS * rate));
        voiceForget = StrictMath.pow(10, -FORGET_DB / 10 / rate);
        left = new Channel();
        right = new Channel();
    }

    public int latency() {
        return latency;
    }

    /**
     * To be called before the first block, and between cells whenever a value has moved. A moved band is taken up when the
     * sibilant is over.
     *
     * @param bandHz centre of the sibilance, below half the rate
     * @param thresholdDb power of the band over that of the rest at which an s begins
     * @param mostDb by how much an s is lowered, 0 or more
     * @param attackMs time to 63.2 %
     * @param releaseMs time to 63.2 %
     */
    public void set(double bandHz, double thresholdDb, double mostDb, double attackMs, double releaseMs) {
        if (bandHz != this.bandHz && reductionDb == 0) {
            taps = lowPass(rate, LOWERED_FROM * bandHz, latency);
            left.listenAbove(HEARD_FROM * bandHz);
            right.listenAbove(HEARD_FROM * bandHz);
            this.bandHz = bandHz;
        }
        this.thresholdDb = thresholdDb;
        openAt = StrictMath.pow(10, thresholdDb / 10);
        this.mostDb = mostDb;
        slope = mostDb / KNEE_DB;
        attack = StrictMath.exp(-1e3 / (attackMs * rate));
        release = StrictMath.exp(-1e3 / (releaseMs * rate));
    }

    /** Mono, in place. */
    public void process(double[] x, int n) {
        left.listen(x, whole, band, n);
        boolean atWork = follow(n);
        left.lower(x, atWork, n);
    }

    /** Stereo, in place; both channels are lowered alike. */
    public void process(double[] l, double[] r, int n) {
        left.listen(l, whole, band, n);
        right.listen(r, more, moreBand, n);
        for (int i = 0; i < n; i++) whole[i] += more[i];
        for (int i = 0; i < n; i++) band[i] += moreBand[i];
        boolean atWork = follow(n);
        left.lower(l, atWork, n);
        right.lower(r, atWork, n);
    }

    /** To be called at the end of each cell. */
    public void settle() {
        left.settle();
        right.settle();
        wholePower = Cell.settled(wholePower);
        bandPower = Cell.settled(bandPower);
    }

    /** By how many dB the band stood below unity at the last sample. */
    public double reductionDb() {
        return reductionDb;
    }

    /** Fills the gains of n samples from the powers; false if they are all 1. */
    private boolean follow(int n) {
        double loudest = balances(n);
        if (loudest <= openAt && reductionDb == 0) return false;
        Approximation.decibels(balance, gain, scratch, n);
        for (int i = 0; i < n; i++) {
            double wanted = Math.max(0, Math.min(mostDb, (0.5 * gain[i] - thresholdDb) * slope)); // half: of a power
            double away = (reductionDb - wanted) * (wanted > reductionDb ? attack : release);
            reductionDb = wanted + (Math.abs(away) < ARRIVED ? 0 : away);
            gain[i] = -reductionDb;
        }
        Approximation.gains(gain, gain, n);
        return true;
    }

    /** Power of the band over that of the rest, for n samples; returns the largest. */
    private double balances(int n) {
        double w = wholePower, b = bandPower, v = voicePower, a = keyForget, c = 1 - a, forget = voiceForget;
        double loudest = 0;
        for (int i = 0; i < n; i++) {
            w = a * w + c * whole[i];
            b = a * b + c * band[i];
            v = LOWEST_VOICE + forget * (v - LOWEST_VOICE);
            v = w > v ? w : v;
            double rest = w - b;
            double r = b / ((rest > 0 ? rest : 0) + NEAR * v);
            loudest = r > loudest ? r : loudest;
            balance[i] = r;
        }
        wholePower = w;
        bandPower = b;
        voicePower = v;
        return loudest;
    }

    /** Taps of a linear-phase low-pass from its centre outwards, with a gain of 1 at 0 Hz and of -6 dB at the edge. */
    private static double[] lowPass(double rate, double edge, int longest) {
        int half = Math.min(longest, Kaiser.taps(STOP_DB, 2 * Math.PI * TRANSITION * edge / rate) / 2);
        double[] h = new double[half + 1];
        double beta = Kaiser.beta(STOP_DB), sum = 0;
        for (int k = 0; k <= half; k++) {
            h[k] = Kaiser.sinc(2 * edge / rate * k) * Kaiser.at((double) k / (half + 1), beta);
            sum += k == 0 ? h[k] : 2 * h[k];
        }
        for (int k = 0; k <= half; k++) h[k] /= sum;
        return h;
    }

    private final class Channel {
        /** The samples so far, as long as the latency and half the band filter reach; then the block. */
        private final double[] line = new double[2 * latency + Cell.LENGTH];
        private final double[] low = new double[Cell.LENGTH];
        private final Cascade voice = new Cascade(Biquad.highPass(rate, LOWEST_HZ, Biquad.BUTTERWORTH));
        private Cascade above;

        void listenAbove(double edge) {
            above = new Cascade(Butterworth.highPass(rate, edge, 4));
        }

        /** Squares of the voice and of its band. */
        void listen(double[] x, double[] whole, double[] band, int n) {
            System.arraycopy(x, 0, whole, 0, n);
            voice.process(whole, n);
            System.arraycopy(whole, 0, band, 0, n);
            above.process(band, n);
            for (int i = 0; i < n; i++) whole[i] *= whole[i];
            for (int i = 0; i < n; i++) band[i] *= band[i];
        }

        /** Delays, and takes (1 - gain) of what lies above the edge away. */
        void lower(double[] x, boolean atWork, int n) {
            System.arraycopy(x, 0, line, 2 * latency, n);
            System.arraycopy(line, latency, x, 0, n);
            if (atWork) {
                for (int i = 0; i < n; i++) low[i] = taps[0] * x[i];
                for (int k = 1; k < taps.length; k++) addPair(line, latency - k, latency + k, taps[k], low, n);
                for (int i = 0; i < n; i++) x[i] -= (1 - gain[i]) * (x[i] - low[i]);
            }
            System.arraycopy(line, n, line, 0, 2 * latency);
        }

        void settle() {
            voice.settle();
            above.settle();
        }
    }

    private static void addPair(double[] line, int before, int after, double tap, double[] sum, int n) {
        for (int i = 0; i < n; i++) sum[i] += tap * (line[before + i] + line[after + i]);
    }
}

package linnet.dsp.dynamics;

import java.util.Arrays;
import java.util.List;
import linnet.dsp.Approximation;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.Silence;
import linnet.dsp.Sound;
import linnet.dsp.Stretches;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.LinearPhase;

/**
 * Lowers sibilants and nothing else. An s is told by its balance, not by its level: the power above the edge of the
 * sibilance band stands over all that is below. Quiet and loud passages are so treated alike, and an s is lowered by all that
 * was asked for, from its beginning on. A creaking "ee" has that balance too where the band is that of a "sh", but its resonances end
 * below 4 kHz, and the noise of every sibilant reaches beyond.
 *
 * <p>What is lowered is everything above the edge, by subtraction: y = x - (1 - g) H x, with H what a {@link LinearPhase} low-pass leaves. At
 * rest (g = 1) that is a bit-exact delay; at work it is a shelf without any turn of phase, so a mix of dry and de-essed never
 * combs. A minimum-phase split would be an all-pass at rest, with a notch at the split where dry is mixed in.
 *
 * <p>Source of the ballistics ("smooth, branching"): D. Giannoulis, M. Massberg, J. Reiss, JAES 60(6), 2012. The balance as
 * detector is common practice; its figures were found on real voices.
 */
public final class DeEsser {
    /** Where the detector listens from, as a part of the centre of the band: over the resonances that make a vowel bright. */
    private static final double HEARD_FROM = 0.45;

    /**
     * Where no vowel has more than a trace, in Hz; at low rates half of what there is. A detector that listens from half of that on, or higher, needs no other
     * proof.
     */
    private static final double OVER_VOWELS_HZ = 4800;

    /**
     * By how much a sibilant stands nearer to the rest from there on than its whole band: ten voices keep 5 dB to the dullest sh, and 2 to the brightest vowel.
     */
    private static final double REACHES = Decibels.power(17);

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

    /** What lies 40 dB below the loudest of the voice beside it is hiss or breath, whatever its balance. */
    private static final double NEAR = 1e-4;

    /** Where the voice to come is 10 dB louder than what is remembered, nobody has sung yet: a breath is then more likely than an s, and 34 dB tell it. */
    private static final double SILENT = 0.1, NEAR_SILENT = 4e-4;

    /**
     * The loudest is forgotten at so many dB a second, down to 20 dB under the loudest of the take, so that a take that is softer as a whole is treated alike.
     * Where nobody has heard the take, or it is nowhere as loud as -50 dBFS, as a voice is, down to -30 dBFS.
     */
    private static final double FORGET_DB = 4, UNDER_LOUDEST = 1e-2, VOICE = 1e-5, LOWEST_VOICE = 1e-3;

    /** Stop-band attenuation of the band filter in dB, and width of its transition beside the edge. */
    private static final double STOP_DB = 50, TRANSITION = 0.8;

    /** Before what is left as it is the gain is back at unity; so long before that, in ms, it may still be all the way down. */
    static final double RETURN_MS = 20;

    /** The release aims so far beyond where it is going, in dB: so it arrives, and soon, without a step. */
    private static final double BEYOND = 0.01;

    private final double rate;
    private final int latency;
    private final double keyForget, voiceForget;
    private final Channel left, right;
    private final double[] whole = new double[Cell.LENGTH], band = new double[Cell.LENGTH];
    private final double[] top = new double[Cell.LENGTH];
    private final double[] more = new double[Cell.LENGTH], moreBand = new double[Cell.LENGTH], moreTop = new double[Cell.LENGTH];
    private final double[] gain = new double[Cell.LENGTH], scratch = new double[Cell.LENGTH], bound = new double[Cell.LENGTH];

    private double bandHz;
    private LinearPhase belowEdge;
    private boolean beyond; // whether the take has nothing where it listens
    private boolean nearVowels; // whether it listens so low that vowels are bright there
    private double thresholdDb, beginsAt, slope, mostDb, attack, release;
    private double lowest = LOWEST_VOICE, loudest = lowest; // power of the voice, as it is forgotten and as it is remembered
    private double toCome; // the same of what is still to be heard, where it is known
    private boolean breath; // in this cell
    private final int back;
    private Stretches still = Stretches.NONE, meant = Stretches.NONE; // what passes as it is, and what is lowered whatever its balance
    private long at; // of the next sample that comes in, in the time of the stretches
    private double reductionDb;
    private boolean atWork; // in the last block

    /** @param rate samples per second */
    public DeEsser(double rate) {
        this.rate = rate;
        latency = latency(rate);
        back = (int) Math.round(RETURN_MS * 1e-3 * rate);
        keyForget = Ballistics.pole(KEY_MS, rate);
        voiceForget = Decibels.power(-FORGET_DB * Cell.LENGTH / rate);
        left = new Channel();
        right = new Channel();
    }

    /** In samples, at that rate. */
    public static int latency(double rate) {
        return (int) Math.round(LOOKAHEAD_MS * 1e-3 * rate);
    }

    public int latency() {
        return latency;
    }

    /**
     * To be called before the first block, and between cells whenever a value has moved. A moved band is taken up when the
     * sibilant is over.
     *
     * @param bandHz centre of the sibilance; from {@link Biquad#HIGHEST} of the rate over 0.45 on, which is 8.7 kHz at 8 kHz, there is none, and all passes
     * @param thresholdDb power of the band over that of the rest at which an s begins
     * @param mostDb by how much an s is lowered, 0 or more
     * @param attackMs time to 63.2 %
     * @param releaseMs time to 63.2 %
     */
    public void set(double bandHz, double thresholdDb, double mostDb, double attackMs, double releaseMs) {
        if (bandHz != this.bandHz && reductionDb == 0) {
            double edge = LOWERED_FROM * bandHz, highest = Biquad.HIGHEST * rate, from = Math.min(HEARD_FROM * bandHz, highest);
            beyond = HEARD_FROM * bandHz >= highest;
            // All that is told is taken away where the transition is over by half the rate.
            if (!beyond) belowEdge = LinearPhase.lowPass(rate, edge, STOP_DB, Math.min(TRANSITION * edge, rate - 2 * edge), latency);
            nearVowels = from < OVER_VOWELS_HZ / 2;
            left.listenAbove(from);
            right.listenAbove(from);
            this.bandHz = bandHz;
        }
        this.thresholdDb = thresholdDb;
        beginsAt = Decibels.power(thresholdDb) * (1 - 1e-6); // less, to be sure of the logarithm's rounding
        this.mostDb = mostDb;
        slope = mostDb / KNEE_DB;
        attack = Ballistics.pole(attackMs, rate);
        release = Ballistics.pole(releaseMs, rate);
    }

    /**
     * What a person said of the sound; to be told before the first cell.
     *
     * @param still samples that pass as they are, whatever their balance
     * @param meant samples that are lowered by all that was asked for, whatever their balance
     */
    public void goBy(Stretches still, Stretches meant) {
        this.still = still;
        this.meant = meant;
    }

    /**
     * How loud the take is that is to come; to be told before the first cell, else softness is told by a voice of usual level.
     *
     * @param toCome of {@link #loudestToCome}
     */
    public void expect(double[] toCome) {
        double most = most(toCome);
        lowest = most < VOICE ? LOWEST_VOICE : UNDER_LOUDEST * most;
        loudest = lowest;
    }

    private static double most(double[] powers) {
        return Arrays.stream(powers).max().orElse(0);
    }

    /**
     * What is known of a cell by who has heard all of it; to be told before the cell.
     *
     * @param at its first sample, in the time of the stretches that are gone by
     * @param toCome of {@link #loudestToCome}
     * @param breath whether nothing but a breath sounds in it, which is not lowered, whatever its balance
     */
    public void expect(long at, double toCome, boolean breath) {
        this.at = at;
        this.toCome = toCome;
        this.breath = breath;
    }

    /**
     * For each cell of a sound the loudest of the voice from there on, as it is remembered from behind: the breath before the first word is as
     * soft beside that as one after it.
     */
    public static double[] loudestToCome(Sound sound) {
        DeEsser ear = new DeEsser(sound.rate());
        double[] loudest = new double[(int) ((sound.frames() + Cell.LENGTH - 1) / Cell.LENGTH)], power = ear.whole, filtered = ear.scratch;
        double[][] x = new double[sound.channels()][Cell.LENGTH];
        Channel[] channels = {ear.left, ear.right};
        for (int k = 0; k < loudest.length; k++) {
            int n = (int) Math.min(Cell.LENGTH, sound.frames() - (long) k * Cell.LENGTH);
            sound.read((long) k * Cell.LENGTH, x, n);
            for (int c = 0; c < x.length; c++) {
                channels[c].voice(x[c], filtered, power, n);
                loudest[k] += channels[c].endCell();
                channels[c].settle();
            }
        }
        ear.lowest = UNDER_LOUDEST * most(loudest);
        for (int k = loudest.length - 2; k >= 0; k--) loudest[k] = Math.max(loudest[k], ear.forgotten(loudest[k + 1]));
        return loudest;
    }

    /** Mono, in place. */
    public void process(double[] x, int n) {
        left.listen(x, whole, band, top, n);
        atWork = follow(n);
        left.lowered.process(x, n);
    }

    /** Stereo, in place; both channels are lowered alike. */
    public void process(double[] l, double[] r, int n) {
        left.listen(l, whole, band, top, n);
        right.listen(r, more, moreBand, moreTop, n);
        for (int i = 0; i < n; i++) whole[i] += more[i];
        for (int i = 0; i < n; i++) band[i] += moreBand[i];
        if (nearVowels) for (int i = 0; i < n; i++) top[i] += moreTop[i];
        atWork = follow(n);
        left.lowered.process(l, n);
        right.lowered.process(r, n);
    }

    /** Lowers the band of another signal as that of the last block of this one was. */
    public Follower follower() {
        return new Follower();
    }

    /** A signal of its own, with the gain of this de-esser; it is given blocks right after the de-esser, of the same length. */
    public final class Follower implements Led {
        private final Lowered left = new Lowered(), right = new Lowered();

        private Follower() {}

        @Override
        public void process(double[] x, int n) {
            left.process(x, n);
        }

        @Override
        public void process(double[] l, double[] r, int n) {
            left.process(l, n);
            right.process(r, n);
        }

        @Override
        public boolean rests() {
            return left.rests() && right.rests();
        }
    }

    /** To be called at the end of each cell. */
    public void settle() {
        left.settle();
        right.settle();
        loudest = Math.max(left.endCell() + right.endCell(), forgotten(loudest));
    }

    /** What is left of it a cell away. */
    private double forgotten(double loudest) {
        return lowest + voiceForget * (loudest - lowest);
    }

    /** Whether silence leaves it as silence, wherever its settings move; at the border of a cell. */
    public boolean rests() {
        return reductionDb == 0 && left.rests() && right.rests() && left.lowered.rests() && right.lowered.rests();
    }

    /** As {@link #process} and {@link #settle} of a cell of silence. */
    public void rest() {
        atWork = false;
        settle();
    }

    /** By how many dB the band stood below unity at the last sample. */
    public double reductionDb() {
        return reductionDb;
    }

    /** Gain in dB at that frequency while a sibilant is wholly lowered. */
    public double responseDb(double hz) {
        if (beyond) return 0;
        double low = belowEdge.gain(hz);
        return Decibels.ofGain(Math.abs(low + Decibels.gain(-mostDb) * (1 - low)));
    }

    /** Fills the gains of n samples from the powers; false if they are all 1. */
    private boolean follow(int n) {
        double near = loudest < SILENT * toCome ? NEAR_SILENT * toCome : NEAR * Math.max(loudest, toCome), most = breath || beyond ? 0 : mostDb;
        long leaves = at - latency; // the sample on which the first of these gains comes to bear
        at += n;
        boolean stays = still.meets(leaves, leaves + n + back), goes = meant.meets(leaves, leaves + n + latency);
        if (reductionDb == 0 && (breath || beyond || !goes && !begins(near, n))) return false;
        for (int i = 0; i < n; i++) gain[i] = band[i] / (rest(whole[i], band[i]) + near);
        if (nearVowels) for (int i = 0; i < n; i++) gain[i] = Math.min(gain[i], REACHES * top[i] / (rest(whole[i], top[i]) + near));
        Approximation.decibels(gain, gain, scratch, n);
        for (int i = 0; i < n; i++) gain[i] = Math.max(0, Math.min(most, (0.5 * gain[i] - thresholdDb) * slope)); // half: of a power
        if (goes) for (int i = 0; i < n; i++) if (meant.meets(leaves + i, leaves + i + latency + 1)) gain[i] = most;
        if (stays) for (int i = 0; i < n; i++) bound[i] = bound(still.until(leaves + i));
        double db = reductionDb;
        for (int i = 0; i < n; i++) {
            double wanted = stays ? Math.min(gain[i], bound[i]) : gain[i];
            if (wanted > db) db = wanted + (db - wanted) * attack;
            else db = Math.max(wanted, wanted - BEYOND + (db - wanted + BEYOND) * release);
            if (stays) db = Math.min(db, bound[i]);
            gain[i] = -db;
        }
        reductionDb = db;
        Approximation.gains(gain, gain, n);
        return true;
    }

    /** By how much is lowered at most so many samples before what passes as it is. */
    private double bound(long until) {
        return until < back ? mostDb * until / back : Double.POSITIVE_INFINITY;
    }

    /** Whether the band stands over the rest anywhere. */
    private boolean begins(double near, int n) {
        for (int i = 0; i < n; i++) {
            if (band[i] > beginsAt * (rest(whole[i], band[i]) + near) && (!nearVowels || REACHES * top[i] > beginsAt * (rest(whole[i], top[i]) + near))) {
                return true;
            }
        }
        return false;
    }

    /** What is left of the whole power without the band's, but not less than nothing. */
    private static double rest(double whole, double band) {
        double rest = whole - band;
        return 0.5 * (rest + Math.abs(rest));
    }

    private final class Channel {
        private final Biquad voice = Biquad.highPass(rate, LOWEST_HZ, Biquad.BUTTERWORTH);
        private final Above band = new Above();
        private Above top = new Above();
        private double x1, dx1, v1, v2, wholePower; // states; outputs before the gains
        private double loudest; // in this cell
        private final Lowered lowered = new Lowered();

        void listenAbove(double edge) {
            band.from(edge);
            if (!nearVowels) top = new Above(); // at rest, as it is not heard
            top.from(Math.max(edge, Math.min(OVER_VOWELS_HZ, rate / 4)));
        }

        /**
         * Running mean squares of the voice and of what lies above both edges. In direct form I a filter waits least for itself; the numerator of
         * a high-pass is its gain times (1 - z⁻¹)²: two differences, and the gains are left to the squares.
         */
        void listen(double[] x, double[] whole, double[] inBand, double[] atTop, int n) {
            voice(x, scratch, whole, n);
            band.listen(scratch, voice.b0(), inBand, n);
            if (nearVowels) top.listen(scratch, voice.b0(), atTop, n);
        }

        private void voice(double[] x, double[] out, double[] power, int n) {
            double a1 = voice.a1(), a2 = voice.a2(), a = keyForget, c = (1 - a) * voice.b0() * voice.b0();
            double s1 = x1, d1 = dx1, y1 = v1, y2 = v2, w = wholePower, most = loudest;
            for (int i = 0; i < n; i++) {
                double v = x[i], d = v - s1, y = ((d - d1) - a2 * y2) - a1 * y1;
                s1 = v;
                d1 = d;
                y2 = y1;
                y1 = y;
                w = a * w + c * (y * y);
                most = w > most ? w : most;
                out[i] = y;
                power[i] = w;
            }
            x1 = s1;
            dx1 = d1;
            v1 = y1;
            v2 = y2;
            wholePower = w;
            loudest = most;
        }

        void settle() {
            x1 = Cell.settled(x1);
            dx1 = Cell.settled(dx1);
            v1 = Cell.settled(v1);
            v2 = Cell.settled(v2);
            wholePower = Cell.settled(wholePower);
            band.settle();
            top.settle();
        }

        boolean rests() {
            return x1 == 0 && dx1 == 0 && v1 == 0 && v2 == 0 && wholePower == 0 && band.rests() && top.rests();
        }

        /** The loudest power since the last call. */
        double endCell() {
            double most = loudest;
            loudest = 0;
            return most;
        }
    }

    /** Power of what lies above an edge: a Butterworth high-pass of fourth order, and a running mean square. */
    private final class Above {
        private Biquad p, q;
        private double v0, dv1, p1, p2, dp1, q1, q2, power; // states; outputs before the gains

        void from(double edge) {
            List<Biquad> highPass = Butterworth.highPass(rate, edge, 4);
            p = highPass.get(0);
            q = highPass.get(1);
        }

        /** @param scale gain that is still to be put to x */
        void listen(double[] x, double scale, double[] out, int n) {
            double pa1 = p.a1(), pa2 = p.a2(), qa1 = q.a1(), qa2 = q.a2(), gain = scale * p.b0() * q.b0();
            double a = keyForget, c = (1 - a) * gain * gain;
            double v = v0, d1 = dv1, s1 = p1, s2 = p2, e1 = dp1, t1 = q1, t2 = q2, b = power;
            for (int i = 0; i < n; i++) {
                double u = x[i], d = u - v, y = ((d - d1) - pa2 * s2) - pa1 * s1, e = y - s1, z = ((e - e1) - qa2 * t2) - qa1 * t1;
                v = u;
                d1 = d;
                s2 = s1;
                s1 = y;
                e1 = e;
                t2 = t1;
                t1 = z;
                b = a * b + c * (z * z);
                out[i] = b;
            }
            v0 = v;
            dv1 = d1;
            p1 = s1;
            p2 = s2;
            dp1 = e1;
            q1 = t1;
            q2 = t2;
            power = b;
        }

        void settle() {
            v0 = Cell.settled(v0);
            dv1 = Cell.settled(dv1);
            p1 = Cell.settled(p1);
            p2 = Cell.settled(p2);
            dp1 = Cell.settled(dp1);
            q1 = Cell.settled(q1);
            q2 = Cell.settled(q2);
            power = Cell.settled(power);
        }

        boolean rests() {
            return v0 == 0 && dv1 == 0 && p1 == 0 && p2 == 0 && dp1 == 0 && q1 == 0 && q2 == 0 && power == 0;
        }
    }

    /** One channel of a signal that is delayed, and of which (1 - gain) of what lies above the edge is taken away. */
    private final class Lowered {
        /** The samples so far, as long as the latency and half the band filter reach; then the block. */
        private final double[] line = new double[2 * latency + Cell.LENGTH];
        private final double[] low = new double[Cell.LENGTH];

        void process(double[] x, int n) {
            System.arraycopy(x, 0, line, 2 * latency, n);
            System.arraycopy(line, latency, x, 0, n);
            if (atWork) {
                belowEdge.process(line, latency, low, n);
                for (int i = 0; i < n; i++) x[i] -= (1 - gain[i]) * (x[i] - low[i]);
            }
            System.arraycopy(line, n, line, 0, 2 * latency);
        }

        boolean rests() {
            return Silence.in(line, 2 * latency);
        }
    }
}

package linnet.dsp.saturation;

import linnet.dsp.Approximation;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.resample.Fourfold;

/**
 * Soft saturation at four times the rate: {@code y = m T / (d (1 + b T))} with {@code T = tanh(d x)}.
 *
 * <p>The drive d is {@code 10^(driveDb/20) - 1}, so at 0 dB the curve is exactly a straight line and each dB bends it a
 * little more. The bias b, from 0 to below 1, is the tanh of the shift of the working point: tanh(u + β) - tanh β, scaled to
 * the same slope at 0, is this very curve with b = tanh β. It adds even harmonics; the offset they bring is taken out by a
 * high-pass of 5 Hz, which is there only while there is a bias.
 *
 * <p>Level: m is {@code d r / tanh(d r)} with r = -12 dBFS, the usual peak of a voice, so a sample at that level keeps it,
 * louder ones are pressed towards it and softer ones rise, by m at most: 1.5 dB at a drive of 12 dB, 11.4 dB at 24 dB.
 *
 * <p>Two half-band filters go up and the same two come down: linear phase, flat within 0.001 dB to 0.41 of the rate (20 kHz
 * at 48 kHz), -6 dB at half of it, harmonics from 0.59 to 3.41 of it stopped by 105 dB or more. Those from 0.5 to 0.59 fold back
 * to what is above 0.41, as a half-band filter leaves it: one that stops at half the rate has 3.6 times its taps. What the curve makes above 3.41
 * folds back anywhere: at 48 kHz and a factor d of 10 the aliases of a 4.2 kHz sine of full scale are 65 dB down.
 */
public final class Saturator {
    private static final int PAIRS = 22;
    private static final double STOP_DB = 110;
    private static final double REFERENCE = 0.25;
    private static final double BLOCK_HZ = 5;
    private static final double STRAIGHT = 1e-6; // below this drive the bend is under -240 dB

    private final Fourfold fourfold = new Fourfold(PAIRS, STOP_DB);
    private final double[] even = new double[2 * Cell.LENGTH], odd = new double[2 * Cell.LENGTH];
    private final double towardsOffset;
    private double drive, bias, makeup = 1;
    private double nextDrive, nextBias, nextMakeup = 1;
    private double offset;
    private boolean started;
    private int at;

    /** @param rate samples per second */
    public Saturator(double rate) {
        towardsOffset = -StrictMath.expm1(-2 * Math.PI * BLOCK_HZ / rate);
    }

    /** Samples by which the output is late, the same at every rate. */
    public static int latency() {
        return Fourfold.latency(PAIRS);
    }

    /**
     * At the border of a cell: where drive and bias go by its end. Before the first block they hold at once.
     *
     * @param driveDb 0 or more
     * @param bias    from 0, only odd harmonics, to below 1
     */
    public void set(double driveDb, double bias) {
        if (!(driveDb >= 0 && bias >= 0 && bias < 1)) throw new IllegalArgumentException("drive " + driveDb + " dB, bias " + bias);
        nextDrive = Decibels.gain(driveDb) - 1;
        nextBias = bias;
        nextMakeup = nextDrive > STRAIGHT ? nextDrive * REFERENCE / StrictMath.tanh(nextDrive * REFERENCE) : 1;
        if (!started) take();
    }

    public void process(double[] x, int n) {
        started = true;
        fourfold.up(x, even, odd, n);
        if (drive != nextDrive || bias != nextBias) {
            bendMoving(even, 0, 2 * n);
            bendMoving(odd, 1, 2 * n);
        } else if (drive > STRAIGHT) {
            bend(even, drive, bias, makeup / drive, 2 * n);
            bend(odd, drive, bias, makeup / drive, 2 * n);
        }
        fourfold.down(even, odd, x, n);
        if (lopsided(drive, bias) > 0 || lopsided(nextDrive, nextBias) > 0 || offset != 0) block(x, n);
        at += n;
    }

    /** Zeroes what has died away, at the end of a cell. */
    public void settle() {
        fourfold.settle();
        offset = Cell.settled(offset);
        take();
        at = 0;
    }

    /** Whether silence leaves it as silence, wherever its settings move; at the border of a cell. */
    public boolean rests() {
        return offset == 0 && fourfold.rests();
    }

    private void take() {
        drive = nextDrive;
        bias = nextBias;
        makeup = nextMakeup;
    }

    /** 1 where the curve makes an offset, else 0. */
    private static double lopsided(double drive, double bias) {
        return drive > STRAIGHT && bias > 0 ? 1 : 0;
    }

    /** Takes the offset out. It listens in over a cell when a bias comes, and what it has heard fades when that goes. */
    private void block(double[] x, int n) {
        double c = towardsOffset, dc = offset;
        double heard = lopsided(drive, bias), step = (lopsided(nextDrive, nextBias) - heard) / Cell.LENGTH;
        for (int i = 0; i < n; i++) {
            dc += c * ((heard + step * (at + i)) * x[i] - dc);
            x[i] -= dc;
        }
        offset = dc;
    }

    /** While settings move. */
    private void bendMoving(double[] x, int phase, int n) {
        double step = 1.0 / (4 * Cell.LENGTH);
        double drive = this.drive, bias = this.bias, makeup = this.makeup;
        double toDrive = nextDrive - drive, toBias = nextBias - bias, toMakeup = nextMakeup - makeup;
        for (int i = 0; i < n; i++) {
            double t = step * (4 * at + 2 * i + phase);
            double d = drive + t * toDrive;
            if (d <= STRAIGHT) continue;
            double bent = Approximation.tanh(d * x[i]);
            x[i] = (makeup + t * toMakeup) * bent / (d * (1 + (bias + t * toBias) * bent));
        }
    }

    private static void bend(double[] x, double drive, double bias, double gain, int n) {
        if (bias == 0) {
            for (int i = 0; i < n; i++) x[i] = gain * Approximation.tanh(drive * x[i]);
        } else {
            for (int i = 0; i < n; i++) x[i] = Approximation.tanh(drive * x[i]);
            for (int i = 0; i < n; i++) x[i] = gain * x[i] / (1 + bias * x[i]);
        }
    }
}

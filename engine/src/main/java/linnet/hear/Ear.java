package linnet.hear;

import linnet.dsp.Sound;
import linnet.dsp.loudness.Loudness;
import linnet.dsp.loudness.SamplePeak;

/**
 * The facts of one sound. Nothing is computed before it is asked for, and nothing twice; the sound is read in blocks and
 * never held. An ear is not safe for use by several threads at once.
 */
public final class Ear {
    /** Samples read at a time. */
    private static final int BLOCK = 4800;

    private final Sound sound;
    private Measured<Double> peak, loudness;

    public Ear(Sound sound) {
        this.sound = sound;
    }

    /**
     * Level of the noise in the pauses, in dBFS: the RMS above 100 Hz (24 dB/oct) of quiet 50 ms frames. Rumble is left
     * out, because it says nothing about what is heard in a pause; a detector that opens "over noise" must leave it out too.
     */
    public Measured<Double> noise() {
        return Measured.not("not built yet");
    }

    /** RMS over the sung frames, in dBFS: pauses and breaths don't count. */
    public Measured<Double> voice() {
        return Measured.not("not built yet");
    }

    /** The largest sample, in dBFS. */
    public Measured<Double> peak() {
        if (peak == null) {
            SamplePeak meter = new SamplePeak();
            read(meter::add);
            peak = meter.dbfs() == Double.NEGATIVE_INFINITY ? Measured.not("it is silent") : Measured.of(meter.dbfs(), 1);
        }
        return peak;
    }

    /** Where someone sings. */
    public Measured<Sung> sung() {
        return Measured.not("not built yet");
    }

    /** Pitch of the lowest notes sung, in Hz. */
    public Measured<Double> lowestNote() {
        return Measured.not("not built yet");
    }

    /** The k-th strongest resonance between 200 Hz and 5 kHz, {@code k} from 1 to 4. */
    public Measured<Resonance> resonance(int k) {
        if (k < 1 || k > 4) throw new IllegalArgumentException("resonance " + k);
        return Measured.not("not built yet");
    }

    /** Centre of the singer's sibilants, in Hz. */
    public Measured<Double> sibilance() {
        return Measured.not("not built yet");
    }

    /** Where the band of the sibilants begins, in Hz: the split of a split-band de-esser. */
    public Measured<Double> sibilanceEdge() {
        return Measured.not("not built yet");
    }

    /** Integrated loudness after ITU-R BS.1770, in LUFS. */
    public Measured<Double> loudness() {
        if (loudness == null) {
            Loudness meter = new Loudness(sound.rate(), sound.channels());
            read(meter::add);
            double lufs = meter.integrated();
            loudness = lufs == Double.NEGATIVE_INFINITY
                    ? Measured.not("it is shorter than 0.4 s or never louder than -70 LUFS")
                    : Measured.of(lufs, 1);
        }
        return loudness;
    }

    private interface Listener {
        void hear(double[][] x, int n);
    }

    private void read(Listener listener) {
        double[][] x = new double[sound.channels()][BLOCK];
        for (long at = 0; at < sound.frames(); at += BLOCK) {
            int n = (int) Math.min(BLOCK, sound.frames() - at);
            sound.read(at, x, n);
            listener.hear(x, n);
        }
    }
}

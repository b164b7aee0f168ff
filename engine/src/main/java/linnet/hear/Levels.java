package linnet.hear;

import java.util.List;
import java.util.function.IntPredicate;
import java.util.stream.IntStream;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.SoundingEnds;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;

/**
 * The power of a sound in whole frames of 10 ms, channels averaged: what lies above the rumble (100 Hz, 24 dB/oct), and its
 * body, of that the part below 1.2 kHz (12 dB/oct), where a vowel is strong and a breath or a sibilant weak.
 */
final class Levels {
    static final double RUMBLE = 100;
    private static final double BODY = 1200;
    /** Power of -120 dBFS: below the noise of any converter, so nobody recorded this. */
    static final double SILENCE = 1e-12;
    private static final int QUIET_FRAMES = 5;

    private final int hop;
    private final Channel[] channels;
    private int filled;
    private final Series above, body;
    private final SoundingEnds sounding = new SoundingEnds();
    /** The frames from there to there; what lies before and after them is digital silence that an export has put there. */
    private int begins, ends;

    Levels(double rate, int channels) {
        hop = (int) Math.round(rate / 100);
        this.channels = new Channel[channels];
        above = new Series();
        body = new Series();
        for (int c = 0; c < channels; c++) this.channels[c] = new Channel(rate);
    }

    /** Heard before. */
    private Levels(int hop, int begins, int ends, Series above, Series body) {
        this.hop = hop;
        channels = new Channel[0];
        this.begins = begins;
        this.ends = ends;
        this.above = above;
        this.body = body;
    }

    static final Remembered<Levels> FORM = new Remembered<>(l -> 20 + 8 * l.frames(), (l, to) -> {
        to.putInt(l.hop).putInt(l.begins).putInt(l.ends);
        Remembered.putFloats(l.above.toArray(), to);
        Remembered.putFloats(l.body.toArray(), to);
    }, from -> {
        int hop = from.getInt(), begins = from.getInt(), ends = from.getInt();
        float[] above = Remembered.floats(from), body = Remembered.floats(from);
        Remembered.checkFrames(hop, above, body);
        if (begins < 0 || begins > ends || ends > above.length) throw new IllegalArgumentException("frames " + begins + " to " + ends + " of " + above.length);
        return new Levels(hop, begins, ends, new Series(above), new Series(body));
    });

    /** Hears the next {@code n} samples of each channel. */
    void add(double[][] x, int n) {
        int from = 0;
        sounding.add(x, n);
        while (from < n) {
            int to = Math.min(n, from + hop - filled);
            for (int c = 0; c < channels.length; c++) channels[c].add(x[c], from, to);
            filled += to - from;
            from = to;
            if (filled == hop) endFrame();
        }
    }

    private void endFrame() {
        double a = 0, b = 0;
        for (Channel c : channels) {
            a += c.above;
            b += c.body;
            c.endFrame();
        }
        double samples = (double) hop * channels.length;
        above.add((float) (a / samples));
        body.add((float) (b / samples));
        filled = 0;
        if (!sounding.isSounding()) return;
        begins = (int) Math.min(frames(), (sounding.from() + hop / 2) / hop);
        // A whole take ends in a frame, even if its last samples are zeros.
        ends = (int) Math.max(begins, sounding.to() > (frames() - 1L) * hop ? frames() : sounding.to() / hop);
    }

    /** Samples in a frame. */
    int hop() {
        return hop;
    }

    int frames() {
        return above.size();
    }

    /** The first frame of what sounds; what an export has put before it is digital silence, and tells nothing of the take. */
    int begins() {
        return begins;
    }

    /** The frame after the last of what sounds. */
    int ends() {
        return ends;
    }

    /** Mean power of these frames above the rumble. */
    double mean(IntPredicate wanted) {
        return IntStream.range(0, frames()).filter(wanted).mapToDouble(above::at).average().orElse(0);
    }

    /** The same of frames {@code from … to - 1}. */
    double mean(int from, int to) {
        double sum = 0;
        int end = Math.min(to, frames()), begin = Math.max(0, from);
        for (int f = begin; f < end; f++) sum += above.at(f);
        return end > begin ? sum / (end - begin) : 0;
    }

    /** Power above the rumble over 50 ms around each frame; at the ends of what sounds, over the 50 ms nearest to it. */
    double above(int frame) {
        return smoothed(above, frame);
    }

    /** The power above the rumble that this share of the 50 ms stretches does not reach; digital silence is left out. */
    double quiet(double share) {
        int frames = ends - begins, end = frames > QUIET_FRAMES ? QUIET_FRAMES / 2 : 0;
        return Quantiles.of(f -> above(begins + f + end), frames - 2 * end, share, SILENCE);
    }

    /** The same of the body, of all that sounds. */
    double quietBody(double share) {
        return Quantiles.of(f -> body(begins + f), ends - begins, share, SILENCE);
    }

    /** The level above the rumble in each frame, in dB, a little smoothed: it shows the dips of voiced consonants. */
    double[] momentaryDb() {
        double[] db = new double[frames()];
        for (int f = 0; f < db.length; f++) db[f] = Decibels.ofPower(Math.max(above.at(f), SILENCE));
        double[] smooth = db.clone();
        for (int f = 1; f < db.length - 1; f++) smooth[f] = (db[f - 1] + 2 * db[f] + db[f + 1]) / 4;
        return smooth;
    }

    /** Power of the body over 50 ms around each frame. */
    double body(int frame) {
        return smoothed(body, frame);
    }

    private double smoothed(Series power, int frame) {
        int start = frame < begins ? 0 : frame < ends ? begins : ends, end = frame < begins ? begins : frame < ends ? ends : power.size();
        int wide = Math.min(QUIET_FRAMES, end - start), first = Math.max(start, Math.min(end - wide, frame - wide / 2));
        double sum = 0;
        for (int i = first; i < first + wide; i++) sum += power.at(i);
        return sum / wide;
    }

    /**
     * Three sections in one loop, and the squares summed between them: as a cascade of {@code dsp.filter} over a copy, with passes for the squares, a sample
     * takes 16 to 18 ns instead of 12. The form of those sections, in this loop, would save 2 ns more, and change the last bits of all levels, by which marks
     * and thresholds go.
     */
    private static final class Channel {
        private final Biquad first, second, low;
        private double s1, s2, t1, t2, u1, u2;
        private double above, body;

        Channel(double rate) {
            List<Biquad> high = Butterworth.highPass(rate, RUMBLE, 4);
            first = high.get(0);
            second = high.get(1);
            low = Biquad.lowPass(rate, BODY, Biquad.BUTTERWORTH);
        }

        void add(double[] x, int from, int to) {
            double g0 = first.b0(), g1 = first.b1(), g2 = first.b2(), c1 = first.a1(), c2 = first.a2();
            double h0 = second.b0(), h1 = second.b1(), h2 = second.b2(), d1 = second.a1(), d2 = second.a2();
            double l0 = low.b0(), l1 = low.b1(), l2 = low.b2(), e1 = low.a1(), e2 = low.a2();
            double s1 = this.s1, s2 = this.s2, t1 = this.t1, t2 = this.t2, u1 = this.u1, u2 = this.u2;
            double above = this.above, body = this.body;
            for (int i = from; i < to; i++) {
                double in = x[i];
                double y = g0 * in + s1;
                s1 = (g1 * in + s2) - c1 * y;
                s2 = g2 * in - c2 * y;
                double z = h0 * y + t1;
                t1 = (h1 * y + t2) - d1 * z;
                t2 = h2 * y - d2 * z;
                above += z * z;
                double w = l0 * z + u1;
                u1 = (l1 * z + u2) - e1 * w;
                u2 = l2 * z - e2 * w;
                body += w * w;
            }
            this.s1 = s1;
            this.s2 = s2;
            this.t1 = t1;
            this.t2 = t2;
            this.u1 = u1;
            this.u2 = u2;
            this.above = above;
            this.body = body;
        }

        void endFrame() {
            above = 0;
            body = 0;
            s1 = Cell.settled(s1);
            s2 = Cell.settled(s2);
            t1 = Cell.settled(t1);
            t2 = Cell.settled(t2);
            u1 = Cell.settled(u1);
            u2 = Cell.settled(u2);
        }
    }
}

package linnet.demo;

import static java.lang.StrictMath.PI;
import static java.lang.StrictMath.cos;
import static java.lang.StrictMath.exp;
import static java.lang.StrictMath.sin;

import java.util.Arrays;

/**
 * The source: glottal cycles laid end to end, each placed between the samples, drawn at four times the rate and decimated,
 * so that nothing folds back; and the noise of the air that passes while the cords stand open.
 */
final class Larynx {
    private static final int OVER = 4;
    private static final int TAPS = 32 * OVER + 1;
    /** How much of the noise gets through closed cords. */
    private static final double LEAK = 0.25;
    private static final double SILENT = 1e-4;

    /** As much of the flow as is held at a time: some tenths of a second, and many of the longest cycle. */
    private static final int WINDOW = 1 << 16;

    private final double rate;
    private final double[] taps = lowPass();
    /** The flow from sample {@link #base} of the high rate on. */
    private final double[] flow = new double[WINDOW];
    private final int whole;
    private int base;
    private final double[] out;
    private int done;
    private final double[] open;

    private Larynx(double rate, int frames) {
        this.rate = rate;
        whole = (frames + 1) * OVER;
        out = new double[frames];
        open = new double[frames + 1];
        Arrays.fill(open, 1);
    }

    /** Derivative of the flow plus noise; {@code spoken} receives F0 wherever there is voice. */
    static double[] sound(double rate, int frames, Track f0, Articulation mouth, Singer singer, double[] spoken) {
        Larynx larynx = new Larynx(rate, frames);
        larynx.cycles(f0, mouth, singer, frames / rate, spoken);
        double[] out = larynx.decimated();
        Noise air = new Noise(singer.seed(), "air");
        for (int i = 0; i < frames; i++) out[i] += mouth.breath.read(i / rate) * larynx.open[i] * 1.7 * air.next();
        return out;
    }

    private void cycles(Track f0, Articulation mouth, Singer singer, double seconds, double[] spoken) {
        Noise unrest = new Noise(singer.seed(), "cycles");
        double jitter = Math.sqrt(3) * singer.jitter();
        double shimmer = Math.sqrt(3) * singer.shimmer();
        double wander = 0;
        for (double t = 0; t < seconds; ) {
            double level = mouth.voice.read(t);
            if (level < SILENT) {
                t += 0.001;
                continue;
            }
            double hz = f0.read(t);
            // Lengths wander about the pitch: what one cycle has too much, the next gives back.
            double more = jitter * unrest.next();
            double period = (1 + more - wander) / hz;
            wander = more;
            cycle(Pulse.ofRd(mouth.rd.read(t)), t, period, level * (1 + shimmer * unrest.next()));
            int last = Math.min(spoken.length - 1, (int) ((t + period) / Truth.PITCH_STEP));
            for (int i = (int) StrictMath.ceil(t / Truth.PITCH_STEP); i <= last; i++) spoken[i] = f0.value[i];
            t += period;
        }
    }

    /** One cycle from {@code start}: both phases run as recursions, begun at the place of their first sample. */
    private void cycle(Pulse p, double start, double period, double level) {
        double step = 1 / (rate * OVER * period);
        int first = (int) StrictMath.ceil(start * rate * OVER);
        int end = Math.min(whole, (int) StrictMath.ceil((start + period) * rate * OVER));
        while (end - base > WINDOW) moveOn(Math.min(first - 1, base + WINDOW));
        double x = first * step - start / period;
        int turn = Math.min(end, first + (int) StrictMath.ceil((p.te() - x) / step));

        double grow = exp(p.a() * step);
        double w = PI / p.tp();
        double real = grow * cos(w * step);
        double imaginary = grow * sin(w * step);
        double c = level * p.e0() * exp(p.a() * x) * cos(w * x);
        double s = level * p.e0() * exp(p.a() * x) * sin(w * x);
        for (int i = first; i < turn; i++) {
            flow[i - base] += s;
            double next = c * real - s * imaginary;
            s = s * real + c * imaginary;
            c = next;
        }

        double after = x + (turn - first) * step - p.te();
        double scale = -level / (p.eps() * p.ta());
        double rest = exp(-p.eps() * (1 - p.te()));
        double decay = exp(-p.eps() * after);
        double fall = exp(-p.eps() * step);
        for (int i = turn; i < end; i++) {
            flow[i - base] += scale * (decay - rest);
            decay *= fall;
        }

        corner(turn, after / step, level * step * p.bend());

        double closes = p.te() + 2 * p.ta();
        for (int i = first; i < end; i++) {
            if (i % OVER != 0) continue;
            double at = x + (i - first) * step;
            open[i / OVER] = LEAK + (1 - LEAK) * (at < closes ? sin(PI * at / closes) : 0);
        }
    }

    /**
     * Rounds the one sharp corner of a cycle as a band limit would: the two-point polynomial of a band-limited ramp (F.
     * Esqueda, V. Valimaki, S. Bilbao, EUSIPCO 2015). {@code bend} is the change of slope per sample, {@code late} the time
     * from the corner to sample {@code next}, 0 to 1.
     */
    private void corner(int next, double late, double bend) {
        if (next < 1 || next >= whole) return;
        flow[next - 1 - base] += bend * late * late * late / 6;
        double early = 1 - late;
        flow[next - base] += bend * early * early * early / 6;
    }

    /** Makes the output as far as the flow stands before {@code fixed}, and room for more of it. */
    private void moveOn(int fixed) {
        decimate((fixed - TAPS / 2) / OVER);
        int gone = Math.max(0, done * OVER - TAPS / 2 - base);
        System.arraycopy(flow, gone, flow, 0, WINDOW - gone);
        Arrays.fill(flow, WINDOW - gone, WINDOW, 0);
        base += gone;
    }

    private double[] decimated() {
        while (done < out.length) moveOn(Math.min(base + WINDOW, whole + TAPS));
        return out;
    }

    /** Every fourth sample, up to {@code until}. */
    private void decimate(int until) {
        for (; done < Math.min(until, out.length); done++) {
            int centre = done * OVER - base;
            if (flow[centre] == 0) continue;
            double y = 0;
            int from = Math.max(0, centre - TAPS / 2);
            int to = Math.min(Math.min(WINDOW, whole - base), centre + TAPS / 2 + 1);
            for (int i = from; i < to; i++) y += taps[i - centre + TAPS / 2] * flow[i];
            out[done] = y;
        }
    }

    /** At 0.45 of the rate: a windowed sinc (Blackman). */
    private static double[] lowPass() {
        double[] h = new double[TAPS];
        double sum = 0;
        for (int i = 0; i < TAPS; i++) {
            double t = i - TAPS / 2;
            double sinc = t == 0 ? 1 : sin(PI * 0.9 * t / OVER) / (PI * 0.9 * t / OVER);
            double turn = 2 * PI * (i + 1) / (TAPS + 1);
            h[i] = sinc * (0.42 - 0.5 * cos(turn) + 0.08 * cos(2 * turn));
            sum += h[i];
        }
        for (int i = 0; i < TAPS; i++) h[i] /= sum;
        return h;
    }
}

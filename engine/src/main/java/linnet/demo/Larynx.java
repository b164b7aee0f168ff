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

    private final double rate;
    private final double[] flow;
    private final double[] open;

    private Larynx(double rate, int frames) {
        this.rate = rate;
        flow = new double[(frames + 1) * OVER];
        open = new double[frames + 1];
        Arrays.fill(open, 1);
    }

    /** Derivative of the flow plus noise; {@code spoken} receives F0 wherever there is voice. */
    static double[] sound(double rate, int frames, Track f0, Articulation mouth, Singer singer, double[] spoken) {
        Larynx larynx = new Larynx(rate, frames);
        larynx.cycles(f0, mouth, singer, frames / rate, spoken);
        double[] out = larynx.decimated(frames);
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
        int end = Math.min(flow.length, (int) StrictMath.ceil((start + period) * rate * OVER));
        double x = first * step - start / period;
        int turn = Math.min(end, first + (int) StrictMath.ceil((p.te() - x) / step));

        double grow = exp(p.a() * step);
        double w = PI / p.tp();
        double real = grow * cos(w * step);
        double imaginary = grow * sin(w * step);
        double c = level * p.e0() * exp(p.a() * x) * cos(w * x);
        double s = level * p.e0() * exp(p.a() * x) * sin(w * x);
        for (int i = first; i < turn; i++) {
            flow[i] += s;
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
            flow[i] += scale * (decay - rest);
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
        if (next < 1 || next >= flow.length) return;
        flow[next - 1] += bend * late * late * late / 6;
        double early = 1 - late;
        flow[next] += bend * early * early * early / 6;
    }

    /** Low-pass at 0.45 of the rate (windowed sinc, Blackman) and every fourth sample. */
    private double[] decimated(int frames) {
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
        double[] out = new double[frames];
        for (int n = 0; n < frames; n++) {
            int centre = n * OVER;
            if (flow[centre] == 0) continue;
            double y = 0;
            int from = Math.max(0, centre - TAPS / 2);
            int to = Math.min(flow.length, centre + TAPS / 2 + 1);
            for (int i = from; i < to; i++) y += h[i - centre + TAPS / 2] * flow[i];
            out[n] = y;
        }
        return out;
    }
}

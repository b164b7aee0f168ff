package linnet.dsp.delay;

import linnet.dsp.Cell;

/**
 * Where the read point stands behind the write head, sample by sample. It <em>glides</em> to a new distance as tape does,
 * so the sound in the line changes pitch by the factor 1 - dD/dt and never jumps; and it <em>wobbles</em>: a slow drift of two
 * sines whose rates share no short period. At each border of a cell distance and speed are worked out; between two borders
 * they are joined by the cubic that has both (Hermite), so the pitch never steps. The course belongs to time since the start
 * and is the same however the render is cut.
 */
final class Course {
    /** A glide is never faster: the pitch stays between 2/3 (a fifth down) and 4/3 (a fourth up). */
    static final double FASTEST = 1.0 / 3;

    /** No distance is shorter, in samples: room for the interpolator and for the wobble, which takes at most a quarter. */
    static final int SHORTEST = 6;

    private static final double GLIDE_SECONDS = 0.1;
    private static final double[] WOBBLE_HZ = {0.43, 0.71};
    private static final double ARRIVED = 1e-6; // of a sample: a step of -118 dB at worst

    private final double rate;
    private final double glide;
    private final double[] distances = new double[Cell.LENGTH];
    private double target;
    private double place, speed;
    private double wobble;
    private double lean, leanSpeed;
    private final double[] sine = new double[WOBBLE_HZ.length], cosine = new double[WOBBLE_HZ.length];
    private final double[] sineOfCell = new double[WOBBLE_HZ.length], cosineOfCell = new double[WOBBLE_HZ.length];
    private int at;
    private boolean started, planned, still;
    private double c0, c1, c2, c3;

    Course(double rate) {
        this.rate = rate;
        glide = Math.max(GLIDE_SECONDS * rate, 4 * Cell.LENGTH); // slower than the grid that steers it
        for (int k = 0; k < WOBBLE_HZ.length; k++) {
            cosine[k] = 1;
            sineOfCell[k] = StrictMath.sin(turn(k) * Cell.LENGTH);
            cosineOfCell[k] = StrictMath.cos(turn(k) * Cell.LENGTH);
        }
    }

    /**
     * Where to go from the next border on.
     *
     * @param samples distance; rounded to a whole sample, so that a constant one is exact
     * @param cents   greatest wobble of the pitch
     */
    void aim(double samples, double cents) {
        target = Math.max(SHORTEST, StrictMath.rint(samples));
        wobble = StrictMath.pow(2, cents / 1200) - 1;
        if (!started) place = target;
    }

    /** Moves on by n samples of one cell. */
    void advance(int n) {
        if (!planned) plan();
        if (!still) {
            for (int i = 0; i < n; i++) {
                double u = at + i;
                distances[i] = c0 + u * (c1 + u * (c2 + u * c3));
            }
        }
        at += n;
    }

    /** How many samples may be read from index {@code from} of the last advance on before the line must be written. */
    int span(int from) {
        return still ? (int) place : Math.max(1, (int) ((distances[from] - 3) / (1 + 1.5 * FASTEST)));
    }

    void read(Line line, int from, double[] into, int n) {
        if (still) line.read((int) place, into, n);
        else line.read(distances, from, into, n);
    }

    void settle() {
        planned = false;
    }

    /** The cubic of the cell that begins. */
    private void plan() {
        double h = Cell.LENGTH, d0 = place + lean, s0 = speed + leanSpeed;
        move(h);
        lean();
        double d1 = place + lean, s1 = speed + leanSpeed;
        still = d0 == target && d1 == target && s0 == 0 && s1 == 0;
        c0 = d0;
        c1 = s0;
        c2 = (3 * (d1 - d0) / h - 2 * s0 - s1) / h;
        c3 = (2 * (d0 - d1) / h + s0 + s1) / (h * h);
        started = planned = true;
        at = 0;
    }

    /** The speed falls with the way that is left; between borders it is a straight line, so the place is its mean. */
    private void move(double h) {
        double left = target - place, next = Math.max(-FASTEST, Math.min(FASTEST, left / glide));
        place += (speed + next) / 2 * h;
        speed = next;
        if (Math.abs(target - place) < ARRIVED && Math.abs(speed) * h < ARRIVED) {
            place = target;
            speed = 0;
        }
    }

    /** The wobble a cell later: each sine bends the pitch by half of the whole. Sines are turned on: the library's allocate on newer Javas. */
    private void lean() {
        double swing = 0;
        for (int k = 0; k < sine.length; k++) swing += wobble / 2 / turn(k);
        double bend = swing > place / 4 ? wobble / 2 * (place / 4 / swing) : wobble / 2;
        lean = leanSpeed = 0;
        for (int k = 0; k < sine.length; k++) {
            double s = sine[k], c = cosine[k];
            sine[k] = s * cosineOfCell[k] + c * sineOfCell[k];
            cosine[k] = c * cosineOfCell[k] - s * sineOfCell[k];
            lean += bend / turn(k) * sine[k];
            leanSpeed += bend * cosine[k];
        }
    }

    /** Radians per sample. */
    private double turn(int sine) {
        return 2 * Math.PI * WOBBLE_HZ[sine] / rate;
    }
}

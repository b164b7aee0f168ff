package linnet.dsp.pitch;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * The grains of a voice that is set anew ({@link Resynthesis}), in passages, in order of time: which place of the sound is set where, and over what one goes
 * over into the next. All times are in samples. {@link GrainLayer} lays them; after that they never change.
 */
final class Grains {
    /** Above so many Hz a voice is breath between its pulses, and two grains set a little apart know nothing of each other there. */
    static final double BREATH = 4500;
    /**
     * How much of the way from mark to mark is a crossfade, and where its middle is: late, where little is left of a pulse. Against
     * the whole way this brings formants nearer to where they were and the level nearer to what it was.
     */
    static final double SHARE = 0.6, LATE = 0.6;

    /** Per grain: where it is set, which place of the sound is set there, its period, and its reading speed. */
    private double[] out = new double[1024], source = new double[1024];
    private float[] period = new float[1024], speed = new float[1024];
    /** Whether the next is set so far away that a grain would bring the pulse of the sound that is left out between them. */
    private boolean[] far = new boolean[1024];
    /** Whether it is the sound's own where it is, or no voice: its mean stays as it is. */
    private boolean[] still = new boolean[1024];
    private int size;
    /** The first grain of each passage. */
    private int[] first = new int[64];
    private int passages;
    private int reach;
    /** In order of time. */
    private final List<Struck> struck = new ArrayList<>();

    /** A stretch around a burst, above {@link #BREATH} the take's own but for {@code edge} samples at each end. */
    record Struck(double from, double to, double edge) {}

    /** A passage of so many grains; they are all laid before the next begins. */
    void begin(int more) {
        if (passages + 2 > first.length) first = Arrays.copyOf(first, 2 * first.length);
        first[passages++] = size;
        first[passages] = size + more;
        if (size + more <= out.length) return;
        int length = Math.max(size + more, 2 * out.length);
        out = Arrays.copyOf(out, length);
        source = Arrays.copyOf(source, length);
        period = Arrays.copyOf(period, length);
        speed = Arrays.copyOf(speed, length);
        far = Arrays.copyOf(far, length);
        still = Arrays.copyOf(still, length);
    }

    /**
     * The next grain.
     *
     * @param place where it is set
     * @param mark which of the {@code marks} it is around
     * @param reading its speed
     * @param isFar whether the next is set so far away that it would bring the pulse that is left out between them
     */
    void grain(double place, double[] marks, int mark, double reading, boolean isFar) {
        int before = Math.max(0, mark - 1), after = Math.min(marks.length - 1, mark + 1);
        double length = (marks[after] - marks[before]) / (after - before);
        out[size] = rounded(place);
        source[size] = rounded(marks[mark]);
        period[size] = (float) length;
        speed[size] = (float) reading;
        far[size] = isFar;
        still[size] = out[size] == source[size] && reading == 1;
        reach = (int) Math.max(reach, Math.ceil(Math.abs(place - marks[mark]) + Math.abs(reading - 1) * 2 * length));
        size++;
    }

    /** The grain that was laid last keeps its mean, wherever it is set. */
    void keepMean() {
        still[size - 1] = true;
    }

    /** A place of what comes after the voice, which is {@code late}: over so many samples it goes over into the next. */
    void piece(long at, int late, int width) {
        out[size] = at;
        source[size] = at - late;
        period[size] = width;
        speed[size] = 1;
        still[size] = true;
        size++;
    }

    /** To a 65536th of a sample: then differences of times are exact, whichever cut they are taken from. */
    private static double rounded(double sample) {
        return Math.rint(sample * 65536) / 65536;
    }

    /** Around a burst, above {@link #BREATH}, the take's own is heard. */
    void strike(Struck burst) {
        struck.add(burst);
    }

    /** An array, as going through a list would allocate for every grain that is read. */
    Struck[] struck() {
        return struck.toArray(new Struck[0]);
    }

    int size() {
        return size;
    }

    int passages() {
        return passages;
    }

    /** The first grain of a passage. */
    int first(int passage) {
        return first[passage];
    }

    /** The grain after its last. */
    int end(int passage) {
        return first[passage + 1];
    }

    /** Where a grain is set. */
    double out(int k) {
        return out[k];
    }

    /** Which place of the sound is set there. */
    double source(int k) {
        return source[k];
    }

    float period(int k) {
        return period[k];
    }

    float speed(int k) {
        return speed[k];
    }

    /** Whether it is the sound's own where it is, or no voice: its mean stays as it is. */
    boolean isStill(int k) {
        return still[k];
    }

    /** How far from where it is set a grain is read from, at most. */
    int reach() {
        return reach;
    }

    /** The speed of the one that is read fastest, or 1. */
    float fastest() {
        float fastest = 1;
        for (int k = 0; k < size; k++) fastest = Math.max(fastest, speed[k]);
        return fastest;
    }

    /** Whether a grain and the next are the sound itself. */
    boolean stays(int k) {
        return out[k] == source[k] && out[k + 1] == source[k + 1] && speed[k] == 1 && speed[k + 1] == 1;
    }

    /** Beyond one period from its mark a grain would bring the next pulse of the voice with it. */
    private double whole(int k) {
        return Math.min(period[k] / speed[k], period[k + 1] / speed[k + 1]);
    }

    /** Whether there is silence between a grain and the next. */
    boolean isParted(int k) {
        return far[k] && out[k + 1] - out[k] > whole(k) / LATE;
    }

    /** In how many samples a grain ends, and the next begins. */
    double width(int k) {
        double space = out[k + 1] - out[k], whole = whole(k);
        return SHARE * (isParted(k) ? (2 - 1 / LATE) * whole : Math.max(0.25 * whole, Math.min(space, 2 * whole - space)));
    }

    /** The middle of that in which a grain ends. */
    double ends(int k) {
        return out[k] + (isParted(k) ? whole(k) : LATE * (out[k + 1] - out[k]));
    }

    /** The middle of that in which the next one begins: the same but where there is silence between them. */
    double begins(int k) {
        return isParted(k) ? out[k + 1] - (1 / LATE - 1) * whole(k) : ends(k);
    }

    /** How far beyond a stretch sound is looked at for the means of its grains. */
    int beyond() {
        double longest = 0, wide = 0;
        for (int k = 0; k + 1 < size; k++) {
            if (still[k] && still[k + 1]) continue;
            longest = Math.max(longest, out[k + 1] - out[k]);
            wide = Math.max(wide, period[k]);
        }
        return (int) Math.ceil(4 * longest + wide);
    }

    /** The first passage that ends after a sample. */
    int passage(long sample) {
        int low = 0, high = passages;
        while (low < high) {
            int middle = (low + high) >>> 1;
            if (out[first[middle + 1] - 1] > sample) high = middle;
            else low = middle + 1;
        }
        return low;
    }

    /** The last grain of a passage at or before a sample, or its first. */
    int grain(int passage, long sample) {
        int low = first[passage], high = first[passage + 1];
        while (high - low > 1) {
            int middle = (low + high) >>> 1;
            if (out[middle] <= sample) low = middle;
            else high = middle;
        }
        return low;
    }
}

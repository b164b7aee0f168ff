package linnet.hear;

import java.util.Arrays;
import java.util.BitSet;
import java.util.function.IntPredicate;
import java.util.stream.IntStream;
import linnet.dsp.Beside;
import linnet.dsp.Sound;
import linnet.dsp.Tape;
import linnet.dsp.pitch.PitchFrames;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.pitch.PitchTracker;

/**
 * Passes over a sound: what facts are made of, frame by frame. Each is made when it is first asked for, and once; the sound is read in blocks and
 * never held.
 */
final class Passes {
    /** Samples read at a time. */
    private static final int BLOCK = 4800;

    private final Sound sound;
    /** Those over the take that this sound was made of; null if it is the take itself. */
    private final Passes take;
    private final Memory memory;
    /** Null where no more than one sings in it. */
    private final Singers singers;
    private Beside beside = Beside.ONE_AFTER_THE_OTHER;
    private Tape.Maker tapes = Tape.IN_MEMORY;
    private Levels levels;
    private Hiss hiss;
    private Strands strands;
    private BitSet loud;
    private PitchTrack pitch;
    private Spectra spectra;

    Passes(Sound sound, Passes take, Memory memory, Singers singers) {
        this.sound = sound;
        this.take = take;
        this.memory = memory;
        this.singers = singers;
    }

    /** Passes over the same sound, of which the one for the levels is made if it is here. */
    Passes again() {
        Passes again = new Passes(sound, take, memory, singers);
        again.levels = levels;
        return again;
    }

    Sound sound() {
        return sound;
    }

    void help(Beside beside) {
        this.beside = beside;
    }

    Beside beside() {
        return take != null ? take.beside() : beside;
    }

    void keepOn(Tape.Maker tapes) {
        this.tapes = tapes;
    }

    Tape.Maker tapes() {
        return take != null ? take.tapes() : tapes;
    }

    interface Listener {
        void hear(double[][] x, int n);
    }

    void read(Listener listener) {
        double[][] x = new double[sound.channels()][BLOCK];
        for (long at = 0; at < sound.frames(); at += BLOCK) {
            int n = (int) Math.min(BLOCK, sound.frames() - at);
            sound.read(at, x, n);
            listener.hear(x, n);
        }
    }

    /** The mean of all channels, in the array of the first. */
    static double[] mono(double[][] x, int n) {
        for (int c = 1; c < x.length; c++) for (int i = 0; i < n; i++) x[0][i] += x[c][i];
        if (x.length > 1) for (int i = 0; i < n; i++) x[0][i] /= x.length;
        return x[0];
    }

    Levels levels() {
        if (levels == null) levels = memory.fact("levels", Levels.FORM, this::measureLevels);
        return levels;
    }

    private Levels measureLevels() {
        Levels heard = new Levels(sound.rate(), sound.channels());
        read(heard::add);
        return heard;
    }

    /** Hears the levels and the hiss, and lets the other hear the same pass. Call before anything is asked. */
    void hearWith(Listener other) {
        levels = new Levels(sound.rate(), sound.channels());
        hiss = new Hiss(sound.rate(), tapes());
        read((x, n) -> {
            levels.add(x, n);
            hiss.add(x, n);
            other.hear(x, n);
        });
        hiss.finished();
    }

    Strands strands() {
        if (strands == null) {
            strands = new Strands(sound.rate(), tapes());
            // Whoever wants the strands wants the hiss as well.
            Hiss beside = hiss == null ? new Hiss(sound.rate(), tapes()) : null;
            read((x, n) -> {
                strands.add(x, n);
                if (beside != null) beside.add(x, n);
            });
            strands.finish();
            if (beside != null) hiss = beside.finished();
        }
        return strands;
    }

    Hiss hiss() {
        if (hiss == null) {
            hiss = new Hiss(sound.rate(), tapes());
            read(hiss::add);
            hiss.finished();
        }
        return hiss;
    }

    /** Frames that are loud enough to be sung. */
    BitSet loud() {
        if (loud == null) loud = VoiceActivity.loud(levels());
        return loud;
    }

    /** The pitch of each frame of the take. */
    PitchTrack pitch() {
        return take != null ? take.pitch() : arrivingPitch();
    }

    /** The same, in this sound. */
    PitchTrack arrivingPitch() {
        if (pitch == null) pitch = memory.fact("pitch", Remembered.PITCH, this::trackPitch);
        return pitch;
    }

    private PitchTrack trackPitch() {
        if (singers != null) return singers.pitch(levels().hop(), pitchFrames());
        BitSet perhaps = VoiceActivity.perhaps(levels(), loud());
        int middle = middle(perhaps), frames = pitchFrames();
        PitchFrames first = new PitchFrames(sound.rate(), perhaps::get, 0, middle),
                second = new PitchFrames(sound.rate(), perhaps::get, middle, Integer.MAX_VALUE);
        beside.both(() -> hear(first, frames), () -> hear(second, frames));
        BitSet worth = VoiceActivity.worth(levels(), loud(), PitchTracker.track(frames, perhaps::get, first, second));
        return PitchTracker.track(frames, worth::get, first, second);
    }

    private int pitchFrames() {
        return (int) ((sound.frames() + levels().hop() - 1) / levels().hop());
    }

    private void hear(PitchFrames stretch, int frames) {
        double[][] x = new double[sound.channels()][BLOCK];
        for (long at = stretch.from(); at < sound.frames() && !stretch.isWhole(); at += BLOCK) {
            int n = (int) Math.min(BLOCK, sound.frames() - at);
            sound.read(at, x, n);
            stretch.add(mono(x, n), n);
        }
        stretch.finish(frames);
    }

    /** The frame before which half of these lie. */
    private static int middle(BitSet frames) {
        return frames.stream().skip(frames.cardinality() / 2).findFirst().orElse(0);
    }

    Spectra spectra(Sung sung) {
        if (spectra == null) {
            // Which frames are worth it the take tells: gates and compressors move the levels that would say so.
            spectra = new Spectra(sound.rate(), take == null ? levels() : take.levels(), pitch(), sung);
            read((x, n) -> spectra.add(mono(x, n), n));
        }
        return spectra;
    }

    /** Mean power of the frames that count, channels averaged; no others are read. */
    double power(int hop, IntPredicate counts) {
        int[] frames = IntStream.range(0, (int) (sound.frames() / hop)).filter(counts).toArray();
        double[] energy = new double[frames.length];
        beside().both(() -> energies(hop, frames, 0, frames.length / 2, energy), () -> energies(hop, frames, frames.length / 2, frames.length, energy));
        double sum = 0;
        for (double e : energy) sum += e;
        return frames.length == 0 ? 0 : sum / ((double) frames.length * hop * sound.channels());
    }

    /** Of the {@code first … end - 1}th of these frames. */
    private void energies(int hop, int[] frames, int first, int end, double[] into) {
        double[][] x = new double[sound.channels()][hop];
        for (int i = first; i < end; i++) {
            sound.read((long) frames[i] * hop, x, hop);
            into[i] = Arrays.stream(x).mapToDouble(Passes::energy).sum();
        }
    }

    private static double energy(double[] x) {
        double sum = 0;
        for (double v : x) sum += v * v;
        return sum;
    }
}

package linnet.hear;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.Sound;

/**
 * All that is told of a take before anybody treats it. What chains lean on is heard by the {@link Ear}; here are, beside it, the
 * facts that only a person reads. {@link Fact} lists them with their names and methods.
 */
public final class Facts {
    private static final double SOUNDING = Decibels.power(6);

    private final Ear ear;
    private final Meters meters;
    private final FlatTops tops;
    private final WideLevels wide;
    private final BitSet pauses;
    private QuietSpectrum spectrum;
    private Measured<Hum> hum;

    /** Hears the whole sound once for the levels; the rest when it is asked for. */
    public Facts(Sound sound) {
        this(sound, Told.nothing());
    }

    /** Of a take of which something is known already. */
    public Facts(Sound sound, Told told) {
        ear = new Ear(sound, told);
        Meters.Hearing hearing = new Meters.Hearing(sound);
        tops = new FlatTops(sound.channels());
        wide = new WideLevels(sound.rate());
        ear.passes().hearWith((x, n) -> {
            hearing.add(x, n);
            tops.add(x, n);
            wide.add(x, n);
        });
        meters = hearing.meters();
        pauses = ear.noise().map(noise -> NoiseFloor.bare(ear.passes().levels(), noise)).value().orElse(new BitSet());
    }

    public Ear ear() {
        return ear;
    }

    public Meters meters() {
        return meters;
    }

    /** By how many cents its notes lie over the semitones of A at 440 Hz, as one. */
    public Measured<Double> overA440() {
        return new SungPitches(ear.notes().all(), ear.sound().rate(), 440).over();
    }

    Measured<Double> noiseFloor() {
        return ear.noise().map(above -> Decibels.ofPower(Decibels.power(above) + rumblePower()));
    }

    public Measured<Double> rumble() {
        return ear.noise().then(above -> rumblePower() < Levels.SILENCE
                ? Measured.not("there is nothing below 100 Hz in its pauses")
                : Measured.of(Decibels.ofPower(rumblePower()), ear.noise().confidence()));
    }

    /** The high-pass is a Butterworth: what it takes of the power is what a low-pass of the same corner would leave. */
    private double rumblePower() {
        return Math.max(0, wide.mean(pauses::get) - ear.passes().levels().mean(pauses::get) - offsetPower());
    }

    private double offsetPower() {
        return meters.dc().stream().mapToDouble(m -> m.value().orElse(0.0)).map(mean -> mean * mean).average().orElse(0);
    }

    Measured<Bands> noiseBands() {
        return ear.noise().then(level -> {
            hearPauses();
            int windows = spectrum.windows();
            if (windows == 0) return Measured.not("no pause in it is longer than 40 ms");
            if (Arrays.stream(spectrum.power()).sum() == 0) return Measured.not(Intake.OPPOSING);
            return Measured.of(ThirdOctaves.of(spectrum.power(), spectrum.binHz(ear.sound().rate())), Ear.certainty(windows, 20));
        });
    }

    public Measured<Hum> hum() {
        if (hum == null) hum = ear.tooShort() ? Measured.not(Ear.TOO_SHORT) : Hum.in(ear.sound());
        return hum;
    }

    private void hearPauses() {
        if (spectrum != null) return;
        spectrum = new QuietSpectrum(Integer.highestOneBit((int) Math.round(ear.sound().rate() / 16)), ear.passes().levels().hop(), pauses::get);
        ear.passes().read((x, n) -> spectrum.add(Passes.mono(x, n), n));
    }

    public Measured<Bands> voiceBands() {
        return ear.sung().then(sung -> {
            int frames = ear.passes().spectra(sung).envelope.frames();
            if (frames == 0) return Measured.not("nothing in it is sung for long");
            return Measured.of(ear.passes().spectra(sung).voice(), Ear.certainty(frames, Ear.ENVELOPES));
        });
    }

    /** Seconds before anything rises out of the noise. */
    Measured<Double> silenceAtStart() {
        return sounding().map(frames -> frames.nextSetBit(0) * frame());
    }

    /** Seconds after the last of it. */
    Measured<Double> silenceAtEnd() {
        return sounding().map(frames -> Math.max(0, ear.sound().frames() / ear.sound().rate() - frames.length() * frame()));
    }

    private double frame() {
        return ear.passes().levels().hop() / ear.sound().rate();
    }

    /** Frames that rise out of the noise or, where there is none, out of digital silence. */
    private Measured<BitSet> sounding() {
        if (ear.tooShort()) return Measured.not(Ear.TOO_SHORT);
        double least = ear.noise().map(noise -> Decibels.power(noise) * SOUNDING).value().orElse(Levels.SILENCE);
        Levels heard = ear.passes().levels();
        BitSet frames = new BitSet();
        for (int f = 0; f < heard.frames(); f++) frames.set(f, heard.above(f) > least);
        return frames.isEmpty() ? Measured.not(ear.noise().known() ? "it is nothing but noise" : Ear.SILENT) : Measured.of(frames, 1);
    }

    Measured<List<Resonance>> resonances() {
        Measured<Resonance> first = ear.resonance(1);
        return first.then(strongest -> {
            List<Resonance> all = new ArrayList<>();
            for (int k = 1; k <= 4; k++) ear.resonance(k).value().ifPresent(all::add);
            return Measured.of(all, first.confidence());
        });
    }

    /** Of the channel that is farthest off centre. */
    Measured<Double> offset() {
        Comparator<Measured<Double>> farthest = Comparator.comparingDouble(m -> Math.abs(m.value().orElse(0.0)));
        return Collections.max(meters.dc(), farthest).map(mean -> 100 * mean);
    }

    /** In order of time; the level is the RMS above 100 Hz. */
    public Measured<List<Event>> breaths() {
        return ear.noise().then(noise -> marked(Mark.Kind.BREATH));
    }

    /** In order of time; the level is the peak above 3 kHz. */
    public Measured<List<Event>> clicks() {
        return ear.noise().then(noise -> marked(Mark.Kind.CLICK));
    }

    /** In order of time; the level is the RMS above 100 Hz. */
    public Measured<List<Event>> sibilants() {
        return marked(Mark.Kind.SIBILANT);
    }

    private Measured<List<Event>> marked(Mark.Kind kind) {
        return ear.voice().map(voice -> ear.marks().of(kind).stream()
                .map(m -> new Event(m.from(), m.to(), kind == Mark.Kind.CLICK ? peak(m) : rms(m), m.confidence()))
                .toList());
    }

    private double rms(Mark m) {
        int hop = ear.passes().levels().hop(), from = (int) (m.from() / hop), to = (int) Math.max(from + 1, (m.to() + hop / 2) / hop);
        return Decibels.ofPower(ear.passes().levels().mean(from, to));
    }

    private double peak(Mark m) {
        Strip peaks = ear.passes().hiss().peaks();
        double most = 0;
        for (long c = m.from() * Hiss.CELLS / ear.passes().levels().hop(); c < peaks.length() && c * ear.passes().levels().hop() < m.to() * Hiss.CELLS; c++) {
            most = Math.max(most, peaks.at((int) c));
        }
        return Decibels.ofGain(most);
    }

    Measured<Double> perMinute(Measured<List<Event>> events) {
        return events.map(all -> all.size() * 60 * ear.sound().rate() / ear.sound().frames());
    }

    /** In order of time. */
    public Measured<List<Event>> clipped() {
        return Measured.of(tops.clipped(), 1);
    }
}

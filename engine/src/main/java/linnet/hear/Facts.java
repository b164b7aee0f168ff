package linnet.hear;

import java.util.ArrayList;
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
    private static final double HIGH_END = 1 - Ear.LOW_END, MIDDLE = 0.5;

    private final Ear ear;
    private final Meters meters;
    private final FlatTops tops;
    private final WideLevels wide;
    private final BitSet pauses = new BitSet();
    private Measured<Bands> noiseBands;

    /** Hears the whole sound once for the levels; the rest when it is asked for. */
    public Facts(Sound sound) {
        ear = new Ear(sound);
        meters = Meters.of(sound);
        tops = new FlatTops(sound.channels());
        wide = new WideLevels(sound.rate());
        ear.hearWith((x, n) -> {
            tops.add(x, n);
            wide.add(x, n);
        });
        ear.noise().value().ifPresent(noise -> {
            double most = Decibels.power(noise) * Ear.STEADY_NOISE;
            double[] above = ear.levels().above();
            for (int f = 0; f < above.length; f++) pauses.set(f, above[f] > Levels.SILENCE && above[f] < most);
        });
    }

    public Ear ear() {
        return ear;
    }

    public Meters meters() {
        return meters;
    }

    Measured<Double> noiseFloor() {
        return ear.noise().map(above -> Decibels.ofPower(Decibels.power(above) + rumblePower()));
    }

    Measured<Double> rumble() {
        return ear.noise().then(above -> rumblePower() < Levels.SILENCE
                ? Measured.not("there is nothing below 100 Hz in its pauses")
                : Measured.of(Decibels.ofPower(rumblePower()), ear.noise().confidence()));
    }

    /** The high-pass is a Butterworth: what it takes of the power is what a low-pass of the same corner would leave. */
    private double rumblePower() {
        return Math.max(0, wide.mean(pauses::get) - ear.levels().mean(pauses::get) - offsetPower());
    }

    private double offsetPower() {
        return meters.dc().stream().mapToDouble(m -> m.value().orElse(0.0)).map(mean -> mean * mean).average().orElse(0);
    }

    Measured<Bands> noiseBands() {
        if (noiseBands == null) noiseBands = ear.noise().then(level -> {
            NoiseSpectrum spectrum = new NoiseSpectrum(ear.sound().rate(), ear.levels().hop(), pauses::get);
            ear.read((x, n) -> spectrum.add(Ear.mono(x, n), n));
            int frames = spectrum.octaves.frames();
            return frames == 0 ? Measured.not("no pause in it is longer than 40 ms") : Measured.of(spectrum.octaves.bands(), Ear.certainty(frames, 20));
        });
        return noiseBands;
    }

    Measured<Bands> voiceBands() {
        return ear.sung().then(sung -> {
            ThirdOctaves voice = ear.spectra(sung).voice;
            return voice.frames() == 0 ? Measured.not("nothing in it is sung for long") : Measured.of(voice.bands(), Ear.certainty(voice.frames(), 100));
        });
    }

    Measured<Double> highestNote() {
        return ear.steadyPitch(HIGH_END);
    }

    Measured<Double> medianPitch() {
        return ear.steadyPitch(MIDDLE);
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

    Measured<List<Event>> clipped() {
        return Measured.of(tops.clipped(), 1);
    }
}

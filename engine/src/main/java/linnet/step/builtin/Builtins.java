package linnet.step.builtin;

import java.util.List;
import linnet.step.Catalogue;

/** The steps that come with the engine: one line each. */
public final class Builtins {
    private Builtins() {}

    public static Catalogue catalogue() {
        return new Catalogue(List.of(
                new Breaths(),
                new Compressor(),
                new DeClick(),
                new DeEss(),
                new Delay(),
                new Denoise(),
                new Eq(),
                new Formant(),
                new Gate(),
                new Hum(),
                new Level(),
                new Limit(),
                new Multiband(),
                new Pan(),
                new Pops(),
                new Reverb(),
                new Reverse(),
                new Ride(),
                new Saturate(),
                new Shift(),
                new Trim(),
                new Tune(),
                new Width()));
    }
}

package linnet.step;

import java.util.List;
import java.util.Set;
import linnet.setting.Fixed;
import linnet.setting.Live;
import linnet.setting.Settings;
import linnet.setting.Unit;

/** What a chain says of the way the signal takes, whatever the step: declared once, like the settings of steps. */
public final class Routing {
    /** The word that splits the signal into branches. */
    public static final String PARALLEL = "parallel";
    public static final String PARALLEL_ABOUT =
            "Splits the signal into branches and adds them up again, aligned to the sample. A branch without steps is the signal as it is.";
    /** The word that brings another chain in. */
    public static final String USE = "use";
    public static final String USE_ABOUT =
            "Brings in the steps of another chain file; its path is relative to this file. `with` changes settings of its steps, by name or word.";

    private static final Settings ROUTES = new Settings();

    /** Share of the processed signal. */
    public static final Live MIX = ROUTES.live("mix", Unit.PERCENT).range(0, 100).otherwise("100 % for most steps; a space says its own")
            .doc("How much of the output is the processed signal; the rest is the signal as it came, aligned to the sample.");

    /** Level of a branch. */
    public static final Live LEVEL =
            ROUTES.live("level", Unit.DB).range(-90, 24).usual("0 dB")
                    .doc("Level at which the branch is added. A filter of 24 dB/oct in it turns its corner by half a turn, which beside a branch without "
                    + "it, as loud, digs a hole of about 10 dB there; one of 12 dB/oct does not, nor do the bands of multiband.");

    /** Tempo of a chain. */
    public static final Fixed TEMPO = ROUTES.fixed("tempo", Unit.BPM).range(20, 400).otherwise("needed only where a note value is used")
            .doc("Beats per minute, for times given as note values; a beat is a quarter note.");

    /** What every step may say beside its own settings. */
    public static final List<String> EVERY_STEP = List.of("mix", "on", "name");

    private Routing() {}
}

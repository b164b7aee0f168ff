package linnet.step;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.hear.Ear;
import linnet.setting.Group;
import linnet.setting.Quantity;
import linnet.setting.Settings;
import linnet.setting.Text;
import linnet.setting.Unit;
import linnet.setting.Values;

/**
 * One word of a chain. A subclass declares its settings as fields, once, and turns their values into a kernel. It holds no
 * values and no state, so one instance serves every use.
 */
public abstract class Step {
    private final String word;
    private final String about;
    private final Settings settings = new Settings();

    /**
     * @param word the word in a chain file
     * @param about what it does, in a sentence
     */
    protected Step(String word, String about) {
        this.word = word;
        this.about = about;
    }

    public final String word() {
        return word;
    }

    public final String about() {
        return about;
    }

    public final Settings settings() {
        return settings;
    }

    protected final Settings.LiveDraft live(String name, Unit unit) {
        return settings.live(name, unit);
    }

    protected final Settings.FixedDraft fixed(String name, Unit unit) {
        return settings.fixed(name, unit);
    }

    protected final <E extends Enum<E>> Settings.ChoiceDraft<E> choice(String name, E usual) {
        return settings.choice(name, usual);
    }

    protected final <T> Settings.TextDraft<T> text(String name, Text.Form<T> form) {
        return settings.text(name, form);
    }

    protected final Settings.GroupDraft group(String name, Settings entry, int most) {
        return settings.group(name, entry, most);
    }

    /** The list that is the whole body of this step, as the bands are of an equaliser; null for a step with named settings. */
    public Group body() {
        return null;
    }

    /** Share of the processed signal in the output where the text gives no {@code mix}, in percent. */
    public double usualMix() {
        return 100;
    }

    /** Whether it mends a take or brings it in tune or to a level, and leaves its sound alone: what a dry print keeps. */
    public boolean mends() {
        return false;
    }

    /** Whether it keeps peaks under a ceiling and does nothing else: behind steps that mend, a dry print keeps it too. */
    public boolean holdsPeaks() {
        return false;
    }

    /** The highest true peak that leaves it, in dBTP, where it keeps peaks under a ceiling that does not move. */
    public OptionalDouble ceiling(Values values) {
        return OptionalDouble.empty();
    }

    /** Whether what is sung stays where it is in time, echoes aside. */
    public boolean keepsTime() {
        return true;
    }

    /** Whether it may move the pitch of all that is sung. */
    public boolean transposes() {
        return false;
    }

    /** By how many cents it moves the pitch of all that is sung, at a sample of the take; what is written of the notes of the take moves along. */
    public double transposition(LiveValues values, long takeFrame) {
        return 0;
    }

    /** Whether it may find something odd about what it is given, or how it is set, which somebody should know of a song at this rate. */
    public boolean mayFindOdd(Values values, double rate) {
        return false;
    }

    /**
     * What somebody should know beside a number that comes of a value stated against the singer, with what to write.
     *
     * @param value of the setting, in its unit
     * @param beside what else the text gives
     * @param ear on what arrives at it
     */
    public Optional<String> advice(Quantity setting, double value, Values beside, Ear ear) {
        return Optional.empty();
    }

    /** Whether its kernels have curves: known before a take is heard for them. */
    public boolean hasCurves() {
        return false;
    }

    /** Everything that is wrong with values that are right one by one. */
    public List<Complaint> complaints(Values values) {
        return List.of();
    }

    /** Once, at planning: sizes, latency and how to start. Only fixed values can be read here. */
    public abstract Prepared prepare(FixedValues values, Setup setup);
}

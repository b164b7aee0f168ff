package linnet.step;

import java.util.List;
import linnet.setting.Choice;
import linnet.setting.Fixed;
import linnet.setting.Group;
import linnet.setting.Live;
import linnet.setting.Quantity;
import linnet.setting.Series;
import linnet.setting.Setting;
import linnet.setting.Text;
import linnet.setting.Value;
import linnet.setting.Values;

/** The values a step may read while it is planned: those that cannot move. */
public final class FixedValues {
    private final Values values;
    private final double tempo;

    /** {@code tempo} in beats per minute; where a note value is used there is one. */
    public FixedValues(Values values, double tempo) {
        this.values = values;
        this.tempo = tempo;
    }

    /** The value in the setting's own unit; a setting without usual value must be given. */
    public double get(Fixed setting) {
        return LiveValues.amount(values.get(setting).orElseThrow(), setting.unit(), tempo);
    }

    /** The word it is set to, if it is one of its words. */
    public boolean is(Fixed setting, String word) {
        return values.get(setting).orElse(null) instanceof Value.Named named && named.word().equals(word);
    }

    public <E extends Enum<E>> E get(Choice<E> setting) {
        return values.get(setting);
    }

    /** What is given; empty if nothing is. */
    public <T> List<T> get(Text<T> setting) {
        return values.get(setting);
    }

    /**
     * True if a live setting has one value throughout, given or usual: what a step can promise may hang on that, its size and latency cannot.
     */
    public boolean isAlways(Live setting, double value) {
        return values.get(setting).orElse(null) instanceof Value.Amount a && a.value() == value;
    }

    /** True if the text gives it. */
    public boolean given(Setting setting) {
        return values.given(setting);
    }

    /** True if it is stated against the take, which is heard for that. */
    public boolean isRelative(Quantity setting) {
        return values.isRelative(setting);
    }

    /** The numbers of a list; none if none are given. */
    public double[] get(Series setting) {
        return values.get(setting).stream().mapToDouble(v -> LiveValues.amount(v, setting.element().unit(), tempo)).toArray();
    }

    /** The entries of a list. */
    public List<FixedValues> entries(Group group) {
        return values.get(group).stream().map(v -> new FixedValues(v, tempo)).toList();
    }
}

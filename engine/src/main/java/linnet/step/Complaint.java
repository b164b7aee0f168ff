package linnet.step;

import java.util.Optional;
import linnet.setting.Setting;
import linnet.setting.Values;
import linnet.text.Span;

/**
 * What a step finds wrong with values that are right one by one, such as a low above a high.
 *
 * @param values those of the step, or of the entry of one of its lists
 * @param setting the one to look at; empty where one is missing
 * @param message what is wrong and what would be right
 */
public record Complaint(Values values, Optional<Setting> setting, String message) {
    /** About a value. */
    public static Complaint about(Values values, Setting setting, String message) {
        return new Complaint(values, Optional.of(setting), message);
    }

    /** About a value that is not there. */
    public static Complaint missing(Values values, String message) {
        return new Complaint(values, Optional.empty(), message);
    }

    /** The place to show: the value, else the entry that should have it; empty for a step without settings. */
    public Optional<Span> at() {
        return setting.flatMap(values::place).or(values::place);
    }
}

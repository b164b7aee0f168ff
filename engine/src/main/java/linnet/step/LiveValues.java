package linnet.step;

import java.util.List;
import linnet.dsp.Cell;
import linnet.hear.Memory;
import linnet.setting.Choice;
import linnet.setting.Group;
import linnet.setting.Live;
import linnet.setting.Setting;
import linnet.setting.Text;
import linnet.setting.Unit;
import linnet.setting.Value;
import linnet.setting.Values;

/**
 * The values of a step at work: everything measured is resolved to numbers. A live value is read at the borders of cells,
 * {@link #at} for the one where the block's cell begins and {@link #next} for the one where it ends.
 */
public final class LiveValues {
    private final Values values;
    private final double tempo;
    private final double rate;
    private final long offset;
    private final Findings findings;
    private final Memory memory;

    /** Takes note of what a step finds out by hearing. */
    public interface Findings {
        void found(String what, String value);

        /** Something about a setting that somebody should look at. */
        default void odd(String setting, String why) {}
    }

    /**
     * @param tempo beats per minute, for note values
     * @param offset samples by which this step hears the take late; a time in the text is a time of the take
     */
    public LiveValues(Values values, double tempo, double rate, long offset, Findings findings) {
        this(values, tempo, rate, offset, findings, Memory.NONE);
    }

    /** @param memory what this step found out before by hearing the very same signal, with the very same values */
    public LiveValues(Values values, double tempo, double rate, long offset, Findings findings, Memory memory) {
        this.values = values;
        this.tempo = tempo;
        this.rate = rate;
        this.offset = offset;
        this.findings = findings;
        this.memory = memory;
    }

    /** The same for who hears the take from its first sample on, as it arrives. */
    public LiveValues inTime() {
        return new LiveValues(values, tempo, rate, 0, findings, memory);
    }

    /** The sample of the take that the first of this block was: negative before the take begins. */
    public long takeFrame(Block block) {
        return block.start() - offset;
    }

    /** Value at the border where the cell of this block begins. */
    public double at(Live setting, Block block) {
        return at(setting, block.cellStart());
    }

    /** Value at the border where the cell of this block ends. */
    public double next(Live setting, Block block) {
        return at(setting, block.cellStart() + Cell.LENGTH);
    }

    /** Value at the beginning; the only one, unless it {@link #moves}. */
    public double first(Live setting) {
        return at(setting, offset);
    }

    /** Value at a sample of the take, for what is worked out before the take runs. */
    public double atTake(Live setting, long takeFrame) {
        return at(setting, takeFrame + offset);
    }

    private double at(Live setting, long frame) {
        Value value = values.get(setting).orElseThrow(() -> new IllegalStateException(setting + " is not set"));
        return valueAt(value, setting.unit(), (frame - offset) / rate);
    }

    private double valueAt(Value value, Unit unit, double seconds) {
        if (!(value instanceof Value.Curve curve)) return amount(value, unit, tempo);
        List<Value.Point> points = curve.points();
        int i = 0;
        while (i < points.size() && points.get(i).seconds() <= seconds) i++;
        if (i == 0) return amount(points.get(0).value(), unit, tempo);
        double from = amount(points.get(i - 1).value(), unit, tempo);
        if (i == points.size()) return from;
        double to = amount(points.get(i).value(), unit, tempo);
        double t = (seconds - points.get(i - 1).seconds()) / (points.get(i).seconds() - points.get(i - 1).seconds());
        // Pitch is heard in ratios, everything else here in steps.
        return unit == Unit.HZ && from > 0 && to > 0 ? from * StrictMath.pow(to / from, t) : from + (to - from) * t;
    }

    static double amount(Value value, Unit unit, double tempo) {
        if (value instanceof Value.Amount a) return a.value();
        if (value instanceof Value.Notes n) {
            double seconds = n.quarters() * 60 / tempo;
            return unit == Unit.SECONDS ? seconds : seconds * 1000;
        }
        if (value instanceof Value.Shifted s) return amount(s.base(), unit, tempo) + s.by();
        throw new IllegalStateException("not a number: " + value);
    }

    /** True if the value changes while the take runs. */
    public boolean moves(Live setting) {
        return values.get(setting).filter(Value.Curve.class::isInstance).isPresent();
    }

    /** True if the value of any of them changes while the take runs. */
    public boolean anyMoves(Live... settings) {
        for (Live s : settings) if (moves(s)) return true;
        return false;
    }

    /** True if there is a value, given or usual. */
    public boolean has(Live setting) {
        return values.get(setting).isPresent();
    }

    /** True if the text gives it. */
    public boolean given(Setting setting) {
        return values.given(setting);
    }

    public <E extends Enum<E>> E get(Choice<E> setting) {
        return values.get(setting);
    }

    /** What is given; empty if nothing is. */
    public <T> List<T> get(Text<T> setting) {
        return values.get(setting);
    }

    /** The entries of a list. */
    public List<LiveValues> entries(Group group) {
        return values.get(group).stream().map(v -> new LiveValues(v, tempo, rate, offset, findings, memory)).toList();
    }

    /** What this step found out before; a name in it is the step's own. */
    public Memory memory() {
        return memory;
    }

    /** Tells the user what this step found out by hearing, such as the threshold that gives the wanted reduction. */
    public void found(String what, String value) {
        findings.found(what, value);
    }

    /** Tells the user what of this step does not go with what it hears, and what to write. */
    public void odd(String setting, String why) {
        findings.odd(setting, why);
    }
}

package linnet.render;

/**
 * A number that was found by hearing.
 *
 * @param step name of the step
 * @param setting which of its settings
 * @param given what the text says; empty if the step found it by itself
 * @param value the number, with unit
 * @param odd whether it is no number, but something about that setting that somebody should look at
 */
public record Resolved(String step, String setting, String given, String value, boolean odd) {
    /** Written out: what would be made when two are first compared takes as long as a second of the render. */
    @Override
    public boolean equals(Object o) {
        return o instanceof Resolved r && step.equals(r.step) && setting.equals(r.setting) && given.equals(r.given) && value.equals(r.value) && odd == r.odd;
    }

    @Override
    public int hashCode() {
        return 31 * (31 * (31 * step.hashCode() + setting.hashCode()) + given.hashCode()) + value.hashCode();
    }
}

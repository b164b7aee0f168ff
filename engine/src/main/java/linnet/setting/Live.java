package linnet.setting;

/** A number that may move while the take runs. It can be read only where there is a time, never while planning. */
public final class Live extends Quantity {
    Live(String name, String doc, Spec spec) {
        super(name, doc, spec);
    }
}

package linnet.setting;

/** A number that holds for the whole take, so that sizes and latency may depend on it. */
public final class Fixed extends Quantity {
    Fixed(String name, String doc, Spec spec) {
        super(name, doc, spec);
    }
}

package linnet.setting;

/** A list of numbers of one kind, such as the split frequencies of a multiband. */
public final class Series extends Setting {
    private final Live element;
    private final int fewest;
    private final int most;

    Series(Live element, int fewest, int most) {
        super(element.name(), element.doc());
        this.element = element;
        this.fewest = fewest;
        this.most = most;
    }

    /** What each number of the list is. */
    public Live element() {
        return element;
    }

    public int fewest() {
        return fewest;
    }

    public int most() {
        return most;
    }
}

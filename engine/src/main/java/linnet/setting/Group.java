package linnet.setting;

/** A list whose every entry has the same settings, such as the bands of an equaliser. */
public final class Group extends Setting {
    private final Settings entry;
    private final int most;

    Group(String name, String doc, Settings entry, int most) {
        super(name, doc);
        this.entry = entry;
        this.most = most;
    }

    /** The settings of one entry. */
    public Settings entry() {
        return entry;
    }

    /** How many entries it may have. */
    public int most() {
        return most;
    }
}

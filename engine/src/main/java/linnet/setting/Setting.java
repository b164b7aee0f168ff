package linnet.setting;

/** One thing a user can set, declared once. Parser, problems, schema, docs, help and cache key all read it from here. */
public abstract sealed class Setting permits Quantity, Choice, Text, Series, Group {
    private final String name;
    private final String doc;

    Setting(String name, String doc) {
        this.name = name;
        this.doc = doc;
    }

    /** The word in the text. */
    public String name() {
        return name;
    }

    /** What it does, in a sentence. */
    public String doc() {
        return doc;
    }

    @Override
    public String toString() {
        return name;
    }
}

package linnet.text;

/** A piece of text and where it stands. */
public record Word(String text, Span at) {
    /** Written out, as in {@link Span}: what a record is given for it is put together when it is first met, and every run meets these. */
    @Override
    public boolean equals(Object other) {
        return other instanceof Word w && text.equals(w.text) && at.equals(w.at);
    }

    @Override
    public int hashCode() {
        return 31 * text.hashCode() + at.hashCode();
    }
}

package linnet.text;

/** A place in a text: line and column (of code points) counted from 1, and how many to underline. */
public record Span(SourceText source, int line, int column, int length) implements Comparable<Span> {
    @Override
    public int compareTo(Span other) {
        int byFile = source.name().compareTo(other.source.name());
        if (byFile != 0) return byFile;
        return line != other.line ? Integer.compare(line, other.line) : Integer.compare(column, other.column);
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof Span s && line == s.line && column == s.column && length == s.length && source.equals(s.source);
    }

    @Override
    public int hashCode() {
        return 31 * (31 * (31 * source.hashCode() + line) + column) + length;
    }

    @Override
    public String toString() {
        return source.name() + ":" + line + ":" + column;
    }
}

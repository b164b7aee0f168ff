package linnet.text;

import java.util.List;

/** A text as the user wrote it: the name to show and its lines. */
public record SourceText(String name, List<String> lines) {
    public SourceText {
        lines = List.copyOf(lines);
    }

    /** Not by every line: each word of a text has its source, and whole songs are looked up. */
    @Override
    public int hashCode() {
        return name.hashCode();
    }

    /** Line {@code number}, counted from 1; empty past the end. */
    public String line(int number) {
        return number >= 1 && number <= lines.size() ? lines.get(number - 1) : "";
    }
}

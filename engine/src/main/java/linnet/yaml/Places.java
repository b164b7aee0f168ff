package linnet.yaml;

import java.util.Arrays;
import java.util.stream.IntStream;
import linnet.text.SourceText;
import linnet.text.Span;
import org.yaml.snakeyaml.error.Mark;
import org.yaml.snakeyaml.reader.StreamReader;

/** Lines and columns of a text as editors count them; in YAML lines end in more ways. Columns are of code points. */
final class Places {
    private final SourceText source;
    private final int[] points;
    /** The code point that begins each line. */
    private final int[] starts;

    Places(SourceText source, String text) {
        this.source = source;
        points = text.codePoints().toArray();
        int[] begun = new int[points.length + 1];
        int lines = 1;
        for (int i = 0; i < points.length; i++) if (ends(points, i)) begun[lines++] = i + 1;
        starts = Arrays.copyOf(begun, lines);
    }

    private static boolean ends(int[] points, int i) {
        return points[i] == '\n' || points[i] == '\r' && (i + 1 == points.length || points[i + 1] != '\n');
    }

    /** The whole text. */
    Span start() {
        return new Span(source, 1, 1, 1);
    }

    Span at(Mark mark) {
        return at(mark, mark);
    }

    /** What lies between two marks, as far as it is in the line of the first. */
    Span at(Mark from, Mark to) {
        int line = line(from.getIndex()), end = line(to.getIndex());
        return new Span(source, line, from.getIndex() - starts[line - 1] + 1, line == end ? Math.max(1, to.getIndex() - from.getIndex()) : 1);
    }

    /**
     * The comment behind a mark in its line, with the space before it; empty where something else stands there. Only of a comment the rest of the line is read:
     * a line may have very many values.
     */
    String comment(Mark mark) {
        int from = mark.getIndex(), end = from;
        while (end < points.length && (points[end] == ' ' || points[end] == '\t')) end++;
        if (end == points.length || points[end] != '#') return "";
        while (end < points.length && points[end] != '\n' && points[end] != '\r') end++;
        return new String(points, from, end - from);
    }

    /** Whether a comma and nothing else lies between two marks. */
    boolean isComma(Mark from, Mark to) {
        return to.getIndex() == from.getIndex() + 1 && points[from.getIndex()] == ',';
    }

    /** The first character that no YAML text may have; the start where there is none. */
    Span unprintable() {
        int at = IntStream.range(0, points.length).filter(i -> !StreamReader.isPrintable(points[i])).findFirst().orElse(0), line = line(at);
        return new Span(source, line, at - starts[line - 1] + 1, 1);
    }

    private int line(int at) {
        int found = Arrays.binarySearch(starts, at);
        return found >= 0 ? found + 1 : -found - 1;
    }
}

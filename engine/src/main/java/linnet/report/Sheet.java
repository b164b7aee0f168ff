package linnet.report;

import java.util.List;
import java.util.Map;

/**
 * What goes with the prints of a song, in words and figures.
 *
 * @param passage a line under the title
 */
public record Sheet(String title, String passage, List<Block> blocks) {
    public Sheet {
        blocks = List.copyOf(blocks);
    }

    /** Something with a heading of its own. */
    public sealed interface Block {
        String heading();

        /** What it is, in a sentence; empty if that goes without saying. */
        String hint();
    }

    /** @param rows each as long as the columns */
    public record Table(String heading, String hint, List<String> columns, List<List<String>> rows) implements Block {}

    /** Lines of text; {@code none} stands where there are none. */
    public record Lines(String heading, String hint, List<String> lines, String none) implements Block {}

    /** Lines with those that belong to them. */
    public record Items(String heading, String hint, List<Item> items) implements Block {}

    /** What was found, by kind. */
    public record Findings(String heading, String hint, List<Chapter> chapters) implements Block {}

    /**
     * What was found of one kind.
     *
     * @param columns of an overview that comes first
     * @param rows of that, each as long as the columns; none where there is no overview
     */
    public record Chapter(String heading, List<String> columns, List<List<String>> rows, List<Item> items) {
        /** Without an overview. */
        public static Chapter of(String heading, List<Item> items) {
            return new Chapter(heading, List.of(), List.of(), items);
        }
    }

    /** A line, and those that belong to it. */
    public record Item(String text, List<Item> items) {}

    /** Lines to which nothing belongs. */
    public static List<Item> items(List<String> lines) {
        return lines.stream().map(l -> new Item(l, List.of())).toList();
    }

    /** Lines under what they belong to. */
    public static List<Item> items(Map<String, List<String>> lines) {
        return lines.entrySet().stream().map(e -> new Item(e.getKey(), items(e.getValue()))).toList();
    }

    /** Chains with their steps in order. */
    public record Chains(String heading, String hint, List<Chain> chains) implements Block {}

    /**
     * One of them.
     *
     * @param about what it is for, in a line
     */
    public record Chain(String name, String about, List<String> steps) {}
}

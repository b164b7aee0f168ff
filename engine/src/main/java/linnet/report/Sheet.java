package linnet.report;

import java.util.List;

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

    /** Chains with their steps in order. */
    public record Chains(String heading, String hint, List<Chain> chains) implements Block {}

    /**
     * One of them.
     *
     * @param about what it is for, in a line
     */
    public record Chain(String name, String about, List<String> steps) {}
}

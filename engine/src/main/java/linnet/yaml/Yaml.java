package linnet.yaml;

import java.io.IOException;
import java.io.StringReader;
import java.nio.charset.CharacterCodingException;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Source;
import linnet.text.Span;
import linnet.text.Word;
import org.yaml.snakeyaml.LoaderOptions;
import org.yaml.snakeyaml.error.MarkedYAMLException;
import org.yaml.snakeyaml.error.YAMLException;
import org.yaml.snakeyaml.nodes.MappingNode;
import org.yaml.snakeyaml.nodes.Node;
import org.yaml.snakeyaml.nodes.NodeTuple;
import org.yaml.snakeyaml.nodes.ScalarNode;
import org.yaml.snakeyaml.nodes.SequenceNode;

/**
 * A YAML text as a tree of words with positions. Values stay text: YAML's own typing would read {@code 4:1} as 241 and
 * {@code no} as false.
 */
public final class Yaml {
    private static final long LARGEST = 1 << 20;
    private static final int DEEPEST = 30;
    private static final int ENTRIES = 100_000;

    private final Source source;
    private final Problems problems;
    private int entries;

    private Yaml(Source source, Problems problems) {
        this.source = source;
        this.problems = problems;
    }

    /**
     * Reads a file whole.
     *
     * @param kind what it should be, such as "chain file"
     * @param name what to call it in messages
     * @return empty if the text is no YAML; that is then a problem
     */
    public static Optional<Tree> read(String kind, Path file, String name, Problems problems) throws ProblemsException {
        problems.reads(file);
        String text = load(kind, file, name);
        Source source = new Source(name, text.lines().toList());
        return new Yaml(source, problems).parse(text);
    }

    /** Whether a line of a text begins with that key, at the margin; false for what is no text that could be read. */
    public static boolean hasKey(Path file, String key) {
        try {
            if (!Files.isRegularFile(file) || Files.size(file) > LARGEST) return false;
            return Files.readString(file).lines().anyMatch(line -> line.startsWith(key + ":"));
        } catch (IOException e) {
            return false;
        }
    }

    private static String load(String kind, Path file, String name) throws ProblemsException {
        try {
            if (Files.isDirectory(file)) throw refused(name, "is a folder, not a " + kind);
            // A pipe or a device would block or never end.
            if (Files.exists(file) && !Files.isRegularFile(file)) throw refused(name, "is no plain file; name a " + kind + " on disk");
            if (Files.size(file) > LARGEST) throw refused(name, "is larger than 1 MiB: no " + kind + " is");
            String text = Files.readString(file);
            return text.startsWith("\uFEFF") ? text.substring(1) : text;
        } catch (NoSuchFileException e) {
            throw refused(name, "there is no such file");
        } catch (AccessDeniedException e) {
            throw refused(name, "may not be read; give yourself the right to read it");
        } catch (CharacterCodingException e) {
            throw refused(name, "is not UTF-8 text; save it as UTF-8");
        } catch (IOException e) {
            throw refused(name, "cannot be read: " + e.getMessage());
        }
    }

    private static ProblemsException refused(String name, String why) {
        Problems problems = new Problems();
        problems.report(new Span(new Source(name, List.of()), 1, 1, 1), why);
        return new ProblemsException(problems.sorted());
    }

    private Optional<Tree> parse(String text) {
        LoaderOptions options = new LoaderOptions();
        options.setMaxAliasesForCollections(20);
        options.setNestingDepthLimit(DEEPEST);
        try {
            Node node = new org.yaml.snakeyaml.Yaml(options).compose(new StringReader(text));
            if (node == null) {
                problems.report(new Span(source, 1, 1, 1), "the file is empty");
                return Optional.empty();
            }
            return Optional.of(tree(node, 0));
        } catch (MarkedYAMLException e) {
            var mark = e.getProblemMark();
            Span at = mark == null ? new Span(source, 1, 1, 1) : new Span(source, mark.getLine() + 1, mark.getColumn() + 1, 1);
            problems.report(at, "this is not YAML: " + e.getProblem());
        } catch (YAMLException | TooMuch e) {
            problems.report(new Span(source, 1, 1, 1), "this is not YAML that can be read: " + String.valueOf(e.getMessage()).lines().findFirst().orElse(""));
        }
        return Optional.empty();
    }

    /** Anchors that multiply a text. */
    private static final class TooMuch extends RuntimeException {
        private static final long serialVersionUID = 1;

        TooMuch(String message) {
            super(message);
        }
    }

    private Tree tree(Node node, int depth) {
        if (depth > DEEPEST) throw new TooMuch("it is nested too deeply");
        if (++entries > ENTRIES) throw new TooMuch("it has too many entries");
        if (node instanceof ScalarNode s) return new Tree.Leaf(new Word(s.getValue(), span(node)));
        if (node instanceof SequenceNode s) {
            List<Tree> rows = new ArrayList<>();
            for (Node row : s.getValue()) rows.add(tree(row, depth + 1));
            return new Tree.Rows(span(node), rows);
        }
        Map<String, Tree.Entry> table = new LinkedHashMap<>();
        for (NodeTuple pair : ((MappingNode) node).getValue()) {
            if (!(pair.getKeyNode() instanceof ScalarNode key)) {
                problems.report(span(pair.getKeyNode()), "a key must be a single word");
                continue;
            }
            Word word = new Word(key.getValue(), span(key));
            Tree.Entry before = table.get(word.text());
            if (before != null) {
                problems.report(word.at(), "'" + word.text() + "' is given twice; it stands already in line " + before.key().at().line());
            } else {
                table.put(word.text(), new Tree.Entry(word, tree(pair.getValueNode(), depth + 1)));
            }
        }
        return new Tree.Table(span(node), table);
    }

    private Span span(Node node) {
        var from = node.getStartMark();
        var to = node.getEndMark();
        int length = from.getLine() == to.getLine() ? Math.max(1, to.getColumn() - from.getColumn()) : 1;
        return new Span(source, from.getLine() + 1, from.getColumn() + 1, length);
    }
}

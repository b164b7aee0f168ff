package linnet.yaml;

import java.io.IOException;
import java.io.InputStream;
import java.io.StringReader;
import java.nio.ByteBuffer;
import java.nio.CharBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.digest.Sha256;
import linnet.files.SystemWords;
import linnet.text.Comma;
import linnet.text.Problem;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.SourceText;
import linnet.text.Span;
import linnet.text.Word;
import org.yaml.snakeyaml.DumperOptions;
import org.yaml.snakeyaml.LoaderOptions;
import org.yaml.snakeyaml.composer.Composer;
import org.yaml.snakeyaml.error.MarkedYAMLException;
import org.yaml.snakeyaml.error.YAMLException;
import org.yaml.snakeyaml.nodes.MappingNode;
import org.yaml.snakeyaml.nodes.Node;
import org.yaml.snakeyaml.nodes.NodeTuple;
import org.yaml.snakeyaml.nodes.ScalarNode;
import org.yaml.snakeyaml.nodes.SequenceNode;
import org.yaml.snakeyaml.nodes.Tag;
import org.yaml.snakeyaml.parser.ParserImpl;
import org.yaml.snakeyaml.reader.ReaderException;
import org.yaml.snakeyaml.reader.StreamReader;
import org.yaml.snakeyaml.resolver.Resolver;
import org.yaml.snakeyaml.scanner.ScannerException;

/**
 * A YAML text as a tree of words with positions. Values stay text: YAML's own typing would read {@code 4:1} as 241 and
 * {@code no} as false.
 */
public final class Yaml {
    /** In characters, with its unit: what was joined and is cut again, as in a long list, is not one number. */
    private static final int LONGEST_NUMBER = 40;
    /** In characters, as in {@link Slips}: nobody writes longer ones by hand. */
    private static final int LONGEST_PAIR = 1000;
    private static final long LARGEST = 1 << 20;
    private static final int DEEPEST = 30;
    /** A key with its value against the colon; an address of the web is none. */
    private static final Pattern NO_SPACE = Pattern.compile("(\\p{L}[\\p{L}\\p{N} -]*):(?!//)(\\S.*)");
    /** Keys of titles and paths: whatever number stands behind one may belong to it. */
    private static final Set<String> TITLES = Set.of("song", "chain", "about", "name", "take", "use", "each");
    /** Behind a title what is rather the rest of it than a comment. */
    private static final Pattern NUMBERED = Pattern.compile("\\s+#\\d.*");
    /** Behind any value what is rather the rest of the name of a file: one word that ends so. */
    private static final Pattern FILE_END = Pattern.compile("\\s+#\\S+[.](?i:wav|ya?ml)\\s*");
    private static final Pattern FILE = Pattern.compile("(?is).*[.](?:wav|ya?ml)");
    /** A number and its unit, or a ratio: no beginning of the name of a file. */
    private static final Pattern AMOUNT = Pattern.compile("[+-]?\\d[\\d.,]*(?:\\s*(?:%|\\p{L}+(?:/\\p{L}+)?)|:\\d[\\d.,]*)");
    private static final Pattern NUMBER = Pattern.compile("[\\d.]+");
    private static final Pattern NAME = Pattern.compile("(?is).*[.]ya?ml");
    private static final int ENTRIES = 100_000;
    /** What the library says of a value that has no tag of its own. */
    private static final Set<Tag> BARE = Set.of(Tag.STR, Tag.INT, Tag.FLOAT, Tag.BOOL, Tag.NULL, Tag.TIMESTAMP, Tag.MERGE, Tag.SEQ, Tag.MAP);

    private final Places places;
    private final Problems problems;
    private int entries;

    private Yaml(Places places, Problems problems) {
        this.places = places;
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
        byte[] bytes = load(kind, file, name, problems);
        String text = decoded(bytes, name, problems);
        SourceText source = new SourceText(name, text.lines().toList());
        problems.reads(file, source, Sha256.of(bytes));
        return new Yaml(new Places(source, text), problems).parse(text);
    }

    /** A text that was read before, as it was then. */
    public static Optional<Tree> read(SourceText source, Problems problems) {
        String text = String.join("\n", source.lines()) + "\n";
        return new Yaml(new Places(source, text), problems).parse(text);
    }

    /** Whether a path has the ending of such texts. */
    public static boolean isName(String path) {
        return NAME.matcher(path).matches();
    }

    /**
     * Whether a text has one of these keys at its top: a line begins with one, at the margin, whatever else may be wrong in the text; or one is found
     * there as YAML, in quotes or in braces, before anything is wrong. So a text that its reader refuses, as it is too large or not UTF-8, is refused
     * as what it means to be. False for what cannot be read at all.
     */
    public static boolean hasKey(Path file, String... keys) {
        try {
            return Files.isRegularFile(file) && hasKey(without(new String(beginning(file), StandardCharsets.UTF_8)), keys);
        } catch (IOException e) {
            return false;
        }
    }

    /** Whether a text that can be read has none of these keys at its top. False for what its reader would refuse, which has more to say of it. */
    public static boolean lacksKey(Path file, String... keys) {
        try {
            return Files.isRegularFile(file) && Files.size(file) <= LARGEST && !hasKey(text(file), keys);
        } catch (IOException e) {
            return false;
        }
    }

    private static boolean hasKey(String text, String... keys) {
        for (String key : keys) if (text.lines().anyMatch(line -> line.startsWith(key + ":"))) return true;
        // Most texts are known by now.
        return Arrays.stream(keys).anyMatch(text::contains) && new TopKeys(text).any(Set.of(keys));
    }

    /** As much of it as any text may have. */
    private static byte[] beginning(Path file) throws IOException {
        try (InputStream from = Files.newInputStream(file)) {
            return from.readNBytes((int) LARGEST);
        }
    }

    /** A text without the mark of the order of bytes that some editors put before it. */
    public static String text(Path file) throws IOException {
        return text(Files.readAllBytes(file));
    }

    private static String text(byte[] bytes) throws CharacterCodingException {
        return without(StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(bytes)).toString());
    }

    private static String without(String text) {
        return text.startsWith("\uFEFF") ? text.substring(1) : text;
    }

    private static String decoded(byte[] bytes, String name, Problems problems) throws ProblemsException {
        try {
            return text(bytes);
        } catch (CharacterCodingException e) {
            throw foreign(bytes, name, problems);
        }
    }

    /** With its first byte that is none of UTF-8, in the text as it can be shown. */
    private static ProblemsException foreign(byte[] bytes, String name, Problems problems) {
        ByteBuffer from = ByteBuffer.wrap(bytes);
        CharBuffer into = CharBuffer.allocate(bytes.length);
        StandardCharsets.UTF_8.newDecoder().decode(from, into, true);
        List<String> before = (without(into.flip().toString()) + "|").lines().toList();
        String line = before.get(before.size() - 1);
        SourceText source = new SourceText(name, without(new String(bytes, StandardCharsets.UTF_8)).lines().toList());
        problems.report(new Span(source, before.size(), line.codePointCount(0, line.length()), 1),
                String.format(Locale.ROOT, "is not UTF-8 text: the byte %02X here is none of it; save it as UTF-8", bytes[from.position()]));
        return problems.failed();
    }

    private static byte[] load(String kind, Path file, String name, Problems problems) throws ProblemsException {
        try {
            if (Files.isDirectory(file)) throw refused(problems, name, "is a folder, not a " + kind);
            // A pipe or a device would block or never end.
            if (Files.exists(file) && !Files.isRegularFile(file)) throw refused(problems, name, "is no plain file; name a " + kind + " on disk");
            if (file.toString().toLowerCase(Locale.ROOT).endsWith(".wav")) {
                throw refused(problems, name, "is a sound and no " + kind + "; of a chain and its take the chain is named first");
            }
            if (Files.size(file) > LARGEST) throw refused(problems, name, "is larger than 1 MiB: no " + kind + " is");
            return Files.readAllBytes(file);
        } catch (NoSuchFileException e) {
            throw refused(problems, name, "there is no such file" + Siblings.hint(file));
        } catch (AccessDeniedException e) {
            throw refused(problems, name, "may not be read; give yourself the right to read it");
        } catch (IOException e) {
            throw refused(problems, name, "cannot be read (" + SystemWords.reason(e) + "); " + SystemWords.remedy(e, "check the disk it lies on"));
        }
    }

    private static ProblemsException refused(Problems problems, String name, String why) {
        problems.report(new Span(new SourceText(name, List.of()), 1, 1, 1), why);
        return problems.failed();
    }

    private Optional<Tree> parse(String text) {
        LoaderOptions options = new LoaderOptions();
        // Bounds for the library itself; a text meets its own before, with the place.
        options.setMaxAliasesForCollections(ENTRIES);
        options.setNestingDepthLimit(4 * DEEPEST);
        StreamReader reader = new StreamReader(text);
        // Nothing is constructed here, so that a tag can be told like any other mistake.
        options.setTagInspector(tag -> true);
        try {
            Node node = compose(reader, options);
            if (node == null) {
                problems.report(places.start(), "the file is empty");
                return Optional.empty();
            }
            return Optional.of(tree(node, "", 0));
        } catch (MarkedYAMLException e) {
            Problem slip = new Slips(places.start().source(), places).of(e);
            problems.report(slip.at(), slip.message());
        } catch (ReaderException e) {
            problems.report(places.unprintable(), String.format(Locale.ROOT, "this is not YAML: no text has the character U+%04X in it", e.getCodePoint()));
        } catch (TooMuch e) {
            problems.report(e.at, e.getMessage());
        } catch (YAMLException e) {
            problems.report(places.at(reader.getMark()), "this is not YAML that can be read: " + String.valueOf(e.getMessage()).lines().findFirst().orElse(""));
        }
        return Optional.empty();
    }

    /** What the library itself trips over is no more YAML than what it refuses. */
    private static Node compose(StreamReader reader, LoaderOptions options) {
        try {
            return new Composer(new ParserImpl(reader, options), new Resolver(), options).getSingleNode();
        } catch (YAMLException e) {
            throw e;
        } catch (RuntimeException e) {
            throw new ScannerException(null, null, "what stands here cannot be read; has an escape in quotes, such as \\u00e9, too few or too many digits?",
                    reader.getMark());
        }
    }

    /** Anchors that multiply a text. */
    private static final class TooMuch extends RuntimeException {
        private static final long serialVersionUID = 1;

        private final transient Span at;

        TooMuch(Span at, String message) {
            super(message);
            this.at = at;
        }
    }

    /** @param key before it, if any */
    private Tree tree(Node node, String key, int depth) {
        if (depth > DEEPEST) throw new TooMuch(span(node), "this is nested more than " + DEEPEST + " deep");
        if (++entries > ENTRIES) throw new TooMuch(span(node), "with what its anchors stand for, this text has more than " + ENTRIES + " entries");
        // A tag asks that something be made of a value; nothing is made of any here, and whoever wrote one should know.
        if (!BARE.contains(node.getTag())) {
            problems.report(span(node), "'" + shown(node.getTag().getValue().replaceFirst("^tag:yaml\\.org,2002:", "!!"))
                    + "' is a tag, and nothing is made by tags here: write the value without it");
        }
        if (node instanceof ScalarNode s) return new Tree.Leaf(value(s, key));
        if (node instanceof SequenceNode s) {
            List<Tree> rows = new ArrayList<>();
            for (Node row : joined(s.getValue())) rows.add(tree(row, "", depth + 1));
            return new Tree.Rows(span(node), rows);
        }
        Map<String, Tree.Entry> table = new LinkedHashMap<>();
        for (NodeTuple pair : pairs(((MappingNode) node).getValue())) {
            if (!(pair.getKeyNode() instanceof ScalarNode scalar)) {
                problems.report(span(pair.getKeyNode()), "a key must be a single word");
                continue;
            }
            Word word = word(scalar);
            Tree.Entry before = table.get(word.text());
            if (before != null) {
                problems.report(word.at(), "'" + shown(word.text()) + "' is given twice; it stands already in line " + before.key().at().line());
            } else {
                table.put(word.text(), new Tree.Entry(word, tree(pair.getValueNode(), word.text(), depth + 1)));
            }
        }
        return new Tree.Table(span(node), table);
    }

    /** Rows as they were meant: of a number that a comma cut in two, one. Numbers alone are a list of numbers. */
    private List<Node> joined(List<Node> rows) {
        List<Node> joined = new ArrayList<>();
        for (Node row : rows) {
            Node before = joined.isEmpty() ? null : joined.get(joined.size() - 1);
            if (isCut(before, row) && !NUMBER.matcher(((ScalarNode) row).getValue()).matches()) joined.set(joined.size() - 1, whole(before, row));
            else joined.add(row);
        }
        return joined;
    }

    /** The same of a mapping, where what was cut off is a key: a number as a value leaves one without a value, and one as a key was one. */
    private List<NodeTuple> pairs(List<NodeTuple> pairs) {
        List<NodeTuple> joined = new ArrayList<>();
        for (NodeTuple pair : pairs) {
            NodeTuple before = joined.isEmpty() ? null : joined.get(joined.size() - 1);
            if (before != null && isEmpty(before.getValueNode()) && isCut(before.getKeyNode(), pair.getKeyNode())) {
                joined.set(joined.size() - 1, new NodeTuple(whole(before.getKeyNode(), pair.getKeyNode()), pair.getValueNode()));
            } else if (before != null && isEmpty(pair.getValueNode()) && isCut(before.getValueNode(), pair.getKeyNode())) {
                joined.set(joined.size() - 1, new NodeTuple(before.getKeyNode(), whole(before.getValueNode(), pair.getKeyNode())));
            } else {
                joined.add(isEmpty(pair.getValueNode()) ? parted(pair) : pair);
            }
        }
        return joined;
    }

    /** A pair as it was meant: what is a key without a value may be both, with no space behind the colon. */
    private NodeTuple parted(NodeTuple pair) {
        if (!(pair.getKeyNode() instanceof ScalarNode key) || !key.isPlain()) return pair;
        Matcher both = NO_SPACE.matcher(key.getValue());
        if (key.getValue().length() > LONGEST_PAIR || !both.matches()) return pair;
        problems.report(places.at(key.getStartMark(), key.getEndMark()), "a space is missing after the colon: " + both.group(1) + ": " + shown(both.group(2)));
        return new NodeTuple(plain(both.group(1), key), plain(both.group(2), key));
    }

    private static Node plain(String text, ScalarNode in) {
        return new ScalarNode(Tag.STR, text, in.getStartMark(), in.getEndMark(), DumperOptions.ScalarStyle.PLAIN);
    }

    private static boolean isEmpty(Node node) {
        return node instanceof ScalarNode s && s.isPlain() && s.getValue().isEmpty();
    }

    private boolean isCut(Node before, Node after) {
        return before instanceof ScalarNode b && b.isPlain() && b.getValue().length() <= LONGEST_NUMBER && after instanceof ScalarNode a && a.isPlain()
                && places.isComma(b.getEndMark(), a.getStartMark()) && Comma.cuts(b.getValue(), a.getValue());
    }

    private Node whole(Node before, Node after) {
        String text = ((ScalarNode) before).getValue() + "," + ((ScalarNode) after).getValue();
        problems.report(places.at(before.getStartMark(), after.getEndMark()), "a comma parts two values here; " + shown(Comma.remedy(text)));
        return new ScalarNode(Tag.STR, Comma.mended(text), before.getStartMark(), after.getEndMark(), DumperOptions.ScalarStyle.PLAIN);
    }

    /** Half a character can be told by an escape and nowhere written: not to a file, not as its name. */
    private Word word(ScalarNode node) {
        if (node.getValue().codePoints().anyMatch(c -> c >= Character.MIN_SURROGATE && c <= Character.MAX_SURROGATE)) {
            problems.report(span(node), "an escape here is half a character; write the character itself");
        }
        return new Word(node.getValue(), span(node));
    }

    /**
     * A value as it was probably meant: part of one that is a comment to YAML would be left out in silence. Whatever else is wrong with it comes of that, and
     * is not told.
     */
    private Word value(ScalarNode node, String key) {
        Word word = word(node);
        String rest = node.isPlain() ? places.comment(node.getEndMark()) : "";
        if (rest.isEmpty() || rest.length() > LONGEST_PAIR || FILE.matcher(word.text()).matches()) return word;
        boolean isTitle = TITLES.contains(key), isFile = FILE_END.matcher(rest).matches() && (isTitle || !AMOUNT.matcher(word.text()).matches());
        if (!isFile && !(isTitle && NUMBERED.matcher(rest).matches())) return word;
        problems.report(places.at(node.getEndMark()), "' #' makes a comment of the rest of this line: where it belongs to the value put that in quotes, \""
                + shown((word.text() + rest).strip()) + "\"; where it is a comment, put a space behind the #");
        problems.settles(word.at());
        return isFile ? new Word(word.text() + rest.stripTrailing(), word.at()) : word;
    }

    private static String shown(String word) {
        return word.length() > 40 ? word.substring(0, 40) + "…" : word;
    }

    private Span span(Node node) {
        return places.at(node.getStartMark(), node.getEndMark());
    }
}

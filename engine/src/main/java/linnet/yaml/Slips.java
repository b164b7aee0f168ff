package linnet.yaml;

import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.text.Problem;
import linnet.text.SourceText;
import linnet.text.Span;
import org.yaml.snakeyaml.error.Mark;
import org.yaml.snakeyaml.error.MarkedYAMLException;

/**
 * The likely cause of what the library trips over, and where that is: often some lines above. Looked for in a text that is no YAML, and so
 * among what is allowed but seldom meant, such as a quote over several lines.
 */
final class Slips {
    private static final Pattern INDENT = Pattern.compile("( *)((?:- +)*+).*");
    /** A key and what is against its colon. */
    private static final Pattern NO_SPACE = Pattern.compile("( *(?:- +)*+)(\\p{L}[\\p{L}\\p{N} -]*):(\\S.*)");
    /** A value without quotes that has a colon and a space. */
    private static final Pattern COLON = Pattern.compile("( *(?:- +)*+[^:#\"'{\\[]+: +)([^\"'{\\[&*|>!#].*?:(?: .*|$))");

    /** In characters: nobody writes longer lines by hand, and what looks for slips would take long for them. */
    private static final int LONGEST_LINE = 1000;

    private final SourceText source;
    private final Places places;

    Slips(SourceText source, Places places) {
        this.source = source;
        this.places = places;
    }

    /** What is wrong, in words for whoever wrote it. */
    Problem of(MarkedYAMLException e) {
        Mark mark = e.getProblemMark();
        Span at = mark == null ? places.start() : places.at(mark);
        Problem plain = new Problem(at, "this is not YAML: " + e.getProblem());
        if (source.lines().stream().anyMatch(l -> l.length() > LONGEST_LINE)) return plain;
        String context = String.valueOf(e.getContext());
        Optional<Problem> found = tab(at.line());
        if (found.isEmpty()) found = quote(at.line());
        if (found.isEmpty() && context.contains("flow") && e.getContextMark() != null) found = flow(places.at(e.getContextMark()), at);
        if (found.isEmpty()) found = colon(at);
        if (found.isEmpty() && (context.contains("block") || e.getProblem().contains("mapping values"))) found = indent(at);
        return found.orElse(plain);
    }

    /** A line, or the one before it, that is indented by a tab. */
    private Optional<Problem> tab(int last) {
        for (int n : new int[] {before(last), last}) {
            String line = source.line(n);
            int text = 0;
            while (text < line.length() && Character.isWhitespace(line.charAt(text))) text++;
            int tab = line.indexOf('\t');
            if (tab >= 0 && tab < text && text < line.length() && line.charAt(text) != '#') {
                return Optional.of(new Problem(span(n, tab, 1), "a tab indents this line, and YAML knows spaces alone there: write two spaces for each tab"));
            }
        }
        return Optional.empty();
    }

    /** The first quote that begins a value up to a line and does not end in its own. */
    private Optional<Problem> quote(int last) {
        for (int n = 1; n <= Math.min(last, source.lines().size()); n++) {
            String line = source.line(n);
            for (int i = 0; i < line.length(); i++) {
                if (isComment(line, i)) break;
                char c = line.charAt(i);
                if (c != '"' && c != '\'' || i > 0 && " [{,".indexOf(line.charAt(i - 1)) < 0) continue;
                if (i > 0 && !line.substring(0, i).isBlank() && !line.substring(0, i).strip().matches("(?s).*[:\\[{,-]")) continue;
                int end = closed(line, i);
                if (end < 0) return Optional.of(new Problem(span(n, i, 1), "the quote that begins here is not closed"));
                i = end;
            }
        }
        return Optional.empty();
    }

    private static int closed(String line, int from) {
        char quote = line.charAt(from);
        for (int i = from + 1; i < line.length(); i++) {
            if (quote == '"' && line.charAt(i) == '\\') i++;
            else if (line.charAt(i) == quote) return i;
        }
        return -1;
    }

    private static boolean isComment(String line, int i) {
        return line.charAt(i) == '#' && (i == 0 || Character.isWhitespace(line.charAt(i - 1)));
    }

    /** Braces or brackets that begin in one line and fail in a later one. */
    private Optional<Problem> flow(Span begin, Span at) {
        if (begin.line() == at.line()) return Optional.empty();
        for (int n = begin.line(); n < at.line(); n++) {
            String line = source.line(n);
            for (int i = 1; i < line.length(); i++) {
                if (line.charAt(i) == '"' || line.charAt(i) == '\'') i = Math.max(i, closed(line, i));
                else if (isComment(line, i)) {
                    if (!line.substring(0, i).isBlank() && closes(line.substring(i))) {
                        return Optional.of(new Problem(span(n, i, 1), "' #' makes a comment of the rest of this line: put what has it in quotes"));
                    }
                    break;
                }
            }
        }
        String open = source.line(begin.line());
        int from = open.offsetByCodePoints(0, Math.min(begin.column() - 1, open.codePointCount(0, open.length())));
        return Optional.of(new Problem(begin, "the " + (open.startsWith("[", from) ? "bracket" : "brace") + " that begins here is not closed"));
    }

    /** Whether more braces and brackets end in a text than begin in it. */
    private static boolean closes(String text) {
        return text.chars().filter(c -> c == '}' || c == ']').count() > text.chars().filter(c -> c == '{' || c == '[').count();
    }

    /** A colon that has no space behind it, or one too many in a value. */
    private Optional<Problem> colon(Span at) {
        int before = before(at.line());
        for (int n : new int[] {before, at.line()}) {
            Matcher close = NO_SPACE.matcher(source.line(n));
            if (close.matches() && !close.group(3).startsWith("//")) {
                return Optional.of(new Problem(span(n, close.end(2), 1),
                        "a space is missing after the colon: " + close.group(2) + ": " + shown(close.group(3))));
            }
        }
        Matcher colon = COLON.matcher(source.line(at.line()));
        if (!colon.matches()) return Optional.empty();
        String value = colon.group(2).strip();
        return Optional.of(new Problem(span(at.line(), colon.start(2), value.length()),
                "put what has a colon and a space in it in quotes: \"" + shown(value) + "\""));
    }

    /** A line that goes with none above it. */
    private Optional<Problem> indent(Span at) {
        int above = before(at.line());
        String line = source.line(at.line());
        if (above == 0 || line.isBlank()) return Optional.empty();
        Matcher here = INDENT.matcher(line), there = INDENT.matcher(source.line(above));
        if (!here.matches() || !there.matches()) return Optional.empty();
        int column = here.group(1).length(), wanted = here.group(2).isEmpty() ? there.end(2) : there.end(1);
        if (column == wanted) return Optional.empty();
        int by = Math.abs(wanted - column);
        return Optional.of(new Problem(span(at.line(), column, 1), "this line goes with none above it: " + by + (by == 1 ? " column " : " columns ")
                + (wanted > column ? "more" : "less") + ", and it goes with line " + above));
    }

    /** The line before one that says something; 0 where there is none. */
    private int before(int line) {
        int n = line - 1;
        while (n > 0 && source.line(n).matches("\\s*(#.*)?")) n--;
        return n;
    }

    private Span span(int line, int from, int length) {
        return new Span(source, line, source.line(line).codePointCount(0, from) + 1, Math.max(1, length));
    }

    private static String shown(String text) {
        return text.length() > 40 ? text.substring(0, 40) + "…" : text;
    }
}

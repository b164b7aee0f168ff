package linnet.song;

import java.nio.charset.StandardCharsets;
import java.text.Normalizer;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.regex.Pattern;
import linnet.text.Problems;
import linnet.text.Word;

/** The names that a song gives: each once, and each fit to be that of a file. */
final class Names {
    /** Devices that some systems see in every folder; what leads into another folder or is no name of a file somewhere; and what stands at ends and within. */
    private static final String DEVICE = "(?i:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]) *([.]|$)", NEVER = "/\\\\:*?\"<>|\\p{Cc}\\p{Cf}\\p{Zl}\\p{Zp}",
            AT_AN_END = "[^." + NEVER + "\\s]", WITHIN = "[^" + NEVER + "]";
    /** What a file can be called everywhere. */
    private static final Pattern NAME = Pattern.compile("(?!" + DEVICE + ")" + AT_AN_END + "(" + WITHIN + "*" + AT_AN_END + ")?");
    private static final int LONGEST = 60;
    /** The same for editors, without what nobody types. */
    static final String PLAIN = "[^./\\\\:*?\"<>|\\s][^/\\\\:*?\"<>|]*";
    /** Names that mean something in every song. */
    private static final List<String> TAKEN = List.of(PrintReader.MIX, PrintReader.VOCALS, PrintReader.THROWS, PrintReader.STEMS, SongReader.INSTRUMENTAL);
    /** What a song may call its parts, groups and returns. */
    static final String GIVEN = "(?!(" + String.join("|", TAKEN) + ")$)(?!.* to )" + PLAIN.replaceFirst("[*]$", "{0," + (LONGEST - 1) + "}");
    /** With all that a pattern puts around a name. */
    private static final int LONGEST_OF_A_FILE = 150;
    /** What file systems hold, without room for an ending. */
    private static final int MOST_BYTES = 240;
    static final String RULE = "no dot or space before or after it, none of / \\ : * ? \" < > | in it, and no name of a device such as con or nul";

    private final Set<String> given = new HashSet<>();
    private final Problems problems;

    Names(Problems problems) {
        this.problems = problems;
        given.addAll(TAKEN);
    }

    /** Whether a file can be called that everywhere. */
    static boolean isFit(String name) {
        return name.length() <= LONGEST_OF_A_FILE && name.getBytes(StandardCharsets.UTF_8).length <= MOST_BYTES && NAME.matcher(name).matches();
    }

    /**
     * Names with one key would be one file somewhere: where capitals do not count, or letters are taken apart. The tables of letters are read only where a name
     * has others than the plain ones.
     */
    static String key(String name) {
        boolean plain = name.length() == name.getBytes(StandardCharsets.UTF_8).length;
        return (plain ? name : Normalizer.normalize(name, Normalizer.Form.NFC)).toLowerCase(Locale.ROOT);
    }

    /** Takes note of a name; what is wrong with it becomes a problem. */
    void give(Word word) {
        String name = word.text();
        if (name.isBlank() || name.length() > LONGEST || !isFit(name)) {
            problems.report(word.at(), "a print takes its file name from this: 1 to " + LONGEST + " characters, " + RULE);
            // Where capitals do not count in the names of files, one print would take the place of the other.
        } else if (!given.add(key(name))) {
            problems.report(word.at(),
                    "'" + name + "' is the name of something else already"
                    + (name.equals(name.toLowerCase(Locale.ROOT)) ? "" : "; capitals make no difference"));
        }
        if (name.contains(" to ")) problems.report(word.at(), "'" + name + "' would read as a send in 'moves': no 'to' in a name");
        if (name.endsWith(" each")) problems.report(word.at(), "'" + name + "' would read as an 'each' in 'moves': no 'each' at the end of a name");
    }
}

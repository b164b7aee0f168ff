package linnet.revision;

import java.util.List;

/**
 * One thing that a newer version has different.
 *
 * @param where stretch of the song; empty for all of it
 * @param what part, step, setting: what it is; empty where {@code how} says it
 * @param how the difference, such as "3 dB lower"
 */
public record Change(String where, String what, String how) {
    /** As a line of a revision note: "verse 2: plate 3 dB lower". */
    public String sentence() {
        return (where.isEmpty() ? "" : where + ": ") + (what.isEmpty() ? "" : what + " ") + how;
    }

    /** "doubles, high and low". */
    public static String list(List<String> names) {
        int last = names.size() - 1;
        return last < 1 ? String.join("", names) : String.join(", ", names.subList(0, last)) + " and " + names.get(last);
    }
}

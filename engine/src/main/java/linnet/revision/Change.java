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
}

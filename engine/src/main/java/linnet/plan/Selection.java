package linnet.plan;

import java.util.Set;

/**
 * Some of what is sung and played in a song.
 *
 * @param parts names of parts, the instrumental among them
 * @param throwsOnly whether only what is thrown of them counts
 */
record Selection(Set<String> parts, boolean throwsOnly) {
    Selection {
        parts = Set.copyOf(parts);
    }

    static Selection of(Set<String> parts) {
        return new Selection(parts, false);
    }
}

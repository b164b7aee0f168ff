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

    @Override
    public boolean equals(Object o) {
        return o instanceof Selection s && throwsOnly == s.throwsOnly && parts.equals(s.parts);
    }

    @Override
    public int hashCode() {
        return 31 * parts.hashCode() + Boolean.hashCode(throwsOnly);
    }
}

package linnet.song;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * What a song tells whoever receives its prints. No sound hangs on it.
 *
 * @param about what one should know of it, or empty
 * @param rows what the song calls them, in its order: artist, written by, rights; each with a line or several
 */
public record Credits(String about, Map<String, List<String>> rows) {
    public Credits {
        rows = Collections.unmodifiableMap(new LinkedHashMap<>(rows));
    }

    public boolean isEmpty() {
        return about.isEmpty() && rows.isEmpty();
    }
}

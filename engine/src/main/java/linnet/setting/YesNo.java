package linnet.setting;

import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;

/** Yes and no, the same words wherever one of them is asked for: other programs write such as true and false, or as on and off. */
public final class YesNo {
    public static final List<String> YES = List.of("yes", "on", "true"), NO = List.of("no", "off", "false");
    /** What messages name. */
    public static final List<String> NAMED = List.of("yes", "no");

    private YesNo() {}

    public static Optional<Boolean> read(String word) {
        return YES.contains(word) ? Optional.of(true) : NO.contains(word) ? Optional.of(false) : Optional.empty();
    }

    /** All words that mean the same as one of these, and these. */
    public static List<String> withOthers(List<String> words) {
        return words.stream().flatMap(w -> w.equals("yes") ? YES.stream() : w.equals("no") ? NO.stream() : Stream.of(w)).toList();
    }
}

package linnet.text;

import java.util.List;

/** Several words as they are said. */
public final class Listed {
    private Listed() {}

    /** "doubles, high and low"; nothing of none. */
    public static String of(List<String> words) {
        int last = words.size() - 1;
        return last < 1 ? String.join("", words) : String.join(", ", words.subList(0, last)) + " and " + words.get(last);
    }
}

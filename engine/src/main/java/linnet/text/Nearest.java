package linnet.text;

import java.util.Collection;
import java.util.Comparator;
import java.util.Optional;

/** Finds the known word that a mistyped one was probably meant to be. */
public final class Nearest {
    private Nearest() {}

    /** The known word within about a third of the length in edits, if there is one. */
    public static Optional<String> to(String word, Collection<String> known) {
        if (word.length() > 40) return Optional.empty();
        String low = plain(word);
        return known.stream()
                .filter(k -> edits(low, plain(k)) <= Math.max(1, Math.max(low.length(), k.length()) / 3))
                .min(Comparator.comparingInt((String k) -> edits(low, plain(k))).thenComparing(k -> k));
    }

    private static String plain(String word) {
        return word.toLowerCase(java.util.Locale.ROOT).replace('_', '-').replace(' ', '-');
    }

    /** "; did you mean 'x'?" or nothing. */
    public static String hint(String word, Collection<String> known) {
        return to(word, known).map(k -> "; did you mean '" + k + "'?").orElse("");
    }

    /** Whether a word that is missing was probably meant by one that is there and not known: its hint has said so, and that it is missing says nothing new. */
    public static boolean isHinted(String missing, Collection<String> there, Collection<String> known) {
        return there.stream().anyMatch(w -> !known.contains(w) && to(w, known).filter(missing::equals).isPresent());
    }

    /** Edit distance in which two swapped neighbours count once (optimal string alignment). */
    private static int edits(String a, String b) {
        int[][] d = new int[a.length() + 1][b.length() + 1];
        for (int i = 0; i <= a.length(); i++) d[i][0] = i;
        for (int j = 0; j <= b.length(); j++) d[0][j] = j;
        for (int i = 1; i <= a.length(); i++) {
            for (int j = 1; j <= b.length(); j++) {
                int same = a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1;
                d[i][j] = Math.min(Math.min(d[i - 1][j], d[i][j - 1]) + 1, d[i - 1][j - 1] + same);
                if (i > 1 && j > 1 && a.charAt(i - 1) == b.charAt(j - 2) && a.charAt(i - 2) == b.charAt(j - 1)) {
                    d[i][j] = Math.min(d[i][j], d[i - 2][j - 2] + 1);
                }
            }
        }
        return d[a.length()][b.length()];
    }
}

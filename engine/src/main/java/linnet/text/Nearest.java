package linnet.text;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;

/** Finds the known word that a mistyped one was probably meant to be. */
public final class Nearest {
    private static final int LONGEST = 40;
    /** A unit may stand against its number, and a number against its name. */
    private static final Pattern WORD = Pattern.compile("\\p{L}[^\\s\\d]*");

    private Nearest() {}

    /** A text that could be meant, with how far the word that was typed is from the known one: in edits, in letters they do not share, in length. */
    private record Guess(String text, int away, int others, int longer) {
        static final Comparator<Guess> NEARER = Comparator.comparingInt(Guess::away).thenComparingInt(Guess::others).thenComparingInt(Guess::longer);

        /** Near is about a third of the length in edits, and a letter that is the same. */
        static Optional<Guess> of(String text, String typed, String known) {
            String a = plain(typed), b = plain(known);
            int longest = Math.max(a.length(), b.length()), edits = edits(a, b);
            if (edits > Math.max(1, longest / 3) || edits >= longest) return Optional.empty();
            return Optional.of(new Guess(text, edits, -shared(a, b), Math.abs(a.length() - b.length())));
        }
    }

    /** The known word that is near, if there is one. */
    public static Optional<String> to(String word, Collection<String> known) {
        return best(guesses(word, known)).stream().findFirst();
    }

    /** "; did you mean 'x'?" or nothing. */
    public static String hint(String word, Collection<String> known) {
        return hint(best(guesses(word, known)));
    }

    /**
     * The same for a text of several words, one of which is none that could stand there: the text with a known one in its place. Of a
     * number with a comma it says how to write it.
     *
     * @param words that the text can have; of those with several, each
     * @param reads whether a text can be read
     */
    public static String hint(String text, Collection<String> words, Predicate<String> reads) {
        String pointed = Comma.mended(text);
        if (!pointed.equals(text) && reads.test(pointed)) return "; " + Comma.remedy(text);
        return hint(best(mended(text, words, reads)));
    }

    /** Whether a word that is missing was probably meant by one that is there and not known: its hint has said so, and that it is missing says nothing new. */
    public static boolean isHinted(String missing, Collection<String> there, Collection<String> known) {
        return there.stream().anyMatch(w -> !known.contains(w) && best(guesses(w, known)).contains(missing));
    }

    private static String hint(List<String> meant) {
        if (meant.isEmpty()) return "";
        return "; did you mean '" + meant.get(0) + (meant.size() == 2 ? "' or '" + meant.get(1) : "") + "'?";
    }

    private static List<Guess> guesses(String word, Collection<String> known) {
        if (word.length() > LONGEST) return List.of();
        return known.stream().distinct().map(k -> Guess.of(k, word, k)).flatMap(Optional::stream).toList();
    }

    private static List<Guess> mended(String text, Collection<String> words, Predicate<String> reads) {
        if (text.length() > LONGEST) return List.of();
        Set<String> known = new HashSet<>();
        words.forEach(w -> words(w).forEach(m -> known.add(m.group())));
        List<MatchResult> strange = words(text).stream().filter(m -> !known.contains(m.group())).toList();
        if (strange.size() != 1) return List.of();
        MatchResult slip = strange.get(0);
        List<Guess> mended = new ArrayList<>();
        for (String k : known) {
            Guess.of(text.substring(0, slip.start()) + k + text.substring(slip.end()), slip.group(), k).filter(g -> reads.test(g.text)).ifPresent(mended::add);
        }
        return mended;
    }

    private static List<MatchResult> words(String text) {
        return WORD.matcher(text).results().toList();
    }

    /** What is nearest, in the order of the alphabet where that is more than one. */
    private static List<String> best(List<Guess> guesses) {
        Optional<Guess> nearest = guesses.stream().min(Guess.NEARER);
        return guesses.stream().filter(g -> Guess.NEARER.compare(g, nearest.orElseThrow()) == 0).map(Guess::text).sorted().toList();
    }

    private static String plain(String word) {
        return word.toLowerCase(Locale.ROOT).replace('_', '-').replace(' ', '-');
    }

    /** How many letters are in both, wherever. */
    private static int shared(String a, String b) {
        int shared = 0;
        StringBuilder left = new StringBuilder(b);
        for (char c : a.toCharArray()) {
            int at = left.indexOf(String.valueOf(c));
            if (at < 0) continue;
            shared++;
            left.deleteCharAt(at);
        }
        return shared;
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

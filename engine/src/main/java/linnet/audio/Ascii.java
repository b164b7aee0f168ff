package linnet.audio;

import java.nio.charset.StandardCharsets;
import java.text.Normalizer;

/**
 * Text where a standard has room for ASCII alone: letters without their marks, and most of Latin that are no plain letter with a mark as one writes them
 * without ({@code ss} for {@code ß}; a choice, after the Latin-ASCII rules of the CLDR from memory). What is left becomes {@code ?}.
 */
final class Ascii {
    private Ascii() {}

    static byte[] bytes(String text) {
        StringBuilder plain = new StringBuilder();
        // Compatible forms too: a ligature is its letters, an ellipsis its dots.
        String apart = Normalizer.normalize(text, Normalizer.Form.NFKD).replaceAll("\\p{M}", "");
        for (int i = 0; i < apart.length(); i++) plain.append(plain(apart.charAt(i)));
        return plain.toString().getBytes(StandardCharsets.US_ASCII);
    }

    private static Object plain(char c) {
        return switch (c) {
            case 'ß' -> "ss";
            case 'ẞ' -> "SS";
            case 'æ' -> "ae";
            case 'Æ' -> "AE";
            case 'œ' -> "oe";
            case 'Œ' -> "OE";
            case 'þ' -> "th";
            case 'Þ' -> "Th";
            case 'ø' -> 'o';
            case 'Ø' -> 'O';
            case 'ł' -> 'l';
            case 'Ł' -> 'L';
            case 'đ', 'ð' -> 'd';
            case 'Đ', 'Ð' -> 'D';
            case 'ħ' -> 'h';
            case 'Ħ' -> 'H';
            case 'ŋ' -> 'n';
            case 'Ŋ' -> 'N';
            case 'ŧ' -> 't';
            case 'Ŧ' -> 'T';
            case 'ə' -> 'e';
            case 'Ə' -> 'E';
            case 'ı' -> 'i';
            case '‘', '’', '‚', '‛', '‹', '›' -> '\'';
            case '“', '”', '„', '‟', '«', '»' -> '"';
            case '‐', '‒', '–', '—', '―', '−' -> '-';
            // The line of a fraction.
            case '⁄' -> '/';
            default -> c;
        };
    }
}

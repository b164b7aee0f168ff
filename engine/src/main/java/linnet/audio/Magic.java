package linnet.audio;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.Locale;

/** Names what a file or a coding seems to be, from the numbers by which the formats are told apart. */
final class Magic {
    private Magic() {}

    /** {@code : it seems to be FLAC}, or nothing where the first bytes (at most 12) tell nothing. */
    static String seems(ByteBuffer head) {
        String start = new String(head.array(), 0, head.limit(), StandardCharsets.ISO_8859_1);
        String kind = kind(start);
        return kind.isEmpty() ? "" : ": it seems to be " + kind;
    }

    private static String kind(String start) {
        if (start.startsWith("ID3")) return "MP3";
        if (start.startsWith("fLaC")) return "FLAC";
        if (start.startsWith("OggS")) return "Ogg";
        if (start.startsWith("FORM") && start.startsWith("AIF", 8)) return "AIFF";
        if (start.startsWith("ftyp", 4)) return "MP4";
        if (start.startsWith("caff")) return "CAF";
        if (start.startsWith(".snd")) return "AU";
        if (start.startsWith("RIFX")) return "a big-endian WAV";
        if (start.startsWith("PK\3\4")) return "a ZIP archive";
        if (start.startsWith("%PDF")) return "a PDF";
        // An MPEG audio frame starts with eleven set bits and a layer that is not 0 (which would be an AAC frame).
        if (start.length() > 1 && start.charAt(0) == 0xFF && (start.charAt(1) & 0xE0) == 0xE0) {
            return (start.charAt(1) & 0x06) == 0 ? "AAC" : "MP3";
        }
        return "";
    }

    /** The coding that a format tag stands for. */
    static String coding(int tag) {
        return switch (tag) {
            case 0x0002 -> "ADPCM";
            case 0x0006 -> "A-law";
            case 0x0007 -> "mu-law";
            case 0x0011 -> "IMA ADPCM";
            case 0x0031 -> "GSM 6.10";
            case 0x0050 -> "MPEG audio";
            case 0x0055 -> "MP3";
            case 0x00FF -> "AAC";
            default -> String.format(Locale.ROOT, "number 0x%04X", tag);
        };
    }
}

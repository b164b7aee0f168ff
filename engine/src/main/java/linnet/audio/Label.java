package linnet.audio;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.CharBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * A cue of a WAV file with what is written to it: the chunks {@code cue } and, in {@code LIST adtl}, {@code labl} (Multimedia Programming
 * Interface and Data Specifications 1.0, IBM and Microsoft, 1991). What the chunks claim is held against the bytes that are there; the
 * {@code text} is empty where none is written.
 *
 * @param frame place of the cue in the sound
 */
public record Label(String text, long frame) {
    private static final int CUE_BYTES = 24, FRAME_AT = 20, LONGEST = 120;

    /** In order of time, those past the end of the sound left out. */
    public static List<Label> of(WavHeader header) {
        Map<Integer, String> texts = new HashMap<>();
        for (Chunk c : header.chunks()) if (c.id().equals("LIST")) texts(c.body(), texts);
        List<Label> all = new ArrayList<>();
        for (Chunk c : header.chunks()) {
            if (!c.id().equals("cue ") || c.body().length < 4) continue;
            ByteBuffer b = ByteBuffer.wrap(c.body()).order(ByteOrder.LITTLE_ENDIAN);
            long count = Math.min(b.getInt(0) & 0xFFFF_FFFFL, (c.body().length - 4) / CUE_BYTES);
            for (int i = 0; i < count; i++) {
                long frame = b.getInt(4 + i * CUE_BYTES + FRAME_AT) & 0xFFFF_FFFFL;
                if (frame < header.frames()) all.add(new Label(texts.getOrDefault(b.getInt(4 + i * CUE_BYTES), ""), frame));
            }
        }
        all.sort(Comparator.comparingLong(Label::frame));
        return all;
    }

    private static void texts(byte[] list, Map<Integer, String> into) {
        ByteBuffer b = ByteBuffer.wrap(list).order(ByteOrder.LITTLE_ENDIAN);
        if (list.length < 4 || !id(list, 0).equals("adtl")) return;
        for (long at = 4; at + 12 <= list.length; ) {
            long length = b.getInt((int) at + 4) & 0xFFFF_FFFFL, next = at + 8 + length + (length & 1);
            if (length < 4 || at + 8 + length > list.length) return;
            if (id(list, (int) at).equals("labl")) into.putIfAbsent(b.getInt((int) at + 8), text(list, (int) at + 12, (int) length - 4));
            at = next;
        }
    }

    private static String id(byte[] bytes, int at) {
        return new String(bytes, at, 4, StandardCharsets.ISO_8859_1);
    }

    /** Up to its zero, as one line: in UTF-8, or where it is none in Latin-1. */
    private static String text(byte[] bytes, int from, int length) {
        int n = 0;
        while (n < length && bytes[from + n] != 0) n++;
        CharSequence text;
        try {
            CharBuffer decoded = StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(bytes, from, n));
            text = decoded;
        } catch (CharacterCodingException e) {
            text = new String(bytes, from, n, StandardCharsets.ISO_8859_1);
        }
        String line = text.toString().replaceAll("[\\p{Cc}\\p{Zl}\\p{Zp}\\s\\u202A-\\u202E\\u2066-\\u2069]+", " ").strip();
        return line.length() > LONGEST ? line.substring(0, LONGEST) : line;
    }
}

package linnet.audio;

import java.io.ByteArrayOutputStream;
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
    private static final String ADTL = "adtl", LABEL = "labl";

    /** In order of time, those past the end of the sound left out. */
    public static List<Label> of(WavHeader header) {
        return of(header.chunks(), header.frames());
    }

    static List<Label> of(List<Chunk> chunks, long frames) {
        Map<Integer, String> texts = new HashMap<>();
        for (Chunk c : chunks) if (c.id().equals("LIST")) texts(c.body(), texts);
        List<Label> all = new ArrayList<>();
        for (Chunk c : chunks) {
            if (!c.id().equals("cue ") || c.body().length < 4) continue;
            ByteBuffer b = ByteBuffer.wrap(c.body()).order(ByteOrder.LITTLE_ENDIAN);
            long count = Math.min(b.getInt(0) & 0xFFFF_FFFFL, (c.body().length - 4) / CUE_BYTES);
            for (int i = 0; i < count; i++) {
                long frame = b.getInt(4 + i * CUE_BYTES + FRAME_AT) & 0xFFFF_FFFFL;
                if (frame < frames) all.add(new Label(texts.getOrDefault(b.getInt(4 + i * CUE_BYTES), ""), frame));
            }
        }
        all.sort(Comparator.comparingLong(Label::frame));
        return all;
    }

    /** As chunks behind a sound that begins and ends at these frames; none where none of them lies in it. */
    static List<Chunk> chunks(List<Label> labels, long from, long to) {
        List<Label> inside = labels.stream().filter(l -> l.frame >= from && l.frame < to && l.frame - from <= 0xFFFF_FFFFL).toList();
        if (inside.isEmpty()) return List.of();
        ByteBuffer cues = WavHead.little(4 + inside.size() * CUE_BYTES).putInt(inside.size());
        ByteArrayOutputStream texts = new ByteArrayOutputStream();
        texts.writeBytes(ADTL.getBytes(StandardCharsets.US_ASCII));
        for (int id = 1; id <= inside.size(); id++) {
            Label l = inside.get(id - 1);
            int frame = (int) (l.frame - from);
            // Without a play list the place in the play order is the place in the sound.
            cues.putInt(id).putInt(frame).put("data".getBytes(StandardCharsets.US_ASCII)).putInt(0).putInt(0).putInt(frame);
            byte[] text = l.text.getBytes(StandardCharsets.UTF_8);
            // Its zero belongs to it.
            texts.writeBytes(WavHead.chunk(new Chunk(LABEL, WavHead.little(4 + text.length + 1).putInt(id).put(text).array())).array());
        }
        return List.of(new Chunk("cue ", cues.array()), new Chunk("LIST", texts.toByteArray()));
    }

    private static void texts(byte[] list, Map<Integer, String> into) {
        ByteBuffer b = ByteBuffer.wrap(list).order(ByteOrder.LITTLE_ENDIAN);
        if (list.length < 4 || !id(list, 0).equals(ADTL)) return;
        for (long at = 4; at + 12 <= list.length; ) {
            long length = b.getInt((int) at + 4) & 0xFFFF_FFFFL, next = at + 8 + length + (length & 1);
            if (length < 4 || at + 8 + length > list.length) return;
            if (id(list, (int) at).equals(LABEL)) into.putIfAbsent(b.getInt((int) at + 8), text(list, (int) at + 12, (int) length - 4));
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

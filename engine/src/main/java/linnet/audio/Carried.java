package linnet.audio;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;

/**
 * The chunks of a take as they belong on its print: the broadcast extension (EBU Tech 3285) before the sound, cues, labels
 * and info behind it.
 */
final class Carried {
    private static final int CUE_BYTES = 24;

    private Carried() {}

    static List<Chunk> before(Print print) {
        if (print.bext() != null) return List.of(print.bext().chunk());
        String history = print.origin() == null ? print.coding() : print.origin().history(print);
        List<Chunk> takes = chunks(print, "bext")
                .map(c -> new Chunk("bext", Bext.carried(c.body(), start -> Math.round(start * ratio(print)) + print.from(), print.loudness(), history)))
                .toList();
        return takes.isEmpty() && print.origin() != null ? List.of(own(print, history)) : takes;
    }

    private static Chunk own(Print print, String history) {
        Origin made = print.origin();
        return new Bext(made.print(), made.version(), made.reference(), "", "", print.from(), print.loudness(), history).chunk();
    }

    static List<Chunk> after(Print print, long frames) {
        if (!print.labels().isEmpty()) return Label.chunks(print.labels(), print.from(), print.from() + frames);
        Set<Integer> gone = new HashSet<>(), left = new HashSet<>();
        List<Chunk> cues = chunks(print, "cue ").map(c -> new Chunk("cue ", cues(c.body(), print, frames, gone, left))).filter(c -> c.body().length > 4)
                .toList();
        // Ids should be each one's own; a label that two cues share stays with the one that does.
        gone.removeAll(left);
        return Stream.concat(
                cues.stream(),
                chunks(print, "LIST").map(c -> new Chunk("LIST", labels(c.body(), gone))).filter(c -> c.body().length > 4)).toList();
    }

    private static Stream<Chunk> chunks(Print print, String id) {
        return print.source() == null ? Stream.of() : print.source().chunks().stream().filter(c -> c.id().equals(id));
    }

    /** The cues inside the print, moved to it; their ids are added to {@code left}, and those of the others to {@code gone}. */
    private static byte[] cues(byte[] take, Print print, long frames, Set<Integer> gone, Set<Integer> left) {
        if (take.length < 4) return new byte[0];
        ByteBuffer from = little(take);
        int count = (int) Math.min(from.getInt(0) & 0xFFFF_FFFFL, (take.length - 4) / CUE_BYTES);
        ByteBuffer to = little(new byte[4 + count * CUE_BYTES]).position(4);
        for (int at = 4; at < 4 + count * CUE_BYTES; at += CUE_BYTES) {
            long frame = Math.round((from.getInt(at + 20) & 0xFFFF_FFFFL) * ratio(print)) - print.from();
            if (frame < 0 || frame >= frames) {
                gone.add(from.getInt(at));
                continue;
            }
            left.add(from.getInt(at));
            // Without a play list, which is not carried on, the place in the play order is the place in the sound.
            to.putInt(from.getInt(at)).putInt((int) frame).put(take, at + 8, 12).putInt((int) frame);
        }
        to.putInt(0, to.position() / CUE_BYTES);
        return Arrays.copyOf(to.array(), to.position());
    }

    /** A LIST without the labels, notes and regions of cues that are gone; info is left as it is. */
    private static byte[] labels(byte[] take, Set<Integer> gone) {
        ByteBuffer from = little(take);
        if (!new String(take, 0, 4, StandardCharsets.ISO_8859_1).equals("adtl") || gone.isEmpty()) return take;
        ByteArrayOutputStream to = new ByteArrayOutputStream();
        to.write(take, 0, 4);
        for (int at = 4; at + 12 <= take.length; ) {
            long length = from.getInt(at + 4) & 0xFFFF_FFFFL;
            long next = at + 8 + length + length % 2;
            if (length < 4 || at + 8 + length > take.length) break;
            int end = (int) Math.min(next, take.length);
            if (!gone.contains(from.getInt(at + 8))) to.write(take, at, end - at);
            at = end;
        }
        return to.toByteArray();
    }

    /** Frames of the print per frame of the take. */
    private static double ratio(Print print) {
        return (double) print.rate() / print.source().rate();
    }

    private static ByteBuffer little(byte[] bytes) {
        return ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
    }
}

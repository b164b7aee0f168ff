package linnet.hear;

import java.nio.BufferUnderflowException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.BiConsumer;
import java.util.function.Function;
import linnet.dsp.pitch.PitchTrack;

/**
 * How a fact is written as bytes and read again, to the bit.
 *
 * @param size bytes it takes at most
 */
public record Remembered<T>(Function<T, Integer> size, BiConsumer<T, ByteBuffer> put, Function<ByteBuffer, T> get) {
    private static final int MARK = 8 + 8 + 8 + 1 + 1 + 4, NOTE = 8 * 8 + 1 + 8 + 1;

    static final Remembered<Double> NUMBER = new Remembered<>(x -> 8, (x, to) -> to.putDouble(x), ByteBuffer::getDouble);

    static final Remembered<Measured<Double>> MEASURED = measured(NUMBER);

    static final Remembered<Measured<Resonance>> RESONANCE = measured(
            new Remembered<>(r -> 24, (r, to) -> to.putDouble(r.hz()).putDouble(r.width()).putDouble(r.height()),
                    from -> new Resonance(from.getDouble(), from.getDouble(), from.getDouble())));

    static final Remembered<PitchTrack> PITCH = new Remembered<>(p -> 12 + 4 * (p.hz().length + p.fine().length), (p, to) -> {
        to.putInt(p.hop());
        putFloats(p.hz(), to);
        putFloats(p.fine(), to);
    }, from -> {
        int hop = from.getInt();
        float[] hz = floats(from), fine = floats(from);
        checkFrames(hop, hz, fine);
        return new PitchTrack(hop, hz, fine);
    });

    /** A list of marks. */
    public static final Remembered<List<Mark>> MARKS = list(new Remembered<>(m -> MARK + text(m.word()).length, (m, to) -> {
        to.putLong(m.from()).putLong(m.to()).putDouble(m.confidence()).put((byte) m.kind().ordinal()).put((byte) (m.kept() ? 1 : 0));
        putText(m.word(), to);
    }, from -> {
        long begin = from.getLong(), end = from.getLong();
        double confidence = from.getDouble();
        Mark.Kind kind = Mark.Kind.values()[from.get()];
        return new Mark(kind, begin, end, confidence, from.get() == 1, readText(from));
    }));

    /** A list of notes. */
    public static final Remembered<List<Note>> NOTES = list(new Remembered<>(n -> NOTE, (n, to) -> {
        to.putLong(n.from()).putLong(n.to()).putDouble(n.pitch()).putDouble(n.vibratoHz()).putDouble(n.vibratoCents()).putDouble(n.scoopCents())
                .putDouble(n.fallCents()).putDouble(n.confidence());
        to.put(n.target().map(t -> (byte) (1 + t.kind().ordinal())).orElse((byte) 0)).putDouble(n.target().map(Note.Target::pitch).orElse(0.0));
    }, from -> {
        long begin = from.getLong(), end = from.getLong();
        double pitch = from.getDouble(), hz = from.getDouble(), cents = from.getDouble(), scoop = from.getDouble(), fall = from.getDouble(),
                confidence = from.getDouble();
        int target = from.get();
        double at = from.getDouble();
        return new Note(begin, end, pitch, hz, cents, scoop, fall, confidence,
                target == 0 ? Optional.empty() : Optional.of(new Note.Target(Note.Target.Kind.values()[target - 1], at)));
    }));

    public byte[] write(T fact) {
        ByteBuffer to = ByteBuffer.allocate(size.apply(fact));
        put.accept(fact, to);
        return java.util.Arrays.copyOf(to.array(), to.position());
    }

    /** What the bytes say; empty where they were not written in this form, in which they can only be forged: then it is heard anew. */
    public Optional<T> read(byte[] bytes) {
        try {
            return Optional.of(get.apply(ByteBuffer.wrap(bytes)));
        } catch (BufferUnderflowException | IndexOutOfBoundsException | IllegalArgumentException e) {
            return Optional.empty();
        }
    }

    /**
     * How many entries follow.
     *
     * @throws BufferUnderflowException where so many bytes are not there
     */
    public static int count(ByteBuffer from, int bytesEach) {
        int n = from.getInt();
        if (n < 0 || (long) n * bytesEach > from.remaining()) throw new BufferUnderflowException();
        return n;
    }

    private static <T> Remembered<Measured<T>> measured(Remembered<T> value) {
        return new Remembered<>(m -> 9 + 4 + text(m.reason()).length + m.value().map(value.size).orElse(0), (m, to) -> {
            to.put((byte) (m.known() ? 1 : 0));
            if (m.known()) value.put.accept(m.value().get(), to.putDouble(m.confidence()));
            else putText(m.reason(), to);
        }, from -> {
            if (from.get() == 0) return Measured.not(readText(from));
            double confidence = from.getDouble();
            return Measured.of(value.get.apply(from), confidence);
        });
    }

    /** Facts of one kind, in their order. */
    public static <T> Remembered<List<T>> list(Remembered<T> one) {
        return new Remembered<>(all -> 4 + all.stream().mapToInt(one.size::apply).sum(), (all, to) -> {
            to.putInt(all.size());
            all.forEach(x -> one.put.accept(x, to));
        }, from -> {
            List<T> all = new ArrayList<>();
            for (int n = count(from, 1); n > 0; n--) all.add(one.get.apply(from));
            return all;
        });
    }

    private static byte[] text(String text) {
        return text.getBytes(StandardCharsets.UTF_8);
    }

    /** A text takes four bytes more than it has in UTF-8. */
    public static void putText(String text, ByteBuffer to) {
        to.putInt(text(text).length).put(text(text));
    }

    public static String readText(ByteBuffer from) {
        byte[] bytes = new byte[count(from, 1)];
        from.get(bytes);
        return new String(bytes, StandardCharsets.UTF_8);
    }

    /**
     * What is told of each frame of a sound has as many numbers.
     *
     * @throws IllegalArgumentException where it does not
     */
    static void checkFrames(int hop, float[] one, float[] other) {
        if (hop < 1 || one.length != other.length) {
            throw new IllegalArgumentException("frames of " + hop + ", " + one.length + " and " + other.length + " of them");
        }
    }

    static void putFloats(float[] x, ByteBuffer to) {
        to.putInt(x.length).asFloatBuffer().put(x);
        to.position(to.position() + 4 * x.length);
    }

    static float[] floats(ByteBuffer from) {
        float[] x = new float[count(from, 4)];
        from.asFloatBuffer().get(x);
        from.position(from.position() + 4 * x.length);
        return x;
    }
}

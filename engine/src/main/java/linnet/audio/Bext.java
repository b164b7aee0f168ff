package linnet.audio;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Optional;
import java.util.function.LongUnaryOperator;

/**
 * The broadcast extension of a WAV file, version 2: EBU Tech 3285 (2011). Text is {@link Ascii} there; what is longer than its field is cut.
 *
 * @param description of the sound; up to 256 characters
 * @param originator who made the file; up to 32
 * @param reference of the originator to it; up to 32
 * @param date {@code yyyy-mm-dd}, or empty
 * @param time {@code hh:mm:ss}, or empty
 * @param timeReference of the first sample, in samples since midnight
 * @param loudness as measured; {@link Loudness#UNTOLD} where it is not told
 * @param history how the sound was coded: lines that end in CR LF
 */
public record Bext(String description, String originator, String reference, String date, String time, long timeReference, Loudness loudness, String history) {
    private static final int DESCRIPTION = 256, NAME = 32, DATE = 10, TIME = 8, UMID = 64, LOUDNESS_FIELDS = 5, RESERVED = 180;
    private static final int TIME_REFERENCE_AT = DESCRIPTION + 2 * NAME + DATE + TIME, VERSION_AT = TIME_REFERENCE_AT + Long.BYTES,
            LOUDNESS_AT = VERSION_AT + Short.BYTES + UMID;
    /** Bytes before the coding history. */
    static final int HEAD_BYTES = LOUDNESS_AT + LOUDNESS_FIELDS * Short.BYTES + RESERVED;
    /** From this version on there is loudness. */
    private static final int WITH_LOUDNESS = 2;
    private static final short UNUSED = 0x7FFF;

    /** In LUFS, LU, dBTP, LUFS and LUFS; NaN or infinite where a value is not told. */
    public record Loudness(double integrated, double range, double truePeak, double momentary, double shortTerm) {
        public static final Loudness UNTOLD = new Loudness(Double.NaN, Double.NaN, Double.NaN, Double.NaN, Double.NaN);

        /** As a file has it: hundredths; not a number where it does not tell. */
        public Loudness asRead() {
            return new Loudness(told(integrated), told(range), told(truePeak), told(momentary), told(shortTerm));
        }

        private static double told(double v) {
            return told(hundredths(v));
        }

        private static double told(short hundredths) {
            return hundredths == UNUSED ? Double.NaN : hundredths / 100.0;
        }
    }

    /** The same with what is known only when the sound is written. */
    public Bext measured(Loudness measured, String coded) {
        return new Bext(description, originator, reference, date, time, timeReference, measured, coded);
    }

    /** That of a file; empty where it has none, or one too short to be one. Whatever is in it, nothing is thrown. */
    public static Optional<Bext> of(WavHeader header) {
        return header.chunks().stream().filter(c -> c.id().equals("bext") && c.body().length >= HEAD_BYTES).findFirst().map(c -> read(c.body()));
    }

    /** What is read from a file that it was written to: less than it says where that does not go into its fields. */
    public Bext asRead() {
        return read(chunk().body());
    }

    private static Bext read(byte[] body) {
        ByteBuffer b = ByteBuffer.wrap(body).order(ByteOrder.LITTLE_ENDIAN);
        String description = text(b, DESCRIPTION), originator = text(b, NAME), reference = text(b, NAME), date = text(b, DATE),
                time = text(b, TIME).replace('-', ':');
        long start = b.getLong();
        int version = b.getShort();
        b.position(b.position() + UMID);
        double[] five = new double[LOUDNESS_FIELDS];
        for (int i = 0; i < five.length; i++) {
            short value = b.getShort();
            five[i] = version < WITH_LOUDNESS ? Double.NaN : Loudness.told(value);
        }
        b.position(HEAD_BYTES);
        return new Bext(description, originator, reference, date, time, start, new Loudness(five[0], five[1], five[2], five[3], five[4]),
                text(b, b.remaining()));
    }

    /**
     * The body of a chunk as it belongs on what was made of its sound: with its own loudness for that which it had, all else as it was, also where it
     * is of an earlier version, which has no loudness.
     *
     * @param start the time reference it gets for the one it had
     * @param measured of what was made
     * @param coded a line that is added to the history
     */
    static byte[] carried(byte[] body, LongUnaryOperator start, Loudness measured, String coded) {
        if (body.length < HEAD_BYTES) return body;
        int end = body.length;
        while (end > HEAD_BYTES && body[end - 1] == 0) end--;
        boolean open = end > HEAD_BYTES && body[end - 1] != '\n';
        byte[] history = ((open ? "\r\n" : "") + coded).getBytes(StandardCharsets.US_ASCII);
        ByteBuffer b = ByteBuffer.wrap(Arrays.copyOf(body, end + history.length)).order(ByteOrder.LITTLE_ENDIAN);
        b.put(end, history);
        b.putLong(TIME_REFERENCE_AT, start.applyAsLong(b.getLong(TIME_REFERENCE_AT)));
        if (b.getShort(VERSION_AT) >= WITH_LOUDNESS) put(b.position(LOUDNESS_AT), measured);
        return b.array();
    }

    private static String text(ByteBuffer b, int length) {
        byte[] bytes = new byte[length];
        b.get(bytes);
        int end = 0;
        while (end < length && bytes[end] != 0) end++;
        return new String(bytes, 0, end, StandardCharsets.ISO_8859_1);
    }

    /** As a chunk of its own. */
    Chunk chunk() {
        byte[] coded = Ascii.bytes(history);
        ByteBuffer b = ByteBuffer.allocate(HEAD_BYTES + coded.length).order(ByteOrder.LITTLE_ENDIAN);
        put(b, description, DESCRIPTION);
        put(b, originator, NAME);
        put(b, reference, NAME);
        put(b, date, DATE);
        put(b, time, TIME);
        b.putLong(timeReference).putShort((short) WITH_LOUDNESS).position(b.position() + UMID);
        put(b, loudness);
        b.position(b.position() + RESERVED);
        b.put(coded);
        return new Chunk("bext", b.array());
    }

    private static void put(ByteBuffer b, Loudness l) {
        for (double v : new double[] {l.integrated, l.range, l.truePeak, l.momentary, l.shortTerm}) b.putShort(hundredths(v));
    }

    private static short hundredths(double v) {
        double rounded = Math.rint(100 * v);
        return Math.abs(rounded) < UNUSED ? (short) rounded : UNUSED;
    }

    private static void put(ByteBuffer b, String text, int length) {
        byte[] bytes = Ascii.bytes(text);
        int end = b.position() + length;
        b.put(bytes, 0, Math.min(length, bytes.length)).position(end);
    }
}

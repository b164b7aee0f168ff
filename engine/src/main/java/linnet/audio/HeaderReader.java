package linnet.audio;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * Reads the header of a RIFF, RF64 or BW64 WAV file (EBU Tech 3306, ITU-R BS.2088). Sizes are claims: each is held against
 * the length of the file before it is used, and nothing is allocated by a claim alone.
 */
final class HeaderReader {
    private static final int LOWEST_RATE = 8_000;
    private static final int HIGHEST_RATE = 192_000;
    /** More chunks than any recorder writes; keeps a file of a million empty ones from being walked for minutes. */
    private static final int MOST_CHUNKS = 1_000;
    /** Chunks that are written on are held in memory; a coding history of this size is not one. */
    private static final int MOST_KEPT_BYTES = 4 << 20;

    private static final int PCM = 1;
    private static final int FLOAT = 3;
    private static final int EXTENSIBLE = 0xFFFE;
    /** The GUIDs of an extensible format are the old tag followed by these bytes. */
    private static final long GUID_START = 0x0010_0000_0000_0000L;
    private static final long GUID_END = 0x719B_3800_AA00_0080L;
    /** A size of 32 bits that says "see ds64", or that a recorder wrote because it did not know yet. */
    private static final long UNKNOWN = 0xFFFF_FFFFL;

    private static final String EXPORT = "export it as a plain WAV of 16, 24 or 32 bits";
    private static final String COPY = "copy it again from where it was recorded";

    private final Path file;
    private final FileChannel channel;
    private final long size;
    private final List<Chunk> chunks = new ArrayList<>();
    private final List<String> remarks = new ArrayList<>();
    private ByteBuffer format;
    private long soundAt = -1;
    private long soundBytes;
    private boolean wide;
    private long wideSoundBytes = -1;
    /** Bytes behind the sound that are no chunk. */
    private long damaged;
    private boolean unclosed;

    private HeaderReader(Path file, FileChannel channel) throws IOException {
        this.file = file;
        this.channel = channel;
        this.size = channel.size();
    }

    static WavHeader read(Path file, FileChannel channel) throws IOException {
        HeaderReader reader = new HeaderReader(file, channel);
        reader.identify();
        reader.walk();
        return reader.header();
    }

    private void identify() throws IOException {
        if (size == 0) throw wrong("is empty", "the recording or the copy did not finish: " + COPY);
        ByteBuffer head = bytes(0, (int) Math.min(size, 12));
        String id = size < 4 ? "" : id(head, 0);
        if (!id.equals("RIFF") && !id.equals("RF64") && !id.equals("BW64")) {
            throw wrong("is not a WAV file" + Magic.seems(head), EXPORT);
        }
        if (size < 12) throw wrong("ends within its header", COPY);
        if (!id(head, 8).equals("WAVE")) throw wrong("is a RIFF file but holds no WAVE sound", EXPORT);
        wide = !id.equals("RIFF");
    }

    private void walk() throws IOException {
        // Where behind the sound the first stands that is no chunk: zeros may be no more than a filler, unless they turn out to be more.
        long at = 12, strange = -1;
        for (int count = 0; at + 8 <= size; count++) {
            if (soundAt >= 0 && strange < 0 && !chunkAt(at)) strange = at;
            ByteBuffer head = bytes(at, 8);
            String id = id(head, 0);
            long length = head.getInt(4) & UNKNOWN;
            long body = at + 8;
            if (id.equals("data")) {
                length = sound(body, length);
            } else if (count == MOST_CHUNKS || length > size - body) {
                if (soundAt >= 0) {
                    damaged = size - (strange < 0 ? at : strange);
                    return;
                }
                if (count == MOST_CHUNKS) throw wrong("has more than " + MOST_CHUNKS + " chunks before its sound", EXPORT);
                throw wrong("has a chunk " + quoted(id) + " that claims " + length + " bytes where " + (size - body) + " are left", COPY);
            } else {
                keep(id, body, (int) Math.min(length, Integer.MAX_VALUE));
            }
            at = body + length + (length & 1);
        }
    }

    /** Notes where the sound lies and gives its true length: from ds64, or the rest of the file where no one closed it. */
    private long sound(long body, long claimed) throws IOException {
        if (soundAt >= 0) throw wrong("has two data chunks", EXPORT);
        if (wide && wideSoundBytes < 0) throw wrong("is an RF64 file without a ds64 chunk before its sound", EXPORT);
        long length = wide && claimed == UNKNOWN ? wideSoundBytes : claimed;
        long left = size - body;
        boolean unknown = length == UNKNOWN && !wide || length == 0 && left > 0 && !chunkAt(body);
        if (unknown) {
            unclosed = true;
            length = left;
        }
        soundAt = body;
        soundBytes = length;
        return Math.min(length, left);
    }

    private boolean chunkAt(long at) throws IOException {
        if (at + 8 > size) return false;
        ByteBuffer head = bytes(at, 8);
        for (int i = 0; i < 4; i++) {
            if (head.get(i) < ' ' || head.get(i) > '~') return false;
        }
        return (head.getInt(4) & UNKNOWN) <= size - at - 8;
    }

    private void keep(String id, long body, int length) throws IOException {
        switch (id) {
            case "fmt " -> {
                if (format != null) throw wrong("has two fmt chunks", EXPORT);
                format = bytes(body, Math.min(length, 40));
            }
            case "ds64" -> {
                if (length < 28) throw wrong("has a ds64 chunk of " + length + " bytes where 28 are due", EXPORT);
                wideSoundBytes = bytes(body, 28).getLong(8);
                if (wide && wideSoundBytes < 0) throw wrong("claims more sound than any file can hold", COPY);
            }
            case "bext", "cue " -> keepWhole(id, body, length);
            case "LIST" -> {
                String type = length < 4 ? "" : id(bytes(body, 4), 0);
                if (type.equals("adtl") || type.equals("INFO")) keepWhole(id, body, length);
            }
            default -> { }
        }
    }

    private void keepWhole(String id, long body, int length) throws IOException {
        long kept = 0;
        for (Chunk c : chunks) kept += c.body().length;
        if (kept + length > MOST_KEPT_BYTES) {
            remarks.add("its chunk " + quoted(id) + " is too large to be carried on");
            return;
        }
        chunks.add(new Chunk(id, bytes(body, length).array()));
    }

    private WavHeader header() throws SoundFileException {
        if (format == null) throw wrong("has no fmt chunk, so its rate and word length are unknown", EXPORT);
        if (format.capacity() < 16) throw wrong("has a fmt chunk of " + format.capacity() + " bytes where 16 are due", EXPORT);
        int channels = format.getShort(2) & 0xFFFF;
        long rate = format.getInt(4) & UNKNOWN;
        int frameBytes = format.getShort(12) & 0xFFFF;
        SampleFormat samples = samples();
        if (channels == 0) throw wrong("claims to have no channel", EXPORT);
        if (channels > 2) throw wrong("has " + channels + " channels", "give mono or stereo: export the channel with the voice as a file of its own");
        if (rate < LOWEST_RATE || rate > HIGHEST_RATE) {
            throw wrong("claims a rate of " + rate + " Hz", "export it at a rate of " + LOWEST_RATE + " to " + HIGHEST_RATE + " Hz");
        }
        if (frameBytes != channels * samples.bytes()) {
            throw wrong("claims " + frameBytes + " bytes per frame where " + channels + (channels == 1 ? " channel" : " channels") + " of "
                    + samples + " samples take " + channels * samples.bytes(), EXPORT);
        }
        if (soundAt < 0) throw wrong("has no data chunk, so it holds no sound", COPY);
        long there = Math.min(soundBytes, size - soundAt);
        if (soundBytes - there >= frameBytes) {
            throw wrong("claims " + seconds(soundBytes / frameBytes, rate) + " of sound but holds " + seconds(there / frameBytes, rate), COPY);
        }
        if (there < frameBytes) throw wrong("holds no sound: not one whole sample is there", COPY);
        long frames = there / frameBytes;
        if (unclosed) remarks.add("its recorder did not close it: all that is there is read, " + seconds(frames, rate) + " to the end of the file");
        if (damaged > 0) {
            // A header that was written before the end of the recording counts less sound than there is.
            remarks.add("what follows its sound of " + seconds(frames, rate) + " is damaged and is left out: " + damaged + (damaged == 1 ? " byte" : " bytes")
                    + (1000 * damaged < rate * frameBytes ? "" : ", " + seconds(damaged / frameBytes, rate) + " if it is sound"));
        }
        if (frames * frameBytes < soundBytes) remarks.add("its last sample is incomplete and is left out");
        return new WavHeader((int) rate, channels, frames, samples, soundAt, chunks, remarks);
    }

    private SampleFormat samples() throws SoundFileException {
        int tag = format.getShort(0) & 0xFFFF;
        int bits = format.getShort(14) & 0xFFFF;
        if (tag == EXTENSIBLE) {
            if (format.capacity() < 40) throw wrong("has an extensible fmt chunk of " + format.capacity() + " bytes where 40 are due", EXPORT);
            long start = format.getLong(24);
            if ((start & ~0xFFFFL) != GUID_START || format.getLong(32) != GUID_END) {
                throw wrong("holds sound of an unknown kind (its format GUID is none of the standard ones)", EXPORT);
            }
            tag = (int) (start & 0xFFFF);
            int valid = format.getShort(18) & 0xFFFF;
            if (valid > bits) throw wrong("claims " + valid + " valid bits in samples of " + bits, EXPORT);
        }
        // Word lengths between the bytes (12, 20 bits) lie at the top of the next whole byte, so they need no code of their own.
        if (tag == PCM && bits >= 8 && bits <= 32) return SampleFormat.values()[(bits + 7) / 8 - 1];
        if (tag == FLOAT && bits == 32) return SampleFormat.FLOAT_32;
        if (tag == FLOAT && bits == 64) return SampleFormat.FLOAT_64;
        if (tag == PCM || tag == FLOAT) throw wrong("holds " + (tag == PCM ? "integer" : "float") + " samples of " + bits + " bits", EXPORT);
        throw wrong("holds sound coded as " + Magic.coding(tag), EXPORT);
    }

    /** Exactly {@code n} bytes; the caller has held n against the length of the file. */
    private ByteBuffer bytes(long at, int n) throws IOException {
        ByteBuffer into = ByteBuffer.allocate(n).order(ByteOrder.LITTLE_ENDIAN);
        while (into.hasRemaining()) {
            if (channel.read(into, at + into.position()) < 0) throw wrong("became shorter while it was read", "wait until its copy has finished");
        }
        return into.flip();
    }

    private SoundFileException wrong(String what, String remedy) {
        return new SoundFileException(file, what, remedy);
    }

    private static String id(ByteBuffer b, int at) {
        return new String(b.array(), at, 4, StandardCharsets.ISO_8859_1);
    }

    /** An id that may be any four bytes, fit to stand in a message. */
    private static String quoted(String id) {
        StringBuilder s = new StringBuilder("'");
        for (char c : id.toCharArray()) s.append(c < ' ' || c > '~' || c == ';' ? '?' : c);
        return s.append('\'').toString();
    }

    private static String seconds(long frames, long rate) {
        return String.format(Locale.ROOT, "%.3f s", (double) frames / rate);
    }
}

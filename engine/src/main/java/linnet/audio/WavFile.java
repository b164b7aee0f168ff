package linnet.audio;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.security.MessageDigest;
import java.util.HexFormat;
import java.util.Locale;
import java.util.Objects;
import java.util.function.Consumer;
import java.util.zip.CRC32C;
import linnet.digest.Sha256;
import linnet.dsp.Sound;

/**
 * A WAV file open for reading from any place. Memory does not grow with its length. Two threads read it at once where each reads on from where it was; more
 * wait for one another.
 */
public final class WavFile implements Sound, AutoCloseable {
    /** Bytes fetched at a time, so that small blocks in a row cost one call to the system per window. */
    private static final int WINDOW = 1 << 16;
    /** Float samples beyond this (+120 dBFS) are no sound; most often they are integers in disguise. */
    private static final double HIGHEST = 0x1p20;

    private final Path path;
    private final FileChannel channel;
    private final WavHeader header;
    /** Of the file as it was opened: a system may not tell them, then they are null. */
    private final Object key, changed;
    private final int windowFrames;
    /** For as many as read at once; the one that was not used last is used by whoever reads elsewhere. */
    private final Window one, other;
    private Window last;

    private WavFile(Path path, FileChannel channel) throws IOException {
        this.path = path;
        this.channel = channel;
        BasicFileAttributes now = Files.readAttributes(path, BasicFileAttributes.class);
        this.key = now.fileKey();
        this.changed = now.lastModifiedTime();
        this.header = HeaderReader.read(path, channel);
        this.windowFrames = WINDOW / header.frameBytes();
        this.one = new Window();
        this.other = new Window();
        this.last = other;
    }

    /**
     * Opens a PCM (8, 16, 24, 32 bits) or float (32, 64 bits) file, mono or stereo, RIFF or RF64.
     *
     * @throws SoundFileException where it is not there, not readable, damaged or of another kind
     */
    public static WavFile open(Path path) throws SoundFileException {
        if (Files.isDirectory(path)) throw new SoundFileException(path, "is a folder", "name the sound file itself");
        // A pipe or a device would block or never end.
        if (Files.exists(path) && !Files.isRegularFile(path)) {
            throw new SoundFileException(path, "is no plain file", "name a sound file on disk");
        }
        FileChannel channel = null;
        try {
            channel = FileChannel.open(path, StandardOpenOption.READ);
            return new WavFile(path, channel);
        } catch (IOException e) {
            if (channel != null) closeQuietly(channel);
            throw refused(path, e);
        }
    }

    private static SoundFileException refused(Path path, IOException e) {
        if (e instanceof SoundFileException s) return s;
        // What the system could not read as text comes as U+FFFD, and no file has that name.
        if (e instanceof NoSuchFileException && path.toString().indexOf('\ufffd') >= 0) {
            return new SoundFileException(path, "has a name that is no text here", "rename it with plain letters");
        }
        if (e instanceof NoSuchFileException) return SoundFileException.missing(path);
        if (e instanceof AccessDeniedException) {
            return new SoundFileException(path, "may not be read", "give yourself the right to read it");
        }
        return new SoundFileException(path, "cannot be read", "check the disk it lies on", e);
    }

    private static void closeQuietly(FileChannel channel) {
        try {
            channel.close();
        } catch (IOException e) {
            // The file was open for reading only; the reason for giving it up is already on its way to the caller.
        }
    }

    public Path path() {
        return path;
    }

    /**
     * Makes sure that what was read is of one piece.
     *
     * @throws SoundFileException if the file was written to or replaced since it was opened; one that was deleted is still whole here
     */
    public void checkUnchanged() throws SoundFileException {
        try {
            BasicFileAttributes now = Files.readAttributes(path, BasicFileAttributes.class);
            if (Objects.equals(now.fileKey(), key) && now.lastModifiedTime().equals(changed)) return;
        } catch (NoSuchFileException e) {
            return;
        } catch (IOException e) {
            throw refused(path, e);
        }
        throw new SoundFileException(path, "was changed while it was read", "let whatever writes it finish, and render again");
    }

    public WavHeader header() {
        return header;
    }

    @Override
    public double rate() {
        return header.rate();
    }

    @Override
    public int channels() {
        return header.channels();
    }

    @Override
    public long frames() {
        return header.frames();
    }

    /**
     * {@inheritDoc}
     *
     * @throws UncheckedIOException caused by a {@link SoundFileException} where the disk fails, the file has become shorter,
     *     or a float sample is not a number, infinite or beyond +120 dBFS
     */
    @Override
    public void read(long from, double[][] into, int n) {
        Objects.checkFromIndexSize(from, n, header.frames());
        try {
            for (int done = 0; done < n; ) done += window(from + done).decode(from + done, into, done, n - done);
        } catch (IOException e) {
            throw new UncheckedIOException(refused(path, e));
        }
    }

    private synchronized Window window(long from) {
        if (!last.reaches(from)) last = last == one ? other : one;
        return last;
    }

    /** Some samples of the file, as their bytes. */
    private final class Window {
        private ByteBuffer bytes;
        private long from;
        private int holds;
        /** What it holds, and the sample after that: where its reader goes on. Another thread may see it late, and then reads the file once more. */
        private volatile long begin, next;

        boolean reaches(long at) {
            return at >= begin && at <= next;
        }

        /** Decodes as much of the span as it holds, at least one sample, and returns how much. */
        synchronized int decode(long at, double[][] into, int first, int n) throws IOException {
            if (at < from || at >= from + holds) fetch(at);
            int skip = (int) (at - from);
            int count = Math.min(n, holds - skip);
            SampleFormat format = header.format();
            for (int c = 0; c < header.channels(); c++) {
                int place = SampleFormat.LEAD + skip * header.frameBytes() + c * format.bytes();
                format.decode(bytes, place, header.frameBytes(), into[c], first, count);
                if (format.isFloat()) check(into[c], first, count, at, c);
            }
            return count;
        }

        private void fetch(long at) throws IOException {
            if (bytes == null) bytes = ByteBuffer.allocate(SampleFormat.LEAD + windowFrames * header.frameBytes()).order(ByteOrder.LITTLE_ENDIAN);
            holds = 0;
            int frames = (int) Math.min(windowFrames, header.frames() - at);
            bytes.position(SampleFormat.LEAD).limit(SampleFormat.LEAD + frames * header.frameBytes());
            long place = header.soundAt() + at * header.frameBytes();
            while (bytes.hasRemaining()) {
                int got = channel.read(bytes, place);
                if (got < 0) throw new SoundFileException(path, "became shorter while it was read", "wait until its copy has finished");
                place += got;
            }
            bytes.clear();
            from = at;
            holds = frames;
            begin = at;
            next = at + frames;
        }
    }

    /** SHA-256 of the bytes of its sound, in hexadecimal digits. */
    public String soundDigest() throws SoundFileException {
        MessageDigest digest = Sha256.open();
        bytes(digest::update);
        return HexFormat.of().formatHex(digest.digest());
    }

    /** CRC-32C of the bytes of its sound, in hexadecimal digits. */
    public String quickDigest() throws SoundFileException {
        CRC32C sum = new CRC32C();
        bytes(sum::update);
        return WavWriter.crc(sum);
    }

    private void bytes(Consumer<ByteBuffer> to) throws SoundFileException {
        ByteBuffer piece = ByteBuffer.allocate(WINDOW);
        try {
            for (long at = header.soundAt(), end = at + header.frames() * header.frameBytes(); at < end; at += piece.limit()) {
                piece.clear().limit((int) Math.min(WINDOW, end - at));
                while (piece.hasRemaining()) {
                    if (channel.read(piece, at + piece.position()) < 0) {
                        throw new SoundFileException(path, "became shorter while it was read", "wait until its copy has finished");
                    }
                }
                to.accept(piece.flip());
            }
        } catch (IOException e) {
            throw refused(path, e);
        }
    }

    private void check(double[] x, int first, int n, long from, int channel) throws SoundFileException {
        for (int i = first; i < first + n; i++) {
            if (!(Math.abs(x[i]) <= HIGHEST)) {
                String what = Double.isNaN(x[i]) ? "that is not a number"
                        : Double.isInfinite(x[i]) ? "that is infinite" : "beyond +120 dBFS";
                String where = String.format(Locale.ROOT, "at %.3f s%s", (from + i - first) / rate(), side(channel, channels()));
                throw new SoundFileException(path, "has a sample " + what + " " + where, "export it again, as 24-bit integers");
            }
        }
    }

    static String side(int channel, int channels) {
        return channels == 1 ? "" : channel == 0 ? " in the left channel" : " in the right channel";
    }

    @Override
    public void close() {
        closeQuietly(channel);
    }
}

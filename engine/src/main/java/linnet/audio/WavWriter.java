package linnet.audio;

import java.io.IOException;
import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.ThreadLocalRandom;
import java.util.function.Function;
import java.util.zip.CRC32C;

/**
 * Writes a print. The bytes go to a file beside the target that takes its name only in {@link #finish}; closed before that,
 * nothing remains. A file that outgrows 4 GiB becomes RF64 (EBU Tech 3306) in the room kept for it.
 *
 * <p>Integers of 16 and 24 bits carry the plain PCM tag, the form that every reader knows: for mono and stereo with whole
 * bytes the extensible form would say nothing more.
 */
public final class WavWriter implements AutoCloseable {
    /** Frames gathered before they go to the disk, so that small blocks do not cost a call to the system each. */
    private static final int GATHERED = 8192;
    /** A size of 32 bits that says "see ds64". */
    private static final int IN_DS64 = 0xFFFF_FFFF;
    private static final VarHandle EIGHT_BYTES = MethodHandles.byteArrayViewVarHandle(long[].class, ByteOrder.LITTLE_ENDIAN);
    /** Bytes by which eight are more than a frame of two times 24 bits. */
    private static final int BEYOND = 2;
    private static final int DS64_BYTES = 28;
    /** Behind the RIFF head and the room for ds64. */
    private static final int FMT_AT = 12 + 8 + DS64_BYTES;
    private static final String MAKE_ROOM = "free some space or choose another folder";

    private final Path target;
    private final Path unfinished;
    private final Print print;
    private final long largestRiff;
    private final FileChannel channel;
    private final ByteBuffer buffer;
    private final double[][] samples;
    private final int[][] integers;
    private final int frameBytes;
    private final long soundAt;
    /** Of the bytes of the sound; null where nobody asks. */
    private final MessageDigest digest;
    private final CRC32C quick = new CRC32C();
    /** Whether it will take the place of another file. */
    private final boolean replaces;
    /** What the disk had to say of what was written so far. */
    private volatile IOException lost;
    private long frames;
    private int held;
    private boolean finished;

    private WavWriter(Path target, Path unfinished, FileChannel channel, Print print, long largestRiff) throws IOException {
        this.target = target;
        this.unfinished = unfinished;
        this.channel = channel;
        this.print = print;
        this.largestRiff = largestRiff;
        this.digest = print.bext() == null ? null : sha256();
        this.replaces = Files.exists(target, LinkOption.NOFOLLOW_LINKS);
        this.frameBytes = print.channels() * print.format().bytes();
        this.buffer = little(GATHERED * frameBytes + BEYOND);
        this.samples = new double[print.channels()][GATHERED];
        this.integers = new int[print.channels()][GATHERED];
        ByteBuffer head = header();
        this.soundAt = head.limit();
        put(head, 0);
    }

    /**
     * Opens a print for writing.
     *
     * @throws SoundFileException where the target is there already, is one of the inputs, or its folder cannot be written
     */
    public static WavWriter create(Path target, Print print) throws SoundFileException {
        return create(target, print, 0xFFFF_FFFFL);
    }

    /** With another limit for a plain RIFF, so that a test need not write 4 GiB. */
    static WavWriter create(Path target, Print print, long largestRiff) throws SoundFileException {
        refuseInputs(target, print);
        if (Files.isDirectory(target)) throw new SoundFileException(target, "is a folder", "give the print a file name");
        // The print would take the place of a device or a pipe, and the system would miss it.
        if (Files.exists(target) && !Files.isRegularFile(target)) throw new SoundFileException(target, "is no plain file", "give the print a name of its own");
        if (!print.overwrite() && Files.exists(target, LinkOption.NOFOLLOW_LINKS)) throw exists(target);
        Path folder = target.toAbsolutePath().getParent();
        if (!Files.isDirectory(folder)) throw new SoundFileException(target, "has no folder to go to", "make the folder first");
        Path unfinished = folder.resolve(".linnet-" + Long.toHexString(ThreadLocalRandom.current().nextLong()) + ".part");
        FileChannel channel = null;
        try {
            channel = FileChannel.open(unfinished, StandardOpenOption.WRITE, StandardOpenOption.CREATE_NEW);
            // Where the user stops the program, nobody closes this writer.
            unfinished.toFile().deleteOnExit();
            return new WavWriter(target, unfinished, channel, print, largestRiff);
        } catch (IOException e) {
            SoundFileException refusal = unwritable(target, e);
            try {
                if (channel != null) discard(channel, unfinished);
            } catch (IOException left) {
                refusal.addSuppressed(left);
            }
            throw refusal;
        }
    }

    private static void refuseInputs(Path target, Print print) throws SoundFileException {
        for (Path input : print.inputs()) {
            try {
                // By identity, so that links and other spellings of the same file are seen through.
                if (Files.exists(target) && Files.isSameFile(target, input)) {
                    throw new SoundFileException(target, "is an input of this print", "give the print another name");
                }
            } catch (SoundFileException e) {
                throw e;
            } catch (IOException e) {
                throw new SoundFileException(target, "cannot be told from the input " + input.getFileName(), "give the print another name", e);
            }
        }
    }

    private static SoundFileException exists(Path target) {
        return new SoundFileException(target, "is there already", "give the print another name, or ask to overwrite");
    }

    private static SoundFileException unwritable(Path target, IOException e) {
        if (e instanceof AccessDeniedException) return new SoundFileException(target, "may not be written there", "choose another folder, or give yourself the right to write");
        return e instanceof SoundFileException s ? s : new SoundFileException(target, "cannot be written", MAKE_ROOM, e);
    }

    /**
     * Appends n samples of each channel, planar, from index 0.
     *
     * @throws IllegalArgumentException where a sample is not a number, or too large for any format: a defect of the sender
     */
    public void write(double[][] block, int n) throws SoundFileException {
        for (int done = 0; done < n; ) {
            int count = Math.min(GATHERED - held, n - done);
            for (int c = 0; c < print.channels(); c++) {
                System.arraycopy(block[c], done, samples[c], 0, count);
                refuseWild(samples[c], count, c);
            }
            encode(count);
            held += count;
            frames += count;
            done += count;
            if (held == GATHERED) flush();
        }
    }

    private void refuseWild(double[] x, int n, int channel) {
        for (int i = 0; i < n; i++) {
            double v = Math.abs(x[i]);
            if (!(v <= Float.MAX_VALUE)) throw wild(v, frames + i, channel);
        }
    }

    private IllegalArgumentException wild(double v, long frame, int channel) {
        String what = Double.isNaN(v) ? "is not a number" : "is infinite";
        return new IllegalArgumentException(String.format(Locale.ROOT, "%s: the sample at %.3f s%s %s",
                target.getFileName(), (double) (print.from() + frame) / print.rate(), WavFile.side(channel, print.channels()), what));
    }

    /** Adds n frames to the buffer, interleaved. */
    private void encode(int n) {
        int bits = print.format().bits();
        boolean pair = print.format() == SampleFormat.INT_24 && print.channels() == 2;
        for (int c = 0; c < print.channels(); c++) {
            if (!print.format().isFloat()) print.dither().cut(samples[c], n, c, print.from() + frames, bits, integers[c]);
            int at = held * frameBytes + c * bits / 8;
            switch (print.format()) {
                case INT_16 -> pack16(integers[c], n, buffer.array(), at, frameBytes);
                case INT_24 -> {
                    if (!pair) pack24(integers[c], n, buffer.array(), at, frameBytes);
                }
                default -> packFloat(samples[c], n, buffer, at, frameBytes);
            }
        }
        if (pair) pair24(integers[0], integers[1], n, buffer.array(), held * frameBytes);
    }

    private void flush() throws SoundFileException {
        try {
            buffer.position(0).limit(held * frameBytes);
            if (digest != null) {
                digest.update(buffer.duplicate());
                quick.update(buffer.duplicate());
            }
            put(buffer, soundAt + (frames - held) * frameBytes);
        } catch (IOException e) {
            throw unwritable(target, e);
        }
        buffer.clear();
        held = 0;
    }

    /** Lets the disk have what was written so far, where this will take the place of another file. May be called by another thread than writes, until that {@link #seal seals}. */
    public void toDisk() {
        try {
            if (replaces && lost == null) channel.force(false);
        } catch (IOException e) {
            // The system says so only once.
            lost = e;
        }
    }

    private static void pack16(int[] x, int n, byte[] to, int at, int stride) {
        for (int i = 0, p = at; i < n; i++, p += stride) {
            to[p] = (byte) x[i];
            to[p + 1] = (byte) (x[i] >> 8);
        }
    }

    private static void pack24(int[] x, int n, byte[] to, int at, int stride) {
        for (int i = 0, p = at; i < n; i++, p += stride) {
            to[p] = (byte) x[i];
            to[p + 1] = (byte) (x[i] >> 8);
            to[p + 2] = (byte) (x[i] >> 16);
        }
    }

    /** Both sides at once; the two bytes too many of each frame are those the next begins with. */
    private static void pair24(int[] left, int[] right, int n, byte[] to, int at) {
        for (int i = 0, p = at; i < n; i++, p += 6) EIGHT_BYTES.set(to, p, left[i] & 0xFF_FFFFL | (long) right[i] << 24);
    }

    private static void packFloat(double[] x, int n, ByteBuffer to, int at, int stride) {
        for (int i = 0, p = at; i < n; i++, p += stride) to.putFloat(p, (float) x[i]);
    }

    /**
     * Completes the file and gives it its name.
     *
     * @throws SoundFileException where the disk is full or another file has taken the name meanwhile; nothing is left then
     */
    public void finish() throws SoundFileException {
        finish(null);
    }

    /**
     * Completes the file, and its broadcast extension with what is known only now.
     *
     * @param described gives the extension, as long as the one the print was made with, for what the bytes of the sound are known by;
     *     null to leave it as it is
     */
    public void finish(Function<Origin.Sums, Bext> described) throws SoundFileException {
        seal(described);
        release();
    }

    /** Completes the file as {@link #finish(Function)} does, under the name it has until it is released: it can be read, and still be given up. */
    public Path seal(Function<Origin.Sums, Bext> described) throws SoundFileException {
        flush();
        try {
            if (lost != null) throw lost;
            if (described != null) describe(described.apply(new Origin.Sums(HexFormat.of().formatHex(digest.digest()), crc(quick))));
            long soundBytes = frames * frameBytes;
            long end = soundAt + soundBytes;
            if (soundBytes % 2 == 1) end += put(ByteBuffer.allocate(1), end);
            for (Chunk chunk : Carried.after(print, frames)) end += put(chunk(chunk), end);
            complete(end - 8, soundBytes);
            channel.close();
        } catch (IOException e) {
            throw unwritable(target, e);
        }
        // What was written went on without a name; whoever reads it next would miss it as a take.
        if (!Files.exists(unfinished)) throw removed();
        return unfinished;
    }

    /** Gives a sealed file its name. */
    public void release() throws SoundFileException {
        try {
            takeName();
            finished = true;
        } catch (IOException e) {
            throw Files.exists(unfinished) ? unwritable(target, e) : removed();
        }
    }

    private SoundFileException removed() {
        return new SoundFileException(target, "its unfinished file was removed while it was written", "leave files that begin with .linnet- alone, and render again");
    }

    static String crc(CRC32C sum) {
        return String.format("%08x", sum.getValue());
    }

    /**
     * Gives a print that is there another broadcast extension, as long as the one it has.
     *
     * @param form of the print
     * @return false where it has none of that length at the place where this writer puts it, or has a second name somewhere: that may be in another
     *     folder, and what lies there is not ours to change. It is left as it is then
     */
    public static boolean describe(Path print, Print form, Bext bext) throws SoundFileException {
        return describe(print, form, bext, true);
    }

    /** Whether {@link #describe} would do so. */
    public static boolean canDescribe(Path print, Print form, Bext bext) throws SoundFileException {
        return describe(print, form, bext, false);
    }

    private static boolean describe(Path print, Print form, Bext bext, boolean now) throws SoundFileException {
        ByteBuffer bytes = chunk(bext.chunk()), head = ByteBuffer.allocate(8);
        int at = FMT_AT + (form.format().isFloat() ? 8 + 18 + 12 : 8 + 16);
        if (hasOtherNames(print)) return false;
        try (FileChannel channel = FileChannel.open(print, StandardOpenOption.READ, StandardOpenOption.WRITE, LinkOption.NOFOLLOW_LINKS)) {
            while (head.hasRemaining()) if (channel.read(head, at + head.position()) < 0) return false;
            if (!head.flip().equals(bytes.duplicate().limit(8))) return false;
            for (long to = at; now && bytes.hasRemaining(); ) to += channel.write(bytes, to);
            return true;
        } catch (IOException e) {
            throw unwritable(print, e);
        }
    }

    private static boolean hasOtherNames(Path print) throws SoundFileException {
        try {
            return Files.isSymbolicLink(print) || print.getFileSystem().supportedFileAttributeViews().contains("unix") && (int) Files.getAttribute(print, "unix:nlink", LinkOption.NOFOLLOW_LINKS) > 1;
        } catch (IOException e) {
            throw unwritable(print, e);
        }
    }

    private void describe(Bext bext) throws IOException {
        ByteBuffer bytes = chunk(bext.chunk());
        if (bytes.limit() != chunk(print.bext().chunk()).limit()) throw new IllegalStateException("the broadcast extension has another length than it began with");
        put(bytes, FMT_AT + fmtBytes());
    }

    /** Moves the finished file over its name in one act. A name that must be new is claimed first, so that no other is lost. */
    private void takeName() throws IOException {
        boolean claimed = false;
        try {
            if (!print.overwrite()) {
                Files.createFile(target);
                claimed = true;
            }
            Files.move(unfinished, target, StandardCopyOption.ATOMIC_MOVE);
        } catch (FileAlreadyExistsException e) {
            throw exists(target);
        } catch (IOException e) {
            if (claimed) Files.deleteIfExists(target);
            throw e;
        }
    }

    /** Drops the print, unless it was finished. */
    @Override
    public void close() throws SoundFileException {
        if (!finished) {
            try {
                discard(channel, unfinished);
            } catch (IOException e) {
                throw new SoundFileException(target, "could not be given up: its part " + unfinished.getFileName() + " remains", "delete it", e);
            }
        }
    }

    private static void discard(FileChannel channel, Path unfinished) throws IOException {
        try {
            channel.close();
        } finally {
            Files.deleteIfExists(unfinished);
        }
    }

    /** Of the format chunk, and the fact chunk of floats behind it. */
    private int fmtBytes() {
        return print.format().isFloat() ? 8 + 18 + 12 : 8 + 16;
    }

    /** All that stands before the sound, with the sizes still open. */
    private ByteBuffer header() {
        SampleFormat format = print.format();
        List<Chunk> before = Carried.before(print);
        int length = FMT_AT + fmtBytes() + 8;
        for (Chunk chunk : before) length += chunk(chunk).limit();
        ByteBuffer b = little(length);
        b.put(ascii("RIFF")).putInt(0).put(ascii("WAVE"));
        b.put(ascii("JUNK")).putInt(DS64_BYTES).position(FMT_AT);
        b.put(ascii("fmt ")).putInt(format.isFloat() ? 18 : 16);
        b.putShort((short) (format.isFloat() ? 3 : 1)).putShort((short) print.channels());
        b.putInt(print.rate()).putInt(print.rate() * frameBytes);
        b.putShort((short) frameBytes).putShort((short) format.bits());
        if (format.isFloat()) b.putShort((short) 0).put(ascii("fact")).putInt(4).putInt(0);
        for (Chunk chunk : before) b.put(chunk(chunk));
        b.put(ascii("data")).putInt(0);
        return b.flip();
    }

    /** Fills in the sizes; beyond the reach of 32 bits they go to a ds64 chunk in the place of JUNK. */
    private void complete(long riffBytes, long soundBytes) throws IOException {
        boolean wide = riffBytes > largestRiff;
        if (wide) {
            ByteBuffer b = little(FMT_AT);
            b.put(ascii("RF64")).putInt(IN_DS64).put(ascii("WAVE")).put(ascii("ds64")).putInt(DS64_BYTES);
            b.putLong(riffBytes).putLong(soundBytes).putLong(frames).putInt(0);
            put(b.flip(), 0);
        } else {
            put(little(4).putInt((int) riffBytes).flip(), 4);
        }
        if (print.format().isFloat()) {
            put(little(4).putInt(frames > 0xFFFF_FFFFL ? IN_DS64 : (int) frames).flip(), FMT_AT + 8 + 18 + 8);
        }
        put(little(4).putInt(wide ? IN_DS64 : (int) soundBytes).flip(), soundAt - 4);
    }

    private static ByteBuffer chunk(Chunk chunk) {
        int length = chunk.body().length;
        ByteBuffer b = little(8 + length + length % 2);
        b.put(ascii(chunk.id())).putInt(length).put(chunk.body());
        return b.rewind();
    }

    private static ByteBuffer little(int bytes) {
        return ByteBuffer.allocate(bytes).order(ByteOrder.LITTLE_ENDIAN);
    }

    static MessageDigest sha256() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }

    private static byte[] ascii(String id) {
        return id.getBytes(StandardCharsets.ISO_8859_1);
    }

    /** Writes all of the buffer and returns how many bytes that were. */
    private int put(ByteBuffer bytes, long at) throws IOException {
        int length = bytes.remaining();
        while (bytes.hasRemaining()) at += channel.write(bytes, at);
        return length;
    }
}

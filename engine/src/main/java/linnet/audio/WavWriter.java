package linnet.audio;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.util.HexFormat;
import java.util.Locale;
import java.util.function.Function;
import java.util.zip.CRC32C;
import linnet.digest.Sha256;
import linnet.files.Unfinished;

/**
 * Writes a print. The bytes go to a file beside the target that takes its name only in {@link #finish}; closed before that,
 * nothing remains.
 */
public final class WavWriter implements AutoCloseable {
    /** Frames gathered before they go to the disk, so that small blocks do not cost a call to the system each. */
    private static final int GATHERED = 8192;
    private static final String MAKE_ROOM = "free some space or choose another folder";

    private final Path target;
    private final Path unfinished;
    private final Print print;
    private final WavHead head;
    private final FileChannel channel;
    private final ByteBuffer buffer;
    private final double[][] samples;
    private final Packing packing;
    private final int frameBytes;
    private final long soundAt;
    /** Of the bytes of the sound; null where nobody asks. */
    private final MessageDigest digest;
    private final CRC32C quick = new CRC32C();
    /** Whether it will take the place of another file. */
    private final boolean replaces;
    /** What the disk had to say of what was written so far. */
    private volatile IOException lost;
    private Bext.Loudness loudness = Bext.Loudness.UNTOLD;
    private long frames;
    private int held;
    private boolean finished;

    private WavWriter(Path target, Path unfinished, FileChannel channel, Print print, WavHead head) throws IOException {
        this.target = target;
        this.unfinished = unfinished;
        this.channel = channel;
        this.print = print;
        this.head = head;
        this.digest = print.bext() == null && print.origin() == null ? null : Sha256.open();
        this.replaces = Files.exists(target, LinkOption.NOFOLLOW_LINKS);
        this.frameBytes = print.channels() * print.format().bytes();
        this.buffer = WavHead.little(GATHERED * frameBytes + Packing.BEYOND);
        this.samples = new double[print.channels()][GATHERED];
        this.packing = new Packing(print, GATHERED);
        ByteBuffer open = head.open();
        this.soundAt = open.limit();
        put(open, 0);
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
        if (!print.overwrite() && Files.exists(target, LinkOption.NOFOLLOW_LINKS)) throw SoundFileException.there(target);
        Path folder = target.toAbsolutePath().getParent();
        if (!Files.isDirectory(folder)) throw new SoundFileException(target, "has no folder to go to", "make the folder first");
        Path unfinished = Unfinished.hidden(target);
        FileChannel channel = null;
        try {
            Unfinished.FILES.begin(() -> Files.createFile(unfinished));
            channel = FileChannel.open(unfinished, StandardOpenOption.WRITE, LinkOption.NOFOLLOW_LINKS);
            return new WavWriter(target, unfinished, channel, print, new WavHead(print, largestRiff));
        } catch (IOException e) {
            SoundFileException refusal = unwritable(target, e);
            try {
                if (channel != null) channel.close();
                Unfinished.FILES.drop(unfinished);
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

    static SoundFileException unwritable(Path target, IOException e) {
        if (e instanceof AccessDeniedException) {
            return new SoundFileException(target, "may not be written there", "choose another folder, or give yourself the right to write");
        }
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
            packing.pack(samples, count, print.from() + frames, buffer, held * frameBytes);
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

    /**
     * Lets the disk have what was written so far, where this will take the place of another file. May be called by another thread than writes, until that
     * {@link #seal seals}.
     */
    public void toDisk() {
        try {
            if (replaces && lost == null) channel.force(false);
        } catch (IOException e) {
            // The system says so only once.
            lost = e;
        }
    }

    /**
     * Completes the file and gives it its name.
     *
     * @throws SoundFileException where the disk is full or another file has taken the name meanwhile; nothing is left then
     */
    public void finish() throws SoundFileException {
        finish((Function<Origin.Sums, Bext>) null);
    }

    /** The same for one without a broadcast extension that it was given: as loud as this is what it says of itself, where it says something. */
    public void finish(Bext.Loudness measured) throws SoundFileException {
        loudness = measured;
        finish();
    }

    /**
     * Completes the file, and its broadcast extension with what is known only now.
     *
     * @param described gives the extension, as long as the one the print was made with, for what the bytes of the sound are known by;
     *     null where the print has none of its own
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
            if (digest != null) describe(described, new Origin.Sums(HexFormat.of().formatHex(digest.digest()), crc(quick)));
            long soundBytes = frames * frameBytes;
            long end = soundAt + soundBytes;
            if (soundBytes % 2 == 1) end += put(ByteBuffer.allocate(1), end);
            for (Chunk chunk : Carried.after(print, frames)) end += put(WavHead.chunk(chunk), end);
            head.complete(channel, soundAt, end - 8, soundBytes, frames);
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
            Unfinished.FILES.take(unfinished, target, print.overwrite());
            finished = true;
        } catch (IOException e) {
            if (!Files.exists(unfinished)) throw removed();
            throw e instanceof FileAlreadyExistsException ? SoundFileException.there(target) : unwritable(target, e);
        }
    }

    private SoundFileException removed() {
        return new SoundFileException(target, "its unfinished file was removed while it was written",
                "leave files that begin with .linnet- alone, and render again");
    }

    static String crc(CRC32C sum) {
        return String.format("%08x", sum.getValue());
    }

    private void describe(Function<Origin.Sums, Bext> described, Origin.Sums sums) throws IOException {
        Print told = (print.origin() == null ? print : print.madeBy(print.origin().withSound(sums))).measured(loudness);
        if (described != null) told = told.described(described.apply(sums));
        long end = WavHead.carriedAt(print.format());
        for (Chunk chunk : Carried.before(told)) end += put(WavHead.chunk(chunk), end);
        // Behind them stands the head of the sound.
        if (end != soundAt - 8) throw new IllegalStateException("the broadcast extension has another length than it began with");
    }

    /** Drops the print, unless it was finished. */
    @Override
    public void close() throws SoundFileException {
        if (!finished) {
            try {
                discard();
            } catch (IOException e) {
                throw new SoundFileException(target, "could not be given up: its part " + unfinished.getFileName() + " remains", "delete it", e);
            }
        }
    }

    private void discard() throws IOException {
        try {
            channel.close();
        } finally {
            Unfinished.FILES.drop(unfinished);
        }
    }

    private int put(ByteBuffer bytes, long at) throws IOException {
        return WavHead.put(channel, bytes, at);
    }
}

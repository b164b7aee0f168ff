package linnet.render;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.FloatBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;
import linnet.dsp.Silence;
import linnet.dsp.Tape;

/**
 * A signal kept between two stages, as floats of 32 bits: in memory while a budget lasts, then in a temporary file; what is silent takes
 * neither. Written once from the front, and read from anywhere that is not forgotten; who reads what is still to come waits for it.
 */
final class Spool implements Tape {
    private static final int CHUNK = 48_000;
    private static final long CHUNK_BYTES = (long) CHUNK * Float.BYTES;

    /** A chunk of a channel in memory: the samples of a slab from one on. */
    private record Piece(float[] slab, int at) {
        boolean isSilent() {
            return Silence.in(slab, at, CHUNK);
        }
    }

    /**
     * Memory that spools share. Chunks that are given back serve again: the first touch of memory is dear. They are cut from slabs, each twice as large as the
     * one before up to one of 10 MB: where the young generation is smaller than that, as the launcher has it for a chain, a collector has not to move them.
     */
    static final class Budget {
        private static final int FIRST_SLAB = 2, SLAB = 55;

        private final List<Piece> free = new ArrayList<>();
        private long bytes;
        private int slab = FIRST_SLAB;

        Budget(long bytes) {
            this.bytes = bytes;
        }

        /** A chunk for each channel; null if there is no memory left for it. */
        private synchronized Piece[] take(int channels) {
            if (bytes < CHUNK_BYTES * channels) return null;
            while (free.size() < channels) cut();
            bytes -= CHUNK_BYTES * channels;
            Piece[] chunk = new Piece[channels];
            for (int c = 0; c < channels; c++) chunk[c] = free.remove(free.size() - 1);
            return chunk;
        }

        private void cut() {
            int chunks = (int) Math.min(slab, bytes / CHUNK_BYTES - free.size());
            slab = Math.min(2 * slab, SLAB);
            float[] x = new float[chunks * CHUNK];
            for (int k = chunks - 1; k >= 0; k--) free.add(new Piece(x, k * CHUNK));
        }

        private synchronized void give(Piece[] chunk) {
            bytes += CHUNK_BYTES * chunk.length;
            free.addAll(Arrays.asList(chunk));
        }
    }

    /**
     * Where a whole chunk is.
     *
     * @param memory null where it is not there
     * @param inFile which one of the file it is, from 0
     */
    private record Place(Piece[] memory, int inFile) {
        static final Place SILENT = new Place(null, -1), FORGOTTEN = new Place(null, -1);
    }

    private final double rate;
    private final int channels;
    private final long least;
    private final Budget budget;
    private final List<Place> chunks = new ArrayList<>();
    /** How many of them need not be looked at to be forgotten. */
    private int passed;
    private ByteBuffer bytes;
    private FloatBuffer floats;
    private float[] loaded;
    /** The chunk that is being filled, which may be full; and whether its memory is the budget's. */
    private Piece[] last;
    private boolean budgeted;
    private int inLast, inFile;
    private long frames;
    private boolean finished, closed;
    private FileChannel file;

    /** @param least samples that there will be in any case */
    Spool(double rate, int channels, long least, Budget budget) {
        this.rate = rate;
        this.channels = channels;
        this.least = least;
        this.budget = budget;
    }

    @Override
    public synchronized void append(double[][] x, int n) {
        if (closed) throw new IllegalStateException("closed");
        for (int done = 0; done < n; ) {
            if (last == null || inLast == CHUNK) next();
            int m = Math.min(n - done, CHUNK - inLast);
            for (int c = 0; c < channels; c++) round(x[c], done, last[c].slab, last[c].at + inLast, m);
            inLast += m;
            done += m;
            frames += m;
            // Whoever waits is woken for whole chunks only.
            if (inLast == CHUNK) notifyAll();
        }
    }

    private static void round(double[] x, int from, float[] into, int at, int n) {
        for (int i = 0; i < n; i++) into[at + i] = (float) x[from + i];
    }

    private static void widen(float[] x, int from, double[] into, int at, int n, boolean adds) {
        if (adds) for (int i = 0; i < n; i++) into[at + i] += x[from + i];
        else for (int i = 0; i < n; i++) into[at + i] = x[from + i];
    }

    @Override
    public synchronized void finish() {
        finished = true;
        notifyAll();
    }

    /** Puts the full chunk away and begins another, in the same memory if that is free again. */
    private void next() {
        inLast = 0;
        if (last != null) {
            chunks.add(putAway());
            if (chunks.get(chunks.size() - 1).memory == null && budgeted) return;
        }
        Piece[] chunk = budget.take(channels);
        if (chunk == null && last != null && !budgeted) return;
        last = chunk != null ? chunk : Stream.generate(() -> new Piece(new float[CHUNK], 0)).limit(channels).toArray(Piece[]::new);
        budgeted = chunk != null;
    }

    private Place putAway() {
        boolean silent = true;
        for (Piece p : last) silent = silent && p.isSilent();
        if (silent) return Place.SILENT;
        if (budgeted) return new Place(last, -1);
        try {
            open();
            for (int c = 0; c < channels; c++) {
                floats.clear().put(last[c].slab, last[c].at, CHUNK);
                write(bytes.clear(), place(inFile, c));
            }
        } catch (IOException e) {
            throw new UncheckedIOException(new IOException("no room among the temporary files, in " + System.getProperty("java.io.tmpdir")
                    + " unless TMPDIR names another folder, for what is kept between two passes (" + e.getMessage() + ")", e));
        }
        return new Place(null, inFile++);
    }

    private void open() throws IOException {
        if (file != null) return;
        bytes = ByteBuffer.allocateDirect(CHUNK * Float.BYTES).order(ByteOrder.nativeOrder());
        floats = bytes.asFloatBuffer();
        loaded = new float[CHUNK];
        Path path = Files.createTempFile("linnet-", ".spool");
        file = FileChannel.open(path, StandardOpenOption.READ, StandardOpenOption.WRITE, StandardOpenOption.DELETE_ON_CLOSE);
    }

    /** How many of its chunks lie in the file: so that a test sees whose memory was spent. */
    synchronized int chunksInFile() {
        return inFile;
    }

    private void write(ByteBuffer from, long at) throws IOException {
        while (from.hasRemaining()) at += file.write(from, at);
    }

    /** Where a chunk of the file begins. */
    private long place(int chunk, int channel) {
        return ((long) chunk * channels + channel) * CHUNK * Float.BYTES;
    }

    @Override
    public double rate() {
        return rate;
    }

    @Override
    public int channels() {
        return channels;
    }

    @Override
    public synchronized long frames() {
        return finished ? frames : Math.max(frames, least);
    }

    @Override
    public void read(long from, double[][] into, int n) {
        read(from, into, n, 0, channels, false);
    }

    /**
     * Some of the channels.
     *
     * @param first which channel goes to the first array
     * @param adds whether they are added to what is there
     */
    synchronized void read(long from, double[][] into, int n, int first, int count, boolean adds) {
        await(from + n);
        for (int done = 0; done < n; ) {
            int chunk = (int) ((from + done) / CHUNK), within = (int) ((from + done) % CHUNK);
            int m = Math.min(n - done, CHUNK - within);
            Place at = chunk < chunks.size() ? chunks.get(chunk) : null;
            if (at == Place.FORGOTTEN) throw new IllegalStateException("forgotten");
            for (int c = 0; c < count; c++) {
                Piece piece = at == null ? last[first + c] : at.memory == null ? null : at.memory[first + c];
                if (piece != null) widen(piece.slab, piece.at + within, into[c], done, m, adds);
                else if (at != Place.SILENT) widen(load(place(at.inFile, first + c) + (long) within * Float.BYTES, m), 0, into[c], done, m, adds);
                else if (!adds) Arrays.fill(into[c], done, done + m, 0);
            }
            done += m;
        }
    }

    /** Gives the memory of whole chunks before a sample back: nobody reads there again. */
    synchronized void forget(long end) {
        for (; passed < Math.min(end / CHUNK, chunks.size()); passed++) {
            Place place = chunks.get(passed);
            if (place.memory == null) continue;
            budget.give(place.memory);
            chunks.set(passed, Place.FORGOTTEN);
        }
    }

    private void await(long end) {
        try {
            while (!closed && !finished && end > frames - inLast % CHUNK) wait();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted", e);
        }
        if (closed) throw new IllegalStateException("closed");
    }

    private float[] load(long at, int n) {
        try {
            bytes.clear().limit(n * Float.BYTES);
            while (bytes.hasRemaining()) {
                int got = file.read(bytes, at + bytes.position());
                if (got < 0) throw new IOException("the temporary file is shorter than it was");
            }
            floats.clear().get(loaded, 0, n);
            return loaded;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    @Override
    public synchronized void close() {
        if (closed) return;
        closed = true;
        notifyAll();
        for (Place p : chunks) if (p.memory != null) budget.give(p.memory);
        if (last != null && budgeted) budget.give(last);
        chunks.clear();
        last = null;
        try {
            if (file != null) file.close();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}

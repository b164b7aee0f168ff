package linnet.render;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.DoubleBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import linnet.dsp.Sound;

/**
 * A signal kept between two stages, in full precision: in memory while a budget lasts, then in a temporary file. Written
 * once from the front, and read from anywhere; who reads what is still to come waits for it.
 */
final class Spool implements Sound, AutoCloseable {
    private static final int CHUNK = 48_000;

    /** Memory that all spools of a render share. Chunks that are given back serve again: the first touch of memory is dear. */
    static final class Budget {
        private final List<double[]> free = new ArrayList<>();
        private long bytes;

        Budget(long bytes) {
            this.bytes = bytes;
        }

        /** A chunk for each channel; null if there is no memory left for it. */
        private double[][] take(int channels) {
            long wanted = (long) CHUNK * channels * Double.BYTES;
            if (bytes < wanted) return null;
            bytes -= wanted;
            double[][] chunk = new double[channels][];
            for (int c = 0; c < channels; c++) chunk[c] = free.isEmpty() ? new double[CHUNK] : free.remove(free.size() - 1);
            return chunk;
        }

        private void give(double[][] chunk) {
            bytes += (long) CHUNK * chunk.length * Double.BYTES;
            free.addAll(Arrays.asList(chunk));
        }
    }

    private final double rate;
    private final int channels;
    private final long least;
    private final Budget budget;
    private final List<double[][]> chunks = new ArrayList<>();
    private final ByteBuffer bytes;
    private final DoubleBuffer doubles;
    private double[][] last;
    private int inLast;
    private long frames;
    private boolean finished, closed;
    private FileChannel file;

    /** @param least samples that there will be in any case */
    Spool(double rate, int channels, long least, Budget budget) {
        this.rate = rate;
        this.channels = channels;
        this.least = least;
        this.budget = budget;
        this.bytes = ByteBuffer.allocate(CHUNK * Double.BYTES);
        this.doubles = bytes.asDoubleBuffer();
    }

    /** Adds samples at the end. */
    synchronized void append(double[][] x, int n) {
        for (int done = 0; done < n; ) {
            if (last == null || inLast == CHUNK) next();
            int m = Math.min(n - done, CHUNK - inLast);
            for (int c = 0; c < channels; c++) System.arraycopy(x[c], done, last[c], inLast, m);
            inLast += m;
            done += m;
            frames += m;
            // Whoever waits is woken for whole chunks only.
            if (inLast == CHUNK) notifyAll();
        }
    }

    /** Nothing more will come. */
    synchronized void finish() {
        finished = true;
        notifyAll();
    }

    /** Begins a chunk: a new one in memory, or the same again once it is written to the file. */
    private void next() {
        double[][] chunk = file == null ? budget.take(channels) : null;
        if (chunk != null) {
            chunks.add(chunk);
            last = chunk;
        } else if (last == null) {
            last = new double[channels][CHUNK];
        } else {
            spill();
        }
        inLast = 0;
    }

    /** Writes the last chunk to the file, unless it is one of those kept in memory. */
    private void spill() {
        if (!chunks.isEmpty() && chunks.get(chunks.size() - 1) == last) {
            last = new double[channels][CHUNK];
            return;
        }
        try {
            open();
            for (int c = 0; c < channels; c++) {
                doubles.clear().put(last[c], 0, CHUNK);
                write(bytes.clear(), place(frames / CHUNK - 1, c));
            }
        } catch (IOException e) {
            throw new UncheckedIOException(new IOException("no room among the temporary files for what is kept between two passes (" + e.getMessage() + ")", e));
        }
    }

    private void open() throws IOException {
        if (file != null) return;
        Path path = Files.createTempFile("linnet-", ".spool");
        file = FileChannel.open(path, StandardOpenOption.READ, StandardOpenOption.WRITE, StandardOpenOption.DELETE_ON_CLOSE);
    }

    private void write(ByteBuffer from, long at) throws IOException {
        while (from.hasRemaining()) at += file.write(from, at);
    }

    /** Where a chunk that is not in memory begins in the file. */
    private long place(long chunk, int channel) {
        return ((chunk - chunks.size()) * channels + channel) * CHUNK * Double.BYTES;
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
    public synchronized void read(long from, double[][] into, int n) {
        await(from + n);
        for (int done = 0; done < n; ) {
            long chunk = (from + done) / CHUNK;
            int within = (int) ((from + done) % CHUNK);
            int m = Math.min(n - done, CHUNK - within);
            boolean isLast = (chunk + 1) * CHUNK > frames - inLast && last != null && chunk == (frames - 1) / CHUNK;
            for (int c = 0; c < channels; c++) {
                if (chunk < chunks.size()) System.arraycopy(chunks.get((int) chunk)[c], within, into[c], done, m);
                else if (isLast) System.arraycopy(last[c], within, into[c], done, m);
                else load(place(chunk, c) + (long) within * Double.BYTES, into[c], done, m);
            }
            done += m;
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

    private void load(long at, double[] into, int offset, int n) {
        try {
            bytes.clear().limit(n * Double.BYTES);
            while (bytes.hasRemaining()) {
                int got = file.read(bytes, at + bytes.position());
                if (got < 0) throw new IOException("the temporary file is shorter than it was");
            }
            doubles.clear().get(into, offset, n);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    @Override
    public synchronized void close() {
        closed = true;
        notifyAll();
        chunks.forEach(budget::give);
        chunks.clear();
        last = null;
        try {
            if (file != null) file.close();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}

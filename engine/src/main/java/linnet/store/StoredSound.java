package linnet.store;

import java.io.EOFException;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Optional;
import java.util.zip.CRC32C;
import linnet.dsp.Silence;
import linnet.dsp.Sound;

/**
 * A sound in a file of the store, read where it is asked for; by several threads at once. It is not mapped into memory: a song of an hour would
 * fill that. The file is closed when nobody holds the sound any more.
 *
 * @param silent which of the blocks of {@link #BLOCK} samples, of all channels in turn, nothing is to be read of
 */
record StoredSound(FileChannel file, double rate, int channels, long frames, BitSet silent) implements Sound {
    /** Samples fetched, written and known as silent at a time; the last one of a file may have fewer. */
    static final int BLOCK = 1 << 15;
    /** What one thread reads with. */
    private static final ThreadLocal<float[]> FLOATS = ThreadLocal.withInitial(() -> new float[BLOCK]);
    private static final ThreadLocal<ByteBuffer> BYTES = ThreadLocal.withInitial(() -> ByteBuffer.allocateDirect(4 * BLOCK).order(ByteOrder.LITTLE_ENDIAN));

    /** The sound of a whole file; empty where it is damaged, cut or of another kind. */
    static Optional<StoredSound> read(FileChannel channel, long magic) throws IOException {
        ByteBuffer head = ByteBuffer.allocate(Store.HEAD).order(ByteOrder.LITTLE_ENDIAN);
        while (head.hasRemaining()) if (channel.read(head, head.position()) < 0) return Optional.empty();
        head.flip();
        if (head.getLong() != magic) return Optional.empty();
        double rate = head.getDouble();
        int channels = head.getInt();
        long frames = head.getLong(), checksum = head.getLong();
        if (channels < 1 || channels > 2 || frames < 0 || channel.size() != Store.HEAD + 4 * channels * frames) return Optional.empty();
        CRC32C found = new CRC32C();
        BitSet silent = new BitSet();
        long samples = channels * frames;
        for (long at = 0; at < samples; at += BLOCK) {
            ByteBuffer block = fetch(channel, at, (int) Math.min(BLOCK, samples - at));
            if (isSilent(block)) silent.set((int) (at / BLOCK));
            found.update(block);
        }
        found.update(head.position(0).limit(Store.HEAD - 8));
        return found.getValue() == checksum ? Optional.of(new StoredSound(channel, rate, channels, frames, silent)) : Optional.empty();
    }

    private static boolean isSilent(ByteBuffer block) {
        int n = block.remaining() / 4;
        // Sound is told at once, before anything is unpacked for it.
        if (block.getInt(block.limit() - 4) != 0) return false;
        block.duplicate().order(ByteOrder.LITTLE_ENDIAN).asFloatBuffer().get(FLOATS.get(), 0, n);
        return Silence.in(FLOATS.get(), 0, n);
    }

    /** Samples of all channels in turn, as bytes that are good until this thread fetches again. */
    private static ByteBuffer fetch(FileChannel file, long at, int n) throws IOException {
        ByteBuffer bytes = BYTES.get();
        bytes.clear().limit(4 * n);
        while (bytes.hasRemaining()) {
            if (file.read(bytes, Store.HEAD + 4 * at + bytes.position()) < 0) throw new EOFException("a file of the store was cut while it was read");
        }
        return bytes.flip();
    }

    @Override
    public void read(long from, double[][] into, int n) {
        float[] inTurn = FLOATS.get();
        for (int done = 0; done < n; ) {
            int some = Math.min(n - done, BLOCK / channels);
            if (isSilent((from + done) * channels, (from + done + some) * channels)) {
                for (int c = 0; c < channels; c++) Arrays.fill(into[c], done, done + some, 0);
                done += some;
                continue;
            }
            try {
                fetch(file, (from + done) * channels, some * channels).asFloatBuffer().get(inTurn, 0, some * channels);
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
            if (channels == 1) lay(inTurn, into[0], done, some);
            else lay(inTurn, into[0], into[1], done, some);
            done += some;
        }
    }

    private boolean isSilent(long from, long to) {
        return silent.nextClearBit((int) (from / BLOCK)) > (to - 1) / BLOCK;
    }

    private static void lay(float[] x, double[] into, int at, int n) {
        for (int i = 0; i < n; i++) into[at + i] = x[i];
    }

    private static void lay(float[] x, double[] left, double[] right, int at, int n) {
        for (int i = 0; i < n; i++) {
            left[at + i] = x[2 * i];
            right[at + i] = x[2 * i + 1];
        }
    }
}

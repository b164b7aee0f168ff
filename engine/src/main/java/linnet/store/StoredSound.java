package linnet.store;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.FloatBuffer;
import java.nio.MappedByteBuffer;
import java.nio.channels.FileChannel;
import java.util.Optional;
import java.util.zip.CRC32C;
import linnet.dsp.Sound;

/** A sound in a file of the store, read by the system where it is asked for; by several threads at once. */
record StoredSound(double rate, int channels, long frames, FloatBuffer[] pieces) implements Sound {
    /** Samples, of all channels, in a piece: a map of a file is at most 2 GiB. An even number. */
    private static final long PIECE = 1L << 28;

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
        for (long at = 0; at < channels * frames; at += PIECE) found.update(bytes(channel, at, Math.min(PIECE, channels * frames - at)));
        found.update(head.position(0).limit(Store.HEAD - 8));
        return found.getValue() == checksum ? Optional.of(map(channel, rate, channels, frames)) : Optional.empty();
    }

    static StoredSound map(FileChannel channel, double rate, int channels, long frames) throws IOException {
        long samples = channels * frames;
        FloatBuffer[] pieces = new FloatBuffer[(int) ((samples + PIECE - 1) / PIECE)];
        for (int p = 0; p < pieces.length; p++) pieces[p] = bytes(channel, p * PIECE, Math.min(PIECE, samples - p * PIECE)).order(ByteOrder.LITTLE_ENDIAN).asFloatBuffer();
        return new StoredSound(rate, channels, frames, pieces);
    }

    private static MappedByteBuffer bytes(FileChannel channel, long at, long samples) throws IOException {
        return channel.map(FileChannel.MapMode.READ_ONLY, Store.HEAD + 4 * at, 4 * samples);
    }

    @Override
    public void read(long from, double[][] into, int n) {
        // One copy out of the map, then apart: a look-up for each sample costs ten times as much.
        float[] x = new float[channels * n];
        long at = from * channels;
        for (int done = 0; done < x.length; ) {
            int within = (int) (at % PIECE), some = (int) Math.min(x.length - done, PIECE - within);
            pieces[(int) (at / PIECE)].get(within, x, done, some);
            done += some;
            at += some;
        }
        if (channels == 1) {
            for (int i = 0; i < n; i++) into[0][i] = x[i];
        } else {
            double[] left = into[0], right = into[1];
            for (int i = 0; i < n; i++) {
                left[i] = x[2 * i];
                right[i] = x[2 * i + 1];
            }
        }
    }
}

package linnet.store;

import java.io.EOFException;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.util.Optional;
import java.util.zip.CRC32C;
import linnet.dsp.Sound;

/**
 * A sound in a file of the store, read where it is asked for; by several threads at once. It is not mapped into memory: a song of an hour would
 * fill that. The file is closed when nobody holds the sound any more.
 */
record StoredSound(FileChannel file, double rate, int channels, long frames) implements Sound {
    /** What one thread reads with. */
    private record Reading(ByteBuffer bytes, float[] samples) {
        private static final int MOST = 1 << 15;

        Reading() {
            this(ByteBuffer.allocateDirect(4 * MOST).order(ByteOrder.LITTLE_ENDIAN), new float[MOST]);
        }
    }

    private static final ThreadLocal<Reading> READING = ThreadLocal.withInitial(Reading::new);

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
        long samples = channels * frames;
        for (long at = 0; at < samples; at += Reading.MOST) found.update(fetch(channel, at, (int) Math.min(Reading.MOST, samples - at)).bytes);
        found.update(head.position(0).limit(Store.HEAD - 8));
        return found.getValue() == checksum ? Optional.of(new StoredSound(channel, rate, channels, frames)) : Optional.empty();
    }

    /** Samples of all channels in turn, as bytes. */
    private static Reading fetch(FileChannel file, long at, int n) throws IOException {
        Reading reading = READING.get();
        reading.bytes.clear().limit(4 * n);
        while (reading.bytes.hasRemaining()) {
            if (file.read(reading.bytes, Store.HEAD + 4 * at + reading.bytes.position()) < 0) throw new EOFException("a file of the store was cut while it was read");
        }
        reading.bytes.flip();
        return reading;
    }

    @Override
    public void read(long from, double[][] into, int n) {
        int most = Reading.MOST / channels;
        for (int done = 0; done < n; done += most) {
            int some = Math.min(most, n - done);
            try {
                Reading reading = fetch(file, (from + done) * channels, some * channels);
                reading.bytes.asFloatBuffer().get(reading.samples, 0, some * channels);
                for (int c = 0; c < channels; c++) lay(reading.samples, c, channels, into[c], done, some);
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }
    }

    private static void lay(float[] x, int from, int stride, double[] into, int at, int n) {
        for (int i = 0; i < n; i++) into[at + i] = x[from + stride * i];
    }
}

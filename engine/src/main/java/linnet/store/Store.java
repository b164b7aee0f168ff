package linnet.store;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.stream.Stream;
import java.util.zip.CRC32C;
import linnet.dsp.Silence;
import linnet.dsp.Sound;
import linnet.files.Unfinished;
import linnet.render.Shelf;

/**
 * A folder of sounds, each named by its signature, and of what was heard in some: 32-bit floats of the channels in turn, behind a head with rate, channels,
 * length and a checksum of it all. A file gets its name only when it is whole, and is checked before it is used; one that is damaged is as good as none.
 * Whoever deletes some or all of it loses time, nothing else.
 */
public final class Store implements Shelf {
    /** What a file begins with; another form of file will begin otherwise. */
    private static final long MAGIC = 0x4c4e_5453_544f_5231L;
    /** Magic, rate, channels, frames, checksum. */
    static final int HEAD = 8 + 8 + 4 + 8 + 8;
    private static final String SOUND = ".sound", FACTS = ".facts", UNFINISHED = ".part";

    /** No render takes so long: what is unfinished since then belongs to one that was ended. */
    private static final long LEFT_SECONDS = 24 * 3600;

    /** Tells of a file that it was used. */
    interface Touch {
        void used(Path file) throws IOException;
    }

    private final Path folder;
    private final long most;
    private final Touch touch;
    /** By signature: one for all who hear a sound in this run. */
    private final Map<String, FactsFile> remembered = new ConcurrentHashMap<>();

    /**
     * @param folder made when something is kept
     * @param most bytes it may hold after {@link #tidy}
     */
    public Store(Path folder, long most) {
        this(folder, most, f -> Files.setLastModifiedTime(f, FileTime.from(Instant.now())));
    }

    Store(Path folder, long most, Touch touch) {
        this.folder = folder;
        this.most = most;
        this.touch = touch;
    }

    private Path file(String signature) {
        return folder.resolve(signature + SOUND);
    }

    @Override
    public Recollection recollection(String signature) {
        return new StoredFacts(remembered.computeIfAbsent(signature, s -> new FactsFile(folder.resolve(s + FACTS))));
    }

    @Override
    public Optional<Sound> find(String signature) {
        Path file = file(signature);
        // A store that came with a song may hold anything: links, whose ends would be touched, and pipes, which would never end.
        if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) return Optional.empty();
        try {
            FileChannel channel = FileChannel.open(file, StandardOpenOption.READ, LinkOption.NOFOLLOW_LINKS);
            Optional<StoredSound> sound = Optional.empty();
            try {
                sound = StoredSound.read(channel, MAGIC);
            } finally {
                if (sound.isEmpty()) channel.close();
            }
            if (sound.isPresent()) touch(file);
            return sound.map(s -> s);
        } catch (IOException e) {
            return Optional.empty();
        }
    }

    /** Whether a sound that was found here can still be read: its file is closed where a thread was stopped that read it. */
    public boolean isOpen(Sound found) {
        return found instanceof StoredSound s && s.file().isOpen();
    }

    /** What is used stays longest. */
    private void touch(Path file) {
        try {
            touch.used(file);
        } catch (IOException e) {
            // Another user made it, or the disk is only read: it is as good.
        }
    }

    @Override
    public Place place(String signature, double rate, int channels) throws IOException {
        Files.createDirectories(folder);
        return new Writing(file(signature), rate, channels);
    }

    /** A file that gets its name when it is whole; for its owner alone to read, as it may hold a take that is. */
    static Path unfinished(Path target) throws IOException {
        return Unfinished.FILES.begin(() -> Files.createTempFile(target.getParent(), "", UNFINISHED));
    }

    /** Deletes what was used least lately, until the folder is no larger than it may be, and what a run that was ended left behind. */
    public void tidy() throws IOException {
        if (!Files.isDirectory(folder)) return;
        List<Path> files = new ArrayList<>();
        try (Stream<Path> all = Files.list(folder)) {
            all.filter(f -> Stream.of(SOUND, FACTS, UNFINISHED).anyMatch(f.toString()::endsWith)).forEach(files::add);
        }
        record Kept(Path file, long bytes, FileTime used) {}
        List<Kept> kept = new ArrayList<>();
        for (Path f : files) {
            try {
                FileTime used = Files.getLastModifiedTime(f, LinkOption.NOFOLLOW_LINKS);
                boolean left = f.toString().endsWith(UNFINISHED) && used.toInstant().isBefore(Instant.now().minusSeconds(LEFT_SECONDS));
                if (left) Files.deleteIfExists(f);
                else kept.add(new Kept(f, Files.size(f), used));
            } catch (NoSuchFileException e) {
                // Another run has finished it, or tidied it away.
            }
        }
        kept.sort(Comparator.comparing(Kept::used));
        long bytes = kept.stream().mapToLong(Kept::bytes).sum();
        for (Kept k : kept) {
            if (bytes <= most) return;
            Files.deleteIfExists(k.file);
            bytes -= k.bytes;
        }
    }

    private static final class Writing implements Place {
        private final Path target, part;
        private final double rate;
        private final int channels;
        private final FileChannel channel;
        private final float[] gathered = new float[StoredSound.BLOCK];
        private final ByteBuffer buffer = ByteBuffer.allocateDirect(4 * StoredSound.BLOCK).order(ByteOrder.LITTLE_ENDIAN);
        private int filled;
        private final CRC32C checksum = new CRC32C();
        private final BitSet silent = new BitSet();
        private long frames, at = HEAD;
        private boolean finished;

        Writing(Path target, double rate, int channels) throws IOException {
            this.target = target;
            this.rate = rate;
            this.channels = channels;
            part = unfinished(target);
            channel = FileChannel.open(part, StandardOpenOption.WRITE, StandardOpenOption.READ);
        }

        @Override
        public void write(double[][] x, int n) throws IOException {
            for (int done = 0; done < n; ) {
                if (StoredSound.BLOCK - filled < channels) flush();
                int some = Math.min(n - done, (StoredSound.BLOCK - filled) / channels);
                if (channels == 1) gather(x[0], done, some);
                else gather(x[0], x[1], done, some);
                filled += some * channels;
                done += some;
            }
            frames += n;
        }

        private void gather(double[] x, int from, int n) {
            for (int i = 0; i < n; i++) gathered[filled + i] = (float) x[from + i];
        }

        private void gather(double[] left, double[] right, int from, int n) {
            for (int i = 0; i < n; i++) {
                gathered[filled + 2 * i] = (float) left[from + i];
                gathered[filled + 2 * i + 1] = (float) right[from + i];
            }
        }

        private void flush() throws IOException {
            buffer.clear();
            buffer.asFloatBuffer().put(gathered, 0, filled);
            buffer.limit(4 * filled);
            checksum.update(buffer.duplicate());
            if (filled == StoredSound.BLOCK && Silence.in(gathered, 0, filled)) {
                // A hole in the file, which costs the disk and the memory nothing.
                silent.set((int) ((at - HEAD) / (4 * filled)));
                at += 4 * filled;
            } else {
                while (buffer.hasRemaining()) at += channel.write(buffer, at);
            }
            filled = 0;
        }

        @Override
        public Sound finish() throws IOException {
            flush();
            // No file ends with a hole.
            if (channel.size() < at) channel.write(ByteBuffer.allocate(1), at - 1);
            ByteBuffer head = ByteBuffer.allocate(HEAD).order(ByteOrder.LITTLE_ENDIAN).putLong(MAGIC).putDouble(rate).putInt(channels).putLong(frames);
            checksum.update(head.duplicate().flip());
            head.putLong(checksum.getValue()).flip();
            for (long to = 0; head.hasRemaining(); ) to += channel.write(head, to);
            Sound sound = new StoredSound(channel, rate, channels, frames, silent);
            Unfinished.FILES.take(part, target, true);
            finished = true;
            return sound;
        }

        @Override
        public void close() throws IOException {
            if (finished) return;
            channel.close();
            Unfinished.FILES.drop(part);
        }
    }
}

package linnet.store;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Supplier;
import linnet.render.Shelf;
import linnet.render.Signature;

/**
 * The digests of files, each taken anew only where its file may be another than when it was taken. What tells is the file itself, its length, and when it
 * and what the system knows of it were changed: the last of these, no program can set. A file that was changed less than {@link #SETTLED} before is not
 * trusted to show the next change, and where a system does not tell these things every file is read.
 */
public final class FileDigests {
    /** Longer than the steps of any file system's clock. */
    private static final Duration SETTLED = Duration.ofSeconds(3);
    private static final String DIGEST = "digest of ";

    private record Known(String stamp, String digest) {}

    private final Supplier<Instant> clock;
    private final Map<Path, Known> known = new ConcurrentHashMap<>();

    public FileDigests() {
        this(Instant::now);
    }

    FileDigests(Supplier<Instant> clock) {
        this.clock = clock;
    }

    /**
     * The SHA-256 of a file in hexadecimal digits.
     *
     * @param shelf where digests are kept from one run to the next
     */
    public String of(Path file, Shelf shelf) throws IOException {
        Optional<String> stamp = stamp(file);
        if (stamp.isEmpty()) return taken(file);
        Known before = known.get(file);
        if (before != null && before.stamp.equals(stamp.get())) return before.digest;
        Shelf.Recollection kept = shelf.recollection(Signature.digest(DIGEST + file.toAbsolutePath()));
        String fact = DIGEST + stamp.get();
        Optional<byte[]> there = kept.memory().recall(fact);
        String digest = there.isPresent() ? new String(there.get(), StandardCharsets.US_ASCII) : taken(file);
        if (there.isEmpty()) {
            // What was written while it was read would show.
            if (!stamp(file).equals(stamp)) return digest;
            kept.memory().keep(fact, digest.getBytes(StandardCharsets.US_ASCII));
            close(kept);
        }
        known.put(file, new Known(stamp.get(), digest));
        return digest;
    }

    private static void close(Shelf.Recollection kept) {
        try {
            kept.close();
        } catch (IOException e) {
            // What cannot be kept is taken again the next time.
        }
    }

    private static String taken(Path file) throws IOException {
        try (InputStream bytes = Files.newInputStream(file)) {
            return Signature.digest(bytes);
        }
    }

    /** What a change of the file would change; empty where that is not sure. */
    private Optional<String> stamp(Path file) throws IOException {
        try {
            Map<String, Object> now = Files.readAttributes(file, "unix:fileKey,size,lastModifiedTime,ctime");
            FileTime changed = (FileTime) now.get("ctime");
            boolean settled = changed.toInstant().plus(SETTLED).isBefore(clock.get());
            return settled ? Optional.of(now.get("fileKey") + " " + now.get("size") + " " + now.get("lastModifiedTime") + " " + changed) : Optional.empty();
        } catch (UnsupportedOperationException | IllegalArgumentException e) {
            // No such system.
            return Optional.empty();
        }
    }
}

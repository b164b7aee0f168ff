package linnet.store;

import java.io.IOException;
import java.nio.BufferUnderflowException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import java.util.zip.CRC32C;
import linnet.files.Unfinished;
import linnet.hear.Remembered;

/**
 * The file of all that is remembered of one sound: names and bytes in turn, behind a head with a checksum. In one run several may hear that sound, at once too,
 * and each keeps what is new to it: what one of them asked for stays, the rest is let go when the file is written anew.
 */
final class FactsFile {
    private static final long MAGIC = 0x4c4e_5446_4143_5431L;
    private static final int HEAD = 8 + 8;
    /** More than any take of hours leaves; a file that is larger was not written here. */
    private static final long LARGEST = 256 << 20;

    private final Path file;
    private final Set<String> asked = new HashSet<>();

    FactsFile(Path file) {
        this.file = file;
    }

    synchronized void ask(String fact) {
        asked.add(fact);
    }

    /** What is in the file; nothing where it is damaged or not there. */
    synchronized Map<String, byte[]> read() {
        Map<String, byte[]> read = new HashMap<>();
        try {
            if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS) || Files.size(file) > LARGEST) return read;
            byte[] all = Files.readAllBytes(file);
            ByteBuffer from = ByteBuffer.wrap(all);
            if (all.length < HEAD || from.getLong() != MAGIC || from.getLong() != checksum(all)) return read;
            while (from.hasRemaining()) read.put(new String(bytes(from), StandardCharsets.UTF_8), bytes(from));
            Files.setLastModifiedTime(file, FileTime.from(Instant.now()));
        } catch (IOException | BufferUnderflowException e) {
            // As good as none.
        }
        return read;
    }

    private static long checksum(byte[] all) {
        CRC32C checksum = new CRC32C();
        checksum.update(all, HEAD, all.length - HEAD);
        return checksum.getValue();
    }

    private static byte[] bytes(ByteBuffer from) {
        byte[] bytes = new byte[Remembered.count(from, 1)];
        from.get(bytes);
        return bytes;
    }

    /** Writes it anew, with what came to it since these were read. */
    synchronized void write(Map<String, byte[]> facts) throws IOException {
        Map<String, byte[]> all = read();
        all.putAll(facts);
        all.keySet().retainAll(asked);
        Map<byte[], byte[]> entries = new HashMap<>();
        all.forEach((name, fact) -> entries.put(name.getBytes(StandardCharsets.UTF_8), fact));
        ByteBuffer to = ByteBuffer.allocate(HEAD + entries.entrySet().stream().mapToInt(e -> 8 + e.getKey().length + e.getValue().length).sum());
        to.putLong(MAGIC).putLong(0);
        entries.forEach((name, fact) -> to.putInt(name.length).put(name).putInt(fact.length).put(fact));
        to.putLong(8, checksum(to.array()));
        Files.createDirectories(file.getParent());
        Path part = Store.unfinished(file);
        try {
            try (FileChannel channel = FileChannel.open(part, StandardOpenOption.WRITE)) {
                to.flip();
                while (to.hasRemaining()) channel.write(to);
            }
            Unfinished.FILES.take(part, file, true);
        } finally {
            Unfinished.FILES.drop(part);
        }
    }
}

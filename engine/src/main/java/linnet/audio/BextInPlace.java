package linnet.audio;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;

/** Another broadcast extension for a print that is there, as long as the one it has; its sound is not touched. */
public final class BextInPlace {
    private BextInPlace() {}

    /**
     * Gives it that.
     *
     * @param form of the print
     * @return false where it has none of that length at the place where {@link WavWriter} puts it, or has a second name somewhere: that may be in another
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
        ByteBuffer bytes = WavHead.chunk(bext.chunk()), head = ByteBuffer.allocate(8);
        int at = WavHead.carriedAt(form.format());
        if (hasOtherNames(print)) return false;
        try (FileChannel channel = FileChannel.open(print, StandardOpenOption.READ, StandardOpenOption.WRITE, LinkOption.NOFOLLOW_LINKS)) {
            while (head.hasRemaining()) if (channel.read(head, at + head.position()) < 0) return false;
            if (!head.flip().equals(bytes.duplicate().limit(8))) return false;
            if (now) WavHead.put(channel, bytes, at);
            return true;
        } catch (IOException e) {
            throw WavWriter.unwritable(print, e);
        }
    }

    private static boolean hasOtherNames(Path print) throws SoundFileException {
        try {
            return Files.isSymbolicLink(print) || print.getFileSystem().supportedFileAttributeViews().contains("unix")
                    && (int) Files.getAttribute(print, "unix:nlink", LinkOption.NOFOLLOW_LINKS) > 1;
        } catch (IOException e) {
            throw WavWriter.unwritable(print, e);
        }
    }
}

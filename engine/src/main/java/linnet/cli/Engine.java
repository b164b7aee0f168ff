package linnet.cli;

import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import linnet.render.Signature;

/** What renders, to the byte: a rebuilt engine may make other samples under the same version. */
final class Engine {
    /** Takes the digest of a file. */
    interface Digests {
        String of(Path file) throws IOException;
    }

    private Engine() {}

    static String name(Digests digests) throws IOException {
        try {
            Path code = Path.of(Engine.class.getProtectionDomain().getCodeSource().getLocation().toURI());
            // Classes in a folder are those of a build that is being worked on.
            return Main.VERSION + " " + (Files.isDirectory(code) ? Signature.digest(code.toString()) : digests.of(code));
        } catch (URISyntaxException e) {
            throw new IllegalStateException(e);
        }
    }
}

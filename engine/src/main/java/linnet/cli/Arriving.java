package linnet.cli;

import java.io.UncheckedIOException;
import java.nio.file.Path;
import linnet.audio.WavFile;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.render.SideBySide;

/** A take that is opened, and whose levels are heard, while its chain is read, and by what it is known again. */
final class Arriving implements AutoCloseable {
    private final SideBySide.Begun<WavFile> opened;
    /** Null where nothing is heard beforehand. */
    private final SideBySide.Begun<Ear> heard;
    private final SideBySide.Begun<String> digest;

    /** @param hears whether the take is rendered as it is, with somebody to hear it meanwhile */
    Arriving(Path take, boolean hears) {
        opened = SideBySide.begin(() -> WavFile.open(take));
        heard = hears ? SideBySide.begin(() -> new Ear(opened.get()).listen()) : null;
        digest = SideBySide.begin(() -> Provenance.digest(opened.get().path()));
    }

    /** @throws UncheckedIOException where it cannot be opened */
    WavFile file() {
        return opened.get();
    }

    /**
     * The ear on the take, which has heard the levels already where it is rendered as it is.
     *
     * @throws UncheckedIOException where it cannot be read to its end
     */
    Ear ear(Sound sound, TakeLists.Known known) {
        return heard != null ? heard.get().told(known.told(sound)) : known.ear(sound);
    }

    /**
     * Of its bytes.
     *
     * @throws UncheckedIOException where it cannot be read to its end
     */
    String digest() {
        return digest.get();
    }

    /** Whoever still hears it ends there, and comes to his end before this comes back. */
    @Override
    public void close() {
        try {
            opened.get().close();
        } catch (UncheckedIOException e) {
            // It was never opened, and whoever asked for it was told.
        } finally {
            if (heard != null) heard.close();
            digest.close();
        }
    }
}

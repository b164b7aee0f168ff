package linnet.deliver;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import linnet.audio.Bext;
import linnet.audio.BextInPlace;
import linnet.audio.Label;
import linnet.audio.Origin;
import linnet.audio.Print;
import linnet.audio.SoundFileException;
import linnet.audio.WavFile;

/**
 * A print that is wanted: where, in which form, and what it will say of itself.
 *
 * @param form with that
 */
public record WantedPrint(Path path, Print form, Origin origin) {
    /** A print that is there already, with the samples that are wanted, unharmed. */
    public record There(WantedPrint wanted, Bext bext, List<Label> labels, Origin.Sums sound, long frames) {
        /** Whether it can be made to say what it would say if it were printed now; else it must be printed again for that. */
        public boolean canBeDescribed() throws SoundFileException {
            return isDescribed() || isLabelled() && BextInPlace.canDescribe(wanted.path, wanted.form, now());
        }

        /** Lets it say that; its sound is not touched. */
        public void describe() throws SoundFileException {
            if (!isDescribed()) BextInPlace.describe(wanted.path, wanted.form, now());
        }

        /** Whether it says what it would say if it were printed now. */
        public boolean isDescribed() {
            return isLabelled() && now().asRead().equals(bext);
        }

        /** Whether it has the labels that it should have; others stand behind its sound, and may take more room or less. */
        private boolean isLabelled() {
            return wanted.form.labels(frames).equals(labels);
        }

        private Bext now() {
            return wanted.form.bext().measured(bext.loudness(), wanted.origin.withSound(sound).history(wanted.form));
        }
    }

    /** The same in the place of what is there. */
    public WantedPrint overwriting() {
        return new WantedPrint(path, form.overwriting(), origin);
    }

    /** Whether a file is there that says it has these samples; a look at its head. */
    public boolean seemsThere() throws IOException {
        return head().isPresent();
    }

    /** What is there, when all of its sound was looked at. */
    public Optional<There> there() throws IOException {
        Optional<There> head = head();
        if (head.isEmpty()) return head;
        try (WavFile wav = WavFile.open(path)) {
            return head.filter(t -> wav.frames() == t.frames && quick(wav).equals(t.sound.crc32c()));
        }
    }

    private static String quick(WavFile wav) {
        try {
            return wav.quickDigest();
        } catch (SoundFileException e) {
            return "";
        }
    }

    private Optional<There> head() throws IOException {
        // A link is none of ours, wherever it leads.
        if (!Files.isRegularFile(path, LinkOption.NOFOLLOW_LINKS)) return Optional.empty();
        try (WavFile wav = WavFile.open(path)) {
            Optional<Bext> bext = Bext.of(wav.header());
            Optional<Origin> made = bext.flatMap(Origin::of);
            boolean same = made.isPresent() && made.get().signature().equals(origin.signature()) && wav.header().format() == form.format()
                    && wav.channels() == form.channels() && wav.rate() == form.rate();
            return same ? Optional.of(new There(this, bext.get(), Label.of(wav.header()), made.get().sound(), wav.frames())) : Optional.empty();
        } catch (SoundFileException e) {
            return Optional.empty();
        }
    }
}

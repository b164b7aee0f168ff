package linnet.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.LinkedHashSet;
import java.util.Set;
import linnet.audio.Label;
import linnet.audio.SoundFileException;
import linnet.audio.WavFile;
import linnet.song.Guide;

/** The cue labels of a sound file. */
final class Cues implements Guide {
    private final Set<Path> files = new LinkedHashSet<>();

    /** The files that were asked for theirs. */
    Set<Path> files() {
        return files;
    }

    @Override
    public Guide.Cues read(Path file) throws IOException {
        files.add(file);
        try (WavFile wav = WavFile.open(file)) {
            return new Guide.Cues(Label.of(wav.header()).stream().map(l -> new Cue(l.text(), l.frame() / wav.rate())).toList(), wav.frames() / wav.rate());
        } catch (SoundFileException e) {
            throw new IOException(Refusal.words(e), e);
        }
    }
}

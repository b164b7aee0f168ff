package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.text.Normalizer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Names with marks on their letters, written in a text as one character and on disk as two, or the other way. */
class DecomposedNamesTest extends Called {
    @TempDir
    Path folder;

    private Path song;

    /** What lies there has names of one form, what the texts say is in the other. */
    private void write(Normalizer.Form files) throws IOException {
        Normalizer.Form texts = files == Normalizer.Form.NFC ? Normalizer.Form.NFD : Normalizer.Form.NFC;
        Path takes = Files.createDirectory(folder.resolve(Normalizer.normalize("Sänger", files)));
        Takes.tone(takes.resolve(Normalizer.normalize("täke.wav", files)), 220, 0.3, 2);
        Files.writeString(takes.resolve(Normalizer.normalize("täke.marks.yaml", texts)),
                Normalizer.normalize("marks: \"täke.wav\"\nrate: 48000 Hz\nframes: 96000\nlist:\n  - { breath: 1 s, length: 200 ms }\n", texts));
        Files.writeString(folder.resolve(Normalizer.normalize("kühl.yaml", files)), "steps: [ trim: { level: -3 dB } ]\n");
        song = folder.resolve("song.yaml");
        Files.writeString(song,
                Normalizer.normalize("song: x\ntempo: 120 bpm\nsections: { a: 1, end: 2 }\nparts:\n"
                        + "  lead: { take: Sänger/täke.wav, edits: [ { mute: breaths } ], chain: kühl.yaml }\n"
                        + "  low: { take: Sänger/täke.wav, chain: [ use: kühl.yaml ] }\nprints: [ lead, low ]\n", texts));
    }

    @ParameterizedTest
    @EnumSource(value = Normalizer.Form.class, names = {"NFC", "NFD"})
    void areTheSame(Normalizer.Form files) throws IOException {
        write(files);
        assertEquals(0, run("render", song, "--out", folder.resolve("prints")), err::toString);
        // The breath of the list is muted: were that not read, there would be none to mute.
        assertTrue(!err.toString().contains("no breath"), err::toString);
        Path other = folder.resolve("other.yaml");
        Files.writeString(other, Files.readString(song).replace("lead, low", "low, lead"));
        assertEquals(0, run("diff", song, other), err::toString);
        assertEquals(0, run("explain", folder.resolve("prints/lead.wav")), err::toString);
    }

    @Test
    void theNameAsItIsWrittenComesFirst() throws IOException {
        write(Normalizer.Form.NFC);
        Path takes = folder.resolve("Sänger"), decomposed = takes.resolve(Normalizer.normalize("täke.wav", Normalizer.Form.NFD));
        assumeTrue(!Files.exists(decomposed), "a disk on which both are one");
        Takes.tone(decomposed, 220, 0.3, 2);
        assertEquals(decomposed, linnet.yaml.Siblings.named(decomposed));
        assertEquals(takes.resolve("täke.wav"), linnet.yaml.Siblings.named(takes.resolve("täke.wav")));
    }
}

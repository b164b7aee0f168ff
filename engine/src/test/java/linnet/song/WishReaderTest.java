package linnet.song;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.nio.file.Files;
import java.nio.file.Path;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is said of wishes that cannot be. */
class WishReaderTest {
    @TempDir
    Path folder;

    private String said(String text) throws Exception {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file,
                "song: x\ntempo: 120 bpm\nsections: { verse: 1, end: 5 }\n"
                + "parts: { lead: { take: a.wav }, loud: { take: b.wav, level: 2 dB }, low: { take: c.wav } }\ngroups: { stack: { parts: [ low ] } }\n" + text);
        return assertThrows(ProblemsException.class, () -> SongReader.read(file, Builtins.catalogue())).getMessage().replaceFirst(".*song.yaml:", "").lines()
                .findFirst().orElseThrow();
    }

    @Test
    void aWishThatCannotBeIsTold() throws Exception {
        for (String[] c : new String[][] {
                {"balance: { lead: 3 dB over loud }",
                        "6:18: a balance is a distance and what it is measured from, such as '1 LU over instrumental' or '9 LU under lead'; say '3 LU "
                        + "over loud'"},
                {"balance: { lead: 1 LU over band }", "6:18: 'band' is no part or group of this song, nor its instrumental"},
                {"balance: { loud: 1 LU over lead }", "6:12: 'loud' has a level of its own; leave out one of them"},
                {"balance: { low: 1 LU over lead }", "6:12: 'low' is in the group 'stack': a balance is between what goes into the mix"},
                {"balance: { lead: 1 LU over lead }", "6:12: 'lead' cannot be measured against itself"},
                {"balance: { lead: 1 LU over stack, stack: 3 LU under lead }",
                        "6:35: 'stack' and 'lead' are each stated against the other: one of them needs a level"},
                {"returns: { room: { chain: [ trim ], duck: { by: 3 dB } } }",
                        "6:43: duck needs 'from', what it makes room for, as in { from: lead, by: 4 dB }"},
                {"returns: { room: { chain: [ trim ], duck: { from: leed } } }",
                        "6:51: 'leed' is no part or group of this song, nor its instrumental; did you mean 'lead'?"},
                {"returns: { room: { chain: [ trim ], duck: { from: lead, by: 30 dB } } }", "6:61: by is outside 0.5 dB … 24 dB"},
                {"mix: { loudness: -14 dB }", "6:18: a loudness has its unit; say '-14 LUFS'"},
                {"mix: { loudness: -14 }", "6:18: a loudness has its unit; say '-14 LUFS'"},
                {"mix: { loudness: 14 LUFS }", "6:18: the loudness of a mix is from -40 LUFS to -5 LUFS, such as '-14 LUFS'"},
                {"mix: { loudness: -3 LUFS }", "6:18: the loudness of a mix is from -40 LUFS to -5 LUFS, such as '-14 LUFS'"}}) {
            assertEquals(c[1], said(c[0] + "\n"), c[0]);
        }
    }
}

package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.security.MessageDigest;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Whoever gets the prints and has no Linnet can tell whether they came whole. */
class FileSumsTest extends SongFolder {
    private static final FileTime LONG_AGO = FileTime.fromMillis(1_000_000_000_000L);
    private static final String SONG = """
            song: x
            tempo: 120 bpm
            sections: { a: 1, end: 2 }
            parts:
              lead: { take: take.wav }
              low: { take: take.wav, level: -6 dB }
            """;

    private Path sums;

    @BeforeEach
    void aSongOfSeveralPrints() throws IOException {
        sums = prints.resolve("sheet.sha256");
        Files.writeString(song, SONG + "prints: [ mix, lead, { print: low, name: \"low, é\", from: 0.1 s, to: 0.2 s } ]\n");
    }

    private void render(Object... more) {
        Object[] words = new Object[4 + more.length];
        System.arraycopy(new Object[] {"render", song, "--out", prints}, 0, words, 0, 4);
        System.arraycopy(more, 0, words, 4, more.length);
        assertEquals(0, run(words), err::toString);
    }

    /** In the form that GNU coreutils documents for {@code sha256sum}: the digest (FIPS 180-4), two spaces, the name. */
    private void areOf(String... names) throws Exception {
        StringBuilder wanted = new StringBuilder();
        for (String name : names) {
            byte[] digest = MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(prints.resolve(name)));
            wanted.append(HexFormat.of().formatHex(digest)).append("  ").append(name).append('\n');
        }
        assertEquals(wanted.toString(), Files.readString(sums));
    }

    @Test
    void eachPrintHasALine() throws Exception {
        render();
        areOf("mix.wav", "lead.wav", "low, é.wav");
        String hint = "SHA-256 of whole files: sheet.sha256.";
        assertTrue(Files.readString(prints.resolve("sheet.md")).contains(hint) && Files.readString(prints.resolve("sheet.html")).contains(hint));
    }

    @Test
    void theirOwnProgramTakesThem() throws Exception {
        Files.writeString(song, SONG + "names: \"{song} {print}\"\nprints: [ mix, lead ]\n");
        render();
        sums = prints.resolve("x sheet.sha256");
        assertEquals("x mix.wav: OK\nx lead.wav: OK\n", checked(0));
        byte[] mix = Files.readAllBytes(prints.resolve("x mix.wav"));
        mix[mix.length - 1] ^= 1;
        Files.write(prints.resolve("x mix.wav"), mix);
        assertTrue(checked(1).startsWith("x mix.wav: FAILED\nx lead.wav: OK\n"));
    }

    private String checked(int code) throws Exception {
        Process program;
        try {
            program = new ProcessBuilder("sha256sum", "--strict", "-c", sums.getFileName().toString()).directory(prints.toFile())
                    .redirectErrorStream(true).start();
        } catch (IOException e) {
            assumeTrue(false, "no sha256sum");
            throw e;
        }
        String said = new String(program.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertEquals(code, program.waitFor(), said);
        return said;
    }

    @Test
    void whereNothingChangesNothingIsWritten() throws Exception {
        render();
        for (String f : List.of("sheet.md", "sheet.html", "sheet.sha256", "mix.wav", "lead.wav", "low, é.wav")) {
            Files.setLastModifiedTime(prints.resolve(f), LONG_AGO);
        }
        render();
        for (String f : List.of("sheet.md", "sheet.html", "sheet.sha256")) assertEquals(LONG_AGO, Files.getLastModifiedTime(prints.resolve(f)), f);
    }

    /** Where all prints are left and only say something new of themselves, their sound is the same and their files are not; nor is the sheet. */
    @Test
    void whatIsDescribedAnewHasNewOnes() throws Exception {
        Files.writeString(song, SONG + "prints: [ lead, low ]\n");
        render();
        String before = Files.readString(sums);
        Files.writeString(song, SONG + "prints: [ lead, low ]\ncredits: { artist: The Kites }\n");
        render();
        assertEquals(2, out.toString().split("left as it was", -1).length - 1, out.toString());
        assertNotEquals(before, Files.readString(sums));
        areOf("lead.wav", "low.wav");
        assertTrue(Files.readString(prints.resolve("sheet.md")).contains("artist: The Kites"));
    }

    /** A print that is rendered alone is not the one of the list any more, until all of them are rendered again. */
    @Test
    void whatWasRenderedAloneComesInWithTheNextOfAll() throws Exception {
        Files.writeString(song, SONG + "prints: [ lead, low ]\n");
        render();
        String before = Files.readString(sums);
        for (String f : List.of("sheet.md", "sheet.html", "sheet.sha256")) Files.setLastModifiedTime(prints.resolve(f), LONG_AGO);
        Files.writeString(song, SONG.replace("-6 dB", "-7 dB") + "prints: [ lead, low ]\n");
        render("--only", "lead");
        render("--only", "low", "--force");
        render("--from", "0.1 s", "--to", "0.2 s");
        assertEquals(before, Files.readString(sums));
        render();
        areOf("lead.wav", "low.wav");
        assertFalse(Files.readString(prints.resolve("sheet.md")).contains("level -6 dB"));
    }

    @Test
    void oneThatIsMissingIsWritten() throws Exception {
        render();
        Files.delete(sums);
        render();
        areOf("mix.wav", "lead.wav", "low, é.wav");
    }

    @ParameterizedTest
    @ValueSource(strings = {"mine\n", "", "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef  takes/lead.wav\n"})
    void whatAPersonWroteStays(String text) throws Exception {
        Files.createDirectories(prints);
        Files.writeString(sums, text);
        assertEquals(2, run("render", song, "--out", prints));
        assertEquals(sums + " is there already, and is no list of checksums of ours; say --force to replace it\n", err.toString());
        assertEquals(text, Files.readString(sums));
        render("--force");
        areOf("mix.wav", "lead.wav", "low, é.wav");
    }
}

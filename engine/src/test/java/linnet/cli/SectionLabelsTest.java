package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import linnet.audio.Label;
import linnet.audio.WavFile;
import linnet.song.SongReader;
import linnet.song.Timeline;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The sections of a song as cue labels in its prints. */
class SectionLabelsTest extends SongFolder {
    /** Bars of 1 s, a pick-up of 0.5 s: sections begin at 0.5 s, 1.5 s and 2.5 s, and end at 4.5 s. */
    private static final String SONG = """
            song: x
            tempo: 240 bpm
            pick-up: 2 beats
            sections: { Größe: 1, chorus 1: 2, chorus 2: 3, end: 5 }
            parts: { lead: { take: take.wav } }
            prints: [ mix, lead, { print: lead, name: part, from: chorus 1, to: chorus 2 }, { print: mix, from: chorus 2, depth: float } ]
            """;

    @BeforeEach
    void aLongerTake() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.1, 3);
        render(SONG);
    }

    private void render(String text) throws IOException {
        Files.writeString(song, text);
        assertEquals(Exit.DONE, run("render", song, "--out", prints), err::toString);
    }

    private List<Label> labels(String print) throws IOException {
        try (WavFile wav = WavFile.open(prints.resolve(print + ".wav"))) {
            assertEquals(List.of(), wav.header().remarks());
            return Label.of(wav.header());
        }
    }

    @Test
    void everyPrintHasThoseThatBeginInIt() throws IOException {
        for (String print : List.of("mix", "lead")) {
            assertEquals(List.of(new Label("Größe", 24_000), new Label("chorus 1", 72_000), new Label("chorus 2", 120_000), new Label("end", 216_000)),
                    labels(print));
        }
        assertEquals(List.of(new Label("chorus 1", 0), new Label("chorus 2", 48_000)), labels("part"));
        assertEquals(List.of(new Label("chorus 2", 0), new Label("end", 96_000)), labels("mix from chorus 2"));
    }

    /** A print is a guide as any other file with labels: with the end at a label, or where the file ends. */
    @ParameterizedTest
    @ValueSource(strings = {"pick-up: 2 beats", "pick-up: 0 beats", "metre: 7/8"})
    void whatIsReadFromAPrintIsWhatTheSongHas(String time) throws Exception {
        prints = folder.resolve("others");
        render(SONG.replace("pick-up: 2 beats", time).replace("240 bpm", "{ bar 1: 233 bpm, bar 3: 171.3 bpm }"));
        List<Timeline.Section> sections = SongReader.read(song, Builtins.catalogue(), new Cues()).time().sections();
        Files.writeString(song, Files.readString(song).replaceAll("sections:.*", "sections: { from: others/mix.wav }"));
        Timeline read = SongReader.read(song, Builtins.catalogue(), new Cues()).time();
        assertEquals(sections, read.sections());
        assertEquals(List.of(), read.remarks());
    }

    /** Their sound is the same, so nobody must ask; and they are what a render from nothing would print, to the byte. */
    @ParameterizedTest
    @ValueSource(strings = {"chorus 1: 2=Refrain: 2", "chorus 2: 3=chorus 2: 4", "chorus 1: 2, chorus 2: 3=chorus 1: 3, chorus 2: 4",
            "Größe: 1, =bridge: 1, "})
    void sectionsThatChangedAreWrittenAnew(String change) throws IOException {
        String[] words = change.split("=");
        String stretches = ", { print: lead, name: part, from: chorus 1, to: chorus 2 }, { print: mix, from: chorus 2, depth: float }";
        byte[] sound = sound(prints.resolve("lead.wav")).getBytes();
        render(SONG.replace(stretches, "").replace(words[0], words[1]));
        assertFalse(out.toString().contains("left as it was"), out.toString());
        assertArrayEquals(sound, sound(prints.resolve("lead.wav")).getBytes());
        Path there = prints;
        prints = folder.resolve("others");
        assertEquals(Exit.DONE, run("render", song, "--out", prints), err::toString);
        for (String p : List.of("mix.wav", "lead.wav")) assertArrayEquals(Files.readAllBytes(prints.resolve(p)), Files.readAllBytes(there.resolve(p)));
    }

    /** A print of before, without labels, or with others than ours, gets them; with the right ones it is left. */
    @Test
    void aPrintWithTheLabelsOfTheSongIsLeft() throws IOException {
        render(SONG);
        assertEquals(4, out.toString().split("left as it was", -1).length - 1, out.toString());
        byte[] whole = Files.readAllBytes(prints.resolve("lead.wav"));
        byte[] harmed = whole.clone();
        harmed[harmed.length - 10] ^= 1;
        Files.write(prints.resolve("lead.wav"), harmed);
        render(SONG);
        assertEquals(3, out.toString().split("left as it was", -1).length - 1, out.toString());
        assertArrayEquals(whole, Files.readAllBytes(prints.resolve("lead.wav")));
        assertTrue(err.toString().isEmpty(), err.toString());
    }
}

package linnet.song;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Sections from the cues of a file: 120 bpm, so that a bar lasts 2 s. */
class CueSectionsTest {
    @TempDir
    Path folder;

    private Song read(String sections, double seconds, Object... cues) throws IOException, ProblemsException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, "song: x\ntempo: 120 bpm\n" + sections + "\nparts: { one: { take: a.wav } }\n");
        List<Guide.Cue> all = new ArrayList<>();
        for (int i = 0; i < cues.length; i += 2) all.add(new Guide.Cue((String) cues[i + 1], ((Number) cues[i]).doubleValue()));
        return SongReader.read(file, Builtins.catalogue(), path -> {
            assertEquals(folder.resolve("guide.wav"), path);
            return new Guide.Cues(all, seconds);
        });
    }

    private String said(String sections, Object... cues) {
        return assertThrows(ProblemsException.class, () -> read(sections, 60, cues)).getMessage().replace(folder + "/", "").lines().findFirst().orElseThrow();
    }

    @Test
    void labelsAreSectionsAtTheNearestBar() throws Exception {
        Timeline time = read("sections: { from: guide.wav }", 15, 0, "verse", 3.97, "chorus", 8.004, "bridge", 9, "", 12.003, "chorus").time();
        assertEquals(List.of(new Timeline.Section("verse", 1, 3), new Timeline.Section("chorus 1", 3, 5), new Timeline.Section("bridge", 5, 7),
                new Timeline.Section("chorus 2", 7, 9)), time.sections());
        assertEquals(List.of("guide.wav: 1 cue without a label is no section", "guide.wav: 'chorus 1' lies 30 ms before bar 3, and begins there"),
                time.remarks());
    }

    /** A label says where the end is, or the text, or the file. */
    @Test
    void theEndIsWhereItIsSaid() throws Exception {
        assertEquals(4, read("sections: { from: guide.wav }", 60, 0, "verse", 6, "end").time().sections().get(0).to());
        assertEquals(4, read("sections: { from: guide.wav }", 60, 0, "verse", 6, "END").time().sections().get(0).to());
        assertEquals(9, read("sections: { from: guide.wav, end: 9 }", 60, 0, "verse", 6, "End").time().sections().get(0).to());
        assertEquals(9, read("sections: { from: guide.wav, end: 9 }", 60, 0, "verse", 6, "end").time().sections().get(0).to());
        assertEquals(9, read("sections: { from: guide.wav, end: 9 }", 60, 0, "verse").time().sections().get(0).to());
        assertEquals(31, read("sections: { from: guide.wav }", 60, 0, "verse").time().sections().get(0).to());
    }

    /** A section may be called so, as ever. */
    @Test
    void fromWithABarIsASection() throws Exception {
        assertEquals("from", read("sections: { from: 3, end: 5 }", 60).time().sections().get(0).name());
    }

    /** What is set at the start of a pick-up begins with bar 1. */
    @Test
    void thePickUpBelongsToBar1() throws Exception {
        assertEquals(1, read("pick-up: 2 beats\nsections: { from: guide.wav }", 60, 0, "verse", 5, "chorus").time().sections().get(0).from());
        assertEquals(3, read("pick-up: 2 beats\nsections: { from: guide.wav }", 60, 0, "verse", 5, "chorus").time().sections().get(1).from());
    }

    @Test
    void cuesThatAreNoSectionsAreTold() {
        assertEquals("song.yaml:3:19: guide.wav has no cue with a label: mark the sections in it, or write them here by bar",
                said("sections: { from: guide.wav }", 3, ""));
        assertEquals("song.yaml:3:19: guide.wav: 'verse' lies 700 ms after bar 2: are tempo and pick-up those of the file?",
                said("sections: { from: guide.wav }", 2.7, "verse"));
        assertEquals("song.yaml:3:30: sections come from a file, or from here: beside 'from' there is only 'end'",
                said("sections: { from: guide.wav, bridge: 9 }", 0, "verse"));
        assertEquals("song.yaml:3:19: 'b' begins at bar 1, no later than 'a'", said("sections: { from: guide.wav }", 0, "a", 0.1, "b"));
        assertEquals("song.yaml:3:19: 'end' must be the last of the sections", said("sections: { from: guide.wav }", 0, "a", 4, "end", 8, "b"));
        assertEquals("song.yaml:3:19: guide.wav has 2 labels 'end', and a song ends once: take all but the last out of it",
                said("sections: { from: guide.wav }", 0, "a", 4, "end", 8, "b", 12, "END"));
        assertEquals("song.yaml:3:19: guide.wav has two sections that would be called 'b 1'", said("sections: { from: guide.wav }", 0, "b 1", 4, "b", 8, "b"));
    }
}

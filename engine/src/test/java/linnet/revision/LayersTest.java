package linnet.revision;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a change of the list of a group does to its layers. The places are those that the song format states; the words are common practice. */
class LayersTest {
    @TempDir
    Path folder;

    private static String song(List<String> parts, String groups) {
        return "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 3 }\nparts:\n"
                + parts.stream().map(p -> "  " + p + ": { take: " + p + ".wav }\n").collect(Collectors.joining()) + "groups:\n" + groups + "prints: [ mix ]\n";
    }

    private static String layers(int count) {
        return IntStream.range(0, count).mapToObj(k -> String.valueOf((char) ('a' + k))).collect(Collectors.joining(", "));
    }

    private static String backs(String layers) {
        return "  backs: { parts: [ " + layers + " ], spread: 80 % }\n";
    }

    private List<String> between(String was, String is) throws IOException, ProblemsException {
        List<Version> versions = new ArrayList<>();
        for (String text : List.of(was, is)) {
            Path file = Files.writeString(folder.resolve("song " + versions.size() + ".yaml"), text);
            versions.add(Version.of(file, SongReader.read(file, Builtins.catalogue())));
        }
        return versions.get(1).since(versions.get(0)).stream().map(Change::sentence).toList();
    }

    /**
     * Eight lie at 80 l, 80 r, 60 r, 60 l, 40 l, 40 r, 20 r, 20 l, seven at 80 l, 80 r, 53 r, 53 l, 27 l, 27 r and in the centre: the fourth and the sixth
     * cross it.
     */
    @Test
    void aLayerThatIsGoneDealsThoseBehindItAnew() throws Exception {
        List<String> eight = List.of(layers(8).split(", ")), seven = eight.stream().filter(p -> !p.equals("c")).toList();
        assertEquals(List.of("c is gone, was take c.wav", "backs c is gone", "backs dealt anew: 5 layers lie elsewhere, 2 on the other side"),
                between(song(eight, backs(layers(8))), song(seven, backs(String.join(", ", seven)))));
    }

    @Test
    void soDoesAnotherOrder() throws Exception {
        List<String> four = List.of(layers(4).split(", "));
        assertEquals(List.of("backs in another order: b, a, c, d", "backs dealt anew: 2 layers lie elsewhere, 2 on the other side"),
                between(song(four, backs("a, b, c, d")), song(four, backs("b, a, c, d"))));
        // 80 l, 80 r, 53 r, 53 l, 27 l, 27 r: two on the left exchange their places.
        List<String> six = List.of(layers(6).split(", "));
        assertEquals(List.of("backs in another order: a, b, c, e, d, f", "backs dealt anew: 2 layers lie elsewhere, by 26.7 % at most"),
                between(song(six, backs(layers(6))), song(six, backs("a, b, c, e, d, f"))));
    }

    /** Who has a place of his own is not dealt, and another spread is told as that: by it all lie farther out alike. */
    @Test
    void whoStaysWhereHeWasIsNotCounted() throws Exception {
        List<String> four = List.of(layers(4).split(", "));
        String was = song(four, backs("a, b, c, d"));
        assertEquals(List.of("backs spread 20 % less (60 %, was 80 %)"), between(was, was.replace("80 %", "60 %")));
        assertEquals(List.of("backs spread is gone, was 80 %"), between(was, was.replace(", spread: 80 %", "")));
        String placed = was.replace("groups:", "  e: { take: e.wav, pan: 20 % right }\ngroups:");
        assertEquals(List.of("e is in backs; it went into the mix by itself"), between(placed, placed.replace("c, d ]", "c, d, e ]")));
        // 80 r, 40 r and 40 l before; now the third has the place of the second, and the last is in the centre.
        assertEquals(List.of("b pan is new: 20 % right", "backs dealt anew: 2 layers lie elsewhere, by 40 % at most"),
                between(was, was.replace("b.wav", "b.wav, pan: 20 % right")));
    }

    private static final String TREATED = "  backs: { parts: [ a, b ], spread: 80 %, tidy: { like: d }, each: [ compressor: { aim: 3 dB } ], "
            + "sends: { plate: -9 dB } }\nreturns: { plate: { chain: [ reverb: { decay: 1 s } ] } }\n";

    /** What is left out of its group is not gone: it is heard as it was sung. */
    @Test
    void whatIsOutOfItsGroupGoesIntoTheMixByItself() throws Exception {
        List<String> four = List.of(layers(4).split(", "));
        String with = song(four, TREATED.replace("a, b ]", "a, b, c ]")), without = song(four, TREATED);
        assertEquals(List.of("c is out of backs and goes into the mix by itself, without tidy, each, spread and sends of backs"),
                between(with, without).stream().filter(s -> !s.contains("dealt anew")).toList());
        assertEquals(List.of("c is in backs, with tidy, each, spread and sends of backs; it went into the mix by itself"),
                between(without, with).stream().filter(s -> !s.contains("dealt anew")).toList());
        // Of a group that does nothing to its parts.
        assertEquals(List.of("d is out of backs and goes into the mix by itself"),
                between(song(four, "  backs: { parts: [ a, d ] }\n"), song(four, "  backs: { parts: [ a ] }\n")));
        // Who is gone altogether, or new, is told as before.
        List<String> three = four.subList(0, 3);
        assertEquals(List.of("d is gone, was take d.wav", "backs d is gone"),
                between(song(four, "  backs: { parts: [ a, d ] }\n"), song(three, "  backs: { parts: [ a ] }\n")));
    }

    @Test
    void fromOneGroupToAnotherIsToldOnce() throws Exception {
        List<String> four = List.of(layers(4).split(", "));
        String groups = "  high: { parts: [ a, b ] }\n  low: { parts: [ c, d ] }\n";
        assertEquals(List.of("b is in low, was in high"), between(song(four, groups), song(four, "  high: { parts: [ a ] }\n  low: { parts: [ c, d, b ] }\n")));
        // A group that is new is told with its parts.
        assertEquals(List.of("b is in low, was in high", "low is new: parts [ b, c, d ]"),
                between(song(four, "  high: { parts: [ a, b ] }\n"), song(four, "  high: { parts: [ a ] }\n  low: { parts: [ b, c, d ] }\n")));
    }
}

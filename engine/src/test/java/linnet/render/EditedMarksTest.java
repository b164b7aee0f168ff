package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import linnet.hear.Mark;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is marked in a part stays marked whatever is taken away beside it: a breath that was lowered is so still, when a word seconds later is muted. */
class EditedMarksTest {
    private static final double RATE = SongRig.RATE, FADE = 0.021;
    private static final Samples TAKE = new Samples(RATE, Performance.sing(SevenLanterns.lead(), Singer.low(), Room.bedroom(), RATE).samples());
    private static final List<Mark> BREATHS = new Ear(TAKE).marks().of(Mark.Kind.BREATH);

    @TempDir
    Path folder;

    private double[] render(String edits) throws Exception {
        return render(folder, edits, "");
    }

    private static double[] render(Path folder, String edits, String more) throws Exception {
        return render(folder, "lower: 18 dB", edits, more);
    }

    private double[] withoutBreaths(String edits) throws Exception {
        return render(folder, "remove: yes", edits, "");
    }

    private static double[] render(Path folder, String breaths, String edits, String more) throws Exception {
        String text = "song: noises\ntempo: 240 bpm\nsections: { all: 1, end: 61 }\nparts: { one: { take: a.wav, chain: [ declick, breaths: { " + breaths
                + " } ]" + edits + " } }\nreturns: { far: { chain: [ trim ] } }\n" + more + "prints: [ one ]\n";
        return new SongRig(folder).whole(text, 1, TAKE).get("one")[0];
    }

    private static String seconds(double from, double to) {
        return String.format(Locale.ROOT, "%.3f s to %.3f s", from, to);
    }

    /** Between its fades, which may lie in the room that is left beside it. */
    private static void sameBreath(double[] whole, double[] edited, Mark breath, String what) {
        for (int i = (int) (breath.from() + FADE * RATE); i < breath.to() - FADE * RATE; i++) {
            assertEquals(whole[i], edited[i], what + ": at " + i / RATE + " s");
        }
    }

    @Test
    void aBreathIsLoweredWhateverIsTakenAwayBesideIt() throws Exception {
        assertFalse(BREATHS.size() < 6);
        double[] whole = render("");
        for (int b = 1; b + 1 < BREATHS.size(); b += 2) {
            Mark breath = BREATHS.get(b);
            double from = breath.from() / RATE, to = breath.to() / RATE;
            for (String edit : List.of("edits: [ { mute: " + seconds(to + 0.3, to + 1.3) + " } ]", "only: " + seconds(from - 0.1, to + 0.6),
                    "edits: [ { cut: " + seconds(0.5, from - 0.4) + " } ]")) {
                sameBreath(whole, render(", " + edit), breath, edit);
            }
            // A span of the file, and a breath that the text wants silent too.
            double[] span = render(", from: " + seconds(from - 0.2, to + 0.5).replace(" to ", ", to: "));
            sameBreath(whole, span, breath, "span");
        }
        double[] silenced = render(", edits: [ { mute: breaths in " + seconds(0, 10) + " } ]");
        for (Mark m : BREATHS) if (m.from() > 10 * RATE) sameBreath(whole, silenced, m, "mute");
    }

    /** The silence of an edit tells nothing of the pauses of the take: what stands in the place of a breath is their room, up to where the edit begins. */
    @Test
    void theRoomStandsInThePlaceOfABreathBesideAnEdit() throws Exception {
        double[] whole = withoutBreaths("");
        for (int b = 1; b < BREATHS.size(); b += 2) {
            double from = BREATHS.get(b).from() / RATE, to = BREATHS.get(b).to() / RATE, room = SongRig.db(whole, from + FADE, to - FADE);
            for (String edit : List.of("edits: [ { mute: " + seconds(to + 0.03, to + 1) + " } ]",
                    "edits: [ { mute: " + seconds(from - 0.5, from - 0.03) + " } ]",
                    "only: " + seconds(from - 0.04, to + 6), "edits: [ { cut: " + seconds(from - 0.5, from - 0.03) + " } ]")) {
                assertEquals(room, SongRig.db(withoutBreaths(", " + edit), from + FADE, to - FADE), 2, edit);
            }
            String span = String.format(Locale.ROOT, ", from: %.3f s, to: %.3f s", from - 0.04, to + 6);
            assertEquals(room, SongRig.db(withoutBreaths(span), from + FADE, to - FADE), 2, span);
        }
    }

    /** Whoever asks for the marks first, the part or who looks for a vowel to throw, hears the same. */
    @Test
    void aThrowChangesNothingInItsPart() throws Exception {
        Mark breath = BREATHS.get(3);
        String only = ", only: " + seconds(breath.from() / RATE - 0.1, breath.to() / RATE + 2);
        String thrown = "throws: [ { part: one, word: " + String.format(Locale.ROOT, "%.3f s", breath.to() / RATE + 0.5) + ", length: 1 beat, to: far } ]\n";
        assertArrayEquals(render(Files.createDirectories(folder.resolve("without")), only, ""),
                render(Files.createDirectories(folder.resolve("with")), only, thrown));
    }

    /** What is made of a part that was turned round is heard as it is then. */
    @Test
    void aPartMadeOfOneBackwardsIsHeardAnew() throws Exception {
        String song = "song: noises\ntempo: 240 bpm\nsections: { all: 1, end: 61 }\nparts:\n  back: { take: a.wav, chain: [ reverse ] }\n"
                + "  plain: { from: back }\n"
                + "  far: { from: back, chain: [ breaths: { lower: 18 dB } ] }\nprints: [ plain, far ]\n";
        Map<String, double[][]> prints = new SongRig(folder).whole(song, 1, TAKE);
        double[] plain = prints.get("plain")[0], far = prints.get("far")[0];
        int lowered = 0;
        for (Mark b : BREATHS) {
            int middle = (int) (TAKE.frames() - (b.from() + b.to()) / 2);
            double fall = SongRig.db(plain, middle / RATE - 0.03, middle / RATE + 0.03) - SongRig.db(far, middle / RATE - 0.03, middle / RATE + 0.03);
            if (fall > 15) lowered++;
        }
        assertTrue(lowered > BREATHS.size() / 2, lowered + " of " + BREATHS.size());
    }
}

package linnet.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import linnet.dsp.GainCurve;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Where a part comes from, as pieces: at which sample each begins, how far that may be moved, and what is silent. */
class CuttingTest {
    private static final String HEAD = """
            song: pieces
            tempo: 240 bpm
            sections: { verse: 1, chorus: 3, end: 5 }
            prints: [ mix ]
            """;

    @TempDir
    Path folder;

    /** What the only part of a song hears; a bar lasts a second. */
    private Work.Source source(String part) throws Exception {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, HEAD + "parts:\n  one: " + part + "\n");
        var song = SongReader.read(file, Builtins.catalogue());
        SongPlan plan = SongPlanner.plan(song, 48_000, SongPlanner.takes(song).stream().map(t -> 1).toList());
        return plan.works().get(0).input().get(0).source();
    }

    private Work.Source.Edited edited(String part) throws Exception {
        return (Work.Source.Edited) source(part);
    }

    /** Take and sample at which it would begin, and between them borders as place ± reach ~ fade. */
    private static String shown(Work.Source.Edited edited) {
        List<String> words = new ArrayList<>();
        for (int i = 0; i < edited.pieces().size(); i++) {
            Work.Piece p = edited.pieces().get(i);
            String later = p.later() == 0 ? "" : (p.later() > 0 ? "+" : "") + p.later();
            if (p.of() instanceof Work.Source.Take t) words.add("take" + t.take() + (t.at() == 0 ? "" : "[" + t.at() + "]") + later);
            else words.add(p.of() instanceof Work.Source.Silence ? "-" : "made" + later);
            if (i == edited.borders().size()) break;
            Work.Border b = edited.borders().get(i);
            words.add("|" + b.at() + (b.reach() == 0 ? "" : "±" + b.reach()) + (b.fade() == 0 ? "" : "~" + b.fade()));
        }
        return String.join(" ", words);
    }

    private static List<String> where(Work.Source.Edited edited) {
        return edited.borders().stream().map(Work.Border::where).toList();
    }

    /** Stretches in which nothing is heard, to the hundredth of a second. */
    private static String silent(Work.Source.Edited edited, double until) {
        List<String> stretches = new ArrayList<>();
        int from = -1;
        for (int t = 0; t <= until * 1000; t++) {
            boolean gone = value(edited.level(), t * 48) <= GainCurve.SILENT;
            if (gone && from < 0) from = t;
            if (!gone && from >= 0) stretches.add(from + "-" + (t - 1));
            if (!gone) from = -1;
        }
        if (from >= 0) stretches.add(from + "-");
        return String.join(" ", stretches);
    }

    private static double value(Work.Course course, long at) {
        Work.Point before = course.points().get(0);
        for (Work.Point p : course.points()) {
            if (p.at() > at) return p == before ? p.value() : before.value() + (p.value() - before.value()) * (at - before.at()) / (p.at() - before.at());
            before = p;
        }
        return before.value();
    }

    @Test
    void aTakeAloneIsNotCut() throws Exception {
        assertEquals(new Work.Source.Take(0, 0, false), source("{ take: a.wav }"));
        assertEquals(new Work.Source.Take(0, 96_000, true), source("{ take: a.wav, at: chorus, polarity: flipped }"));
    }

    /** Its fades of 5 ms lie inside the span, so the middle of each is 2.5 ms from its end. */
    @Test
    void aSpanStaysWhereItLiesOrBeginsWhereTheTextSays() throws Exception {
        assertEquals("- |24120~240 take0 |71880~240 -", shown(edited("{ take: a.wav, from: 0.5 s, to: 1.5 s }")));
        assertEquals("- |96120~240 take0[72000] |143880~240 -", shown(edited("{ take: a.wav, from: 0.5 s, to: 1.5 s, at: chorus }")));
        assertEquals("- |24120~240 take0", shown(edited("{ take: a.wav, from: 0.5 s }")));
        assertEquals("take0 |71880~240 -", shown(edited("{ take: a.wav, to: 1.5 s }")));
        assertTrue(edited("{ take: a.wav, to: 1.5 s, polarity: flipped }").flipped());
        assertEquals(List.of("", ""), where(edited("{ take: a.wav, from: 0.5 s, to: 1.5 s }")));
    }

    @Test
    void aCompIsJoinedWhereItMayBe() throws Exception {
        Work.Source.Edited comp = edited("{ comp: [ { take: a.wav, from: verse }, { take: b.wav, from: verse bar 2, fade: 50 ms }, { take: a.wav, from: "
                + "chorus, at: verse bar 2, exact: yes, to: chorus bar 2 } ] }");
        assertEquals("take0 |48000±21600~2400 take1 |96000 take0[48000] |144000 -", shown(comp));
        assertEquals(List.of("verse bar 2", "chorus", "chorus bar 2"), where(comp), "each by the place that the text has for it");
    }

    /** A join may be moved by half a second, and never so far that its fade, or the longest that is usual, meets that of the next. */
    @Test
    void aJoinMeetsNoOther() throws Exception {
        assertEquals("take0 |96000±24000 take1", shown(edited("{ comp: [ { take: a.wav, from: verse }, { take: b.wav, from: chorus } ] }")));
        assertEquals("take0 |24000±22560 take1 |96000±24000 take0",
                shown(edited("{ comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: 0.5 s }, { take: a.wav, from: 2 s } ] }")));
        assertEquals("take0 |2880~2880 take1 |96000±24000 take0",
                shown(edited("{ comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: 60 ms, fade: 400 ms }, { take: a.wav, from: 2 s } ] }")));
    }

    @Test
    void rangesThatMeetHaveNoSilenceBetweenThem() throws Exception {
        assertEquals("take0 |96000±24000 take1", shown(edited("{ comp: [ { take: a.wav, from: verse, to: chorus }, { take: b.wav, from: chorus } ] }")));
        assertEquals("take0 |24000±22560 - |96000±24000 take1",
                shown(edited("{ comp: [ { take: a.wav, from: verse, to: 0.5 s }, { take: b.wav, from: chorus } ] }")));
    }

    /** What is sung is moved; places of the song are not, in a comp as in edits. The ends of a span of a file go with it. */
    @Test
    void aNudgeMovesTheTakes() throws Exception {
        assertEquals("take0+960", shown(edited("{ take: a.wav, nudge: 20 ms later }")));
        assertEquals("- |96000±24000 take0-960", shown(edited("{ comp: [ { take: a.wav, from: 2 s } ], nudge: 20 ms earlier }")));
        assertEquals("take0+32160 |96000 take1+32160 |144000 -",
                shown(edited("{ comp: [ { take: a.wav, from: verse }, { take: b.wav, from: chorus, exact: yes, to: chorus bar 2 } ], nudge: 670 ms later }")));
        assertEquals("- |49080~240 take0+960", shown(edited("{ take: a.wav, from: 1 s, nudge: 20 ms later }")));
        assertEquals("- |120~240 take0-960", shown(edited("{ take: a.wav, nudge: 20 ms earlier }")), "what would begin before the song fades in");
        assertEquals("take0[48000]-960", shown(edited("{ take: a.wav, at: 1 s, nudge: 20 ms earlier }")));
    }

    @Test
    void mutesThatMeetAreOne() throws Exception {
        assertEquals("0-992", silent(edited("{ take: a.wav, edits: [ { mute: verse bar 1 to verse bar 2 } ] }"), 5));
        assertEquals("508-1992", silent(edited("{ take: a.wav, edits: [ { mute: 1 s to 2 s }, { mute: 0.5 s to 1.25 s } ] }"), 5));
        assertEquals("508-1992", silent(edited("{ take: a.wav, edits: [ { mute: 0.5 s to 2 s }, { mute: 1 s to 1.25 s } ] }"), 5));
        assertEquals("508-1992", silent(edited("{ take: a.wav, edits: [ { mute: 0.5 s to 1 s }, { mute: 1 s to 2 s } ] }"), 5));
        assertEquals("508-992 1520-1980", silent(edited("{ take: a.wav, edits: [ { mute: 0.5 s to 1 s }, { mute: 1.5 s to 2 s, fade: 20 ms } ] }"), 5));
    }

    @Test
    void onlyWhatIsWantedIsLeft() throws Exception {
        assertEquals("0-992 2008-", silent(edited("{ take: a.wav, only: 1 s to 2 s }"), 5));
        assertEquals("1008-", silent(edited("{ take: a.wav, only: verse bar 1 to verse bar 2 }"), 5));
        assertEquals("1008-1992 3008-", silent(edited("{ take: a.wav, only: [ 2 s to 3 s, 0 s to 1 s ] }"), 5));
        assertEquals("2008-", silent(edited("{ take: a.wav, only: [ 0 s to 1 s, 1 s to 2 s ] }"), 5));
        assertEquals("0-492 3008-", silent(edited("{ take: a.wav, only: [ 0.5 s to 3 s, 1 s to 2 s ] }"), 5));
    }

    @Test
    void fadesLieInTheirStretch() throws Exception {
        Work.Course out = edited("{ take: a.wav, edits: [ { fade out: 2 s to 3 s } ] }").level();
        assertEquals(0, value(out, 96_000), 1e-9);
        assertEquals(GainCurve.SILENT, value(out, 144_000 - 240));
        assertEquals(0, value(out, 144_000), 1e-9);
        Work.Course in = edited("{ take: a.wav, edits: [ { fade in: 2 s to 3 s } ] }").level();
        assertEquals(0, value(in, 96_000), 1e-9);
        assertEquals(GainCurve.SILENT, value(in, 96_240));
        assertEquals(0, value(in, 144_000), 1e-9);
    }

    @Test
    void aGapIsClosed() throws Exception {
        Work.Source.Edited closed = edited("{ take: a.wav, edits: [ { cut: 1 s to 1.5 s, close: yes } ] }");
        assertEquals("take0 |48000±24000 take0-24000", shown(closed));
        assertEquals(List.of("1 s to 1.5 s"), where(closed));
        assertEquals("take0 |48000 take0-24000", shown(edited("{ take: a.wav, edits: [ { cut: 1 s to 1.5 s, close: yes, exact: yes } ] }")));
        assertEquals("take0 |48000~1920 take0-24000", shown(edited("{ take: a.wav, edits: [ { cut: 1 s to 1.5 s, close: yes, exact: yes, fade: 40 ms } ] }")));
        assertEquals("take0 |48000±22560 take0-24000 |96000±22560 take0-48000",
                shown(edited("{ take: a.wav, edits: [ { cut: 1 s to 1.5 s, close: yes }, { cut: 2 s to 2.5 s, close: yes } ] }")));
        assertEquals("- |120~240 take0-24000", shown(edited("{ take: a.wav, edits: [ { cut: 0 s to 0.5 s, close: yes } ] }")),
                "before the song there is nothing to join to");
    }

    /** The joins before a stretch stay, those in it go with it, and those after it come earlier. */
    @Test
    void whatFollowsAClosedGapComesEarlier() throws Exception {
        String comp = "{ comp: [ { take: a.wav, from: 0 s, exact: yes }, { take: b.wav, from: 1 s, exact: yes }, { take: a.wav, from: 2 s, exact: yes }, { "
                + "take: b.wav, from: 3 s, exact: yes } ], edits: [ %s ] }";
        assertEquals("take0 |48000 take1 |84000 take0-36000 |108000 take1-36000",
                shown(edited(comp.formatted("{ cut: 1.75 s to 2.5 s, close: yes, exact: yes }"))));
        assertEquals("take0 |24000 take0-84000 |60000 take1-84000", shown(edited(comp.formatted("{ cut: 0.5 s to 2.25 s, close: yes, exact: yes }"))));
        assertEquals("- |120~240 take0-120000 |24000 take1-120000", shown(edited(comp.formatted("{ cut: 0 s to 2.5 s, close: yes, exact: yes }"))));
    }

    /** Of a range that is taken out from join to join nothing is left, not even between two fades. */
    @Test
    void aRangeIsTakenOutFromJoinToJoin() throws Exception {
        String comp = "{ comp: [ { take: a.wav, from: 1 s, exact: yes }, { take: b.wav, from: 2 s, exact: yes }, { take: c.wav, from: 3 s, exact: yes } ], "
                + "edits: [ %s ] }";
        assertEquals("- |48000 take0 |96000 take2-48000", shown(edited(comp.formatted("{ cut: 2 s to 3 s, close: yes, exact: yes }"))));
        assertEquals("- |48000 take1-48000 |96000 take2-48000", shown(edited(comp.formatted("{ cut: 1 s to 2 s, close: yes, exact: yes }"))));
    }

    @Test
    void whatWasSilencedAndFadedBeforeAGapWasClosedMovesWithIt() throws Exception {
        String edits = "{ take: a.wav, edits: [ %s, { cut: 1 s to 2 s, close: yes, exact: yes } ] }";
        assertEquals("508-742", silent(edited(edits.formatted("{ mute: 0.5 s to 0.75 s }")), 5));
        assertEquals("508-992", silent(edited(edits.formatted("{ mute: 0.5 s to 1.5 s }")), 5));
        assertEquals("1008-1492", silent(edited(edits.formatted("{ mute: 1.5 s to 2.5 s }")), 5));
        assertEquals("", silent(edited(edits.formatted("{ mute: 1.25 s to 1.75 s }")), 5));
        assertEquals("1508-1992", silent(edited(edits.formatted("{ mute: 2.5 s to 3 s }")), 5));
        Work.Course faded = edited(edits.formatted("{ fade out: 2.5 s to 3 s }")).level();
        assertEquals(0, value(faded, 72_000), 1e-9);
        assertEquals(GainCurve.SILENT, value(faded, 96_000 - 240));
        assertTrue(edited(edits.formatted("{ fade out: 1.25 s to 1.75 s }")).level().isAlways(0), "a fade that was cut out is gone");
        assertTrue(edited(edits.formatted("{ fade out: 1.5 s to 2.005 s }")).level().isAlways(0), "too little is left of it");
    }

    @Test
    void marksAreSilencedInTheirStretch() throws Exception {
        assertEquals(List.of(new Work.Muted("breaths in verse", "breath", 0, 96_000, 384)),
                edited("{ take: a.wav, edits: [ { mute: breaths in verse } ] }").muted());
        assertEquals(List.of(new Work.Muted("sibilants", "sibilant", 0, Long.MAX_VALUE, 960)),
                edited("{ take: a.wav, edits: [ { mute: sibilants, fade: 20 ms } ] }").muted());
        assertEquals(List.of(new Work.Muted("breaths in chorus", "breath", 48_000, Long.MAX_VALUE, 384)),
                edited("{ take: a.wav, edits: [ { mute: breaths in chorus }, { cut: 0.5 s to 1.5 s, close: yes } ] }").muted());
        assertEquals(List.of(), edited("{ take: a.wav, edits: [ { mute: breaths in 1 s to 1.25 s }, { cut: 0.5 s to 1.5 s, close: yes } ] }").muted());
    }
}

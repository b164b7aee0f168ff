package linnet.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import linnet.dsp.GainCurve;
import linnet.song.Shift;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Songs as plans, in a notation of their own: what each work hears and what each print is put together from. */
class SongPlannerTest {
    private static final double RATE = 48_000;

    /** A bar lasts a second, a beat a quarter of one. */
    private static final String HEAD = """
            song: plans
            tempo: 240 bpm
            sections: { verse: 1, chorus: 3, end: 5 }
            """;

    private static final String BAND = """
            parts:
              lead: { take: a.wav, level: -3 dB, sends: { hall: -12 dB } }
              high: { take: b.wav, pan: 40 %% left, level: -2 dB }
              low:  { take: c.wav, pan: 40 %% right }
            instrumental: { take: bed.wav, level: -1 dB }
            groups: { doubles: { parts: [ high, low ], level: -9 dB, sends: { hall: -20 dB }, each: [ trim ], chain: [ %s ] } }
            returns: { hall: { chain: [ %s ], level: -4 dB } }
            """;
    private static final String LINEAR = "trim: { level: 2 dB }", DRIVEN = "saturate: { drive: 6 dB }";

    @TempDir
    Path folder;

    private SongPlan plan(String text, int... channels) throws IOException, ProblemsException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, HEAD + text);
        Song song = SongReader.read(file, Builtins.catalogue());
        List<Integer> of = new ArrayList<>(Collections.nCopies(SongPlanner.takes(song).size(), 1));
        for (int i = 0; i < channels.length; i++) of.set(i, channels[i]);
        return SongPlanner.plan(song, RATE, of);
    }

    private static String shown(SongPlan plan, List<Work.Tap> taps) {
        return taps.stream().map(t -> shown(plan, t)).collect(Collectors.joining(" + "));
    }

    /** A source, with its level behind {@code @} and its place behind {@code >} where they are not 0. */
    private static String shown(SongPlan plan, Work.Tap tap) {
        String level = tap.level().isAlways(0) ? "" : "@" + points(tap.level()), place = tap.pan().place().isAlways(0) ? "" : ">" + points(tap.pan().place());
        return shown(plan, tap.source()) + level + place + (tap.pan().sides() ? "" : "!");
    }

    private static String shown(SongPlan plan, Work.Source source) {
        if (source instanceof Work.Source.Take t) return (t.flipped() ? "-" : "") + "take" + t.take() + (t.at() == 0 ? "" : "[" + t.at() + "]");
        if (source instanceof Work.Source.Made m) {
            return plan.works().get(m.work()).name() + (plan.works().get(m.work()).shares().isEmpty() ? "" : "/" + m.share());
        }
        return source instanceof Work.Source.Silence ? "silence" : "edited";
    }

    private static String points(Work.Course course) {
        return course.points().stream().map(p -> (course.points().size() == 1 ? "" : p.at() + ":") + Math.round(p.value() * 1000) / 1000.0)
                .collect(Collectors.joining(","));
    }

    private static List<String> works(SongPlan plan) {
        List<String> shown = new ArrayList<>();
        for (Work w : plan.works()) {
            assertEquals(shown.size(), w.id());
            String shares = w.shares().stream().map(s -> " | " + shown(plan, s)).collect(Collectors.joining());
            shown.add(w.name() + " (" + w.channels() + ") = " + shown(plan, w.input()) + shares);
        }
        return shown;
    }

    private static String print(SongPlan plan, String name) {
        SongPlan.SongPrint p = plan.prints().stream().filter(x -> x.name().equals(name)).findFirst().orElseThrow();
        return p.whole() ? "all of " + shown(plan, plan.buses().get(p.bus()).input()) : shown(plan, p.sum());
    }

    /** Of what a print has of a work. */
    private static Work.Course level(SongPlan plan, String stem) {
        return plan.buses().get(0).input().get(plan.stems().indexOf(stem)).level();
    }

    /** Straight lines between points, as a course is to be read. */
    private static double at(Work.Course course, double seconds) {
        double sample = seconds * RATE;
        Work.Point before = course.points().get(0);
        for (Work.Point p : course.points()) {
            if (p.at() > sample) {
                return p == before ? p.value() : before.value() + (p.value() - before.value()) * (sample - before.at()) / (p.at() - before.at());
            }
            before = p;
        }
        return before.value();
    }

    @Test
    void partsGroupsAndReturnsAreWorks() throws Exception {
        SongPlan plan = plan(BAND.formatted(LINEAR, LINEAR) + "prints: [ mix, lead, doubles, hall, instrumental ]\n", 1, 1, 1, 2);
        assertEquals(List.of("lead (1) = take0", "high (1) = take1", "low (1) = take2", "instrumental (2) = take3",
                "doubles (2) = high@-2.0>-40.0! + low>40.0!", "hall (2) = lead@-15.0! + doubles@-29.0"), works(plan));
        assertEquals(List.of("lead", "instrumental", "doubles", "hall"), plan.stems());
        assertEquals("all of lead@-3.0! + instrumental@-1.0 + doubles@-9.0 + hall@-4.0", print(plan, "mix"));
        assertEquals("lead@-3.0!", print(plan, "lead"));
        assertEquals("doubles@-9.0", print(plan, "doubles"));
        assertEquals("hall@-4.0", print(plan, "hall"));
        assertEquals("instrumental@-1.0", print(plan, "instrumental"));
        assertEquals(4 * 48_000, plan.least());
        assertEquals(RATE, plan.rate());
        // Steps for every member come after its own.
        assertEquals(List.of("trim"), plan.works().get(1).chain().steps().stream().map(Node::name).toList());
        assertEquals(List.of(), plan.works().get(0).chain().steps());
        assertEquals(2, plan.buses().get(0).chain().nodes().get(0).channels());
        assertTrue(plan.prints().stream().allMatch(p -> p.channels() == 2 && p.bus() == 0 && p.from() == 0 && p.to() == Long.MAX_VALUE));
    }

    @Test
    void whatIsAllInTheCentreIsOneChannel() throws Exception {
        String group = "parts: { one: { take: a.wav }, two: { take: b.wav%s } }\ngroups: { both: { parts: [ one, two ] } }\nprints: [ mix ]\n";
        assertEquals("both (1) = one! + two!", works(plan(group.formatted(""))).get(2));
        assertEquals("both (2) = one! + two>10.0!", works(plan(group.formatted(", pan: 10 % right"))).get(2));
        assertEquals("both (2) = one! + two", works(plan(group.formatted(""), 1, 2)).get(2));
        assertEquals("both (2) = one! + two!", works(plan(group.formatted(", chain: [ reverb: { mix: 100 % } ]"))).get(2),
                "a room has two sides though its take has one place");
    }

    @Test
    void takesAreCountedOnceAndPartsMayBeMadeOfParts() throws Exception {
        SongPlan plan = plan("parts: { far: { from: lead, chain: [ reverse ] }, lead: { take: a.wav, into: 2 dB }, again: { take: a.wav, at: chorus, "
                + "polarity: flipped } }\nprints: [ mix ]\n");
        assertEquals(List.of("lead (1) = take0@2.0", "far (1) = edited", "again (1) = -take0[96000]"), works(plan));
        assertEquals(List.of("far", "lead", "again"), plan.stems());
        assertEquals(List.of(new Work.Piece(new Work.Source.Made(0), 0)), ((Work.Source.Edited) plan.works().get(1).input().get(0).source()).pieces());
        SongPlan far = plan("parts: { far: { from: lead }, lead: { take: a.wav }, again: { take: b.wav } }\nprints: [ far ]\n");
        assertEquals("[0]", far.takes(far.prints().get(0)).toString());
        SongPlan second = plan("parts: { other: { take: b.wav }, lead: { take: a.wav }, far: { from: lead } }\nprints: [ mix ]\n");
        assertEquals(List.of(new Work.Piece(new Work.Source.Made(1), 0)), ((Work.Source.Edited) second.works().get(2).input().get(0).source()).pieces());
    }

    @Test
    void takesThatAPrintHearsAreKnown() throws Exception {
        SongPlan plan = plan(BAND.formatted(LINEAR, LINEAR) + "prints: [ mix, lead, doubles, hall, instrumental, lead dry ]\n");
        assertEquals("[0, 1, 2, 3]", plan.takes(plan.prints().get(0)).toString());
        assertEquals("[0]", plan.takes(plan.prints().get(1)).toString());
        assertEquals("[1, 2]", plan.takes(plan.prints().get(2)).toString());
        assertEquals("[0, 1, 2]", plan.takes(plan.prints().get(3)).toString());
        assertEquals("[0]", plan.takes(plan.prints().get(5)).toString());
        // Filters treat each print by itself; a limiter turns everything down by everything.
        SongPlan filtered = plan(BAND.formatted(LINEAR, LINEAR) + "mix: { chain: [ trim, eq: [ { bell: 1 kHz, gain: 2 dB } ] ] }\nprints: [ lead ]\n");
        assertEquals("[0]", filtered.takes(filtered.prints().get(0)).toString());
        assertTrue(!filtered.buses().get(0).hears());
        SongPlan limited = plan(BAND.formatted(LINEAR, LINEAR) + "mix: { chain: [ limit ] }\nprints: [ lead, lead dry ]\n");
        assertEquals("[0, 1, 2, 3]", limited.takes(limited.prints().get(0)).toString());
        assertEquals("[0]", limited.takes(limited.prints().get(1)).toString());
    }

    @Test
    void allWorksAreWantedThatPrintsHear() throws Exception {
        SongPlan plan = plan(BAND.formatted(LINEAR, LINEAR)
                + "prints: [ { print: high, from: verse, to: verse }, { print: lead wet, from: verse, to: verse } ]\n");
        assertEquals(plan.works().stream().map(Work::id).toList(), List.copyOf(plan.wanted()));
        assertEquals("parts of doubles (2) = high@-2.0>-40.0! + low>40.0! | high@-2.0>-40.0!", works(plan).get(6));
    }

    @Test
    void aStretchIsPrintedFromSampleToSample() throws Exception {
        SongPlan plan = plan("parts: { one: { take: a.wav } }\n"
                + "prints: [ { print: mix, from: verse bar 2, to: verse }, { print: one, from: chorus beat 2 } ]\n");
        assertEquals(48_000, plan.prints().get(0).from());
        assertEquals(96_000, plan.prints().get(0).to());
        assertEquals(108_000, plan.prints().get(1).from());
        assertEquals(Long.MAX_VALUE, plan.prints().get(1).to());
    }

    @Test
    void sharesAreWhatASelectionHasOfGroupsAndReturns() throws Exception {
        SongPlan plan = plan(BAND.formatted(LINEAR, LINEAR)
                + "prints: [ vocals, high, high wet, lead wet, doubles wet, mix without high, mix without doubles, mix without hall, mix without vocals ]\n",
                1, 1, 1, 2);
        assertEquals("lead@-3.0! + doubles@-9.0 + hall@-4.0", print(plan, "vocals"));
        assertEquals("parts of doubles/0@-9.0", print(plan, "high"));
        assertEquals("parts of doubles/0@-9.0 + parts of hall/0@-4.0", print(plan, "high wet"));
        assertEquals("lead@-3.0! + parts of hall/1@-4.0", print(plan, "lead wet"));
        assertEquals("doubles@-9.0 + parts of hall/2@-4.0", print(plan, "doubles wet"));
        assertEquals("lead@-3.0! + instrumental@-1.0 + parts of doubles/1@-9.0 + parts of hall/3@-4.0", print(plan, "mix without high"));
        assertEquals("lead@-3.0! + instrumental@-1.0 + parts of hall/1@-4.0", print(plan, "mix without doubles"));
        assertEquals("lead@-3.0! + instrumental@-1.0 + doubles@-9.0", print(plan, "mix without hall"));
        assertEquals("instrumental@-1.0", print(plan, "mix without vocals"));
        assertEquals("parts of doubles (2) = high@-2.0>-40.0! + low>40.0! | high@-2.0>-40.0! | low>40.0!", works(plan).get(6));
        assertEquals("parts of hall (2) = lead@-15.0! + doubles@-29.0 | parts of doubles/0@-29.0 | lead@-15.0! | doubles@-29.0 | lead@-15.0! + parts of "
                + "doubles/1@-29.0", works(plan).get(7));
        assertEquals(List.of(), plan.notes());
        // What all of it is wanted of, is the work itself.
        SongPlan all = plan(BAND.formatted(LINEAR, LINEAR) + "prints: [ doubles, vocals, mix without instrumental ]\n");
        assertEquals(6, all.works().size());
        assertEquals("lead@-3.0! + doubles@-9.0 + hall@-4.0", print(all, "mix without instrumental"));
    }

    @Test
    void aMemberIsAShareOfItsOwnGroup() throws Exception {
        SongPlan plan = plan("parts: { a: { take: a.wav }, b: { take: b.wav }, c: { take: c.wav }, d: { take: d.wav } }\n"
                + "groups: { low: { parts: [ a, b ] }, high: { parts: [ c, d ] } }\nprints: [ d, b ]\n");
        assertEquals("parts of high/0", print(plan, "d"));
        assertEquals("parts of low/0", print(plan, "b"));
        assertEquals("parts of low (1) = a! + b! | b!", works(plan).get(6));
        assertEquals("parts of high (1) = c! + d! | d!", works(plan).get(7));
    }

    @Test
    void whatCannotBeSharedOutIsNoted() throws Exception {
        SongPlan plan = plan(BAND.formatted(DRIVEN, DRIVEN) + "prints: [ high, lead wet ]\n");
        assertEquals(List.of("doubles: parts of it are printed as they go into it, because what 'saturate' makes of the group cannot be shared out among them: "
                        + "they do not add up to it",
                "hall: where not all that is sent there is wanted, what is wanted is sent alone, because what 'saturate' makes of it all cannot be shared out: "
                        + "such prints do not add up to the mix"),
                        plan.notes());
        assertEquals("parts of doubles/0@-9.0", print(plan, "high"));
        assertEquals(List.of(), plan.works().get(6).chain().steps());
        assertEquals("lead@-3.0! + part of hall@-4.0", print(plan, "lead wet"));
        assertEquals("part of hall (2) = lead@-15.0!", works(plan).get(7));
        assertEquals(List.of("saturate"), plan.works().get(7).chain().steps().stream().map(Node::name).toList());
    }

    @Test
    void aPrintWithSomethingTurnedUpHasAllThatThisMoves() throws Exception {
        SongPlan plan = plan(BAND.formatted(LINEAR, DRIVEN) + "prints: [ high up 1 dB, lead down 2 dB, hall up 1 dB, doubles up 3 dB, vocals up 1 dB ]\n",
                1, 1, 1, 2);
        assertEquals("all of lead@-3.0! + instrumental@-1.0 + doubles with high up@-9.0 + hall with high up@-4.0", print(plan, "high up 1 dB"));
        assertEquals("doubles with high up (2) = high@-1.0>-40.0! + low>40.0!", works(plan).get(6));
        assertEquals("hall with high up (2) = lead@-15.0! + doubles with high up@-29.0", works(plan).get(7));
        assertEquals("all of lead@-5.0! + instrumental@-1.0 + doubles@-9.0 + hall with lead down@-4.0", print(plan, "lead down 2 dB"));
        assertEquals("hall with lead down (2) = lead@-17.0! + doubles@-29.0", works(plan).get(8));
        assertEquals("all of lead@-3.0! + instrumental@-1.0 + doubles@-9.0 + hall@-3.0", print(plan, "hall up 1 dB"));
        assertEquals("all of lead@-3.0! + instrumental@-1.0 + doubles@-6.0 + hall with doubles up@-4.0", print(plan, "doubles up 3 dB"));
        assertEquals("hall with doubles up (2) = lead@-15.0! + doubles@-26.0", works(plan).get(9));
        assertEquals("all of lead@-2.0! + instrumental@-1.0 + doubles@-8.0 + hall@-3.0", print(plan, "vocals up 1 dB"));
        assertEquals(10, plan.works().size());
    }

    /** Its shares are turned, and it is not made once more; but for a member of a group, whose chain hears it. */
    @Test
    void whatALinearReturnMakesOfItIsTurned() throws Exception {
        SongPlan plan = plan(BAND.formatted(LINEAR, LINEAR) + "prints: [ high up 1 dB, lead down 2 dB, doubles up 3 dB ]\n", 1, 1, 1, 2);
        assertEquals("all of lead@-5.0! + instrumental@-1.0 + doubles@-9.0 + parts of hall/0@-6.0 + parts of hall/1@-4.0", print(plan, "lead down 2 dB"));
        assertEquals("all of lead@-3.0! + instrumental@-1.0 + doubles@-6.0 + parts of hall/1@-1.0 + parts of hall/0@-4.0", print(plan, "doubles up 3 dB"));
        assertEquals("all of lead@-3.0! + instrumental@-1.0 + doubles with high up@-9.0 + hall with high up@-4.0", print(plan, "high up 1 dB"));
        assertEquals("parts of hall (2) = lead@-15.0! + doubles@-29.0 | lead@-15.0! | doubles@-29.0", works(plan).get(6));
        assertEquals(9, plan.works().size());
    }

    @Test
    void whatIsDryIsMendedAndNothingElse() throws Exception {
        SongPlan plan = plan("parts: { one: { take: a.wav, into: 1 dB, level: -9 dB, chain: [ hum, declick, compressor, breaths ] } }\n"
                + "mix: { chain: [ limit ] }\nprints: [ mix, one dry, mix without bus ]\n");
        assertEquals("one dry", print(plan, "one dry"));
        assertEquals("one dry (1) = take0@1.0", works(plan).get(1));
        assertEquals(List.of("hum", "declick"), plan.works().get(1).chain().steps().stream().map(Node::name).toList());
        SongPlan two = plan("parts: { one: { take: a.wav, chain: [ hum ] }, two: { take: b.wav, chain: [ pops, eq: [ { bell: 1 kHz, gain: 2 dB } ] ] } }\n"
                + "prints: [ two dry ]\n");
        assertEquals(List.of("pops"), two.works().get(2).chain().steps().stream().map(Node::name).toList());
        SongPlan.SongPrint dry = plan.prints().get(1), bare = plan.prints().get(2);
        assertEquals(1, dry.channels());
        assertEquals(List.of(), plan.buses().get(dry.bus()).chain().steps());
        assertEquals(dry.bus(), bare.bus());
        assertTrue(bare.whole() && !dry.whole());
        assertEquals(List.of("limit"), plan.buses().get(plan.prints().get(0).bus()).chain().steps().stream().map(Node::name).toList());
        assertEquals(2, plan.buses().size());
        assertTrue(plan.buses().get(0).hears() && !plan.buses().get(1).hears());
    }

    /** A step that shapes the sound ends what a dry print passes through: whoever gets that print is to know what it has not. */
    @Test
    void whatADryPrintGoesWithoutIsTold() throws Exception {
        String song = "parts: { one: { take: a.wav, chain: [ %s ] } }\nprints: [ mix, %s ]\n";
        String shift = "shift: { by: 2 semitones }";
        assertEquals(List.of("one dry passes through no step: 'shift' comes before tune, hum and level; put it behind those that the "
                + "print is to have"), plan(song.formatted(shift + ", tune, hum, level, compressor", "one dry")).notes());
        assertEquals(List.of("one dry passes through hum and limit alone: 'limit' comes before tune; put it behind those that the "
                + "print is to have"), plan(song.formatted("hum, limit, tune", "one dry")).notes());
        assertEquals(List.of("the song's lead passes through hum alone: 'low' comes before ride; put it behind those that the "
                + "print is to have"), plan(song.formatted("hum, trim: { name: low, level: -3 dB }, hum, ride, ride",
                        "{ print: one dry, name: the song's lead }, { print: one dry, from: chorus }")).notes());
        // Nothing of it is missing, or nobody asks for it.
        assertEquals(List.of(), plan(song.formatted("hum, limit, eq: [ { bell: 1 kHz, gain: 2 dB } ], limit", "one dry, one untuned")).notes());
        assertEquals(List.of(), plan(song.formatted(shift + ", tune", "one, one untuned")).notes());
    }

    /** With its edits, as the part, and no step: beside 'dry', which is tuned. */
    @Test
    void whatIsUntunedGoesThroughNoStep() throws Exception {
        SongPlan plan = plan("parts: { one: { take: a.wav, into: 1 dB, level: -9 dB, edits: [ { mute: 1 s to 2 s } ], chain: [ hum, tune, compressor ] } }\n"
                + "mix: { chain: [ limit ] }\nprints: [ mix, one dry, one untuned ]\n");
        Work part = plan.works().get(0), dry = plan.works().get(1), untuned = plan.works().get(2);
        assertEquals("one untuned", print(plan, "one untuned"));
        assertEquals(part.input(), untuned.input());
        assertEquals(List.of("hum", "tune"), dry.chain().steps().stream().map(Node::name).toList());
        assertEquals(List.of(), untuned.chain().steps());
        SongPlan.SongPrint print = plan.prints().get(2);
        assertEquals(1, print.channels());
        assertEquals(List.of(), plan.buses().get(print.bus()).chain().steps());
        assertTrue(!print.whole());
    }

    @Test
    void aMixThatCannotBeSharedOutIsPrintedAlone() throws Exception {
        String song = "parts: { one: { take: a.wav }, two: { take: b.wav }, three: { take: c.wav }, four: { take: d.wav } }\n"
                + "mix: { chain: [ trim, saturate: { drive: 6 dB } ] }\nprints: [ %s ]\n";
        assertEquals(2, plan(song.formatted("mix, one dry")).prints().size());
        assertEquals("what 'saturate' makes of the mix cannot be shared out, so that the print 'one' is no part of it: print the mix alone, or "
                + "'stems without bus', or put this step "
                + "into the chains of parts and groups", said(song.formatted("mix, one")));
        assertTrue(said(song.formatted("one, two, three")).contains("3 prints (one, two, three) are no parts of it"));
        assertTrue(said(song.formatted("one, two, three, four")).contains("4 prints (one, two, three, …) are no parts of it"));
    }

    /** A move of a note value is told with what it comes to. */
    @Test
    void aMovedNoteValueMustLieInRange() throws Exception {
        String song = "parts: { one: { take: a.wav, chain: [ delay: { time: 1/4 } ] } }\nmoves: { chorus: { one delay time: %s } }\nprints: [ mix ]\n";
        assertEquals(List.of("delay"), plan(song.formatted("+4 s")).works().get(0).chain().steps().stream().map(Node::name).toList());
        assertEquals("1/4 + 4.9 s is 5.15 s at 240 bpm: time is outside 1 ms … 5 s", said(song.formatted("+4.9 s")));
        assertEquals("1/4 - 250 ms is 0 ms at 240 bpm: time is outside 1 ms … 5 s", said(song.formatted("-250 ms")));
    }

    @Test
    void takesOfACompAreHeardWithIt() throws Exception {
        SongPlan plan = plan("parts: { one: { comp: [ { take: a.wav, from: verse }, { take: b.wav, from: chorus } ] }, two: { take: c.wav } }\n"
                + "prints: [ one, two ]\n");
        assertEquals("[0, 1]", plan.takes(plan.prints().get(0)).toString());
        assertEquals("[2]", plan.takes(plan.prints().get(1)).toString());
    }

    private String said(String text) throws IOException {
        try {
            plan(text);
        } catch (ProblemsException e) {
            return e.problems().get(0).message();
        }
        throw new AssertionError("it was planned");
    }

    @Test
    void movesComeOnTopOfTheBase() throws Exception {
        SongPlan plan = plan("""
                parts: { lead: { take: a.wav, level: -3 dB, pan: 10 % left, sends: { hall: -12 dB, room: { level: -6 dB, before: level } } } }
                returns: { hall: { chain: [ reverb ] }, room: { chain: [ reverb ], level: -1 dB } }
                moves:
                  chorus: { ramp: 1 beat, lead: +4 dB, lead to hall: -2 dB, lead to room: +1 dB, lead pan: +30 %, hall: +5 dB }
                prints: [ mix ]
                """);
        Work.Tap lead = plan.buses().get(0).input().get(0), hall = plan.works().get(1).input().get(0), room = plan.works().get(2).input().get(0);
        for (double[] t : new double[][] {{0, 0}, {1.75, 0}, {1.875, 0.5}, {2, 1}, {4, 1}, {4.125, 1}, {9, 1}}) {
            assertEquals(-3 + 4 * t[1], at(lead.level(), t[0]), 1e-9, "level at " + t[0]);
            assertEquals(-15 + 2 * t[1], at(hall.level(), t[0]), 1e-9, "send, with the level, at " + t[0]);
            assertEquals(-6 + t[1], at(room.level(), t[0]), 1e-9, "send before the level, at " + t[0]);
            assertEquals(-10 + 30 * t[1], at(lead.pan().place(), t[0]), 1e-9, "place at " + t[0]);
            assertEquals(5 * t[1], at(level(plan, "hall"), t[0]), 1e-9, "return at " + t[0]);
            assertEquals(-1, at(level(plan, "room"), t[0]), 1e-9);
            assertEquals(-10 + 30 * t[1], at(hall.pan().place(), t[0]), 1e-9);
        }
    }

    @Test
    void aThrownWordIsSentAloneAndWhatTheReturnMakesOfItGivesWay() throws Exception {
        SongPlan plan = plan("""
                parts: { lead: { take: a.wav, level: -3 dB }, other: { take: b.wav, sends: { far: -20 dB } } }
                returns: { far: { chain: [ delay ] } }
                moves: { chorus: { lead: +4 dB } }
                throws:
                  - { part: lead, word: verse bar 2, exact: yes, length: 1 beat, to: far, level: -6 dB, stop: 2 beats }
                  - { part: lead, word: chorus bar 2, exact: yes, length: 1 beat, to: far, level: -6 dB, stop: 2 beats }
                prints: [ mix, throws, lead wet, lead ]
                """);
        assertEquals(List.of("lead", "other", "far", "far for verse bar 2", "far for chorus bar 2"), plan.works().stream().map(Work::name).toList());
        List<Work.Tap> sent = plan.works().get(2).input(), first = plan.works().get(3).input(), second = plan.works().get(4).input();
        assertEquals(List.of(1, 1, 1), List.of(sent.size(), first.size(), second.size()));
        assertEquals("other@-20.0!", shown(plan, sent.get(0)));
        assertEquals(-9, at(first.get(0).level(), 1.1), 1e-9);
        assertEquals(-5, at(second.get(0).level(), 3.1), 1e-9, "with the moves of the part");
        for (double gone : new double[] {0, 0.999, 1.34, 2, 4}) assertEquals(GainCurve.SILENT, at(first.get(0).level(), gone), "at " + gone);
        assertEquals(-9, at(first.get(0).level(), 1.25), 1e-9, "to the end of the word");
        // What the return makes of the first gives way from 1.75 s on, of the second from 3.75 s, and of what is sent never.
        for (double t = 0; t < 60; t += 0.25) assertEquals(0, at(level(plan, "far"), t), 1e-9, "at " + t);
        for (double[] stopped : new double[][] {{3, 1.75}, {4, 3.75}}) {
            Work.Course level = plan.buses().get(0).input().stream().filter(x -> x.source().equals(new Work.Source.Made((int) stopped[0]))).findFirst()
                    .orElseThrow().level();
            assertEquals(0, at(level, stopped[1]), 1e-9);
            for (double gone : new double[] {stopped[1] + 0.31, 5, 60}) assertEquals(GainCurve.SILENT, at(level, gone), "at " + gone);
        }
        // Of the return, throws and the lead with its echoes have only what was thrown.
        assertEquals(List.of(2, 3, 1), plan.prints().subList(1, 4).stream().map(x -> x.sum().size()).toList());
        assertTrue(print(plan, "throws").startsWith("far for verse bar 2@"), print(plan, "throws"));
    }

    /** What a stopped word goes into has a name of its own, and a return may be called like that. */
    @Test
    void noReturnTakesThePlaceOfAStoppedWord() throws Exception {
        SongPlan plan = plan("""
                parts: { lead: { take: a.wav } }
                returns: { far: { chain: [ delay ] }, far for chorus: { chain: [ delay ] } }
                throws:
                  - { part: lead, word: verse, exact: yes, length: 1 beat, to: far, stop: 2 beats }
                  - { part: lead, word: chorus, exact: yes, length: 1 beat, to: far, stop: 2 beats }
                prints: [ mix ]
                """);
        assertEquals(List.of("lead", "far", "far for chorus", "far for chorus again"), plan.works().stream().map(Work::name).toList());
        assertEquals(List.of(1, 0, 1), plan.works().subList(1, 4).stream().map(w -> w.input().size()).toList());
    }

    /** The next word may begin where the one before is stopped. */
    @Test
    void aWordThatBeginsWhereAnotherIsStoppedIsHeard() throws Exception {
        SongPlan plan = plan("""
                parts: { lead: { take: a.wav } }
                returns: { far: { chain: [ delay ] } }
                throws:
                  - { part: lead, word: verse, exact: yes, length: 1 beat, to: far, stop: chorus }
                  - { part: lead, word: chorus, exact: yes, length: 1 beat, to: far }
                prints: [ mix ]
                """);
        assertEquals(0, at(level(plan, "far"), 1.9), 1e-9);
        assertEquals(0, at(level(plan, "far"), 2.1), 1e-9);
    }

    @Test
    void whatGivesWayDoesSoInTheMixAndInItsSends() throws Exception {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file,
                HEAD + "parts: { one: { take: a.wav, sends: { hall: -6 dB, room: { level: -6 dB, before: level } } } }\n"
                + "returns: { hall: { chain: [ reverb ] }, room: { chain: [ reverb ] }, far: { chain: [ reverb ] } }\n"
                + "throws: [ { part: one, word: 0.5 s, exact: yes, length: 3 s, to: far, level: -1 dB } ]\nprints: [ mix ]\n");
        Song song = SongReader.read(file, Builtins.catalogue()).ducking(Map.of("one", List.of(new Shift.Corner(1, 0), new Shift.Corner(2, -4))));
        SongPlan plan = SongPlanner.plan(song, RATE, List.of(1));
        assertEquals(-2, at(level(plan, "one"), 1.5), 1e-9);
        assertEquals(-4, at(level(plan, "one"), 3), 1e-9);
        assertEquals(-10, at(plan.works().get(1).input().get(0).level(), 3), 1e-9);
        assertEquals(-6, at(plan.works().get(2).input().get(0).level(), 3), 1e-9, "what is sent before the level is not touched");
        assertEquals(-3, at(plan.works().get(3).input().get(0).level(), 1.5), 1e-9);
        assertEquals(-5, at(plan.works().get(3).input().get(0).level(), 3), 1e-9, "a thrown word is as loud as the part is there");
    }

    @Test
    void aPartThatFollowsIsAWorkBeforeItsChain() throws Exception {
        SongPlan plan = plan("""
                parts:
                  low: { take: b.wav, at: chorus, chain: [ trim ], tidy: { like: lead, except: [ verse, chorus bar 2 to end ] } }
                  lead: { take: a.wav, chain: [ trim ] }
                prints: [ { print: low, from: verse, to: verse } ]
                """, 1, 2);
        assertEquals(List.of("lead (2) = take1", "low, tidied (1) = take0[96000]", "low (1) = low, tidied"), works(plan));
        Work.Tidying tidying = plan.works().get(1).tidying().orElseThrow();
        assertEquals("low", tidying.part());
        assertEquals("lead", tidying.like());
        assertEquals("take1", shown(plan, tidying.lead()));
        assertEquals(2, tidying.channels());
        assertEquals(List.of(new Work.Stretch(0, 96_000), new Work.Stretch(144_000, 192_000)), tidying.except());
        assertEquals(List.of(), plan.works().get(1).chain().steps());
        assertEquals("[0, 1]", plan.takes(plan.prints().get(0)).toString(), "who follows hears whom it follows");
    }
}

package linnet.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import linnet.Rig;
import linnet.chain.Chain;
import linnet.dsp.filter.LinkwitzRiley;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Chains as plans: what comes after what, and how late. */
class PlannerTest {
    private static Plan plan(String steps) {
        return plan(Rig.usual().chain(steps), 1, OptionalDouble.empty());
    }

    private static Plan plan(Chain chain, int channels, OptionalDouble tempo) {
        try {
            return Planner.plan(chain, 48_000, channels, tempo);
        } catch (ProblemsException e) {
            throw new AssertionError(e.getMessage(), e);
        }
    }

    private static String said(String chain) {
        return assertThrows(ProblemsException.class, () -> Planner.plan(Rig.usual().read(chain), 48_000, 1, OptionalDouble.empty())).problems().get(0)
                .message();
    }

    /** Each node as name: feed by feed, with the delay of each. */
    private static List<String> shown(Plan plan) {
        List<String> shown = new ArrayList<>();
        for (Node n : plan.nodes()) {
            assertEquals(shown.size(), n.id());
            StringBuilder text = new StringBuilder(n.name());
            for (Feed f : n.feeds()) text.append(" <- ").append(plan.nodes().get(f.from()).name()).append(f.delay() == 0 ? "" : " +" + f.delay());
            shown.add(text.toString());
        }
        return shown;
    }

    private static double tempo(Plan plan) {
        return plan.steps().get(0).work().orElseThrow().tempo();
    }

    private static Node node(Plan plan, String name) {
        return plan.nodes().stream().filter(n -> n.name().equals(name)).findFirst().orElseThrow();
    }

    @Test
    void stepsFollowOneAnotherAndAreCounted() {
        Plan plan = plan("- trim: { level: 3 dB }\n- trim\n- { trim: { level: 1 dB }, name: last }");
        assertEquals(List.of("take", "trim <- take", "trim 2 <- trim", "last <- trim 2"), shown(plan));
        assertEquals(List.of("trim", "trim 2", "last"), plan.steps().stream().map(Node::name).toList());
        assertEquals("last", plan.output().name());
        assertEquals(1, plan.stages());
        assertEquals(List.of("take", "trim <- take"), shown(plan.upTo(plan.nodes().get(1))));
    }

    @Test
    void whatIsLateMakesTheOthersWait() {
        Plan plan = plan("""
                - limit: { lookahead: 5 ms }
                - parallel:
                    - { level: 0 dB }
                    - { level: -6 dB, steps: [ limit: { lookahead: 2 ms } ] }
                    - { steps: [ limit: { lookahead: 2 ms }, limit: { lookahead: 10 ms } ] }
                - trim
                """);
        int first = node(plan, "limit").latency(), second = node(plan, "limit 2").latency(), last = node(plan, "limit 4").latency();
        assertTrue(first >= 240 && second >= 96 && last >= 480);
        assertEquals(List.of("take", "limit <- take", "limit 2 <- limit", "limit 3 <- limit", "limit 4 <- limit 3",
                "parallel <- limit +" + (second + last) + " <- limit 2 +" + last + " <- limit 4", "trim <- parallel"), shown(plan));
        assertEquals(first, node(plan, "limit 2").arrival());
        assertEquals(first + second + last, node(plan, "parallel").arrival());
        assertEquals(0, node(plan, "parallel").latency());
        assertEquals(first + second + last, plan.output().departure());
        List<Feed> feeds = node(plan, "parallel").feeds();
        assertEquals(new Level.Unity(), feeds.get(0).level());
        assertTrue(feeds.get(1).level() instanceof Level.Branch);
        assertEquals(new Level.Unity(), feeds.get(2).level());
    }

    @Test
    void aShareIsASumOfDryAndWet() {
        Plan plan = plan("- { limit: { lookahead: 5 ms }, mix: 40 % }\n- { parallel: [ { level: -3 dB }, {} ], mix: 10 % }\n- { trim: {}, mix: 100 % }");
        int late = node(plan, "limit").latency();
        assertEquals(List.of("take", "limit <- take", "limit mix <- take +" + late + " <- limit", "parallel <- limit mix <- limit mix",
                "parallel mix <- limit mix <- parallel", "trim <- parallel mix"), shown(plan));
        List<Feed> mix = node(plan, "limit mix").feeds();
        assertTrue(mix.get(0).level() instanceof Level.Dry && mix.get(1).level() instanceof Level.Wet);
        assertEquals(late, plan.output().departure());
        Plan room = plan("- reverb");
        assertEquals(List.of("take", "reverb <- take", "reverb mix <- take +" + node(room, "reverb").latency() + " <- reverb"), shown(room),
                "a room has a share of its own");
    }

    /** Whoever is added to a multiband goes through its all-passes, each once, and only where others did not go through the same. */
    @Test
    void whatIsTurnedInPhaseTurnsTheOthers() {
        String low = "multiband: { splits: [ 200 Hz ] }", both = "multiband: { splits: [ 200 Hz, 2 kHz ], bands: [ {}, { aim: 2 dB }, {} ] }";
        Plan mixed = plan("- { multiband: {}, mix: 40 % }\n- trim");
        assertEquals(List.of("take", "multiband <- take", "take turned <- take", "multiband mix <- take turned <- multiband", "trim <- multiband mix"),
                shown(mixed));
        assertEquals(List.of("multiband", "trim"), mixed.steps().stream().map(Node::name).toList());
        assertEquals(LinkwitzRiley.sum(48_000, 200), node(mixed, "take turned").turn());
        assertEquals(List.of("take", "multiband <- take", "multiband 2 <- take", "parallel <- multiband <- multiband 2"),
                shown(plan("- parallel: [ { steps: [ " + low + " ] }, { steps: [ " + low + " ] } ]")));
        Plan beside = plan("- trim\n- parallel: [ { steps: [ " + low + " ] }, { steps: [ limit, " + both + " ] }, {} ]");
        assertEquals(List.of("take", "trim <- take", "multiband <- trim", "limit <- trim", "multiband 2 <- limit", "multiband turned <- multiband",
                "trim turned <- trim",
                "parallel <- multiband turned +" + node(beside, "limit").latency() + " <- multiband 2 <- trim turned +" + node(beside, "limit").latency()),
                        shown(beside));
        assertEquals(LinkwitzRiley.sum(48_000, 2000), node(beside, "multiband turned").turn());
        assertEquals(LinkwitzRiley.sum(48_000, 200, 2000), node(beside, "trim turned").turn());
        assertEquals(1, node(beside, "trim turned").stage(), "where it is wanted: it need not be kept from a stage before");
    }

    @Test
    void sumsHaveTheChannelsOfTheWidest() {
        Plan plan = plan("- parallel: [ { level: 0 dB }, { steps: [ reverb: { mix: 100 % } ] } ]");
        assertEquals(1, plan.nodes().get(0).channels());
        assertEquals(2, plan.output().channels());
        assertEquals(2, plan(Rig.usual().chain("- trim"), 2, OptionalDouble.empty()).output().channels());
    }

    /** Who must hear the whole signal that arrives begins a stage; who comes after a sum, after the last of those in it. */
    @Test
    void whatHearsFirstBeginsAStage() {
        Plan plan = plan("""
                - compressor: { threshold: -20 dB }
                - compressor: { aim: 3 dB }
                - parallel:
                    - steps: [ gate: { threshold: 10 dB over noise }, compressor: { threshold: -20 dB } ]
                    - steps: [ trim ]
                - eq: [ { bell: resonance 1, gain: -3 dB } ]
                """);
        assertEquals(List.of(0, 0, 1, 2, 2, 1, 2, 3), plan.nodes().stream().map(Node::stage).toList());
        assertEquals(4, plan.stages());
    }

    @ParameterizedTest
    @ValueSource(strings = {"1/8", "1/4 triplet", "{ 0 s: 1/16, 2 s: 1/8 }"})
    void noteValuesFollowTheTempo(String time) {
        String chain = "tempo: 120 bpm\nsteps:\n- delay: { time: " + time + " }\n";
        Plan plan = plan(Rig.usual().read(chain), 1, OptionalDouble.empty());
        assertEquals(120, tempo(plan));
        assertEquals(List.of("delay"), plan.steps().stream().map(Node::name).toList());
        assertEquals(90, tempo(plan(Rig.usual().read(chain), 1, OptionalDouble.of(90))), "who renders may say another");
        assertTrue(said(chain.replace("tempo: 120 bpm\n", "")).endsWith("needs a tempo: add 'tempo: 96 bpm' at the top of the chain, or say --tempo"));
    }

    @Test
    void aNoteValueMustLieInRangeAtItsTempo() {
        assertEquals("4/1 is 24 s at 40 bpm: time is outside 1 ms … 5 s", said("tempo: 40 bpm\nsteps:\n- delay: { time: 4/1 }\n"));
        assertEquals("4/1 is 24 s at 40 bpm: time is outside 1 ms … 5 s", said("tempo: 40 bpm\nsteps:\n- delay: { time: { 0 s: 1/4, 1 s: 4/1 } }\n"));
        assertEquals(40, tempo(plan(Rig.usual().read("tempo: 40 bpm\nsteps:\n- delay: { time: 1/2 }\n"), 1, OptionalDouble.empty())));
    }

    /** Every wrong value is told at once, in lists too. */
    @Test
    void allIsToldAtOnce() {
        String all = assertThrows(ProblemsException.class,
                () -> Planner.plan(Rig.usual().read("steps:\n- delay: { time: 1/4 }\n- { reverb: { pre-delay: 1/64 }, mix: 10 % }\n"), 48_000, 1,
                        OptionalDouble.empty())).getMessage();
        assertEquals(2, all.lines().filter(l -> l.contains("needs a tempo")).count(), all);
    }
}

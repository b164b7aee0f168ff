package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import linnet.demo.Demo;

/**
 * A note that came back from a client, and the one line of the example that answers it. What clients mean by it is common practice.
 *
 * @param says the client
 * @param after the note before it in the same song, whose answer is there already; empty for the example as it is
 * @param was what stands in the line
 * @param is what stands there then
 * @param told by {@code diff}
 * @param changed prints, of those of {@link #PRINTS}; all others keep their samples, where the mix has no chain
 */
record ClientNote(String says, String after, String was, String is, List<String> told, Set<String> changed) {
    static final String PRINTS = "mix, stems, vocals, lead dry, lead wet, throws, mix without lead";
    private static final String PITCH = "one word is flat";
    private static final Set<String> LEAD_AND_ITS_ROOMS = Set.of("mix", "vocals", "lead", "lead wet", "slap", "echo", "plate", "far", "throws");

    static final List<ClientNote> ALL = List.of(
            note("less reverb in verse 2", "  verse 2:  { doubles: -6 dB,", "  verse 2:  { plate: -3 dB, doubles: -6 dB,", "verse 2: plate 3 dB lower", "mix",
                    "vocals", "plate", "lead wet", "mix without lead"),
            new ClientNote("lead up 0.5 dB", "", "moves:\n", "moves:\n  count-in to end: { lead: +0.5 dB }\n", List.of("lead 0.5 dB higher"),
                    LEAD_AND_ITS_ROOMS),
            note("too far away", "plate: 15 LU under, echo: 18", "plate: 18 LU under, echo: 18", "lead to plate 3 LU lower (18 LU under, was 15 LU under)",
                    "mix", "vocals", "plate", "lead wet"),
            new ClientNote("too harsh", "", "moves:\n", "moves:\n  count-in to end: { lead eq 2 gain of band 2: -3 dB }\n",
                    List.of("lead eq 2 gain of band 2 3 dB lower"), LEAD_AND_ITS_ROOMS),
            new ClientNote(PITCH, "", "      - use: chains/clean-up.yaml\n",
                    "      - tune: { key: D major, amount: 100 %, speed: 20 ms }\n      - use: chains/clean-up.yaml\n",
                    List.of("lead tune is new: key D major, amount 100 %, speed 20 ms"), with(LEAD_AND_ITS_ROOMS, "lead dry", "mix without lead")),
            new ClientNote("sounds tuned", PITCH, "amount: 100 %, speed: 20 ms", "amount: 50 %, speed: 120 ms",
                    List.of("lead tune amount 50 % less (50 %, was 100 %)", "lead tune speed 100 ms longer (120 ms, was 20 ms)"),
                            with(LEAD_AND_ITS_ROOMS, "lead dry", "mix without lead")),
            note("chorus not big", "  chorus *: { ramp: 1 beat, lead: +2 dB,",
                    "  chorus *: { ramp: 1 beat, doubles: +2 dB, high: +2 dB, low: +2 dB, lead: +2 dB,",
                    "chorus 1, chorus 2: doubles, high and low 2 dB higher",
                    "mix", "vocals", "doubles", "high", "low", "plate", "mix without lead"),
            note("can't hear the words", "instrumental: { take: bed.wav, level: -4 dB }",
                    "instrumental: { take: bed.wav, level: -4 dB, duck: { from: lead, by: 2 dB } }", "instrumental duck is new: from lead, by 2 dB",
                    "mix", "instrumental", "mix without lead"),
            note("harmonies too loud", "  high: 8 LU under lead", "  high: 10 LU under lead", "high 2 LU lower (10 LU under lead, was 8 LU under lead)", "mix",
                    "vocals", "high", "plate", "mix without lead"),
            note("too much echo on that word", "level: -4 dB, out: 200 ms, stop: chorus 1 bar 3", "level: -7 dB, out: 200 ms, stop: chorus 1 bar 3",
                    "throw of lead at verse 1 bar 8 beat 1 level 3 dB lower (-7 dB, was -4 dB)",
                    "mix", "vocals", "far", "throws", "lead wet"),
            note("make it louder", "loudness: -14 LUFS", "loudness: -12 LUFS", "mix loudness 2 LU higher (-12 LUFS, was -14 LUFS)"));

    private static ClientNote note(String says, String was, String is, String told, String... changed) {
        return new ClientNote(says, "", was, is, List.of(told), Set.of(changed));
    }

    private static Set<String> with(Set<String> prints, String... more) {
        Set<String> all = new TreeSet<>(prints);
        all.addAll(List.of(more));
        return all;
    }

    static ClientNote of(String says) {
        return ALL.stream().filter(n -> n.says.equals(says)).findFirst().orElseThrow();
    }

    /** The song before it. */
    String before() throws IOException {
        return after.isEmpty() ? example() : of(after).song();
    }

    /** The song with the answer. */
    String song() throws IOException {
        String before = before();
        int at = before.indexOf(was);
        assertEquals(true, at >= 0, was);
        return before.substring(0, at) + is + before.substring(at + was.length());
    }

    static String example() throws IOException {
        try (InputStream in = Demo.class.getResourceAsStream("song.yaml")) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        }
    }

    /** Where the mix has no chain, nothing hears the whole, and what a note does not name stays as it is. */
    static String unmixed(String song) {
        return song.substring(0, song.indexOf("\nmix:\n") + 1) + "prints: [ " + PRINTS + " ]\n";
    }

    @Override
    public String toString() {
        return says;
    }
}

package linnet.draft;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Function;
import linnet.hear.Facts;
import linnet.hear.Measured;
import linnet.text.Scalar;

/** A chain file for the singer of a take, each step with its measured reason above it; after them what was left out and what is not decided. */
public final class Draft {
    private static final int WIDTH = 118;
    /** Room is for the song to decide; these are usual. */
    private static final List<String> ROOM = List.of(
            "- delay: { time: 95 ms, feedback: 0 %, high-pass: 300 Hz, low-pass: 5 kHz, mix: 12 % }",
            "- reverb: { decay: 1.4 s, pre-delay: 28 ms, high-pass: 300 Hz, low-pass: 7 kHz, duck: 3 dB, mix: 12 % }");

    /** LU between the soft and the loud parts of a take, beyond which one compressor can't suit both; common practice. */
    private static final double WIDE_RANGE = 10;

    private final StringBuilder text = new StringBuilder();

    private Draft() {}

    /** @param name of the take, any text at all */
    public static String of(Facts facts, String name) {
        Draft draft = new Draft();
        draft.head(facts, name);
        List<Proposal> proposals = new ArrayList<>();
        for (Function<Facts, Proposal> rule : Rules.ALL) proposals.add(rule.apply(facts));
        draft.text.append("steps:\n");
        for (Proposal p : proposals) {
            if (!p.isStep()) continue;
            draft.comment("  # ", p.why());
            p.lines().forEach(line -> draft.text.append("  ").append(line).append('\n'));
        }
        draft.foot(facts, proposals);
        return draft.text.toString();
    }

    private void head(Facts facts, String name) {
        text.append("chain: ").append(Scalar.quoted(title("draft for " + name))).append('\n');
        text.append("about: A first chain for this singer, drafted from what was measured; listen, and change it.\n");
        comment("# ", String.join(", ", List.of(
                told("voice", facts.ear().voice(), "dBFS"), told("noise", facts.ear().noise(), "dBFS"),
                told("loudness", facts.meters().integrated(), "LUFS"), told("true peak", facts.meters().truePeak(), "dBTP"))) + ".");
        faults(facts).forEach(fault -> comment("# ", "Mind: " + fault));
    }

    /** What no step of this draft cures. */
    private static List<String> faults(Facts facts) {
        List<String> faults = new ArrayList<>();
        count(facts.clipped().map(List::size))
                .ifPresent(n -> faults.add(n + (n == 1 ? " clipped run" : " clipped runs") + ": what is broken there stays broken; sing it again or use "
                        + "another take."));
        facts.meters().loudnessRange().value().filter(lu -> lu > WIDE_RANGE).ifPresent(lu -> faults.add(String.format(Locale.ROOT,
                "the loudness range is %.1f LU: the aims below hold for the middle of the take, and its loud parts are turned down far more. Bring its parts "
                        + "nearer by hand first, or give each a chain of its own.", lu)));
        facts.meters().correlation().value().filter(c -> c < 0)
                .ifPresent(c -> faults.add(String.format(Locale.ROOT, "left and right oppose each other (correlation %.2f): the voice thins out in mono.", c)));
        return faults;
    }

    private static Optional<Integer> count(Measured<Integer> n) {
        return n.value().filter(k -> k > 0);
    }

    private void foot(Facts facts, List<Proposal> proposals) {
        proposals.stream().filter(p -> !p.isStep()).forEach(p -> comment("  # Left out. ", p.why()));
        comment("  # Not decided: ",
                "how much room (the song decides; a usual slap and plate stand below), and tuning: 'linnet notes' lists the notes for a key, "
                + "and '- tune: { key: D major }' would stand before the ride.");
        ROOM.forEach(line -> text.append("  # ").append(line).append('\n'));
    }

    private static String told(String what, Measured<Double> m, String unit) {
        return m.known() ? String.format(Locale.ROOT, "%s %.1f %s", what, m.value().get(), unit) : what + " can't be measured (" + m.reason() + ")";
    }

    private void comment(String lead, String sentence) {
        String indent = lead.substring(0, lead.indexOf('#')) + "# ";
        StringBuilder line = new StringBuilder(lead);
        boolean begun = false;
        for (String word : sentence.split(" ")) {
            if (begun && line.length() + 1 + word.length() > WIDTH) {
                text.append(line).append('\n');
                line = new StringBuilder(indent);
                begun = false;
            }
            if (begun) line.append(' ');
            line.append(word);
            begun = true;
        }
        text.append(line).append('\n');
    }

    /** A title is one line of text: what such a line cannot hold becomes U+FFFD. */
    private static String title(String any) {
        return any.codePoints().map(c -> Scalar.isShown(c) ? c : 0xFFFD).collect(StringBuilder::new, StringBuilder::appendCodePoint, StringBuilder::append)
                .toString();
    }
}

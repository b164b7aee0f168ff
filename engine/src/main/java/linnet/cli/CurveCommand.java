package linnet.cli;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import linnet.audio.WavFile;
import linnet.chain.Chain;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.render.Renderer;
import linnet.render.Witness;
import linnet.report.CurvePicture;
import linnet.step.Curve;
import linnet.text.Nearest;
import linnet.text.ProblemsException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
        name = "curve",
        description = "Draws what a step does: the response of an eq, the static curve of a dynamics step. A step that hears the take needs one.",
        mixinStandardHelpOptions = true)
final class CurveCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Mixin
    Job job;

    @Mixin
    TakeLists lists;

    @Parameters(index = "1", arity = "0..1", paramLabel = "TAKE.wav", description = "A take, for a step that hears it.")
    Path take;

    @Option(names = "--step", required = true, paramLabel = "N", description = "Which step of the chain, counted from 1 as 'check' lists them, or its name.")
    String step;

    @Option(names = "--out", paramLabel = "FILE", description = "A file ending in .svg, .png or .csv; CSV to the terminal where none is named.")
    Path out;

    @Option(names = "--force", description = "Replace a file that is there.")
    boolean force;

    @Override
    public Integer call() throws ProblemsException, IOException {
        refuse();
        Chain chain = job.chain();
        if (take == null && lists.marks != null) throw new Refusal(Exit.USAGE, "--marks are of a take: name it too");
        if (take == null) return draw(chain, new Ear(new Samples(48_000, new double[1])));
        try (WavFile sound = WavFile.open(take)) {
            return draw(chain, lists.of(take, sound, spec.commandLine().getErr()::println).ear(sound));
        }
    }

    private int draw(Chain chain, Ear ear) throws ProblemsException, IOException {
        Sound sound = ear.sound();
        Plan plan = job.plan(chain, sound.rate(), sound.channels());
        Node node = find(plan, chain);
        if (!node.work().orElseThrow().use().step().hasCurves()) throw without(node);
        if (take == null && node.stage() > 0) {
            throw new Refusal(Exit.USAGE, "step '" + node.name() + "' is set by hearing a take: name one, as in linnet curve " + job.file
                    + " TAKE.wav --step " + step);
        }
        try (Renderer renderer = new Renderer(plan.upTo(node), ear, Renderer.Options.usual(), Progress.onTerminal("listening", false), Witness.NONE)) {
            renderer.resolve();
            List<Curve> curves = renderer.curves(node);
            // None of its bands turns anything down.
            if (curves.isEmpty()) throw without(node);
            write(new CurvePicture(chain.title() + ": " + node.name(), curves, sound.rate()));
        }
        return Exit.DONE;
    }

    private static Refusal without(Node node) {
        return new Refusal(Exit.USAGE, "step '" + node.name() + "' has no curve; eq and the dynamics steps have");
    }

    private Node find(Plan plan, Chain chain) {
        List<Node> steps = plan.steps();
        if (step.matches("\\d{1,4}")) {
            int n = Integer.parseInt(step);
            if (n >= 1 && n <= steps.size()) return steps.get(n - 1);
        }
        List<String> names = steps.stream().map(Node::name).toList();
        return steps.stream().filter(n -> n.name().equals(step)).findFirst().orElseThrow(() -> new Refusal(
                Exit.USAGE, chain.off(step).map(s -> "step '" + s + "' is off in " + job.file + ": leave out its 'on: no' to see its curve")
                        .orElse("there is no step '" + step + "'" + Nearest.hint(step, names) + " (there are 1 to " + steps.size() + ": "
                                + String.join(", ", names) + ")")));
    }

    /** Refused before the take is heard, as that takes a while. */
    private void refuse() {
        if (out == null) return;
        if (!List.of("svg", "png", "csv").contains(kind())) throw new Refusal(Exit.USAGE, "--out wants a file ending in .svg, .png or .csv, not " + out);
        new WholeFile(out, force).refuse();
    }

    private String kind() {
        String name = out.getFileName().toString().toLowerCase(Locale.ROOT);
        return name.substring(name.lastIndexOf('.') + 1);
    }

    private void write(CurvePicture picture) throws IOException {
        if (out == null) {
            spec.commandLine().getOut().print(picture.csv());
            return;
        }
        new WholeFile(out, force).write(to -> {
            switch (kind()) {
                case "svg" -> picture.svg(to);
                case "png" -> picture.png(to);
                default -> to.write(picture.csv().getBytes(StandardCharsets.UTF_8));
            }
        });
    }
}

package linnet.cli;

import java.io.PrintWriter;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import linnet.publish.StepsPage;
import linnet.setting.Choice;
import linnet.setting.Group;
import linnet.setting.Quantity;
import linnet.setting.Series;
import linnet.setting.Setting;
import linnet.setting.Settings;
import linnet.setting.Text;
import linnet.step.Catalogue;
import linnet.step.Routing;
import linnet.step.Step;
import linnet.step.builtin.Builtins;
import linnet.text.Nearest;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(name = "steps", description = "Lists the steps, or the settings of one.", mixinStandardHelpOptions = true)
final class StepsCommand implements Callable<Integer> {
    @Spec
    CommandSpec spec;

    @Parameters(index = "0", arity = "0..1", paramLabel = "WORD", description = "The step to show.")
    String word;

    @Option(names = "--markdown", description = "Print the whole page docs/steps.md.")
    boolean markdown;

    @Override
    public Integer call() {
        PrintWriter out = spec.commandLine().getOut();
        Catalogue catalogue = Builtins.catalogue();
        if (markdown) {
            out.print(StepsPage.of(catalogue));
            out.flush();
        } else if (word == null) {
            for (Step s : catalogue.steps()) out.printf("  %-12s %s%n", s.word(), s.about());
            out.printf("  %-12s %s%n", Routing.PARALLEL, Routing.PARALLEL_ABOUT);
            out.printf("  %-12s %s%n", Routing.USE, Routing.USE_ABOUT);
        } else if (word.equals(Routing.PARALLEL)) {
            out.println(Routing.PARALLEL + ": " + Routing.PARALLEL_ABOUT);
            out.println("  - parallel: [ { level: 0 dB }, { level: -12 dB, steps: [ compressor: { aim: 12 dB } ] } ]");
        } else if (word.equals(Routing.USE)) {
            out.println(Routing.USE + ": " + Routing.USE_ABOUT);
            out.println("  - { use: close-lead.yaml, with: { reverb: { mix: 20 % } } }");
        } else {
            Step step = catalogue.find(word).orElseThrow(() -> new Refusal(Exit.USAGE, "there is no step '" + word + "'"
                    + Nearest.hint(word, Stream.concat(catalogue.steps().stream().map(Step::word), Stream.of(Routing.PARALLEL, Routing.USE)).toList())));
            out.println(step.word() + ": " + step.about());
            print(out, step.settings(), "  ");
        }
        return Exit.DONE;
    }

    private static void print(PrintWriter out, Settings settings, String indent) {
        for (Setting s : settings.all()) {
            out.println(indent + s.name() + forms(s));
            out.println(indent + "    " + s.doc());
            if (s instanceof Group g) print(out, g.entry(), indent + "    ");
        }
    }

    private static String forms(Setting s) {
        if (s instanceof Quantity q) {
            String words = q.words().isEmpty() ? "" : " or " + String.join(", ", q.words());
            return "  (" + q.rangeAndUnit() + words + "; usual: " + q.usualText() + ")";
        }
        if (s instanceof Choice<?> c) return "  (" + String.join(", ", c.words()) + "; usual: " + Choice.word(c.usual()) + ")";
        if (s instanceof Text<?> t) return "  (" + t.rangeText() + "; usual: " + t.usualText() + ")";
        if (s instanceof Series q) return "  (" + q.fewest() + " to " + q.most() + " of " + q.element().rangeAndUnit() + ")";
        return "  (up to " + ((Group) s).most() + " entries)";
    }
}

package linnet.publish;

import linnet.setting.Choice;
import linnet.setting.Group;
import linnet.setting.Live;
import linnet.setting.Quantity;
import linnet.setting.Reference;
import linnet.setting.Series;
import linnet.setting.Setting;
import linnet.setting.Settings;
import linnet.setting.Text;
import linnet.setting.Unit;
import linnet.step.Catalogue;
import linnet.step.Routing;
import linnet.step.Step;

/** The page of all steps, in Markdown. */
public final class StepsPage {
    private StepsPage() {}

    public static String of(Catalogue catalogue) {
        StringBuilder page = new StringBuilder("""
                # Steps

                Made from the declarations in the code by `linnet steps --markdown`; a copy that is out of date fails the build.
                A bare number has the unit of its setting; where the range does not show it, it stands there as `bare`. A setting marked *moves* may also be a table of times and values,
                such as `{ 0 s: -4 dB, 12.5 s: 0 dB }`. *Relative* forms are measured on the signal that arrives at the step.
                Times named attack and release are times to 63 % of the way.

                Every step may also have `mix`, `on: no` and `name`; see [the chain format](chain-format.md).
                """);
        for (Step s : catalogue.steps()) section(page, s);
        page.append("\n## ").append(Routing.PARALLEL).append("\n\n").append(Routing.PARALLEL_ABOUT).append("\n\n");
        head(page);
        row(page, Routing.LEVEL, "");
        page.append("| `steps` | | | steps of the branch |\n");
        page.append("\n## ").append(Routing.USE).append("\n\n").append(Routing.USE_ABOUT).append("\n");
        return page.toString();
    }

    private static void section(StringBuilder page, Step step) {
        page.append("\n## ").append(step.word()).append("\n\n").append(step.about()).append('\n');
        if (step.usualMix() < 100) page.append("\nUsual `mix`: ").append(Unit.PERCENT.format(step.usualMix())).append(".\n");
        if (step.body() != null) {
            page.append("\nIts ").append(step.body().name()).append(" are its list: `- ").append(step.word()).append(": [ {…}, {…} ]`, and with a mix `- { ")
                    .append(step.word()).append(": [ {…}, {…} ], mix: 50 % }`.\n");
        }
        page.append('\n');
        head(page);
        rows(page, step.settings(), "");
    }

    private static void head(StringBuilder page) {
        page.append("| setting | range | usual | what it does |\n|---|---|---|---|\n");
    }

    private static void rows(StringBuilder page, Settings settings, String indent) {
        for (Setting s : settings.all()) row(page, s, indent);
    }

    private static void row(StringBuilder page, Setting s, String indent) {
        String range = "";
        String usual = "";
        if (s instanceof Quantity q) {
            range = q.rangeAndUnit() + (q.words().isEmpty() ? "" : ", " + String.join(", ", q.words()));
            usual = q.usualText();
        } else if (s instanceof Choice<?> c) {
            range = String.join(", ", c.words());
            usual = Choice.word(c.usual());
        } else if (s instanceof Text<?> t) {
            range = t.rangeText();
            usual = t.usualText();
        } else if (s instanceof Series q) {
            range = q.fewest() + " to " + q.most() + " of " + q.element().rangeAndUnit();
        } else if (s instanceof Group g) {
            range = "up to " + g.most() + " entries";
        }
        page.append("| ").append(indent).append('`').append(s.name()).append("` | ").append(range).append(" | ").append(usual).append(" | ")
                .append(s.doc()).append(marks(s)).append(" |\n");
        if (s instanceof Group g) rows(page, g.entry(), indent + "· ");
    }

    private static String marks(Setting s) {
        if (!(s instanceof Quantity q)) return "";
        StringBuilder marks = new StringBuilder();
        if (s instanceof Live) marks.append(" *Moves.*");
        if (!q.references().isEmpty()) {
            marks.append(" *Relative to ").append(String.join(", ", q.references().stream().map(Reference::words).toList())).append(".*");
        }
        if (q.takesNotes()) marks.append(" *Note values.*");
        return marks.toString();
    }
}

package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.dsp.Cell;
import linnet.dsp.Sound;
import linnet.plan.Level;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.render.Rendered;
import linnet.render.Renderer;
import linnet.render.Witness;
import linnet.report.RenderReport;
import linnet.report.StepMeter;
import linnet.report.StepReport;
import linnet.setting.Group;
import linnet.setting.Quantity;
import linnet.setting.Setting;
import linnet.setting.Unit;
import linnet.setting.Value;
import linnet.setting.Values;

/** Watches a render and makes its report. */
final class Reporting implements Witness {
    static final String PAGE = "report.html";

    private final Plan plan;
    private final Sound take;
    private final int hop;
    private final long from, to;
    private final Set<Link> inBranches = new HashSet<>();
    private final Map<Integer, StepMeter> meters = new HashMap<>();
    /** Where a step is mixed with what arrived: the step, and the sum. */
    private final Map<Integer, Node> mixes = new HashMap<>();
    private RenderReport report;

    /**
     * @param from first sample of the print
     * @param to end of the print, -1 for that of the take
     */
    Reporting(Chain chain, Plan plan, Sound take, long from, long to) {
        this.plan = plan;
        this.take = take;
        // The grid on which singing is heard.
        hop = (int) Math.round(take.rate() / 100);
        this.from = from - from % hop;
        this.to = to < 0 ? take.frames() : Math.min(to, take.frames());
        branches(chain.links(), false);
        for (Node node : plan.nodes()) if (isMix(node)) mixes.put(node.feeds().get(1).from(), node);
        for (Node node : plan.steps()) {
            int arriving = plan.nodes().get(node.feeds().get(0).from()).channels();
            Node mix = mixes.get(node.id());
            meters.put(node.id(),
                    new StepMeter(take.rate(), new StepMeter.Shape(arriving, node.channels(), mix == null ? node.channels() : mix.channels(), mix != null), hop,
                            this.from, this.to));
        }
    }

    private void branches(List<Link> links, boolean inside) {
        for (Link link : links) {
            if (inside) inBranches.add(link);
            if (link instanceof Link.Parallel p) p.branches().forEach(b -> branches(b.links(), true));
        }
    }

    private boolean isMix(Node node) {
        return node.feeds().size() == 2 && node.feeds().get(1).level() instanceof Level.Wet && plan.nodes().get(node.feeds().get(1).from()).work().isPresent();
    }

    /** Blocks in which a render tells the reduction often enough; the usual ones, unless the rate is low. */
    int block() {
        return hop < Cell.LENGTH * 3 / 4 ? hop : 0;
    }

    @Override
    public Watch of(Node node) {
        StepMeter meter = meters.get(node.id());
        if (meter != null) return new StepWatch(meter, node);
        if (!mixes.containsValue(node)) return null;
        return new MixWatch(meters.get(node.feeds().get(1).from()), node.arrival());
    }

    /** Both times in that of the take. */
    private static final class StepWatch implements Watch {
        private final StepMeter meter;
        private final int arrival, latency;
        private long at;

        StepWatch(StepMeter meter, Node node) {
            this.meter = meter;
            this.arrival = node.arrival();
            this.latency = node.latency();
        }

        @Override
        public void before(double[][] x, int channels, int n, long at) {
            this.at = at - arrival;
            meter.arrives(x, n, this.at);
        }

        @Override
        public void after(double[][] x, int channels, int n, double reductionDb) {
            meter.makes(x, n, at - latency, reductionDb);
        }
    }

    /** What leaves a mix; what enters it is the same sum. */
    private static final class MixWatch implements Watch {
        private final StepMeter meter;
        private final int arrival;
        private long at;

        MixWatch(StepMeter meter, int arrival) {
            this.meter = meter;
            this.arrival = arrival;
        }

        @Override
        public void before(double[][] x, int channels, int n, long at) {
            this.at = at - arrival;
        }

        @Override
        public void after(double[][] x, int channels, int n, double reductionDb) {
            meter.goesOn(x, n, at);
        }
    }

    /** Makes the report of what was watched. */
    void finish(Renderer renderer, Rendered rendered, RenderReport.Printed print) {
        List<StepReport> steps = new ArrayList<>();
        for (Node node : plan.steps()) {
            Link.Use use = node.work().orElseThrow().use();
            Rendered.Cost cost = rendered.costs().stream().filter(c -> c.step().equals(node.name())).findFirst().orElseThrow();
            steps.add(new StepReport(steps.size() + 1, node.name(), use.step().word(), given(use), found(node, rendered), renderer.curves(node), cost.seconds(),
                    cost.hearingSeconds(), meters.get(node.id()).seen()));
        }
        report = new RenderReport(print, new RenderReport.Covered(from / take.rate(), to / take.rate(), take.rate(), to < take.frames()), renderer.ear(),
                hop, steps);
    }

    private StepReport.Given given(Link.Use use) {
        Values values = use.values();
        Value mix = use.mix().orElse(new Value.Amount(use.step().usualMix()));
        OptionalDouble share = mix instanceof Value.Amount a ? OptionalDouble.of(a.value() / 100) : OptionalDouble.empty();
        OptionalDouble aim = given(values, "aim").map(values::amount).orElse(OptionalDouble.empty());
        return new StepReport.Given(text(use), inBranches.contains(use), share, aim, makesUp(values), isAtLevel(values),
                use.step().mends() || use.step().holdsPeaks());
    }

    private static String text(Link.Use use) {
        String mix = use.mix().map(m -> m instanceof Value.Amount a ? "mix: " + Unit.PERCENT.format(a.value()) : "mix that moves").orElse("");
        return use.values().write() + (mix.isEmpty() ? "" : ", " + mix);
    }

    /** A number that the text gives, if the step has one of that name. */
    private static Optional<Quantity> given(Values values, String name) {
        return values.settings().named(name).filter(values::given).filter(Quantity.class::isInstance).map(Quantity.class::cast);
    }

    /** Whether the text asks for the level to be set again. */
    private static boolean makesUp(Values values) {
        return given(values, "makeup").flatMap(values::get).filter(v -> !v.equals(new Value.Named("none"))).isPresent();
    }

    /** Whether the text gives a level as a number: what is stated against the singer, or found by an aim, goes with the voice that arrives. */
    private static boolean isAtLevel(Values values) {
        for (Setting s : values.settings().all()) {
            if (s instanceof Quantity q && q.unit() == Unit.DBFS && values.get(q).filter(Reporting::isNumber).isPresent()) return true;
            if (s instanceof Group g && values.get(g).stream().anyMatch(Reporting::isAtLevel)) return true;
        }
        return false;
    }

    private static boolean isNumber(Value value) {
        if (value instanceof Value.Curve c) return c.points().stream().anyMatch(p -> isNumber(p.value()));
        return value instanceof Value.Amount || value instanceof Value.Shifted s && isNumber(s.base());
    }

    private static List<StepReport.Found> found(Node node, Rendered rendered) {
        Values values = node.work().orElseThrow().use().values();
        return rendered.resolved().stream().filter(r -> r.step().equals(node.name()))
                .map(r -> new StepReport.Found(r.setting(), inText(values, r.setting(), r.given()), r.value(), r.advised())).toList();
    }

    /**
     * What the text says of something that was found, and where: words against the singer, or of its setting, or of the aim that a threshold is found by; else
     * what is usual. Empty where it is no setting.
     *
     * @param given the words against the singer, if it is those that were measured
     */
    private static String inText(Values values, String found, String given) {
        Optional<Quantity> aim = Optional.empty();
        for (Setting s : values.settings().all()) {
            if (s instanceof Group g) {
                List<Values> entries = values.get(g);
                for (int i = 0; i < entries.size(); i++) {
                    String which = " of " + g.name().replaceFirst("s$", "") + " " + (i + 1);
                    if (found.endsWith(which)) return inText(entries.get(i), found.substring(0, found.length() - which.length()), given);
                }
            } else if (s instanceof Quantity q && q.name().equals("aim") && values.given(q)) aim = Optional.of(q);
        }
        for (Setting s : values.settings().all()) {
            if (!s.name().equals(found) || !(s instanceof Quantity q)) continue;
            if (values.given(q)) return (given.isEmpty() ? q.write(values.get(q).orElseThrow()) : given) + at(values, q);
            if (found.equals("threshold") && aim.isPresent()) return "aim: " + aim.get().write(values.get(aim.get()).orElseThrow()) + at(values, aim.get());
            return "usual: " + q.usualText();
        }
        return given;
    }

    private static String at(Values values, Setting setting) {
        return values.place(setting).map(at -> ", " + Path.of(at.source().name()).getFileName() + ":" + at.line()).orElse("");
    }

    RenderReport report() {
        return report;
    }

    /** Adds the figures of each step to what a render prints as JSON. */
    void tell(JsonObject o) {
        JsonArray steps = new JsonArray();
        for (StepReport s : report.steps()) {
            JsonObject step = new JsonObject();
            step.addProperty("number", s.number());
            step.addProperty("step", s.name());
            Json.level(step, "integrated_before_lufs", s.lufsBefore());
            Json.level(step, "integrated_after_lufs", s.lufsAfter());
            Json.level(step, "crest_before_db", s.crestBefore());
            Json.level(step, "crest_after_db", s.crestAfter());
            Json.level(step, "reduction_median_db", report.medianDb(s));
            Json.level(step, "reduction_95_percent_db", report.mostDb(s));
            s.wetUnderDryLu().ifPresent(lu -> Json.level(step, "wet_under_dry_lu", lu));
            step.addProperty("work_seconds", Math.round(s.workSeconds() * 1e6) / 1e6);
            step.addProperty("hearing_seconds", Math.round(s.hearingSeconds() * 1e6) / 1e6);
            steps.add(step);
        }
        o.add("steps", steps);
        JsonArray warnings = new JsonArray();
        report.warningTexts().forEach(warnings::add);
        o.add("warnings", warnings);
    }
}

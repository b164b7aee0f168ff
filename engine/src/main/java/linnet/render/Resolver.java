package linnet.render;

import java.util.ArrayList;
import java.util.List;
import linnet.chain.Link;
import linnet.hear.Ear;
import linnet.hear.Measured;
import linnet.setting.Choice;
import linnet.setting.Group;
import linnet.setting.Quantity;
import linnet.setting.Reference;
import linnet.setting.Series;
import linnet.setting.Setting;
import linnet.setting.Text;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.text.Problems;
import linnet.text.Span;

/** Turns values that are stated against the singer into numbers, by measuring what arrives at the step. */
final class Resolver {
    private final String step;
    private final Link.Use use;
    private final Ear ear;
    private final Problems problems;
    private final List<Resolved> found;

    /** @param step its name */
    Resolver(String step, Link.Use use, Ear ear, Problems problems, List<Resolved> found) {
        this.step = step;
        this.use = use;
        this.ear = ear;
        this.problems = problems;
        this.found = found;
    }

    /** The same values with nothing relative in them; what cannot be measured becomes a problem. */
    Values resolve(Values values) {
        return resolve(values, "");
    }

    /** {@code which} tells the entries of a list apart: " of band 2". */
    private Values resolve(Values values, String which) {
        Values out = new Values(values.settings());
        for (Setting s : values.settings().all()) {
            if (s instanceof Quantity q) {
                values.get(q).ifPresent(v -> put(out, q, v, values, which));
            } else if (s instanceof Choice<?> c) {
                if (values.given(c)) out.put(c, values.get(c));
            } else if (s instanceof Text<?> t) {
                if (values.given(t)) out.put(t, values.get(t));
            } else if (s instanceof Series q) {
                List<Value> numbers = new ArrayList<>();
                for (Value v : values.get(q)) numbers.add(number(q.element(), v, values, values.place(q).orElse(use.at()), which));
                if (values.given(q)) out.put(q, numbers);
            } else if (s instanceof Group g && values.given(g)) {
                List<Values> entries = new ArrayList<>();
                for (Values entry : values.get(g)) entries.add(resolve(entry, " of " + g.name().replaceFirst("s$", "") + " " + (entries.size() + 1)));
                out.put(g, entries);
            }
        }
        return out;
    }

    private void put(Values out, Quantity q, Value value, Values values, String which) {
        // A usual value stays usual, so that a step can tell what the text gives.
        boolean usual = !values.given(q);
        if (usual && !(value instanceof Value.Relative)) return;
        out.put(q, number(q, value, values, values.place(q).orElse(use.at()), which));
    }

    private Value number(Quantity q, Value value, Values beside, Span at, String which) {
        if (value instanceof Value.Curve c) {
            return new Value.Curve(c.points().stream()
                    .map(p -> new Value.Point(p.seconds(), number(q, p.value(), beside, p.said().orElse(at), which), p.said())).toList());
        }
        double by = value instanceof Value.Shifted s ? s.by() : 0;
        if (!((value instanceof Value.Shifted s ? s.base() : value) instanceof Value.Relative r)) return value;
        Measured<Double> fact = measure(r);
        if (fact.value().isEmpty()) {
            problems.report(at, "the " + r.reference().words() + (ear.isOfSeveral() ? " of this sum" : " of this take") + " cannot be measured: "
                    + fact.reason() + "; give " + q.name() + " as a number such as " + q.unit().example());
            return new Value.Amount(q.min());
        }
        double measured = fact.value().get();
        double wanted = (r.reference().isLevel() ? measured + r.amount() : measured * r.amount()) + by;
        double held = Math.max(q.min(), Math.min(q.max(), wanted));
        String note = held == wanted ? "" : " (held inside " + q.rangeText() + ")";
        String advice = taken(q, r, held, measured, which) + use.step().advice(q, held, beside, ear).map(a -> " (" + a + ")").orElse("");
        Resolved number = new Resolved(step, q.name() + which, r.text() + (by == 0 ? "" : q.difference(by)),
                q.unit().format(held, 1) + note + advice, false, !advice.isEmpty());
        // What moves there and back comes by the same value twice.
        if (!found.contains(number)) found.add(number);
        return new Value.Amount(held);
    }

    /** Where a filter in a list of bands takes of what this singer sings, what to do about it. A high-pass over the lowest note is meant to. */
    private String taken(Quantity q, Value.Relative r, double held, double measured, String which) {
        if (which.isEmpty()) return "";
        if (r.reference() == Reference.RESONANCE && ear.mayBeANote(held)) {
            return " (notes are sung there, and one held often looks the same: leave the band out, or write the place)";
        }
        boolean thins = r.reference() == Reference.LOWEST_NOTE && q.name().equals("high-pass") && held > Ear.HIGHEST_CORNER && held < measured;
        return thins ? " (so high that it thins the voice: write " + q.unit().format(Ear.HIGHEST_CORNER, 1) + ")" : "";
    }

    private Measured<Double> measure(Value.Relative r) {
        return switch (r.reference()) {
            case NOISE -> ear.noise();
            case VOICE -> ear.voice();
            case PEAK -> ear.peak();
            case LOWEST_NOTE -> ear.lowestNote();
            case SIBILANCE -> ear.sibilance();
            case RESONANCE -> ear.resonance(r.index()).map(linnet.hear.Resonance::hz);
        };
    }
}

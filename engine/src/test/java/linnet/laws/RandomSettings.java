package linnet.laws;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeMap;
import linnet.Rig;
import linnet.setting.Choice;
import linnet.setting.Group;
import linnet.setting.Live;
import linnet.setting.Quantity;
import linnet.setting.Series;
import linnet.setting.Setting;
import linnet.setting.Settings;
import linnet.setting.Text;
import linnet.setting.Unit;
import linnet.step.Catalogue;
import linnet.step.Step;

/** Writes settings of a step as text: corners of the box of ranges, and seeded points inside it. */
final class RandomSettings {
    /** Where in its range each number lies. */
    enum Where {
        LOWEST,
        HIGHEST,
        EITHER,
        ANYWHERE
    }

    private final SplittableRandom random;
    private final Where where;
    private boolean neverLouder, moving;

    RandomSettings(long seed, Where where) {
        this.random = new SplittableRandom(seed);
        this.where = where;
    }

    /** Leaves out what makes louder: gains that go both ways and do nothing at 0 dB stay as they usually are. */
    RandomSettings neverLouder() {
        neverLouder = true;
        return this;
    }

    /** Whatever may move while the take runs does, from its beginning to 3 s. */
    RandomSettings moving() {
        moving = true;
        return this;
    }

    /** A row of a chain with this step: the first drawn that the step has no complaint about. */
    String row(Step step) {
        for (int tries = 0; tries < 2000; tries++) {
            String row = "- " + step.word() + ": " + (step.body() != null ? entries(step.body()) : table(step.settings()));
            if (isAccepted(step, row)) return row;
        }
        throw new AssertionError("no settings of " + step.word() + " are accepted");
    }

    private static boolean isAccepted(Step step, String row) {
        try {
            Rig.usual().with(new Catalogue(List.of(step))).chain(row);
            return true;
        } catch (AssertionError refused) {
            return false;
        }
    }

    private String table(Settings settings) {
        List<Setting> left = new ArrayList<>(settings.all());
        for (Settings.OneOf rule : settings.rules()) {
            Setting kept = rule.settings().get(random.nextInt(rule.settings().size()));
            left.removeIf(s -> rule.settings().contains(s) && s != kept);
        }
        // Any setting may be left out, unless it is the one of a rule that needs one.
        left.removeIf(s -> random.nextInt(3) == 0 && !isUsuallyMeasured(s) && settings.rules().stream().noneMatch(r -> r.needed() && r.settings().contains(s)));
        if (neverLouder) left.removeIf(RandomSettings::isGain);
        Map<String, String> texts = new TreeMap<>();
        for (Setting s : left) texts.put(s.name(), text(s));
        return texts.isEmpty() ? "{}" : "{ " + String.join(", ", texts.entrySet().stream().map(e -> e.getKey() + ": " + e.getValue()).toList()) + " }";
    }

    /** What has a usual value stated against the singer: these takes have no singer. */
    private static boolean isUsuallyMeasured(Setting s) {
        return s instanceof Quantity q && q.usual().filter(linnet.setting.Value.Relative.class::isInstance).isPresent();
    }

    private static boolean isGain(Setting s) {
        return s instanceof Quantity q && q.unit() == Unit.DB && q.neutral().isPresent() && q.min() < 0 && q.max() > 0;
    }

    private String text(Setting s) {
        if (s instanceof Live q && moving) return "{ 0 s: " + number(q) + ", 3 s: " + number(q) + " }";
        if (s instanceof Quantity q) return number(q);
        if (s instanceof Choice<?> c) return c.words().get(random.nextInt(c.words().size()));
        if (s instanceof Text<?> t) {
            List<String> examples = t.form().examples();
            String one = examples.get(random.nextInt(examples.size()));
            return t.most() == 1 ? one : List.of(one, examples.get(random.nextInt(examples.size()))).toString();
        }
        if (s instanceof Series q) {
            // Numbers of a list go up, as splits must.
            int n = q.fewest() + random.nextInt(q.most() - q.fewest() + 1);
            List<Double> numbers = random.doubles(n).sorted().boxed().toList();
            return numbers.stream().map(t -> q.element().unit().format(at(q.element(), t), 6)).toList().toString();
        }
        return entries((Group) s);
    }

    private String entries(Group g) {
        List<String> entries = new ArrayList<>();
        for (int i = 0; i < Math.min(2, g.most()); i++) entries.add(table(g.entry()));
        return entries.toString();
    }

    private String number(Quantity q) {
        double t = switch (where) {
            case LOWEST -> 0;
            case HIGHEST -> 1;
            case EITHER -> random.nextInt(2);
            case ANYWHERE -> random.nextDouble();
        };
        return q.unit().format(at(q, t), 6);
    }

    /** The number at a share of the range; wide positive ranges are gone through by ratio. */
    private static double at(Quantity q, double t) {
        double value = q.min() > 0 && q.max() / q.min() > 20 ? q.min() * Math.pow(q.max() / q.min(), t) : q.min() + t * (q.max() - q.min());
        return Math.max(q.min(), Math.min(q.max(), value));
    }
}

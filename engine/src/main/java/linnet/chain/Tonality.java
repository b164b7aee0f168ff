package linnet.chain;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import linnet.setting.Key;
import linnet.setting.Quantity;
import linnet.setting.Setting;
import linnet.setting.Settings;
import linnet.setting.Text;
import linnet.setting.Value;
import linnet.setting.Values;

/**
 * The key that something is sung in and the pitch of its A, where they are told: a step that goes by a key has those where its text gives no
 * notes or pitch of its own.
 *
 * @param reference of the A above middle C, in Hz
 */
public record Tonality(Optional<Key> key, OptionalDouble reference) {
    /** What a step calls the pitch of the A. */
    private static final String REFERENCE = "reference";

    /** Chains with what they do not say themselves. */
    public Map<String, Chain> in(Map<String, Chain> chains) {
        return chains.entrySet().stream().collect(Collectors.toMap(Map.Entry::getKey, e -> in(e.getValue())));
    }

    private Chain in(Chain chain) {
        return key.isEmpty() && reference.isEmpty() ? chain : new Chain(chain.title(), chain.about(), links(chain.links()));
    }

    private List<Link> links(List<Link> links) {
        return links.stream().map(l -> l instanceof Link.Use u ? use(u) : branches((Link.Parallel) l)).toList();
    }

    private Link branches(Link.Parallel p) {
        return new Link.Parallel(p.name(), p.at(), p.mix(), p.branches().stream().map(b -> new Link.Branch(b.at(), b.level(), links(b.links()))).toList());
    }

    private Link use(Link.Use u) {
        Settings settings = u.step().settings();
        Optional<Text<?>> scale = settings.all().stream().<Text<?>>mapMulti((s, to) -> {
            if (s instanceof Text<?> t && t.form() == Key.FORM) to.accept(t);
        }).findFirst();
        if (scale.isEmpty()) return u;
        Values values = Steps.copy(u.values());
        boolean own = settings.rules().stream().filter(r -> r.settings().contains(scale.get())).flatMap(r -> r.settings().stream()).anyMatch(u.values()::given)
                || u.values().given(scale.get());
        if (!own) key.ifPresent(k -> values.put(scale.get(), List.of(k)));
        for (Setting s : settings.all()) {
            if (s instanceof Quantity q && q.name().equals(REFERENCE) && !u.values().given(q)) reference.ifPresent(hz -> values.put(q, new Value.Amount(hz)));
        }
        return u.with(values);
    }
}

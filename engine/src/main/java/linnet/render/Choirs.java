package linnet.render;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Consumer;
import java.util.function.LongPredicate;
import java.util.stream.Stream;
import linnet.dsp.GainCurve;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Memory;
import linnet.hear.Singers;
import linnet.hear.Told;
import linnet.plan.SongPlan;
import linnet.plan.Work;

/**
 * Who sings in what is added up. A group or return that adds others up is gone through to the parts that it is made of. A part is heard once for all sums that
 * it goes into, as it goes into its own chain where that leaves time and pitch alone: what was remembered there need not be heard again. For several threads at
 * once.
 */
final class Choirs {
    private final SongPlan plan;
    private final Signatures signatures;
    private final Shelf shelf;
    private final Consumer<Shelf.Recollection> keep;
    private final Inputs inputs;
    private final Map<Work.Source, Singers.Singer> heard = new ConcurrentHashMap<>();

    /** @param keep keeps what was heard, where that can be kept */
    Choirs(SongPlan plan, Signatures signatures, Shelf shelf, Consumer<Shelf.Recollection> keep, Inputs inputs) {
        this.plan = plan;
        this.signatures = signatures;
        this.shelf = shelf;
        this.keep = keep;
        this.inputs = inputs;
    }

    /** Empty where no more than one goes into the sum, or none that sings: that is heard as it is. */
    Optional<Singers> in(List<Work.Tap> taps) {
        Map<Work.Source, LongPredicate> parts = parts(taps, s -> true);
        if (parts.size() < 2 || parts.keySet().stream().allMatch(this::isPlayed)) return Optional.empty();
        return Optional.of(new Singers(() -> parts.entrySet().stream().filter(e -> !isPlayed(e.getKey()))
                .map(e -> singer(e.getKey()).only(e.getValue())).toList()));
    }

    /** The works that must be there when who sings in the sum is heard: what goes into it may have come from the shelf, without what it is made of. */
    Stream<Integer> reads(List<Work.Tap> taps) {
        Set<Work.Source> parts = parts(taps, s -> true).keySet();
        return parts.size() < 2 ? Stream.of() : parts.stream().filter(p -> !isPlayed(p)).flatMap(this::reads);
    }

    private Stream<Integer> reads(Work.Source source) {
        if (!(source instanceof Work.Source.Made m) || !leavesSinging(work(m))) return source.hears().stream();
        return input(m).stream().flatMap(t -> t.source().hears().stream());
    }

    /** What is added up, and at which samples it is there. */
    private Map<Work.Source, LongPredicate> parts(List<Work.Tap> taps, LongPredicate there) {
        Map<Work.Source, LongPredicate> all = new LinkedHashMap<>();
        for (Work.Tap t : taps) {
            if (t.source() == Work.Source.Silence.SILENCE) continue;
            GainCurve level = Splicer.curve(t.level());
            LongPredicate here = there.and(s -> level.db(s) > GainCurve.SILENT);
            Map<Work.Source, LongPredicate> inside = t.source() instanceof Work.Source.Made m && leavesSinging(work(m)) ? parts(input(m), here) : Map.of();
            (inside.size() > 1 ? inside : Map.of(t.source(), here)).forEach((source, when) -> all.merge(source, when, LongPredicate::or));
        }
        return all;
    }

    private Work work(Work.Source.Made of) {
        return plan.works().get(of.work());
    }

    private List<Work.Tap> input(Work.Source.Made of) {
        return work(of).shares().isEmpty() ? work(of).input() : work(of).shares().get(of.share());
    }

    private boolean isPlayed(Work.Source source) {
        return source instanceof Work.Source.Made m && work(m).played();
    }

    /** Whether what is sung stays at its time and pitch in it. */
    private static boolean leavesSinging(Work work) {
        return work.tidying().isEmpty() && work.chain().nodes().stream().flatMap(n -> n.work().stream())
                .allMatch(w -> w.use().step().keepsTime() && !w.use().step().transposes());
    }

    private Singers.Singer singer(Work.Source source) {
        return heard.computeIfAbsent(source, this::hear);
    }

    private Singers.Singer hear(Work.Source source) {
        Shelf.Recollection own = shelf.recollection(Signature.digest(signatures.source(source) + " singer"));
        Singers.Singer singer = hear(source, own.memory());
        keep.accept(own);
        return singer;
    }

    private Singers.Singer hear(Work.Source source, Memory own) {
        if (!(source instanceof Work.Source.Made m)) return Singers.Singer.of(new Ear(inputs.alone(source), Told.nothing(), own));
        if (!leavesSinging(work(m))) return Singers.Singer.of(new Ear(inputs.sound(m), Told.nothing(), own));
        Sound arriving = inputs.mixture(input(m), work(m).channels(), 0);
        Memory chain = work(m).shares().isEmpty() ? shelf.recollection(signatures.input(work(m))).memory() : Memory.NONE;
        return Singers.Singer.of(new Ear(arriving, Told.nothing(), own.recalling(chain)));
    }
}

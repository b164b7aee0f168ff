package linnet.render;

import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Consumer;
import java.util.function.Function;
import java.util.stream.Stream;
import linnet.dsp.GainCurve;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Intake;
import linnet.hear.Memory;
import linnet.hear.Told;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.text.Problems;
import linnet.text.ProblemsException;

/** What goes into the chains of a song: added up from takes and works, and heard with what is told of it. For several threads at once. */
final class Inputs {
    private final SongPlan plan;
    private final List<SongRenderer.Take> takes;
    private final Signatures signatures;
    private final Function<Work.Source.Made, Sound> made;
    private final Sources sources;
    private final Splicer splicer;
    private final Tidier tidier;
    private final Choirs choirs;
    /** Which takes are, as far as that was asked. */
    private final Map<Integer, Boolean> silent = new ConcurrentHashMap<>();

    /**
     * @param shelf where what is heard is remembered
     * @param keep keeps what was heard, where that can be kept
     * @param made the sound of a work that is done
     */
    Inputs(SongPlan plan, List<SongRenderer.Take> takes, Signatures signatures, Shelf shelf, Consumer<Shelf.Recollection> keep,
            Function<Work.Source.Made, Sound> made) {
        this.plan = plan;
        this.takes = takes;
        this.signatures = signatures;
        this.made = made;
        sources = new Sources(plan, takes, t -> shelf.recollection(signatures.take(t)), this::splice, made, this::tidiedTold);
        splicer = new Splicer(plan, e -> shelf.recollection(signatures.source(e)), sources);
        tidier = new Tidier(shelf, this::mixture, sources, signatures::input);
        choirs = new Choirs(plan, signatures, shelf, keep, this);
    }

    private Told tidiedTold(Work work, Told before) {
        return tidier.told(work, signatures.made(work).get(0), before);
    }

    /** Who tidies the parts that follow another. */
    Tidier tidier() {
        return tidier;
    }

    /** What is put together from pieces. */
    Splicer.Spliced splice(Work.Source.Edited edited) {
        return splicer.splice(edited);
    }

    /** The ear on a take as it lies by itself. */
    Ear ear(int take) {
        return sources.ear(take);
    }

    /** The ear on what goes into the chain of a work. */
    Ear ear(Work work, Memory memory) {
        return ear(work, mixture(work.input(), work.channels(), 0), memory);
    }

    /** @param input what goes into the chain, from whoever reads it in a way of his own */
    Ear ear(Work work, Sound input, Memory memory) {
        if (work.played()) return Ear.ofMix(input, told(work), memory);
        return choirs.in(work.input()).map(several -> new Ear(input, memory, several)).orElseGet(() -> sources.ear(work.input(), input, told(work), memory));
    }

    /** The works that the ear on a work may read: what it is made of, whom it follows, and who sings in that. */
    Stream<Integer> reads(Work work) {
        return Stream.concat(Works.heard(work).flatMap(t -> t.source().hears().stream()), work.played() ? Stream.of() : choirs.reads(work.input()));
    }

    /** Tells what the chain of a work states against its singer where nobody sings in these, which go into it. */
    void unheard(Work work, List<Work.Tap> taps, Problems problems) {
        unheard(work, ear(work, mixture(taps, work.channels(), 0), Memory.NONE)).tell(work.chain(), problems);
    }

    /** Tells what stopped the render of a work, and what else it would stop at. */
    void unheard(Work work, ProblemsException stopped, Problems problems) {
        Unheard unheard = unheard(work, ear(work, Memory.NONE));
        unheard.tell(stopped, problems);
        unheard.tell(work.chain(), problems);
    }

    private Unheard unheard(Work work, Ear ear) {
        return new Unheard(work.name(), ear, untidied(work).stream().allMatch(t -> t.source().hears().isEmpty()));
    }

    /** The same of what the chain of the mix goes by. */
    void unheard(SongPlan.Bus bus, List<Work.Tap> taps, Problems problems) {
        Unheard.ofMix(Ear.ofMix(mixture(taps, 2, 0), Told.nothing(), Memory.NONE)).tell(bus.chain(), problems);
    }

    /** The same of what stopped it. */
    void unheard(SongPlan.Bus bus, ProblemsException stopped, Problems problems) {
        Unheard.ofMix(Ear.ofMix(mixture(bus.heard(), 2, 0), Told.nothing(), Memory.NONE)).tell(stopped, problems);
    }

    /** What goes into a work, or into what is tidied for it. */
    private List<Work.Tap> untidied(Work work) {
        return work.input().stream()
                .flatMap(t -> t.source() instanceof Work.Source.Made m && plan.works().get(m.work()).tidying().isPresent()
                ? plan.works().get(m.work()).input().stream() : Stream.of(t)).toList();
    }

    /** The sound of a work that is done. */
    Sound sound(Work.Source.Made of) {
        return made.apply(of);
    }

    /** What comes from one place, in the time of the song. */
    Sound alone(Work.Source source) {
        return mixture(List.of(new Work.Tap(source, Work.Course.of(0), new Work.Pan(true, Work.Course.of(0)))), 2, 0);
    }

    /** Whether nothing was recorded on a take. */
    boolean isSilent(int take) {
        return silent.computeIfAbsent(take, t -> Intake.isSilent(takes.get(t).sound()));
    }

    /** What is told of a take holds for the part that is made of it, wherever that begins; of a sum nothing is told. */
    Told told(Work work) {
        Work.Source source = work.input().size() == 1 ? work.input().get(0).source() : Work.Source.Silence.SILENCE;
        boolean summed = source instanceof Work.Source.Made m && plan.works().get(m.work()).tidying().isEmpty();
        return summed ? Told.nothing() : sources.told(source);
    }

    /** @param least frames that it has in any case */
    Mixture mixture(List<Work.Tap> taps, int channels, long least) {
        return mixture(taps, channels, least, (sound, at) -> new Ahead(sound));
    }

    Mixture mixture(List<Work.Tap> taps, int channels, long least, Mixture.Readers readers) {
        return new Mixture(plan.rate(), channels, least, taps.stream().map(this::voice).toList(), readers);
    }

    private Mixture.Voice voice(Work.Tap tap) {
        GainCurve level = Splicer.curve(tap.level());
        Pan pan = new Pan(tap.pan());
        if (tap.source() instanceof Work.Source.Take take) return new Mixture.Voice(takes.get(take.take()).sound(), take.at(), take.flipped(), level, pan);
        if (tap.source() instanceof Work.Source.Edited e) return new Mixture.Voice(splicer.splice(e).sound(), 0, e.flipped(), level, pan);
        return new Mixture.Voice(made.apply((Work.Source.Made) tap.source()), 0, false, level, pan);
    }
}

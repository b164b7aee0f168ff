package linnet.render;

import java.util.List;
import java.util.function.Function;
import linnet.dsp.GainCurve;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Memory;
import linnet.hear.Told;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.text.Problems;

/** What goes into the chains of a song: added up from takes and works, and heard with what is told of it. For several threads at once. */
final class Inputs {
    private final SongPlan plan;
    private final List<SongRenderer.Take> takes;
    private final Signatures signatures;
    private final Function<Work.Source.Made, Sound> made;
    private final Splicer splicer;
    private final Tidier tidier;

    /**
     * @param shelf where what is heard is remembered
     * @param made the sound of a work that is done
     */
    Inputs(SongPlan plan, List<SongRenderer.Take> takes, Signatures signatures, Shelf shelf, Function<Work.Source.Made, Sound> made) {
        this.plan = plan;
        this.takes = takes;
        this.signatures = signatures;
        this.made = made;
        splicer = new Splicer(plan, takes, t -> shelf.recollection(signatures.take(t)), e -> shelf.recollection(signatures.source(e)), made, this::tidiedTold);
        tidier = new Tidier(shelf, this::mixture, splicer, signatures::input);
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
        return splicer.ear(take);
    }

    /** The ear on what goes into the chain of a work. */
    Ear ear(Work work, Memory memory) {
        return ear(work, mixture(work.input(), work.channels(), 0), memory);
    }

    /** @param input what goes into the chain, from whoever reads it in a way of his own */
    Ear ear(Work work, Sound input, Memory memory) {
        return work.played() ? Ear.ofMix(input, told(work), memory) : splicer.ear(work.input(), input, told(work), memory);
    }

    /** Tells what the chain of a work states against its singer where nobody sings in these, which go into it. */
    void unheard(Work work, List<Work.Tap> taps, Problems problems) {
        Unheard.tell(work, ear(work, mixture(taps, work.channels(), 0), Memory.NONE), problems);
    }

    /** What is told of a take holds for the part that is made of it, wherever that begins; of a sum nothing is told. */
    Told told(Work work) {
        Work.Source source = work.input().size() == 1 ? work.input().get(0).source() : Work.Source.Silence.SILENCE;
        boolean summed = source instanceof Work.Source.Made m && plan.works().get(m.work()).tidying().isEmpty();
        return summed ? Told.nothing() : splicer.told(source);
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

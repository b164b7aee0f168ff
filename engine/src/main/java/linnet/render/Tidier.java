package linnet.render;

import java.io.IOException;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Function;
import java.util.function.Supplier;
import linnet.dsp.Sound;
import linnet.dsp.Stretches;
import linnet.hear.Ear;
import linnet.hear.Marks;
import linnet.hear.Memory;
import linnet.hear.Remembered;
import linnet.hear.Told;
import linnet.plan.Work;
import linnet.tidy.Decision;
import linnet.tidy.Lead;
import linnet.tidy.Tidied;

/** Tidies the parts that follow another. Whom they follow is heard once for all of them. For several threads at once. */
final class Tidier {
    /** Adds up what goes into a work. */
    interface Mixing {
        Sound mixture(List<Work.Tap> taps, int channels, long least);
    }

    private final Shelf shelf;
    private final Mixing mixing;
    private final Sources sources;
    private final Function<Work, String> inputs;
    private final Map<List<Work.Tap>, Lead> leads = new ConcurrentHashMap<>();
    private final Map<Integer, List<Decision>> decisions = new ConcurrentHashMap<>();
    private final Map<Integer, Marks> marks = new ConcurrentHashMap<>();

    /**
     * @param sources what is known of what is tidied
     * @param inputs signature of what goes into a work
     */
    Tidier(Shelf shelf, Mixing mixing, Sources sources, Function<Work, String> inputs) {
        this.shelf = shelf;
        this.mixing = mixing;
        this.sources = sources;
        this.inputs = inputs;
    }

    Tidied tidied(Work work) {
        Work.Tidying tidying = work.tidying().orElseThrow();
        // What goes in is what would without it, so what was heard of that is known.
        Work plain = new Work(work.id(), work.name(), work.input(), work.channels(), work.chain());
        Work lead = new Work(work.id(), tidying.like(), tidying.lead(), tidying.channels(), work.chain());
        Stretches except = Stretches.of(tidying.except(), Work.Stretch::from, Work.Stretch::to);
        Supplier<Lead> heard = () -> leads.computeIfAbsent(tidying.lead(), l -> hear(lead, Lead::new));
        Tidied tidied = hear(plain, ear -> remembered(work, memory -> new Tidied(ear, heard, tidying.aims(), except, memory)));
        decisions.put(work.id(), tidied.decisions());
        marks.put(work.id(), tidied.marks());
        return tidied;
    }

    /**
     * What is known of what came of a work, so that its chain need not hear it anew: the one list of marks of the part goes along.
     *
     * @param signature of what came of it
     * @param before what is told of the part
     */
    Told told(Work work, String signature, Told before) {
        Marks moved = with(shelf.recollection(signature), memory -> new Marks(memory.fact(Memory.SPEECH, Remembered.MARKS, () -> {
            if (!marks.containsKey(work.id())) tidied(work);
            return marks.get(work.id()).all();
        })));
        return new Told(Optional.of(moved), before.marks().isPresent() && before.clicks(), false,
                before.notes().isPresent() ? tidied(work).notes(before).notes() : Optional.empty());
    }

    /** What is decided for a work, in this run or before; if it was not yet, that is done now. */
    List<Decision> decisions(Work work) {
        if (!decisions.containsKey(work.id())) remembered(work, Tidied::decisions).ifPresent(d -> decisions.put(work.id(), d));
        if (!decisions.containsKey(work.id())) tidied(work);
        return decisions.get(work.id());
    }

    /** What goes into a work that is tidied, with whom it follows and what is wanted, is all that is decided by. */
    private <T> T remembered(Work work, Function<Memory, T> what) {
        return with(shelf.recollection(inputs.apply(work)), what);
    }

    /** What cannot be kept is heard and decided again the next time. */
    private static <T> T with(Shelf.Recollection kept, Function<Memory, T> what) {
        T known = what.apply(kept.memory());
        try {
            kept.close();
        } catch (IOException e) {
            return known;
        }
        return known;
    }

    private <T> T hear(Work input, Function<Ear, T> how) {
        Sound sound = mixing.mixture(input.input(), input.channels(), 0);
        Told known = sources.told(input.input().get(0).source());
        return with(shelf.recollection(inputs.apply(input)), memory -> how.apply(sources.ear(input.input(), sound, known, memory)));
    }
}

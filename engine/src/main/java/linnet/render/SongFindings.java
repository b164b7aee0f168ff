package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.function.BiConsumer;
import java.util.stream.Stream;
import linnet.chain.Link;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Joint;
import linnet.hear.Marks;
import linnet.hear.Memory;
import linnet.hear.Remembered;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.tidy.Decision;

/** What was found and decided in the parts of a song, for whoever wants to know: joins, marks, what was silenced, and how parts follow others. */
public final class SongFindings {
    private final SongPlan plan;
    private final Works works;
    private final Inputs inputs;
    private final Signatures signatures;
    private final Shelf shelf;
    private final int jobs;

    /** @param works of which parts may be made: those are told of once they are there */
    SongFindings(SongPlan plan, Works works, Signatures signatures, Shelf shelf, int jobs) {
        this.plan = plan;
        this.works = works;
        inputs = works.inputs();
        this.signatures = signatures;
        this.shelf = shelf;
        this.jobs = jobs;
    }

    /** What became of the borders of a part that is put together from pieces. */
    public record PartJoint(String part, String where, Joint joint) {}

    /** How many marks were silenced in a part, as the text wants it. */
    public record Mute(String part, String where, int marks) {}

    /** What was silenced by marks, of the same parts as {@link #joins}. */
    public List<Mute> mutes() {
        List<Mute> mutes = new ArrayList<>();
        edited((w, e) -> inputs.splice(e).muted().forEach((m, n) -> mutes.add(new Mute(w.name(), m.where(), n))));
        return mutes;
    }

    /** How the takes of the parts are joined, in the order of the song. What lies in other works can be heard once it is rendered, and is left out before. */
    public List<PartJoint> joins() {
        List<PartJoint> joins = new ArrayList<>();
        edited((w, e) -> inputs.splice(e).joints().forEach((border, joint) -> joins.add(new PartJoint(w.name(), border.where(), joint))));
        return joins;
    }

    /** Takes of a comp beside the one that sings most of it, each in the ranges in which it is made as loud as the text says: in the order of the song. */
    public List<CompLevels.Beside> levels() throws IOException {
        List<CompLevels.Beside> levels = new ArrayList<>();
        List<Work.Source.Edited> comps = new ArrayList<>();
        List<String> parts = new ArrayList<>();
        edited((w, e) -> {
            comps.add(e);
            parts.add(w.name());
        });
        for (int i = 0; i < comps.size(); i++) {
            CompLevels comp = new CompLevels(parts.get(i), comps.get(i), inputs::ear);
            if (!comp.isOfSeveral()) continue;
            Shelf.Recollection own = shelf.recollection(Signature.digest(signatures.source(comps.get(i)) + " levels"));
            levels.addAll(comp.beside(own.memory()));
            works.keep(own);
        }
        return levels;
    }

    private void edited(BiConsumer<Work, Work.Source.Edited> each) {
        Set<Work.Source> said = new HashSet<>();
        for (Work w : plan.works()) {
            // A dry print has the same edits as its part.
            for (Work.Tap t : w.input()) if (t.source() instanceof Work.Source.Edited e && works.areMade(e.hears()) && said.add(e)) each.accept(w, e);
        }
    }

    /** What was decided for a part that follows another. */
    public record PartDecisions(String part, String like, List<Decision> decisions) {}

    /**
     * What is done to the parts that follow others, and what is left alone, in the order of the song. What was not decided before, in this run or
     * another, is heard and decided now; parts made of works that must be rendered first are left out.
     *
     * @param all whether those are told too that no print wants
     */
    public List<PartDecisions> followed(boolean all) throws IOException {
        List<Work> tidied = plan.works().stream().filter(w -> w.tidying().isPresent() && (all || plan.wanted().contains(w.id())) && works.hasInput(w)).toList();
        SideBySide.run(tidied.stream().<Callable<Void>>map(w -> () -> {
            inputs.tidier().decisions(w);
            return null;
        }).toList(), jobs);
        return tidied.stream().map(w -> new PartDecisions(w.tidying().get().part(), w.tidying().get().like(), inputs.tidier().decisions(w))).toList();
    }

    /** What is odd about a setting of a step, of the part, group or return that has it. */
    public record Odd(String work, Resolved found) {}

    /**
     * What steps find odd about what they are given, and what was told beside their numbers when they were rendered, in the order of the song.
     * What was not found before, in this run or another, is heard now; works made
     * of others that must be rendered first are left out until they were.
     *
     * @param all whether those are told too that no print wants
     */
    public List<Odd> odd(boolean all) throws IOException {
        List<Odd> odd = new ArrayList<>();
        Set<String> said = new HashSet<>();
        for (Work w : plan.works()) {
            if (!all && !plan.wanted().contains(w.id())) continue;
            works.advice(w).stream().map(r -> new Odd(w.name(), r)).filter(o -> !odd.contains(o)).forEach(odd::add);
            Optional<Node> last = asked(w).reduce((a, b) -> b);
            if (last.isEmpty()) continue;
            StringBuilder text = new StringBuilder(signatures.input(w)).append(" odd\n");
            Signature.chain(w.chain(), last.get().id() + 1, text);
            // What is told names its step, by which nothing sounds.
            asked(w).forEach(n -> text.append(n.name()).append('\n'));
            // A dry print has the same steps as its part.
            if (!said.add(text.toString())) continue;
            for (Resolved r : odd(w, w.chain().upTo(last.get()), Signature.digest(text.toString()))) odd.add(new Odd(w.name(), r));
        }
        return odd;
    }

    /**
     * What cannot be measured in works and mixes that prints want: a render is refused for it. Of those that are made of silent takes alone it is all, of
     * others what is remembered, in this run or from another, of what arrives at their steps. Nothing else is heard for this.
     */
    public Problems unheard() {
        Problems problems = new Problems();
        Set<Integer> wanted = plan.wanted(), silent = new HashSet<>();
        for (Work w : plan.works()) {
            boolean refusable = wanted.contains(w.id()) && isRelative(w.chain());
            if (isSilent(w.input(), silent)) {
                silent.add(w.id());
                if (refusable) inputs.unheard(w, takes(w.input()), problems);
            } else if (refusable && Works.heard(w).allMatch(t -> t.source().hears().isEmpty())) {
                Problems stopped = new Foreseen(w.chain(), shelf.recollection(signatures.input(w)).memory()).problems();
                if (!stopped.isEmpty()) inputs.unheard(w, stopped.failed(), problems);
            }
        }
        for (SongPlan.Bus b : plan.buses()) if (isRelative(b.chain()) && isSilent(b.heard(), silent)) inputs.unheard(b, takes(b.heard()), problems);
        return problems;
    }

    private static boolean isRelative(Plan chain) {
        return chain.steps().stream().anyMatch(Foreseen::isRelative);
    }

    /** @param silent the works in which nothing sounds: no chain makes anything of nothing */
    private boolean isSilent(List<Work.Tap> taps, Set<Integer> silent) {
        return taps.stream().allMatch(t -> t.source() instanceof Work.Source.Made m ? silent.contains(m.work())
                : t.source().hears().isEmpty() && t.source().takes().stream().allMatch(inputs::isSilent));
    }

    /** What works are made of in the end, which need not be made for it. */
    private List<Work.Tap> takes(List<Work.Tap> taps) {
        return taps.stream().flatMap(t -> t.source() instanceof Work.Source.Made m ? takes(plan.works().get(m.work()).input()).stream() : Stream.of(t))
                .distinct().toList();
    }

    /** The steps that may find something odd. */
    private static Stream<Node> asked(Work work) {
        return work.chain().steps().stream().filter(n -> {
            Link.Use use = n.work().orElseThrow().use();
            return use.step().mayFindOdd(use.values(), work.chain().rate());
        });
    }

    private List<Resolved> odd(Work work, Plan chain, String signature) throws IOException {
        Shelf.Recollection own = shelf.recollection(signature), known = shelf.recollection(signatures.input(work));
        try {
            Optional<List<Resolved>> before = own.memory().recall("odd").flatMap(Resolved.ALL::read);
            if (before.isPresent()) return before.get();
            if (!works.areMade(inputs.reads(work).toList())) return List.of();
            try (Renderer renderer = new Renderer(chain, inputs.ear(work, known.memory()), Renderer.Options.whole(0, 1), Renderer.Progress.SILENT,
                    Witness.NONE, jobs)) {
                List<Resolved> found = renderer.resolve().resolved().stream().filter(Resolved::odd).toList();
                own.memory().keep("odd", Resolved.ALL.write(found));
                return found;
            } catch (ProblemsException e) {
                // What cannot be measured is told as unheard: it is remembered by now.
                return List.of();
            }
        } finally {
            works.keep(own);
            works.keep(known);
        }
    }

    /** The marks of a part but for its clicks, in the time of the song; empty where it is made of works that must be rendered first. */
    public Optional<Marks> marks(String part) {
        Work work = last(part);
        if (work.input().stream().anyMatch(t -> !t.source().hears().isEmpty())) return Optional.empty();
        return Optional.of(speech(work));
    }

    /** The same of a part that is made of others, once those are rendered, in this run or another that asked for it. */
    public Optional<Marks> renderedMarks(String part) {
        Work work = last(part);
        Shelf.Recollection own = shelf.recollection(Signature.digest(signatures.input(work) + " rendered marks"));
        try {
            Optional<Marks> before = own.memory().recall(Memory.SPEECH).flatMap(Remembered.MARKS::read).map(Marks::new);
            if (before.isPresent() || !works.areMade(work.input().stream().flatMap(t -> t.source().hears().stream()).toList())) return before;
            Marks marks = speech(work);
            own.memory().keep(Memory.SPEECH, Remembered.MARKS.write(marks.all()));
            return Optional.of(marks);
        } finally {
            works.keep(own);
        }
    }

    /** What a part is made by, not what is tidied for it. */
    private Work last(String part) {
        return plan.works().stream().filter(w -> w.name().equals(part) && w.tidying().isEmpty()).findFirst().orElseThrow();
    }

    private Marks speech(Work work) {
        Sound input = new Apiece(() -> inputs.mixture(work.input(), work.channels(), 0));
        String signature = signatures.input(work);
        // Beside what its chain remembers, which lets go of what the chain does not use.
        try (Shelf.Recollection own = shelf.recollection(Signature.digest(signature + " " + Memory.SPEECH));
                Shelf.Recollection chain = shelf.recollection(signature)) {
            // The chain of the instrumental asks an ear of another kind, and what that remembers goes by other frames.
            return speech(input, work, work.played() ? own.memory() : own.memory().keeping(Memory.SPEECH, chain.memory()));
        } catch (IOException e) {
            // Nothing is lost but time.
            return speech(input, work, Memory.NONE);
        }
    }

    private Marks speech(Sound input, Work work, Memory memory) {
        Ear ear = work.played() ? new Ear(input, inputs.told(work), memory) : inputs.ear(work, input, memory);
        if (jobs > 1) ear.help(SideBySide::both);
        boolean listens = isHeardForSpeech(work) && memory != Memory.NONE && memory.recall(Memory.SPEECH).isEmpty();
        Marks speech = ear.speech();
        if (listens) Foreseen.hear(work.chain(), ear);
        return speech;
    }

    /** Whether what its marks are found by is what its chain asks: not where they are told, or found in what it is cut out of, or where it is played. */
    private boolean isHeardForSpeech(Work work) {
        return !work.played() && work.input().size() == 1 && work.input().get(0).source() instanceof Work.Source.Take
                && inputs.told(work).marks().isEmpty();
    }
}

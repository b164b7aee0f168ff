package linnet.render;

import java.util.ArrayList;
import linnet.hear.Ear;
import linnet.plan.Node;
import linnet.plan.Work;
import linnet.text.Problem;
import linnet.text.Problems;
import linnet.text.ProblemsException;

/** What is stated against a singer of whom nothing can be measured, told of the part, group, return or mix that wants it: others may use the same chain. */
final class Unheard {
    private Unheard() {}

    /** Where nobody sings in its input, all that its chain states against the singer and cannot be measured: a render comes only to the first of it. */
    static void tell(Work work, Ear ear, Problems to) {
        if (ear.sung().known()) return;
        Problems here = new Problems();
        for (Node node : work.chain().steps()) {
            Node.Work step = node.work().orElseThrow();
            if (step.use().values().isRelative()) new Resolver(node.name(), ear, step.use().at(), here, new ArrayList<>()).resolve(step.use().values());
        }
        here.sorted().forEach(p -> tell(work, p, to));
    }

    /** What stopped the render of a work. */
    static void tell(Work work, ProblemsException stopped, Problems to) {
        stopped.problems().forEach(p -> tell(work, p, to));
    }

    /** What stopped the chain of the mix, which is no part that could be taken out. */
    static ProblemsException ofMix(ProblemsException stopped) {
        Problems told = new Problems();
        stopped.problems().forEach(p -> told.report(p.at(), "mix: " + p.message()));
        return told.failed();
    }

    private static void tell(Work work, Problem found, Problems to) {
        to.report(found.at(), work.name() + ": " + found.message() + ", or take '" + work.name() + "' out of the song");
    }
}
